//! What one case adds to its article's likelihood.

use super::cases::{Case, End};
use super::hold::Hold;
use super::prior::Prior;
use super::share::{Patterns, Tally};
use super::weights;
use crate::base::ids::FixId;

/// The options of one article: its fixes in order, "none listed" last.
pub(super) struct Options<'a> {
    pub(super) fixes: &'a [FixId],
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

/// A resolve that is not proven yet: what it says depends on how well resolves hold.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Resolve {
    ended_by: usize,
    failed: Box<[usize]>,
    weight: f64,
    age_days: f64,
}

/// Cases of one article, or of one device in it, as far as their ends are known.
#[derive(Clone, Debug, Default)]
pub(super) struct Told {
    pub(super) cases: u64,
    patterns: Patterns,
    young: Vec<Resolve>,
}

impl Told {
    /// A case whose end is known. Older than `hold_days`, a resolve is proven.
    pub(super) fn add(&mut self, case: &Case, options: &Options<'_>, hold_days: f64) {
        self.cases += 1;
        match options.resolve(case) {
            None => {
                let failed = options.failed(case, None);
                self.patterns.open(failed, options.weight(case));
            }
            Some(young) if case.age_days < hold_days => self.young.push(young),
            Some(old) => self.patterns.resolved(old.ended_by, old.weight),
        }
    }

    /// All of them merged, where resolves hold so well.
    pub(super) fn tally(&self, hold: &Hold, prior: Vec<f64>, start: Vec<f64>) -> Tally {
        let mut patterns = self.patterns.clone();
        for young in &self.young {
            let held = hold.chance(young.age_days);
            patterns.resolved(young.ended_by, young.weight * held);
            if held < 1.0 {
                patterns.open(young.failed.to_vec(), young.weight * (1.0 - held));
            }
        }
        patterns.tally(prior, start)
    }
}

impl<'a> Options<'a> {
    pub(super) fn new(fixes: &'a [FixId], half_life_days: Option<f64>) -> Self {
        Self {
            fixes,
            half_life_days,
        }
    }

    /// The place of a fix; an article lists few.
    fn place(&self, fix: &FixId) -> Option<usize> {
        self.fixes.iter().position(|listed| listed == fix)
    }

    /// The place of "none listed".
    pub(super) fn other(&self) -> usize {
        self.fixes.len()
    }

    /// The weight of a case by its age.
    pub(super) fn weight(&self, case: &Case) -> f64 {
        weights::of_age(case.age_days, self.half_life_days)
    }

    /// The option that ended a case; none where nothing did, or nobody knows.
    fn ended_by(&self, case: &Case) -> Option<usize> {
        match &case.end {
            End::Unknown | End::Unresolved => None,
            End::Other => Some(self.other()),
            End::Fix(fix) => Some(self.place(fix).unwrap_or(self.other())),
        }
    }

    /// A resolve before anybody knows how well resolves hold; none where the case has none.
    pub(super) fn resolve(&self, case: &Case) -> Option<Resolve> {
        let ended_by = self.ended_by(case)?;
        Some(Resolve {
            ended_by,
            failed: self.failed(case, Some(ended_by)).into(),
            weight: self.weight(case),
            age_days: case.age_days,
        })
    }

    /// Nothing where the end is unknown. A resolve that is not proven yet says two things: that it
    /// was the one with weight `w·h`, and that it was not with `w·(1 − h)`.
    pub(super) fn entries(&self, case: &Case) -> Vec<Entry> {
        if case.end == End::Unknown {
            return Vec::new();
        }
        let weight = self.weight(case);
        let Some(ended_by) = self.ended_by(case) else {
            return vec![Entry::Open(self.failed(case, None), weight)];
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
        let places = case.failed.iter().filter_map(|f| self.place(f));
        let mut failed: Vec<usize> = places.chain(also).collect();
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
