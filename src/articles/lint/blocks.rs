//! Rules about checks and fixes: steps, minutes, roles and hazards.

use super::{Context, Found};
use crate::articles::finding::Finding;
use crate::articles::model::{Fix, Work};
use crate::articles::parse::{Block, Kind, Parsed, pieces};
use crate::articles::source::Spot;
use crate::base::problem::did_you_mean;

/// A check or a fix with its file and its block.
pub(super) struct Piece<'a> {
    pub(super) file: usize,
    pub(super) parsed: &'a Parsed,
    pub(super) block: &'a Block,
    title: &'a str,
    pub(super) work: &'a Work,
    fix: Option<&'a Fix>,
}

impl Piece<'_> {
    pub(super) fn sort(&self) -> &'static str {
        if self.fix.is_some() { "fix" } else { "check" }
    }

    fn error(
        &self,
        rule: &'static str,
        key: &str,
        message: String,
        help: Option<String>,
    ) -> Finding {
        let at = self.block.place_of(key);
        Finding::block(self.block.line, self.parsed.source.error(rule, at, message)).help(help)
    }

    /// The bytes of the first line whose terms are such, or of the heading.
    pub(super) fn line_where(
        &self,
        context: &Context<'_>,
        such: impl Fn(&[String]) -> bool,
    ) -> std::ops::Range<usize> {
        let text = &self.parsed.source.text[self.block.at.clone()];
        let mut at = self.block.at.start;
        for line in text.split_inclusive('\n') {
            let shown = line.trim_end();
            if such(&context.analyzer.terms(shown)) {
                let indent = shown.len() - shown.trim_start().len();
                return at + indent..at + shown.len();
            }
            at += line.len();
        }
        self.block.heading.clone()
    }

    fn values(&self, key: &str) -> &[Spot<String>] {
        self.block.attribute(key).map_or(&[], |a| &a.values)
    }
}

pub(super) fn each<'a>(context: &Context<'a>) -> Vec<Piece<'a>> {
    let mut pieces = Vec::new();
    for (file, parsed) in context.parsed.iter().enumerate() {
        let checks = parsed.article.checks.iter().filter_map(|e| e.own());
        let fixes = parsed.article.fixes.iter().filter_map(|e| e.own());
        let checks = checks.map(|c| (c.question.as_str(), &c.work, None));
        let fixes = fixes.map(|f| (f.title.as_str(), &f.work, Some(f)));
        for (title, work, fix) in checks.chain(fixes) {
            if let Some(block) = parsed.block_at(work.line) {
                pieces.push(Piece {
                    file,
                    parsed,
                    block,
                    title,
                    work,
                    fix,
                });
            }
        }
    }
    pieces
}

pub(super) fn steps(context: &Context<'_>, found: &mut Found) {
    for piece in each(context) {
        if piece.fix.is_some() && piece.work.steps.is_empty() {
            let help = "write them as a numbered list".to_owned();
            let message = "the fix has no steps".to_owned();
            found.add(piece.file, piece.error("no-steps", "", message, Some(help)));
        }
    }
}

pub(super) fn minutes(context: &Context<'_>, found: &mut Found) {
    for piece in each(context) {
        if piece.fix.is_some() && piece.block.attribute("minutes").is_none() {
            let help = "add `minutes=15` or the like to the heading".to_owned();
            let message = "the fix does not say how long it takes".to_owned();
            found.add(
                piece.file,
                piece.error("no-minutes", "", message, Some(help)),
            );
        }
    }
}

/// A day. Nothing of an article takes longer but by a slip of the pen, and every order by time would
/// put it last.
const LONGEST_MINUTES: f64 = 24.0 * 60.0;

pub(super) fn long_minutes(context: &Context<'_>, found: &mut Found) {
    for piece in each(context) {
        let minutes = piece.work.minutes;
        if minutes > LONGEST_MINUTES {
            let message = format!("{minutes} minutes are more than a whole day");
            let help =
                "minutes are the time at the unit, without waiting for parts or an appointment";
            let at = piece.block.place_of("minutes");
            let problem = piece.parsed.source.note("long-minutes", at, message);
            found.add(
                piece.file,
                Finding::note(problem).help(Some(help.to_owned())),
            );
        }
    }
}

pub(super) fn who(context: &Context<'_>, found: &mut Found) {
    let roles = &context.settings.roles;
    for piece in each(context) {
        if piece.fix.is_some() && piece.block.attribute("who").is_none() {
            let help = format!("add `who=` to the heading with one of {}", roles.join(", "));
            let message = "the fix does not say who may do it".to_owned();
            found.add(piece.file, piece.error("no-who", "", message, Some(help)));
        } else if !piece.work.who.is_empty() && !roles.contains(&piece.work.who) {
            let help = did_you_mean(&piece.work.who, roles.iter().map(String::as_str))
                .unwrap_or_else(|| format!("the roles are {}", roles.join(", ")));
            let message = format!("`kb.toml` has no role `{}`", piece.work.who);
            found.add(
                piece.file,
                piece.error("unknown-role", "who", message, Some(help)),
            );
        }
    }
}

pub(super) fn done_when(context: &Context<'_>, found: &mut Found) {
    for piece in each(context) {
        if piece.fix.is_some_and(|f| f.done_when.is_none()) {
            let problem = piece.parsed.source.note(
                "no-done-when",
                piece.block.heading.clone(),
                "the fix does not say how one knows that it is done",
            );
            let help = "end it with a paragraph `Done when: …`".to_owned();
            found.add(piece.file, Finding::note(problem).help(Some(help)));
        }
    }
}

pub(super) fn hazards(context: &Context<'_>, found: &mut Found) {
    let known = &context.settings.hazards;
    for piece in each(context) {
        for hazard in piece.values("hazard") {
            if hazard.value.is_empty() || known.contains_key(&hazard.value) {
                continue;
            }
            let problem = piece.parsed.source.error(
                "unknown-hazard",
                hazard.at.clone(),
                format!("`kb.toml` has no hazard `{}`", hazard.value),
            );
            let help = did_you_mean(&hazard.value, known.keys().map(String::as_str));
            found.add(
                piece.file,
                Finding::block(piece.block.line, problem).help(help),
            );
        }
    }
}

pub(super) fn roles(context: &Context<'_>, found: &mut Found) {
    for piece in each(context) {
        let who = &piece.work.who;
        if !context.settings.roles.contains(who) {
            continue;
        }
        for name in &piece.work.hazards {
            let Some(hazard) = context.settings.hazards.get(name) else {
                continue;
            };
            if hazard.roles.contains(who) {
                continue;
            }
            let message = format!("work with the hazard `{name}` is not for `{who}`");
            let help = format!("set `who=` to {}", either(&hazard.roles));
            found.add(
                piece.file,
                piece.error("role-not-allowed", "who", message, Some(help)),
            );
        }
    }
}

pub(super) fn either(names: &[String]) -> String {
    let quoted: Vec<String> = names.iter().map(|n| format!("`{n}`")).collect();
    quoted.join(" or ")
}

/// A trigger and its terms.
type Trigger<'a> = (&'a String, Vec<String>);

/// Trigger words are compared as the analyser sees them, phrase by phrase within one paragraph,
/// so that "opening the covers" is found by "open the cover". The first of a hazard is enough.
pub(super) fn triggers(context: &Context<'_>, found: &mut Found) {
    let hazards: Vec<(&String, Vec<Trigger<'_>>)> = context
        .settings
        .hazards
        .iter()
        .map(|(name, hazard)| {
            let phrases = hazard.triggers.iter();
            (
                name,
                phrases.map(|t| (t, context.analyzer.terms(t))).collect(),
            )
        })
        .collect();
    for piece in each(context) {
        let mut texts = vec![context.analyzer.terms(piece.title)];
        texts.extend(
            pieces(&piece.work.markdown)
                .iter()
                .map(|p| context.analyzer.terms(p)),
        );
        for (name, phrases) in &hazards {
            if piece.work.hazards.contains(name) {
                continue;
            }
            let hit = phrases
                .iter()
                .find(|(_, phrase)| texts.iter().any(|text| holds(text, phrase)));
            if let Some((trigger, _)) = hit {
                found.add(piece.file, missing(context, &piece, name, trigger));
            }
        }
    }
}

fn holds(text: &[String], phrase: &[String]) -> bool {
    !phrase.is_empty() && text.windows(phrase.len()).any(|window| window == phrase)
}

fn missing(context: &Context<'_>, piece: &Piece<'_>, hazard: &str, trigger: &str) -> Finding {
    let source = &piece.parsed.source;
    let phrase = context.analyzer.terms(trigger);
    let at = piece.line_where(context, |line| holds(line, &phrase));
    let problem = source.error(
        "missing-hazard",
        at,
        format!(
            "the {} says `{trigger}`, but does not name the hazard `{hazard}`",
            piece.sort()
        ),
    );
    let roles = context
        .settings
        .hazards
        .get(hazard)
        .map(|h| h.roles.as_slice());
    let mut help = format!("add `hazard={hazard}` to the heading");
    if let Some(roles) = roles.filter(|r| !r.contains(&piece.work.who)) {
        help.push_str(&format!(" and set `who=` to {}", either(roles)));
    }
    Finding::block(piece.block.line, problem).help(Some(help))
}

/// Whether a kind of block is a check or a fix.
pub(super) fn is_work(kind: Kind) -> bool {
    kind != Kind::DoNow
}
