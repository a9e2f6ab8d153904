//! From chances of fixes to the steps of a person: checks that must come first are put in, and
//! what the asked-for role may not do stands after the stop.

use super::facts::Evidence;
use super::order::{self, Job, Stop};
use crate::articles::model::{Before, Work};
use crate::articles::{Catalog, Settings};
use crate::base::ids::FixId;
use std::collections::{BTreeMap, BTreeSet};

/// How to order.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum By {
    /// Falling chance: the order of a list.
    #[default]
    Chance,
    /// Least expected minutes: the order of a call.
    Time,
}

/// One step: a fix, or a check that must be done before a fix.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What to do.
    pub what: Before,
    /// Chance that it ends the case; 0 for a check.
    pub chance: f64,
    /// Minutes it takes.
    pub minutes: f64,
}

/// What to do, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Steps the role may do. By chance, fixes only.
    pub steps: Vec<Step>,
    /// Steps it may not do, or that wait for such a one; to be shown after the stop.
    pub beyond: Vec<Step>,
    /// Where to stop, counted in `steps`; only by time.
    pub stop: Option<Stop>,
}

/// Fixes with all that must come before them: made once for a case, then asked with many chances.
#[derive(Clone, Debug)]
pub struct Frame {
    nodes: Vec<Before>,
    /// Chances 0; `after` within `nodes`.
    jobs: Vec<Job>,
    allowed: Vec<bool>,
    /// How many of `nodes` are the asked-for fixes, which come first.
    fixes: usize,
    hand_on: f64,
}

impl Frame {
    /// Prepares fixes of the catalog (others are left out of every plan). `done` holds what was
    /// done already and holds nothing up; without a role, all is allowed. Hand in fixes in order
    /// of id: equals stand in the order given.
    #[must_use]
    pub fn new(
        fixes: &[FixId],
        done: &BTreeSet<Before>,
        evidence: &Evidence,
        catalog: &Catalog,
        settings: &Settings,
        role: Option<&str>,
    ) -> Self {
        let mut nodes: Vec<Before> = fixes.iter().cloned().map(Before::Fix).collect();
        let mut places: BTreeMap<Before, usize> = BTreeMap::new();
        for (at, node) in nodes.iter().enumerate() {
            places.entry(node.clone()).or_insert(at);
        }
        let mut jobs = Vec::new();
        let mut allowed = Vec::new();
        let mut at = 0;
        while at < nodes.len() {
            let (after, minutes, work) = facts(&nodes[at], evidence, catalog);
            let mut job = Job {
                chance: 0.0,
                minutes,
                after: Vec::new(),
            };
            for before in after.iter().filter(|b| !done.contains(b)) {
                let place = *places.entry(before.clone()).or_insert_with(|| {
                    nodes.push(before.clone());
                    nodes.len() - 1
                });
                if place != at && !job.after.contains(&place) {
                    job.after.push(place);
                }
            }
            jobs.push(job);
            // What the catalog does not hold was found unfit to serve: nobody may do it.
            allowed.push(work.is_some_and(|work| role.is_none_or(|r| may(r, work, settings))));
            at += 1;
        }
        let mut frame = Self {
            nodes,
            jobs,
            allowed,
            fixes: fixes.len(),
            hand_on: settings.hand_on_minutes,
        };
        frame.block_followers();
        frame
    }

    /// What waits for something that is not allowed is not allowed either.
    fn block_followers(&mut self) {
        loop {
            let blocked: Vec<usize> = (0..self.jobs.len())
                .filter(|&at| self.allowed[at])
                .filter(|&at| self.jobs[at].after.iter().any(|b| !self.allowed[*b]))
                .collect();
            if blocked.is_empty() {
                return;
            }
            for at in blocked {
                self.allowed[at] = false;
            }
        }
    }

    /// The plan under these chances, in the order of the fixes handed to [`Self::new`].
    #[must_use]
    pub fn plan(&self, chances: &[f64], by: By) -> Plan {
        let allowed = self.part(chances, by, true);
        let beyond = self.part(chances, by, false);
        Plan {
            stop: (by == By::Time).then(|| {
                let place: Vec<usize> = (0..allowed.jobs.len()).collect();
                order::stop(&allowed.jobs, &place, self.hand_on)
            }),
            steps: self.steps(&allowed),
            beyond: self.steps(&beyond),
        }
    }

    /// `M(p)`: expected minutes under these chances, with what the role may do.
    #[must_use]
    pub fn least_minutes(&self, chances: &[f64]) -> f64 {
        let part = self.part(chances, By::Time, true);
        let place: Vec<usize> = (0..part.jobs.len()).collect();
        order::stop(&part.jobs, &place, self.hand_on).minutes
    }

    fn steps(&self, part: &Part) -> Vec<Step> {
        part.places
            .iter()
            .zip(&part.jobs)
            .map(|(&at, job)| Step {
                what: self.nodes[at].clone(),
                chance: job.chance,
                minutes: job.minutes,
            })
            .collect()
    }

    /// The allowed or the blocked nodes in order. By chance, checks leave the list, and what they
    /// wait for is handed on to what waits for them.
    fn part(&self, chances: &[f64], by: By, allowed: bool) -> Part {
        let kept: Vec<usize> = (0..self.nodes.len())
            .filter(|&at| self.allowed[at] == allowed)
            .filter(|&at| by == By::Time || matches!(self.nodes[at], Before::Fix(_)))
            .collect();
        let place = |at: usize| kept.binary_search(&at).ok();
        let jobs: Vec<Job> = kept
            .iter()
            .map(|&at| {
                let mut after = Vec::new();
                self.nearest(at, &place, &mut after, self.nodes.len());
                Job {
                    chance: self.chance(chances, at),
                    minutes: self.jobs[at].minutes,
                    after,
                }
            })
            .collect();
        let order = match by {
            By::Chance => order::by_chance(&jobs),
            By::Time => order::by_time(&jobs),
        };
        Part {
            places: order.iter().map(|&nth| kept[nth]).collect(),
            jobs: order.iter().map(|&nth| jobs[nth].clone()).collect(),
        }
    }

    fn chance(&self, chances: &[f64], at: usize) -> f64 {
        if at < self.fixes {
            chances.get(at).copied().unwrap_or(0.0)
        } else {
            0.0
        }
    }

    /// The nearest kept nodes that `at` waits for.
    fn nearest(
        &self,
        at: usize,
        place: &impl Fn(usize) -> Option<usize>,
        after: &mut Vec<usize>,
        deep: usize,
    ) {
        for &before in &self.jobs[at].after {
            match place(before) {
                Some(nth) if !after.contains(&nth) => after.push(nth),
                None if deep > 0 => self.nearest(before, place, after, deep - 1),
                _ => {}
            }
        }
    }
}

/// Nodes in order, with their jobs in the same order.
struct Part {
    places: Vec<usize>,
    jobs: Vec<Job>,
}

/// What a node waits for, its minutes, and its work where the catalog holds it.
fn facts<'a>(
    node: &Before,
    evidence: &Evidence,
    catalog: &'a Catalog,
) -> (&'a [Before], f64, Option<&'a Work>) {
    match node {
        Before::Fix(id) => match catalog.fixes.get(id) {
            Some(fix) => {
                let minutes = evidence
                    .fixes
                    .get(id)
                    .map_or(fix.work.minutes, |f| f.minutes);
                (&fix.after, minutes, Some(&fix.work))
            }
            None => (&[], 0.0, None),
        },
        Before::Check(id) => match catalog.checks.get(id) {
            Some(check) => (&check.after, check.work.minutes, Some(&check.work)),
            None => (&[], 0.0, None),
        },
    }
}

/// Whether a role may do this work: by the work's own `who`, and by every hazard's roles.
fn may(role: &str, work: &Work, settings: &Settings) -> bool {
    let safe = |hazard: &String| match settings.hazards.get(hazard) {
        Some(hazard) => hazard.roles.iter().any(|asked| settings.may(role, asked)),
        None => false,
    };
    settings.may(role, &work.who) && work.hazards.iter().all(safe)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::articles::model::Entry;
    use crate::base::ids::CheckId;
    use crate::evidence::testing::{article, check, date};
    use crate::evidence::{Cases, gather};

    fn fix(catalog: &mut Catalog, short: &str, who: &str, after: &[Before]) {
        let fix = catalog
            .fixes
            .get_mut(&FixId::of(&"a".into(), short))
            .unwrap();
        fix.work.who = who.to_owned();
        fix.after = after.to_vec();
    }

    fn frame(role: Option<&str>, done: &[Before]) -> Frame {
        let mut a = article("a", &["one", "two", "three", "four"]);
        let Entry::Own(mut look) = check("a", "look") else {
            unreachable!("the helper writes own checks")
        };
        look.after = vec![Before::Fix("a#one".into())];
        look.work.who = "desk".to_owned();
        a.checks.push(Entry::Own(look));
        let mut catalog = Catalog::join([a]);
        let look = Before::Check(CheckId::new("a#look"));
        fix(&mut catalog, "one", "desk", &[]);
        fix(&mut catalog, "two", "desk", &[look]);
        fix(&mut catalog, "three", "installer", &[]);
        fix(
            &mut catalog,
            "four",
            "desk",
            &[Before::Fix("a#three".into())],
        );
        let settings = Settings {
            roles: vec!["desk".to_owned(), "installer".to_owned()],
            ..Settings::default()
        };
        let as_of = date("2026-01-01");
        let evidence = gather(&Cases::default(), &catalog, &settings, as_of);
        let fixes = ["a#four", "a#one", "a#three", "a#two"].map(FixId::new);
        let done = done.iter().cloned().collect();
        Frame::new(&fixes, &done, &evidence, &catalog, &settings, role)
    }

    fn names(steps: &[Step]) -> Vec<&str> {
        let name = |step: &'_ Step| match &step.what {
            Before::Fix(id) => id.short().to_owned(),
            Before::Check(id) => id.short().to_owned(),
        };
        let known = ["one", "two", "three", "four", "look"];
        let find = |step: &Step| known.into_iter().find(|k| *k == name(step)).unwrap();
        steps.iter().map(find).collect()
    }

    const CHANCES: [f64; 4] = [0.5, 0.05, 0.1, 0.3];

    #[test]
    fn steps_wait_for_what_must_come_before() {
        let plan = frame(None, &[]).plan(&CHANCES, By::Time);
        assert_eq!(names(&plan.steps), ["three", "four", "one", "look", "two"]);
        assert!(plan.beyond.is_empty());
        let stop = plan.stop.unwrap();
        assert_eq!(stop.after, 5);
        let minutes = 10.0 + 10.0 * 0.9 + 10.0 * 0.4 + 0.35 + 10.0 * 0.35 + 120.0 * 0.05;
        assert!((stop.minutes - minutes).abs() < 1e-9);
        assert!((frame(None, &[]).least_minutes(&CHANCES) - minutes).abs() < 1e-9);
        let plan = frame(None, &[]).plan(&CHANCES, By::Chance);
        assert_eq!(names(&plan.steps), ["three", "four", "one", "two"]);
        assert_eq!(plan.stop, None);
    }

    #[test]
    fn what_a_role_may_not_do_and_what_waits_for_it_stand_beyond() {
        for by in [By::Time, By::Chance] {
            let plan = frame(Some("desk"), &[]).plan(&CHANCES, by);
            assert_eq!(names(&plan.beyond), ["three", "four"]);
        }
        let plan = frame(Some("stranger"), &[]).plan(&CHANCES, By::Time);
        assert!(plan.steps.is_empty());
        assert_eq!(plan.stop.unwrap().after, 0);
    }

    #[test]
    fn what_was_done_holds_nothing_up() {
        let done = [
            Before::Fix("a#three".into()),
            Before::Check("a#look".into()),
        ];
        let plan = frame(Some("desk"), &done).plan(&[0.5, 0.05, 0.0, 0.3], By::Time);
        assert_eq!(names(&plan.steps), ["four", "two", "one"]);
        assert_eq!(names(&plan.beyond), ["three"]);
    }
}
