//! From a belief to the steps that are left: fixes with their chances, minutes and what must come
//! before, and which of them a role may do.

use super::belief::{Belief, Ground};
use crate::articles::model::{Before, Work};
use crate::articles::{Catalog, Settings};
use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::evidence::order::Job;
use std::collections::{BTreeMap, BTreeSet};

/// What has been done in a case so far.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Done {
    /// Fixes tried without change.
    pub tried: BTreeSet<FixId>,
    /// Checks answered.
    pub seen: BTreeMap<CheckId, String>,
    /// Fixes and checks that cannot be done in this case: they are no evidence, and neither they
    /// nor what must come after them is proposed.
    pub not_possible: BTreeSet<Before>,
}

impl Done {
    /// The articles whose checks were answered: they are in question whatever the words say.
    #[must_use]
    pub fn about(&self, catalog: &Catalog) -> BTreeSet<ArticleId> {
        let answered = |checks: &Vec<CheckId>| checks.iter().any(|c| self.seen.contains_key(c));
        catalog
            .checks_of
            .iter()
            .filter(|(_, checks)| answered(checks))
            .map(|(article, _)| article.clone())
            .collect()
    }
}

/// The steps that are left, with the jobs that [`crate::evidence::order`] puts in order.
#[derive(Clone, Debug, Default)]
pub struct Steps {
    /// What each job is.
    pub what: Vec<Before>,
    /// The jobs.
    pub jobs: Vec<Job>,
    /// For each job whether the role may do it and everything that must come before it.
    pub allowed: Vec<bool>,
}

/// Whether a role may do this work: it is the asked-for one or a later one, and every hazard is one
/// that it may work with. Without a role everything may be done.
#[must_use]
pub fn may_do(work: &Work, role: Option<&str>, settings: &Settings) -> bool {
    let Some(role) = role else { return true };
    let handles = |hazard: &String| {
        settings
            .hazards
            .get(hazard)
            .is_some_and(|h| h.roles.iter().any(|r| settings.may(role, r)))
    };
    settings.may(role, &work.who) && work.hazards.iter().all(handles)
}

impl Steps {
    /// The fixes with a chance, everything they must come after, and nothing that is done.
    #[must_use]
    pub fn left(
        belief: &Belief,
        done: &Done,
        role: Option<&str>,
        settings: &Settings,
        ground: Ground<'_>,
    ) -> Self {
        let mut chances: BTreeMap<Before, f64> = belief
            .by_fix(ground.layout)
            .into_iter()
            .map(|(fix, chance)| (Before::Fix(ground.layout.fixes[fix].clone()), chance))
            .collect();
        let mut to_visit: Vec<Before> = chances.keys().cloned().collect();
        while let Some(step) = to_visit.pop() {
            for before in open_before(&step, done, ground) {
                if !chances.contains_key(&before) {
                    chances.insert(before.clone(), 0.0);
                    to_visit.push(before);
                }
            }
        }
        let what: Vec<Before> = chances.keys().cloned().collect();
        let jobs: Vec<Job> = chances
            .iter()
            .map(|(step, chance)| Job {
                chance: *chance,
                minutes: minutes(step, ground),
                after: open_before(step, done, ground)
                    .iter()
                    .filter_map(|before| what.binary_search(before).ok())
                    .collect(),
            })
            .collect();
        let mut steps = Self {
            allowed: vec![true; what.len()],
            what,
            jobs,
        };
        steps.forbid(done, role, settings, ground);
        steps
    }

    /// What a role may not do or cannot be done, and what would have to come after that, is not
    /// allowed.
    fn forbid(&mut self, done: &Done, role: Option<&str>, settings: &Settings, ground: Ground<'_>) {
        for (allowed, step) in self.allowed.iter_mut().zip(&self.what) {
            *allowed = !done.not_possible.contains(step)
                && work(step, ground).is_some_and(|w| may_do(w, role, settings));
        }
        loop {
            let blocked: Vec<usize> = (0..self.jobs.len())
                .filter(|i| {
                    self.allowed[*i] && self.jobs[*i].after.iter().any(|b| !self.allowed[*b])
                })
                .collect();
            if blocked.is_empty() {
                return;
            }
            for at in blocked {
                self.allowed[at] = false;
            }
        }
    }

    /// The allowed jobs alone, renumbered, with their old numbers.
    #[must_use]
    pub fn allowed_jobs(&self) -> (Vec<Job>, Vec<usize>) {
        self.subset(|i| self.allowed[i])
    }

    /// The jobs that are not allowed, renumbered, with their old numbers; what is allowed among
    /// the things they come after is listed before them anyway.
    #[must_use]
    pub fn other_jobs(&self) -> (Vec<Job>, Vec<usize>) {
        self.subset(|i| !self.allowed[i])
    }

    fn subset(&self, keep: impl Fn(usize) -> bool) -> (Vec<Job>, Vec<usize>) {
        let old: Vec<usize> = (0..self.jobs.len()).filter(|i| keep(*i)).collect();
        let jobs = old
            .iter()
            .map(|i| Job {
                after: self.jobs[*i]
                    .after
                    .iter()
                    .filter_map(|b| old.binary_search(b).ok())
                    .collect(),
                ..self.jobs[*i].clone()
            })
            .collect();
        (jobs, old)
    }
}

/// What must be done before a step and is not done yet. What no article lists any more cannot be
/// waited for.
#[must_use]
pub fn open_before(step: &Before, done: &Done, ground: Ground<'_>) -> Vec<Before> {
    let after = match step {
        Before::Fix(id) => ground.catalog.fixes.get(id).map(|f| &f.after),
        Before::Check(id) => ground.catalog.checks.get(id).map(|c| &c.after),
    };
    let open = |before: &&Before| match before {
        Before::Fix(id) => !done.tried.contains(id) && ground.catalog.fixes.contains_key(id),
        Before::Check(id) => !done.seen.contains_key(id) && ground.catalog.checks.contains_key(id),
    };
    after.into_iter().flatten().filter(open).cloned().collect()
}

/// Whether everything that must come before a check is done.
#[must_use]
pub fn is_open(check: &CheckId, done: &Done, ground: Ground<'_>) -> bool {
    open_before(&Before::Check(check.clone()), done, ground).is_empty()
}

fn work<'a>(step: &Before, ground: Ground<'a>) -> Option<&'a Work> {
    match step {
        Before::Fix(id) => ground.catalog.fixes.get(id).map(|f| &f.work),
        Before::Check(id) => ground.catalog.checks.get(id).map(|c| &c.work),
    }
}

fn minutes(step: &Before, ground: Ground<'_>) -> f64 {
    let author = work(step, ground).map_or(0.0, |w| w.minutes);
    match step {
        Before::Fix(id) => ground.evidence.fixes.get(id).map_or(author, |f| f.minutes),
        Before::Check(_) => author,
    }
}
