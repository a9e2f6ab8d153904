//! Rules about steps that contradict what their heading declares: who may do the work, and what
//! endangers him. Trigger words without their hazard are in [`super::blocks`].

use super::blocks::{Piece, each, either};
use super::{Context, Found};
use crate::articles::finding::Finding;
use crate::articles::model::Work;
use crate::articles::parse::{Parsed, target};
use std::ops::Range;

/// Words, as the analyser leaves them, that may stand before a role at the beginning of a step.
const BEFORE_ROLE: [&str; 6] = ["the", "a", "an", "licens", "qualifi", "compet"];

/// So many words of a step are looked for in the file to name its line.
const OPENING: usize = 4;

/// A step that opens with a role is that role's work: "The electrician opens …" below `who=caller`.
/// "Ask the electrician …" is the caller's.
pub(super) fn roles(context: &Context<'_>, found: &mut Found) {
    let settings = context.settings;
    for piece in each(context) {
        let Some(rank) = settings.rank_of(&piece.work.who) else {
            continue;
        };
        let later = &settings.roles[rank + 1..];
        for (number, step) in piece.work.steps.iter().enumerate() {
            let Some(role) = opening_role(&context.analyzer.terms(step), later, context) else {
                continue;
            };
            let who = &piece.work.who;
            let message = format!(
                "step {} is for `{role}`, but the {} is for `{who}`",
                number + 1,
                piece.sort()
            );
            let at = line_of(context, &piece, step);
            let problem = piece.parsed.source.note("step-role", at, message);
            let help = format!("set `who={role}`, or say what `{who}` does");
            found.add(piece.file, Finding::note(problem).help(Some(help)));
        }
    }
}

fn opening_role<'a>(
    terms: &[String],
    roles: &'a [String],
    context: &Context<'_>,
) -> Option<&'a String> {
    let before = terms
        .iter()
        .take_while(|term| BEFORE_ROLE.contains(&term.as_str()));
    let rest = &terms[before.count()..];
    roles.iter().find(|role| {
        let named = context.analyzer.terms(role);
        let next = rest.get(named.len()).map(String::as_str);
        // "The electrician's number …" is about him, not by him.
        rest.starts_with(&named) && next.is_some_and(|next| next != "s")
    })
}

/// The bytes of the line that a step begins in.
fn line_of(context: &Context<'_>, piece: &Piece<'_>, step: &str) -> Range<usize> {
    let mut opening = context.analyzer.terms(step);
    opening.truncate(OPENING);
    piece.line_where(context, |line| {
        line.windows(opening.len()).any(|words| words == opening)
    })
}

/// A step that leads to another check or fix asks for what that declares.
pub(super) fn leads(context: &Context<'_>, found: &mut Found) {
    for piece in each(context) {
        let inside = |at: &Range<usize>| piece.block.at.contains(&at.start);
        for link in piece.parsed.links.iter().filter(|link| inside(&link.at)) {
            if !is_step(piece.parsed, link.at.start) {
                continue;
            }
            let Some((id, there)) = linked(context, piece.parsed, &link.value) else {
                continue;
            };
            let lacking = lacking(context, piece.work, there);
            if !lacking.is_empty() {
                let message = format!(
                    "this step leads to `{id}`, which declares {}, but the {} does not",
                    lacking.join(" and "),
                    piece.sort()
                );
                let problem = piece
                    .parsed
                    .source
                    .note("step-leads", link.at.clone(), message);
                let help = "declare the same in the heading, or hand on instead".to_owned();
                found.add(piece.file, Finding::note(problem).help(Some(help)));
            }
        }
    }
}

/// Whether the line of a byte is a numbered step.
fn is_step(parsed: &Parsed, at: usize) -> bool {
    let line = parsed.source.line(parsed.source.line_of(at)).trim_start();
    let rest = line.trim_start_matches(|c: char| c.is_ascii_digit());
    rest.len() < line.len() && rest.starts_with(['.', ')'])
}

fn linked<'a>(context: &Context<'a>, parsed: &Parsed, url: &str) -> Option<(String, &'a Work)> {
    let target = target(&parsed.source.file, url)?;
    let there = &context.parsed[*context.index.paths.get(&target.path)?];
    let id = format!("{}#{}", there.article.id, target.anchor?);
    let at = context.index.find(context.parsed, &id)?;
    let article = &context.parsed[at.file].article;
    let checks = article.checks.iter().filter_map(|e| e.own());
    let fixes = article.fixes.iter().filter_map(|e| e.own());
    let mut works = checks
        .map(|check| &check.work)
        .chain(fixes.map(|fix| &fix.work));
    Some((at.id.clone(), works.find(|work| work.line == at.line)?))
}

/// What the other declares and this one does not, as it would be written.
fn lacking(context: &Context<'_>, here: &Work, there: &Work) -> Vec<String> {
    let hazards = there
        .hazards
        .iter()
        .filter(|hazard| !here.hazards.contains(hazard));
    let names: Vec<String> = hazards.cloned().collect();
    let mut lacking = Vec::new();
    if !names.is_empty() {
        lacking.push(format!("the hazard {}", either(&names)));
    }
    let rank = |work: &Work| context.settings.rank_of(&work.who);
    if rank(here).is_some() && rank(there) > rank(here) {
        lacking.push(format!("`who={}`", there.who));
    }
    lacking
}
