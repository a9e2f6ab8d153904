//! Cases to evidence: everything the ledger says, in one pass, as one plain value.
//!
//! Cases are counted one after the other ([`Gathering`]), so that they need not lie in memory
//! together, and one more case is one more addition. How well resolves hold, the prior and `κ` depend on
//! all of them: these, and the shares, are solved at the end ([`Gathering::evidence`]). Articles are
//! independent of each other but for `κ` and the prior, so they are solved side by side; results are
//! put together in the order of ids, and every sum runs in sorted order, so that the order in which
//! cases came does not change the last bit.

mod beside;

use super::cases::{Case, Cases, End};
use super::devices::{CASES_OF_DEVICE, Group, kappa};
use super::entries::{Options, Told};
use super::facts::{ArticleEvidence, Evidence};
use super::hold::Hold;
use super::making::{Extras, Made, Totals};
use super::observed::with_intervals;
use super::prior::{Counts, Prior};
use super::share::{Tally, sorted_sum};
use crate::articles::{Catalog, Settings};
use crate::base::ids::ArticleId;
use beside::Beside;
use jiff::civil::Date;
use rayon::prelude::*;
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
    let mut gathering = Gathering::default();
    for case in cases.list.iter().filter(|case| keep(case)) {
        gathering.count(case, catalog, settings);
    }
    Evidence {
        to: cases.to,
        tickets: cases.tickets,
        ignored_later: cases.ignored_later,
        orphans: cases.orphans.clone(),
        gone_articles: cases.gone_articles.clone(),
        moved: cases.moved.clone(),
        ..gathering.solved(&cases.hold, catalog, settings, as_of)
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
            self.count(&case, catalog, settings);
            if let Some(extra) = extra {
                self.extras.add(*extra);
            }
        }
    }

    fn count(&mut self, case: &Case, catalog: &Catalog, settings: &Settings) {
        self.beside.add(case, catalog, settings);
        let known = case.article.as_ref();
        if let Some((id, fixes)) = known.and_then(|id| catalog.fixes_of.get_key_value(id)) {
            let options = Options::new(fixes, settings.model.half_life_days);
            let all = self.articles.entry(id.clone()).or_default();
            all.add(case, &options, settings.model.hold_days);
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
        let (orphans, moved) = self.extras.clone().told();
        Evidence {
            to: totals.to,
            tickets: totals.tickets,
            ignored_later: totals.ignored_later,
            orphans,
            gone_articles: totals.gone_articles.clone(),
            moved,
            ..self.solved(&totals.hold, catalog, settings, as_of)
        }
    }

    /// What the cases say, without what is known of tickets alone.
    fn solved(&self, hold: &Hold, catalog: &Catalog, settings: &Settings, as_of: Date) -> Evidence {
        let (articles, prior, kappa) = articles(catalog, settings, hold, &self.articles);
        let (fixes, kinds) = self.beside.fixes(catalog);
        Evidence {
            as_of,
            to: None,
            tickets: 0,
            cases: self.beside.cases,
            ignored_later: 0,
            articles,
            fixes,
            checks: self.beside.checks(catalog),
            kinds,
            prior,
            kappa,
            orphans: Vec::new(),
            gone_articles: BTreeMap::new(),
            moved: Vec::new(),
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
    of: &'a OfArticle,
    tally: Tally,
    shares: Vec<f64>,
    hold: &'a Hold,
}

fn articles(
    catalog: &Catalog,
    settings: &Settings,
    hold: &Hold,
    of: &HashMap<ArticleId, OfArticle>,
) -> (BTreeMap<ArticleId, ArticleEvidence>, Prior, f64) {
    let model = &settings.model;
    let stated = Prior::stated(model.prior_cases);
    let none = OfArticle::default();
    let mut halves: Vec<Half<'_>> = catalog
        .fixes_of
        .par_iter()
        .map(|(id, fixes)| {
            let of = of.get(id).unwrap_or(&none);
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
        of: &'a OfArticle,
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

#[cfg(test)]
#[path = "gather_tests.rs"]
mod tests;
