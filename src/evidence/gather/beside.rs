//! What is counted beside the shares: raw counts and minutes of fixes, answers to checks.

use crate::articles::{Catalog, Settings};
use crate::base::ids::{CheckId, FixId};
use crate::evidence::cases::{Case, End};
use crate::evidence::facts::{CheckEvidence, FixEvidence, KindEvidence, SeenAnswers};
use crate::evidence::interval::{Z95, wilson};
use crate::evidence::{cost, weights};
use std::collections::{BTreeMap, HashMap};

/// What is counted beside the shares.
#[derive(Clone, Debug, Default)]
pub(super) struct Beside {
    pub(super) cases: u64,
    fixes: HashMap<FixId, Count>,
    checks: BTreeMap<CheckId, CheckEvidence>,
    /// Weights of cases that a person found no article for.
    pub(super) unlisted: Vec<f64>,
}

/// Raw counts of one fix and the minutes recorded for it.
#[derive(Clone, Debug, Default)]
struct Count {
    resolved: u64,
    tries: u64,
    inferred: u64,
    minutes: Vec<f64>,
}

impl Beside {
    pub(super) fn add(&mut self, case: &Case, catalog: &Catalog, settings: &Settings) {
        self.cases += 1;
        if case.unlisted {
            let weight = weights::of_age(case.age_days, settings.model.half_life_days);
            self.unlisted.push(weight);
        }
        self.count_checks(case, catalog);
        for (fix, minutes) in &case.minutes {
            self.of_fix(fix).minutes.push(*minutes);
        }
        // An unknown end says nothing certain about what was tried either.
        if case.end == End::Unknown {
            return;
        }
        let resolved = match &case.end {
            End::Fix(fix) => Some(fix),
            _ => None,
        };
        for fix in case.failed.iter().chain(resolved) {
            let found = self.of_fix(fix);
            found.tries += 1;
            found.resolved += u64::from(resolved == Some(fix));
            found.inferred += u64::from(case.read.contains(fix));
        }
    }

    fn of_fix(&mut self, fix: &FixId) -> &mut Count {
        self.fixes.entry(fix.clone()).or_default()
    }

    pub(super) fn fixes(
        &self,
        catalog: &Catalog,
    ) -> (BTreeMap<FixId, FixEvidence>, BTreeMap<String, KindEvidence>) {
        let none = Count::default();
        let of = |id: &FixId| self.fixes.get(id).unwrap_or(&none);
        let mut minutes: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
        let mut kinds: BTreeMap<String, KindEvidence> = BTreeMap::new();
        for (id, fix) in &catalog.fixes {
            let kind = kinds.entry(fix.kind.clone()).or_default();
            let found = of(id);
            kind.resolved += found.resolved;
            kind.tries += found.tries;
            let all = minutes.entry(&fix.kind).or_default();
            all.extend(&found.minutes);
        }
        for (kind, minutes) in minutes {
            if let Some(found) = kinds.get_mut(kind) {
                found.minutes_cap = cost::quantile(minutes, cost::CAP);
            }
        }
        let fixes = catalog.fixes.iter().map(|(id, fix)| {
            let found = of(id);
            let cap = kinds.get(&fix.kind).and_then(|kind| kind.minutes_cap);
            let (raw_low, raw_high) = wilson(found.resolved as f64, found.tries as f64, Z95);
            let evidence = FixEvidence {
                resolved: found.resolved,
                tries: found.tries,
                inferred: found.inferred,
                raw_low,
                raw_high,
                minutes: cost::minutes(&found.minutes, cap, fix.work.minutes),
            };
            (id.clone(), evidence)
        });
        (fixes.collect(), kinds)
    }

    fn count_checks(&mut self, case: &Case, catalog: &Catalog) {
        for (id, answer) in &case.seen {
            let answer: &str = answer;
            let Some(check) = catalog.checks.get(id) else {
                continue;
            };
            if !check.answers.iter().any(|offered| offered == answer) {
                continue;
            }
            let found = self.checks.entry(id.clone()).or_default();
            *found.seen.entry(answer.to_owned()).or_default() += 1;
            found.total += 1;
            if let Some(article) = &case.article
                && let Some((article, of)) = catalog.checks_of.get_key_value(article)
                && of.contains(id)
            {
                let ended = found.ended.entry(article.clone()).or_default();
                ended.add(&case.end, answer);
            }
        }
    }

    pub(super) fn checks(&self, catalog: &Catalog) -> BTreeMap<CheckId, CheckEvidence> {
        let all = catalog.checks.iter().map(|(id, check)| {
            let mut evidence = self.checks.get(id).cloned().unwrap_or_default();
            for answer in &check.answers {
                evidence.seen.entry(answer.clone()).or_default();
            }
            (id.clone(), evidence)
        });
        all.collect()
    }
}

impl SeenAnswers {
    fn add(&mut self, end: &End, answer: &str) {
        let answers = match end {
            End::Fix(fix) => self.fixes.entry(fix.clone()).or_default(),
            End::Other => &mut self.other,
            End::Unresolved | End::Unknown => return,
        };
        *answers.entry(answer.to_owned()).or_default() += 1;
    }
}
