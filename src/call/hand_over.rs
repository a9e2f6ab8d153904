//! What whoever takes a case on must know: said, seen, tried, what remains likely, what to bring,
//! who may do it.

use super::advice::Advice;
use super::belief::Ground;
use super::state::State;
use crate::articles::Settings;
use crate::articles::model::Work;
use crate::tickets::TryResult;
use serde::Serialize;

/// Fixes less likely than this are not worth a line.
const LIKELY: f64 = 0.03;

/// At most so many fixes.
const FIXES: usize = 5;

/// Kinds of fixes that put something in that is not there yet.
const WITH_PARTS: &[&str] = &["replace", "renew", "swap", "exchange", "fit"];

/// A case for the next person, in words.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct HandOver {
    /// What the caller said, line by line.
    pub said: Vec<String>,
    /// Device, firmware, codes, indicators.
    pub shown: Vec<String>,
    /// Checks with their answers.
    pub seen: Vec<String>,
    /// Fixes attempted, with what came of each.
    pub tried: Vec<String>,
    /// Dangers that somebody on site said do not apply, by title.
    pub not_danger: Vec<String>,
    /// Dangers that stop the call, then those that were said and are still to be made sure of.
    pub danger: Vec<String>,
    /// What remains likely.
    pub likely: Vec<Likely>,
    /// The chance that no article covers it, or nothing listed in one.
    pub nothing_listed: f64,
    /// What the likely fixes need.
    pub bring: Vec<String>,
    /// The first role that may do all of the likely fixes.
    pub who: Option<String>,
    /// Cautions of the likely fixes, each once.
    pub cautions: Vec<String>,
    /// The agent's notes.
    pub notes: Vec<String>,
}

/// A fix that may still be the one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Likely {
    /// Its full id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// The chance that it ends the case.
    pub chance: f64,
    /// Whether the chance is only the author's order.
    pub only_author: bool,
    /// The first role that may do it.
    pub who: String,
    /// Its hazards.
    pub hazards: Vec<String>,
    /// What must be done before it, in words.
    pub after: Vec<String>,
}

/// Sums a case up.
#[must_use]
pub fn hand_over(
    state: &State,
    advice: &Advice,
    settings: &Settings,
    ground: Ground<'_>,
) -> HandOver {
    let catalog = ground.catalog;
    let title = |id| {
        catalog
            .articles
            .get(id)
            .map_or_else(String::new, |a| a.title.clone())
    };
    let mut fixes: Vec<_> = advice.fixes.iter().collect();
    fixes.sort_by(|a, b| b.chance.share.total_cmp(&a.chance.share));
    fixes.retain(|f| f.chance.share >= LIKELY);
    fixes.truncate(FIXES);
    let works: Vec<&Work> = fixes.iter().map(|f| &catalog.fixes[&f.fix].work).collect();
    let mut cautions = Vec::new();
    for caution in works.iter().flat_map(|w| settings.cautions(&w.hazards)) {
        if !cautions.contains(&caution) {
            cautions.push(caution);
        }
    }
    HandOver {
        said: state.said.clone(),
        shown: shown(state),
        seen: seen(state, ground),
        tried: state.tries.iter().map(|t| tried(t, ground)).collect(),
        not_danger: state.not_danger.iter().map(title).collect(),
        danger: advice
            .stops
            .iter()
            .map(|(id, _)| title(id))
            .chain(
                advice
                    .ask_first
                    .iter()
                    .map(|(id, words)| format!("{}, not made sure of (said: {words})", title(id))),
            )
            .collect(),
        bring: bring(&fixes, ground),
        who: works
            .iter()
            .map(|w| w.who.as_str())
            .max_by_key(|who| settings.rank_of(who))
            .map(str::to_owned),
        nothing_listed: 1.0 - advice.fixes.iter().map(|f| f.chance.share).sum::<f64>(),
        cautions,
        likely: fixes
            .into_iter()
            .map(|ranked| {
                let fix = &catalog.fixes[&ranked.fix];
                Likely {
                    id: fix.id.to_string(),
                    title: fix.title.clone(),
                    chance: ranked.chance.share,
                    only_author: ranked.only_author,
                    who: fix.work.who.clone(),
                    hazards: fix.work.hazards.clone(),
                    after: ranked.after.iter().map(|b| step_title(b, ground)).collect(),
                }
            })
            .collect(),
        notes: state.notes.clone(),
    }
}

/// What a fix or a check is called.
#[must_use]
pub fn step_title(step: &crate::articles::model::Before, ground: Ground<'_>) -> String {
    use crate::articles::model::Before;
    let found = match step {
        Before::Fix(id) => ground.catalog.fixes.get(id).map(|f| &f.title),
        Before::Check(id) => ground.catalog.checks.get(id).map(|c| &c.question),
    };
    found.cloned().unwrap_or_else(|| step.to_string())
}

fn shown(state: &State) -> Vec<String> {
    let device = state.device.iter().map(|d| format!("device {d}"));
    let firmware = state.firmware.iter().map(|v| format!("firmware {v}"));
    let codes = state.codes.iter().map(|c| format!("code {c}"));
    let signs = state.signs.iter().map(|(lamp, s)| format!("{lamp} {s}"));
    device.chain(firmware).chain(codes).chain(signs).collect()
}

fn seen(state: &State, ground: Ground<'_>) -> Vec<String> {
    let question = |id| {
        let check = ground.catalog.checks.get(id);
        check.map_or_else(|| format!("{id}:"), |c| c.question.clone())
    };
    let seen = state.seen.iter();
    let skipped = state.skipped.iter();
    seen.map(|(id, answer)| format!("{} {}", question(id), spoken(answer)))
        .chain(skipped.map(|id| format!("{} could not be done", question(id))))
        .collect()
}

fn tried(tried: &super::state::Tried, ground: Ground<'_>) -> String {
    let fix = tried.fix.as_ref().and_then(|f| ground.catalog.fixes.get(f));
    let title = fix.map_or("something no article lists", |f| &f.title);
    let result = match tried.result {
        TryResult::Resolved => "ended it",
        TryResult::NoChange => "no change",
        TryResult::NotPossible => "could not be done",
    };
    match tried.minutes {
        Some(minutes) => format!("{title}: {result}, {minutes} min"),
        None => format!("{title}: {result}"),
    }
}

/// Parts for fixes that put some in, and the means for what must be measured before.
fn bring(fixes: &[&super::advice::RankedFix], ground: Ground<'_>) -> Vec<String> {
    use crate::articles::model::Before;
    let mut all: Vec<String> = Vec::new();
    for ranked in fixes {
        let fix = &ground.catalog.fixes[&ranked.fix];
        if WITH_PARTS.contains(&fix.kind.as_str()) {
            all.push(format!("parts for \"{}\"", fix.title));
        }
        for before in &ranked.after {
            if let Before::Check(id) = before
                && let Some(check) = ground.catalog.checks.get(id)
                && !check.work.hazards.is_empty()
            {
                let means = format!("means to answer \"{}\"", check.question);
                if !all.contains(&means) {
                    all.push(means);
                }
            }
        }
    }
    all
}

/// An answer as it is spoken: `not-known` is "not known".
#[must_use]
pub fn spoken(answer: &str) -> String {
    answer.replace('-', " ")
}
