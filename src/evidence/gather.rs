//! Cases to evidence: everything the ledger says, in one pass, as one plain value.
//!
//! Articles are independent of each other but for `κ`, so they are solved side by side; results
//! are put together in the order of ids, and every sum runs in a fixed order.

use super::cases::{Case, Cases, End};
use super::devices::{CASES_OF_DEVICE, Group, kappa};
use super::entries::Options;
use super::facts::{
    ArticleEvidence, CheckEvidence, Evidence, FixEvidence, KindEvidence, SeenAnswers,
};
use super::interval::{Z95, wilson};
use super::observed::with_intervals;
use super::prior::{Counts, Prior};
use super::share::{Tally, sorted_sum};
use super::{cost, weights};
use crate::articles::{Catalog, Settings};
use crate::base::ids::{ArticleId, CheckId, FixId};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::{BTreeMap, HashMap};

/// Everything the cases say about the articles.
#[must_use]
pub fn gather(cases: &Cases, catalog: &Catalog, settings: &Settings, as_of: Date) -> Evidence {
    gather_where(cases, catalog, settings, as_of, |_| true)
}

/// The same from some of the cases: statistics that leave a case out.
#[must_use]
pub fn gather_where(
    cases: &Cases,
    catalog: &Catalog,
    settings: &Settings,
    as_of: Date,
    keep: impl Fn(&Case) -> bool,
) -> Evidence {
    let used: Vec<&Case> = cases.list.iter().filter(|case| keep(case)).collect();
    let half_life = settings.model.half_life_days;
    let (articles, prior, kappa) = articles(&used, catalog, settings);
    let (fixes, kinds) = fixes(&used, catalog);
    Evidence {
        as_of,
        to: cases.to,
        tickets: cases.tickets,
        cases: used.len() as u64,
        ignored_later: cases.ignored_later,
        articles,
        fixes,
        checks: checks(&used, catalog),
        kinds,
        prior,
        kappa,
        orphans: cases.orphans.clone(),
        gone_articles: cases.gone_articles.clone(),
        moved: cases.moved.clone(),
        unlisted: sorted_sum(
            used.iter()
                .filter(|case| case.unlisted)
                .map(|case| weights::of_age(case.age_days, half_life))
                .collect(),
        ),
    }
}

/// One article between the steps: overall shares found, devices still to do.
struct Half<'a> {
    id: &'a ArticleId,
    options: Options<'a>,
    cases: Vec<&'a Case>,
    tally: Tally,
    shares: Vec<f64>,
}

fn articles(
    used: &[&Case],
    catalog: &Catalog,
    settings: &Settings,
) -> (BTreeMap<ArticleId, ArticleEvidence>, Prior, f64) {
    let mut of: HashMap<&ArticleId, Vec<&Case>> = HashMap::new();
    for case in used {
        if let Some(article) = &case.article {
            of.entry(article).or_default().push(case);
        }
    }
    let model = &settings.model;
    let stated = Prior::stated(model.prior_cases);
    let mut halves: Vec<Half<'_>> = catalog
        .fixes_of
        .par_iter()
        .map(|(id, fixes)| {
            let options = Options::new(fixes, model.half_life_days);
            let cases = of.get(id).cloned().unwrap_or_default();
            Half::new(id, options, cases, &stated)
        })
        .collect();
    let counts: Vec<Counts> = halves
        .iter()
        .map(|half| half.tally.expected_counts(&half.shares))
        .collect();
    let prior = stated.learned(&counts);
    if prior != stated {
        halves.par_iter_mut().for_each(|half| half.believe(&prior));
    }
    let groups: Vec<Group> = halves.par_iter().map(Half::group).collect();
    let kappa = kappa(&groups);
    let found: Vec<(ArticleId, ArticleEvidence)> = halves
        .par_iter()
        .map(|half| (half.id.clone(), half.finish(kappa)))
        .collect();
    (found.into_iter().collect(), prior, kappa)
}

impl<'a> Half<'a> {
    fn new(id: &'a ArticleId, options: Options<'a>, cases: Vec<&'a Case>, prior: &Prior) -> Self {
        let tally = options.tally(cases.iter().copied(), prior);
        let shares = tally.solve().shares;
        Self {
            id,
            options,
            cases,
            tally,
            shares,
        }
    }

    /// Solves the same cases under another prior.
    fn believe(&mut self, prior: &Prior) {
        let fixes = self.options.fixes.len();
        self.tally.prior = prior.counts(fixes);
        self.tally.start = prior.shares(fixes);
        self.shares = self.tally.solve().shares;
    }

    /// Cases with a known end, by device.
    fn devices(&self) -> BTreeMap<&'a str, Vec<&'a Case>> {
        let mut devices: BTreeMap<&str, Vec<&Case>> = BTreeMap::new();
        for case in &self.cases {
            if let (Some(device), true) = (&case.device, case.end != End::Unknown) {
                devices.entry(device).or_default().push(case);
            }
        }
        devices
    }

    /// What this article says about `κ`.
    fn group(&self) -> Group {
        let counts = self
            .devices()
            .into_values()
            .filter(|cases| cases.len() as u64 >= CASES_OF_DEVICE)
            .map(|cases| {
                let tally = self.options.device_tally(cases, &self.shares, 0.0);
                tally.expected_counts(&self.shares)
            })
            .collect();
        Group {
            shares: self.shares.clone(),
            counts,
        }
    }

    fn finish(&self, kappa: f64) -> ArticleEvidence {
        let mut shares = with_intervals(&self.tally, &self.shares);
        let other = shares.pop().unwrap_or_default();
        let weight = |known: bool| {
            let counted = self
                .cases
                .iter()
                .filter(|c| !known || c.end != End::Unknown);
            sorted_sum(counted.map(|c| self.options.weight(c)).collect())
        };
        ArticleEvidence {
            cases: self.cases.iter().map(|c| c.tickets.len() as u64).sum(),
            weight: weight(false),
            known: weight(true),
            shares,
            other,
            devices: self
                .devices()
                .into_iter()
                .map(|(device, cases)| {
                    let tally = self.options.device_tally(cases, &self.shares, kappa);
                    let found = with_intervals(&tally, &tally.solve().shares);
                    (device.to_owned(), found)
                })
                .collect(),
        }
    }
}

/// Raw counts of one fix and the minutes recorded for it.
#[derive(Default)]
struct Count {
    resolved: u64,
    tries: u64,
    inferred: u64,
    minutes: Vec<f64>,
}

fn fixes(
    used: &[&Case],
    catalog: &Catalog,
) -> (BTreeMap<FixId, FixEvidence>, BTreeMap<String, KindEvidence>) {
    let mut counts: HashMap<&FixId, Count> = catalog
        .fixes
        .keys()
        .map(|id| (id, Count::default()))
        .collect();
    for case in used {
        count(case, &mut counts);
    }
    let mut minutes: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    let mut kinds: BTreeMap<String, KindEvidence> = BTreeMap::new();
    for (id, fix) in &catalog.fixes {
        let kind = kinds.entry(fix.kind.clone()).or_default();
        let found = &counts[id];
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
        let found = &counts[id];
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

fn count<'a>(case: &'a Case, counts: &mut HashMap<&'a FixId, Count>) {
    for (fix, minutes) in &case.minutes {
        if let Some(found) = counts.get_mut(fix) {
            found.minutes.push(*minutes);
        }
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
        if let Some(found) = counts.get_mut(fix) {
            found.tries += 1;
            found.resolved += u64::from(resolved == Some(fix));
            found.inferred += u64::from(case.read.contains(fix));
        }
    }
}

fn checks(used: &[&Case], catalog: &Catalog) -> BTreeMap<CheckId, CheckEvidence> {
    let mut checks: BTreeMap<CheckId, CheckEvidence> = catalog
        .checks
        .iter()
        .map(|(id, check)| {
            let answers = check.answers.iter().map(|a| (a.clone(), 0));
            let evidence = CheckEvidence {
                seen: answers.collect(),
                ..CheckEvidence::default()
            };
            (id.clone(), evidence)
        })
        .collect();
    for case in used {
        for (check, answer) in &case.seen {
            let Some(found) = checks.get_mut(check) else {
                continue;
            };
            let Some(seen) = found.seen.get_mut(answer) else {
                continue;
            };
            *seen += 1;
            found.total += 1;
            if let Some(article) = &case.article
                && catalog
                    .checks_of
                    .get(article)
                    .is_some_and(|c| c.contains(check))
            {
                found
                    .ended
                    .entry(article.clone())
                    .or_default()
                    .add(&case.end, answer);
            }
        }
    }
    checks
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

#[cfg(test)]
#[path = "gather_tests.rs"]
mod tests;
