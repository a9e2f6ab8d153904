//! The check to ask next: the one that saves most expected minutes, one step ahead.
//!
//! `saves(k) = M(p) − Σ_v P(v)·M(p|v) − minutes_k`, `P(v) = Σ_c p(c)·P(v|c)` over all candidates with
//! "none of the listed" and `unlisted`; `M` as in [`crate::evidence::order`]. The value of information
//! of one observation (Howard 1966); a check cannot lose minutes on average, apart from its own.
//!
//! [`minutes_left`] and [`after_asking`] say it plainly. The search for the best check asks that a
//! hundred times at every keystroke, and only chances differ between the times, so [`Prospect`] looks
//! steps, cases and groups up once and then only adds up; a test holds the two together to the last bit.

use super::belief::{Belief, Explained, Ground, likelihoods, usual};
use super::steps::{Done, Steps, is_open, may_do};
use crate::articles::model::Before;
use crate::articles::{Check, Settings};
use crate::base::ids::CheckId;
use crate::evidence::order::{Groups, Job, least_minutes};
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
    let steps = Steps::left(belief, done, role, settings, ground);
    next_of(&steps, belief, done, role, settings, ground)
}

/// The same where the steps that are left are known.
pub(super) fn next_of(
    steps: &Steps,
    belief: &Belief,
    done: &Done,
    role: Option<&str>,
    settings: &Settings,
    ground: Ground<'_>,
) -> Option<NextCheck> {
    let mut prospect = Prospect::new(steps, belief, settings, ground);
    let now = prospect.now();
    let mut best: Option<NextCheck> = None;
    for id in askable(belief, done, role, settings, ground) {
        let check = &ground.catalog.checks[&id];
        let then = prospect.after_asking(check);
        let then =
            then.unwrap_or_else(|| after_asking(check, belief, done, role, settings, ground));
        let saves = now - then - check.work.minutes;
        if saves >= WORTH_ASKING && best.as_ref().is_none_or(|b| saves > b.saves) {
            best = Some(NextCheck { check: id, saves });
        }
    }
    best
}

/// The steps that are left, to be given other chances. A check that can be asked waits for nothing and is
/// allowed: once it is answered the same steps are left, without itself.
struct Prospect<'a> {
    belief: &'a Belief,
    ground: Ground<'a>,
    hand_on: f64,
    /// The allowed steps.
    all: Tied,
    /// The checks among them, with their places.
    checks: Vec<(&'a CheckId, usize)>,
    /// The fixes that have a chance: the place of each among the allowed steps.
    places: Vec<Option<usize>>,
    /// For each candidate the number of its fix in `places`.
    fixes: Vec<Option<usize>>,
}

/// Steps with their groups.
struct Tied {
    jobs: Vec<Job>,
    groups: Groups,
}

impl<'a> Prospect<'a> {
    fn new(steps: &'a Steps, belief: &'a Belief, settings: &Settings, ground: Ground<'a>) -> Self {
        let layout = ground.layout;
        let (jobs, old) = steps.allowed_jobs();
        let likely: Vec<usize> = belief.by_fix(layout).into_keys().collect();
        let mut places = vec![None; likely.len()];
        let mut checks = Vec::new();
        for (place, at) in old.iter().enumerate() {
            match &steps.what[*at] {
                Before::Check(id) => checks.push((id, place)),
                Before::Fix(id) => {
                    let fix = layout
                        .fix(id)
                        .and_then(|fix| likely.binary_search(&fix).ok());
                    if let Some(fix) = fix {
                        places[fix] = Some(place);
                    }
                }
            }
        }
        let fix = |pair: &usize| likely.binary_search(&layout.pairs[*pair].fix?).ok();
        Self {
            fixes: belief.pairs.iter().map(fix).collect(),
            belief,
            ground,
            hand_on: settings.hand_on_minutes,
            all: Tied::new(jobs),
            checks,
            places,
        }
    }

    /// As [`minutes_left`]; to be asked before anything else.
    fn now(&self) -> f64 {
        self.all.groups.least_minutes(&self.all.jobs, self.hand_on)
    }

    /// As [`after_asking`]. None where a chance becomes too small to be told from 0, which takes its fix
    /// out of the steps.
    fn after_asking(&mut self, check: &'a Check) -> Option<f64> {
        let (belief, ground) = (self.belief, self.ground);
        let explained = Explained::new(&belief.pairs, check, ground);
        let known = self.checks.iter().find(|(id, _)| **id == check.id);
        let itself = known.map(|(_, place)| *place);
        let mut without = itself.map(|place| self.all.without(place));
        let steps = without.as_mut().unwrap_or(&mut self.all);
        let mut chances = vec![0.0; self.places.len()];
        let mut expected = 0.0;
        for answer in &check.answers {
            let likely = explained.likelihoods(answer);
            let weighed = belief.chance.iter().zip(&likely).map(|(p, l)| p * l);
            let weighed: Vec<f64> = weighed.collect();
            let unlisted = belief.unlisted * usual(check, answer, ground.evidence);
            let chance = weighed.iter().sum::<f64>() + unlisted;
            chances.fill(0.0);
            for (fix, weighed) in self.fixes.iter().zip(weighed) {
                if let Some(fix) = fix {
                    chances[*fix] += weighed / chance;
                }
            }
            if !chances.iter().all(|chance| *chance > 0.0) {
                return None;
            }
            for (place, chance) in self.places.iter().zip(&chances) {
                if let Some(place) = place {
                    let gone = usize::from(itself.is_some_and(|itself| itself < *place));
                    steps.jobs[place - gone].chance = *chance;
                }
            }
            expected += chance * steps.groups.least_minutes(&steps.jobs, self.hand_on);
        }
        Some(expected)
    }
}

impl Tied {
    fn new(jobs: Vec<Job>) -> Self {
        let groups = Groups::of(&jobs);
        Self { jobs, groups }
    }

    /// The same without the step at a place.
    fn without(&self, place: usize) -> Self {
        let number = |at: &usize| (*at != place).then(|| at - usize::from(place < *at));
        let others = self.jobs.iter().enumerate().filter(|(at, _)| *at != place);
        let others = others.map(|(_, job)| Job {
            after: job.after.iter().filter_map(number).collect(),
            chance: job.chance,
            minutes: job.minutes,
        });
        Self::new(others.collect())
    }
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
