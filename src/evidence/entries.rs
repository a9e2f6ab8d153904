//! What one case adds to its article's likelihood.

use super::cases::{Case, End};
use super::prior::Prior;
use super::share::{Patterns, Tally};
use super::weights;
use crate::base::ids::FixId;
use std::collections::HashMap;

/// The options of one article: its fixes in order, "none listed" last.
pub(super) struct Options<'a> {
    pub(super) fixes: &'a [FixId],
    places: HashMap<&'a FixId, usize>,
    half_life_days: Option<f64>,
}

/// One thing a case says, with its weight.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Entry {
    /// This option ended it.
    Resolved(usize, f64),
    /// None of these ended it; sorted.
    Open(Vec<usize>, f64),
}

impl<'a> Options<'a> {
    pub(super) fn new(fixes: &'a [FixId], half_life_days: Option<f64>) -> Self {
        Self {
            fixes,
            places: fixes.iter().enumerate().map(|(at, f)| (f, at)).collect(),
            half_life_days,
        }
    }

    /// The place of "none listed".
    pub(super) fn other(&self) -> usize {
        self.fixes.len()
    }

    /// The weight of a case by its age.
    pub(super) fn weight(&self, case: &Case) -> f64 {
        weights::of_age(case.age_days, self.half_life_days)
    }

    /// Nothing where the end is unknown. A resolve that is not proven yet says two things: that it
    /// was the one with weight `w·h`, and that it was not with `w·(1 − h)`.
    pub(super) fn entries(&self, case: &Case) -> Vec<Entry> {
        let weight = self.weight(case);
        let ended_by = match &case.end {
            End::Unknown => return Vec::new(),
            End::Unresolved => return vec![Entry::Open(self.failed(case, None), weight)],
            End::Other => self.other(),
            End::Fix(fix) => self.places.get(fix).copied().unwrap_or(self.other()),
        };
        let mut entries = vec![Entry::Resolved(ended_by, weight * case.held)];
        if case.held < 1.0 {
            let failed = self.failed(case, Some(ended_by));
            entries.push(Entry::Open(failed, weight * (1.0 - case.held)));
        }
        entries
    }

    fn failed(&self, case: &Case, also: Option<usize>) -> Vec<usize> {
        let also = also.filter(|at| *at != self.other());
        let places = case.failed.iter().filter_map(|f| self.places.get(f));
        let mut failed: Vec<usize> = places.copied().chain(also).collect();
        failed.sort_unstable();
        failed.dedup();
        failed
    }

    /// All cases merged, under the prior of the author's order.
    pub(super) fn tally<'c>(
        &self,
        cases: impl IntoIterator<Item = &'c Case>,
        prior: &Prior,
    ) -> Tally {
        let fixes = self.fixes.len();
        self.patterns(cases)
            .tally(prior.counts(fixes), prior.shares(fixes))
    }

    /// The cases of one device merged, under the article's shares with the strength `kappa`.
    pub(super) fn device_tally<'c>(
        &self,
        cases: impl IntoIterator<Item = &'c Case>,
        shares: &[f64],
        kappa: f64,
    ) -> Tally {
        let prior = shares.iter().map(|share| kappa * share).collect();
        self.patterns(cases).tally(prior, shares.to_vec())
    }

    fn patterns<'c>(&self, cases: impl IntoIterator<Item = &'c Case>) -> Patterns {
        let mut patterns = Patterns::default();
        for entry in cases.into_iter().flat_map(|case| self.entries(case)) {
            match entry {
                Entry::Resolved(option, weight) => patterns.resolved(option, weight),
                Entry::Open(failed, weight) => patterns.open(failed, weight),
            }
        }
        patterns
    }
}
