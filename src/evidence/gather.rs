//! Cases to evidence: everything the ledger says, in one pass, as one plain value.
//!
//! Cases are counted one after the other ([`Gathering`]), so that they need not lie in memory
//! together, and one more case is one more addition. How well resolves hold, the prior and `κ` depend on
//! all of them: these, and the shares, are solved at the end ([`Gathering::evidence`]). Articles are
//! independent of each other but for `κ` and the prior, so they are solved side by side; results are
//! put together in the order of ids, and every sum runs in sorted order, so that the order in which
//! cases came does not change the last bit.

use super::cases::{Case, Cases, End};
use super::devices::{CASES_OF_DEVICE, Group, kappa};
use super::entries::{Options, Told};
use super::facts::{
    ArticleEvidence, CheckEvidence, Evidence, FixEvidence, KindEvidence, SeenAnswers,
};
use super::hold::Hold;
use super::interval::{Z95, wilson};
use super::making::{Extras, Made, Totals};
use super::observed::with_intervals;
use super::prior::{Counts, Prior};
use super::share::{Tally, sorted_sum};
use super::{cost, weights};
use crate::articles::{Catalog, Settings};
use crate::base::ids::{ArticleId, CheckId, FixId};
use jiff::civil::Date;
use rayon::prelude::*;
use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

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
    let mut of: HashMap<&ArticleId, Vec<&Case>> = HashMap::new();
    let mut beside = Beside::default();
    for case in &used {
        beside.add(case, catalog, settings);
        if let Some(article) = &case.article {
            of.entry(article).or_default().push(case);
        }
    }
    let (articles, prior, kappa) = articles(catalog, settings, &cases.hold, |id, options| {
        let mut all = OfArticle::default();
        for case in of.get(id).into_iter().flatten() {
            all.add(case, options, cases.hold.days);
        }
        Some(Cow::Owned(all))
    });
    let (fixes, kinds) = beside.fixes(catalog);
    Evidence {
        as_of,
        to: cases.to,
        tickets: cases.tickets,
        cases: used.len() as u64,
        ignored_later: cases.ignored_later,
        articles,
        fixes,
        checks: beside.checks(catalog),
        kinds,
        prior,
        kappa,
        orphans: cases.orphans.clone(),
        gone_articles: cases.gone_articles.clone(),
        moved: cases.moved.clone(),
        unlisted: sorted_sum(beside.unlisted),
    }
}

/// Cases counted so far.
#[derive(Clone, Debug, Default)]
pub struct Gathering {
    articles: HashMap<ArticleId, OfArticle>,
    beside: Beside,
    extras: Extras,
}

impl Gathering {
    /// Counts these cases in.
    pub fn add(&mut self, made: Vec<Made>, catalog: &Catalog, settings: &Settings) {
        for Made { case, extra } in made {
            self.beside.add(&case, catalog, settings);
            let known = case.article.as_ref();
            if let Some((id, fixes)) = known.and_then(|id| catalog.fixes_of.get_key_value(id)) {
                let options = Options::new(fixes, settings.model.half_life_days);
                let all = self.articles.entry(id.clone()).or_default();
                all.add(&case, &options, settings.model.hold_days);
            }
            if let Some(extra) = extra {
                self.extras.add(*extra);
            }
        }
    }

    /// Cases so far.
    #[must_use]
    pub fn cases(&self) -> u64 {
        self.beside.cases
    }

    /// What they say.
    #[must_use]
    pub fn evidence(
        &self,
        totals: &Totals,
        catalog: &Catalog,
        settings: &Settings,
        as_of: Date,
    ) -> Evidence {
        let (articles, prior, kappa) = articles(catalog, settings, &totals.hold, |id, _| {
            self.articles.get(id).map(Cow::Borrowed)
        });
        let (fixes, kinds) = self.beside.fixes(catalog);
        let (orphans, moved) = self.extras.clone().told();
        Evidence {
            as_of,
            to: totals.to,
            tickets: totals.tickets,
            cases: self.beside.cases,
            ignored_later: totals.ignored_later,
            articles,
            fixes,
            checks: self.beside.checks(catalog),
            kinds,
            prior,
            kappa,
            orphans,
            gone_articles: totals.gone_articles.clone(),
            moved,
            unlisted: sorted_sum(self.beside.unlisted.clone()),
        }
    }
}

/// The cases of one article.
#[derive(Clone, Debug, Default)]
struct OfArticle {
    tickets: u64,
    /// Weights of cases whose end is known, and of the others.
    known: Vec<f64>,
    unknown: Vec<f64>,
    all: Told,
    devices: BTreeMap<Arc<str>, Told>,
}

impl OfArticle {
    fn add(&mut self, case: &Case, options: &Options<'_>, hold_days: f64) {
        self.tickets += case.tickets().count() as u64;
        let weight = options.weight(case);
        if case.end == End::Unknown {
            self.unknown.push(weight);
            return;
        }
        self.known.push(weight);
        self.all.add(case, options, hold_days);
        if let Some(device) = &case.device {
            if !self.devices.contains_key(device) {
                self.devices.insert(Arc::clone(device), Told::default());
            }
            if let Some(told) = self.devices.get_mut(device) {
                told.add(case, options, hold_days);
            }
        }
    }
}

/// One article between the steps: overall shares found, devices still to do.
struct Half<'a> {
    id: &'a ArticleId,
    fixes: usize,
    of: Cow<'a, OfArticle>,
    tally: Tally,
    shares: Vec<f64>,
    hold: &'a Hold,
}

fn articles<'a>(
    catalog: &'a Catalog,
    settings: &Settings,
    hold: &'a Hold,
    of: impl Fn(&'a ArticleId, &Options<'a>) -> Option<Cow<'a, OfArticle>> + Sync,
) -> (BTreeMap<ArticleId, ArticleEvidence>, Prior, f64) {
    let model = &settings.model;
    let stated = Prior::stated(model.prior_cases);
    let mut halves: Vec<Half<'_>> = catalog
        .fixes_of
        .par_iter()
        .map(|(id, fixes)| {
            let options = Options::new(fixes, model.half_life_days);
            let of = of(id, &options).unwrap_or_default();
            Half::new((id, fixes.len()), of, &stated, hold)
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
    fn new(
        (id, fixes): (&'a ArticleId, usize),
        of: Cow<'a, OfArticle>,
        prior: &Prior,
        hold: &'a Hold,
    ) -> Self {
        let tally = of.all.tally(hold, prior.counts(fixes), prior.shares(fixes));
        let shares = tally.solve().shares;
        Self {
            id,
            fixes,
            of,
            tally,
            shares,
            hold,
        }
    }

    /// Solves the same cases under another prior.
    fn believe(&mut self, prior: &Prior) {
        self.tally.prior = prior.counts(self.fixes);
        self.tally.start = prior.shares(self.fixes);
        self.shares = self.tally.solve().shares;
    }

    /// The cases of one device, under the article's shares with the strength `kappa`.
    fn device(&self, told: &Told, kappa: f64) -> Tally {
        let prior = self.shares.iter().map(|share| kappa * share).collect();
        told.tally(self.hold, prior, self.shares.clone())
    }

    /// What this article says about `κ`.
    fn group(&self) -> Group {
        let devices = self.of.devices.values();
        let counts = devices
            .filter(|told| told.cases >= CASES_OF_DEVICE)
            .map(|told| self.device(told, 0.0).expected_counts(&self.shares))
            .collect();
        Group {
            shares: self.shares.clone(),
            counts,
        }
    }

    fn finish(&self, kappa: f64) -> ArticleEvidence {
        let mut shares = with_intervals(&self.tally, &self.shares);
        let other = shares.pop().unwrap_or_default();
        let all = self.of.known.iter().chain(&self.of.unknown);
        let devices = self.of.devices.iter().map(|(device, told)| {
            let tally = self.device(told, kappa);
            let found = with_intervals(&tally, &tally.solve().shares);
            (device.to_string(), found)
        });
        ArticleEvidence {
            cases: self.of.tickets,
            weight: sorted_sum(all.copied().collect()),
            known: sorted_sum(self.of.known.clone()),
            shares,
            other,
            devices: devices.collect(),
        }
    }
}

/// What is counted beside the shares.
#[derive(Clone, Debug, Default)]
struct Beside {
    cases: u64,
    fixes: HashMap<FixId, Count>,
    checks: BTreeMap<CheckId, CheckEvidence>,
    /// Weights of cases that a person found no article for.
    unlisted: Vec<f64>,
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
    fn add(&mut self, case: &Case, catalog: &Catalog, settings: &Settings) {
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

    fn fixes(
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

    fn checks(&self, catalog: &Catalog) -> BTreeMap<CheckId, CheckEvidence> {
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

#[cfg(test)]
#[path = "gather_tests.rs"]
mod tests;
