//! What a line did, in words: what was heard, and what moved by it.

use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::call::acts::Choice;
use crate::call::hand_over::spoken;
use crate::call::{Act, Advice, Ground};
use crate::tickets::{Outcome, TryResult};
use crate::view::percent;

/// A chance must move by this much to be told.
const TOLD_FROM: f64 = 0.01;

/// At most so many moves are told.
const MOVES: usize = 2;

/// What was understood, act by act, in words.
#[must_use]
pub fn heard(acts: &[Act], ground: Ground<'_>) -> Vec<String> {
    acts.iter().map(|act| one_heard(act, ground)).collect()
}

fn one_heard(act: &Act, ground: Ground<'_>) -> String {
    let fix = |id: &FixId| {
        let found = ground.catalog.fixes.get(id);
        found.map_or_else(|| id.to_string(), |f| f.title.clone())
    };
    let check = |id: &CheckId| {
        let found = ground.catalog.checks.get(id);
        found.map_or_else(|| id.to_string(), |c| c.question.clone())
    };
    let article = |id: &ArticleId| {
        let found = ground.catalog.articles.get(id);
        found.map_or_else(|| id.to_string(), |a| a.title.clone())
    };
    match act {
        Act::Say(_) => "the caller's words".to_owned(),
        Act::Device(id) => format!("device {id}"),
        Act::Firmware(version) => format!("firmware {version}"),
        Act::Code(code) => format!("code {code}"),
        Act::Sign { lamp, state } => format!("{lamp} {state}"),
        Act::Role(role) => format!("{role} does the work"),
        Act::Reference(id) => format!("ref {id}"),
        Act::NoReference => "the ref is another ticket's".to_owned(),
        Act::Site(_) => "which site it is".to_owned(),
        Act::Note(_) => "a note".to_owned(),
        Act::NotDanger(id) => format!("\"{}\" does not apply", article(id)),
        Act::IsDanger(id) => format!("\"{}\" applies", article(id)),
        Act::Pick(id) => format!("taking up \"{}\"", fix(id)),
        Act::Answer { check: id, answer } => format!("{} {}", check(id), spoken(answer)),
        Act::Skip(id) => format!("{} could not be done", check(id)),
        Act::Try {
            fix: id,
            result,
            minutes,
        } => {
            let title = id.as_ref().map_or_else(
                || "something else".to_owned(),
                |id| format!("\"{}\"", fix(id)),
            );
            let result = match result {
                TryResult::Resolved => "fixed it",
                TryResult::NoChange => "made no change",
                TryResult::NotPossible => "could not be done",
            };
            let took = minutes.map_or_else(String::new, |m| format!(", {m} min"));
            format!("{title} {result}{took}")
        }
        Act::End(Outcome::HandedOn) => "handing on".to_owned(),
        Act::End(Outcome::Dropped) => "dropped".to_owned(),
        Act::End(Outcome::Resolved) => "resolved".to_owned(),
        Act::Article(Choice::Article(id)) => format!("it was \"{}\"", article(id)),
        Act::Article(Choice::Unlisted) => "no article covers it".to_owned(),
        Act::Article(Choice::NotSure) => "the article is not known".to_owned(),
        Act::Follows(Some(ticket)) => format!("it continues {ticket}"),
        Act::Follows(None) => "it continues no earlier call".to_owned(),
    }
}

/// What moved between two answers, the largest moves first.
#[must_use]
pub fn changed(before: Option<&Advice>, now: &Advice, ground: Ground<'_>) -> Vec<String> {
    let Some(before) = before.filter(|b| !b.fixes.is_empty()) else {
        return Vec::new();
    };
    if now.fixes.is_empty() {
        return Vec::new();
    }
    let of = |advice: &Advice, fix: &FixId| {
        let found = advice.fixes.iter().find(|f| f.fix == *fix);
        found.map_or(0.0, |f| f.chance.share)
    };
    let told = |advice: &Advice| {
        let known = advice.fixes.iter().filter(|f| !f.only_author);
        known.map(|f| f.fix.clone()).collect::<Vec<_>>()
    };
    let mut all = told(before);
    all.extend(told(now));
    all.sort();
    all.dedup();
    let mut moves: Vec<(f64, f64, FixId)> = all
        .into_iter()
        .map(|fix| (of(before, &fix), of(now, &fix), fix))
        .filter(|(was, is, _)| (was - is).abs() >= TOLD_FROM && *is > 0.0)
        .collect();
    moves.sort_by(|a, b| {
        let by = |m: &(f64, f64, FixId)| (m.0 - m.1).abs();
        by(b).total_cmp(&by(a)).then_with(|| a.2.cmp(&b.2))
    });
    let title = |fix: &FixId| ground.catalog.fixes[fix].title.clone();
    let mut lines: Vec<String> = moves
        .iter()
        .take(MOVES)
        .map(|(was, is, fix)| {
            let way = if is > was { "up" } else { "down" };
            format!(
                "\"{}\" {way} from {} to {}",
                title(fix),
                percent::chance(*was),
                percent::chance(*is)
            )
        })
        .collect();
    let first = &now.fixes[0].fix;
    if before.fixes[0].fix != *first {
        lines.push(format!("first now: \"{}\"", title(first)));
    }
    if lines.is_empty() {
        lines.push("nothing to speak of".to_owned());
    }
    lines
}
