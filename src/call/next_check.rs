//! The check to ask next: the one that saves most expected minutes, one step ahead.
//!
//! `saves(k) = M(p) − Σ_v P(v)·M(p|v) − minutes_k`, `P(v) = Σ_c p(c)·P(v|c)` over all candidates with
//! "none of the listed" and `unlisted`; `M` as in [`crate::evidence::order`]. The value of information
//! of one observation (Howard 1966); a check cannot lose minutes on average, apart from its own.

use super::belief::{Belief, Ground, likelihoods, usual};
use super::steps::{Done, Steps, is_open, may_do};
use crate::articles::model::Before;
use crate::articles::{Check, Settings};
use crate::base::ids::CheckId;
use crate::evidence::order::least_minutes;
use std::collections::BTreeSet;

/// Articles less likely than this do not have their checks considered: no answer about them could
/// save more than a hundredth of the time of handing on.
const LIKELY: f64 = 0.01;

/// Minutes that a check must save to be offered: less reads as none.
const WORTH_ASKING: f64 = 0.5;

/// A check and what asking it saves.
#[derive(Clone, Debug, PartialEq)]
pub struct NextCheck {
    /// The check.
    pub check: CheckId,
    /// Expected minutes it saves, its own taken off.
    pub saves: f64,
}

/// The best check the role may do, if one saves half a minute or more. Ties go to the first id.
#[must_use]
pub fn next_check(
    belief: &Belief,
    done: &Done,
    role: Option<&str>,
    settings: &Settings,
    ground: Ground<'_>,
) -> Option<NextCheck> {
    let now = minutes_left(belief, done, role, settings, ground);
    let mut best: Option<NextCheck> = None;
    for id in askable(belief, done, role, settings, ground) {
        let check = &ground.catalog.checks[&id];
        let saves =
            now - after_asking(check, belief, done, role, settings, ground) - check.work.minutes;
        if saves >= WORTH_ASKING && best.as_ref().is_none_or(|b| saves > b.saves) {
            best = Some(NextCheck { check: id, saves });
        }
    }
    best
}

/// `M(p)` for what a role may do.
#[must_use]
pub fn minutes_left(
    belief: &Belief,
    done: &Done,
    role: Option<&str>,
    settings: &Settings,
    ground: Ground<'_>,
) -> f64 {
    let (jobs, _) = Steps::left(belief, done, role, settings, ground).allowed_jobs();
    least_minutes(&jobs, settings.hand_on_minutes)
}

/// `Σ_v P(v)·M(p|v)`: minutes to the end once the answer is known.
#[must_use]
pub fn after_asking(
    check: &Check,
    belief: &Belief,
    done: &Done,
    role: Option<&str>,
    settings: &Settings,
    ground: Ground<'_>,
) -> f64 {
    let mut answered = done.clone();
    let mut expected = 0.0;
    for answer in &check.answers {
        let likely = likelihoods(&belief.pairs, check, answer, ground);
        let chance: f64 = belief
            .chance
            .iter()
            .zip(&likely)
            .map(|(p, l)| p * l)
            .sum::<f64>()
            + belief.unlisted * usual(check, answer, ground.evidence);
        answered.seen.insert(check.id.clone(), answer.clone());
        let next = belief.after(&check.id, answer, ground);
        expected += chance * minutes_left(&next, &answered, role, settings, ground);
    }
    expected
}

fn askable(
    belief: &Belief,
    done: &Done,
    role: Option<&str>,
    settings: &Settings,
    ground: Ground<'_>,
) -> BTreeSet<CheckId> {
    belief
        .by_article(ground.layout)
        .into_iter()
        .filter(|(_, chance)| *chance >= LIKELY)
        .filter_map(|(article, _)| {
            ground
                .catalog
                .checks_of
                .get(&ground.layout.articles[article])
        })
        .flatten()
        .filter(|id| !done.seen.contains_key(*id) && is_open(id, done, ground))
        .filter(|id| !done.not_possible.contains(&Before::Check((*id).clone())))
        .filter(|id| may_do(&ground.catalog.checks[*id].work, role, settings))
        .cloned()
        .collect()
}
