//! Which words of callers are kept.
//!
//! Privacy: a caller's word is kept only when at least three tickets of at least three different days use
//! it, or the articles use it themselves; other rare words may be names that the scrubber missed.

use super::cases::{Case, day};
use crate::base::text::Analyzer;
use jiff::civil::Date;
use rayon::prelude::*;
use rustc_hash::FxHashMap;
use std::collections::{BTreeSet, HashSet};

/// How many tickets, and days, must use a caller's word before it is kept.
pub(super) const USED_BY: usize = 3;

/// Cases whose words are counted together.
const TOGETHER: usize = 4096;

/// What one caller said, ready for the class documents.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Said {
    /// Kept terms in order.
    pub terms: Vec<String>,
    /// Kept words in order, folded, joined by single spaces; grams come from here.
    pub folded: String,
}

/// Which words of callers are kept, and what that leaves of a case.
///
/// A case's words are analysed each time anew: all callers' words at once would be the largest thing in
/// memory.
#[derive(Debug)]
pub struct Keeping<'a> {
    analyzer: &'a Analyzer,
    /// Kept however rare.
    public: &'a HashSet<String>,
    /// Used by enough tickets of enough days.
    common: HashSet<String>,
}

impl<'a> Keeping<'a> {
    /// Counts the words of these cases; `public` terms are kept however rare.
    pub fn of<'c>(
        cases: impl IntoIterator<Item = &'c Case>,
        analyzer: &'a Analyzer,
        public: &'a HashSet<String>,
    ) -> Self {
        let cases: Vec<&Case> = cases.into_iter().collect();
        let used = cases.par_chunks(TOGETHER).map(|cases| {
            let mut used = Used::default();
            for case in cases {
                used.add(day(case.closed), &analyzer.words(&case.said));
            }
            used
        });
        Self {
            analyzer,
            public,
            common: used.reduce(Used::default, Used::join).kept(),
        }
    }

    /// The kept words of a case.
    #[must_use]
    pub fn said(&self, case: &Case) -> Said {
        let (words, terms): (Vec<String>, Vec<String>) = self
            .analyzer
            .words(&case.said)
            .into_iter()
            .map(|word| {
                let term = self.analyzer.stem(&word);
                (word, term)
            })
            .filter(|(word, term)| self.common.contains(word) || self.public.contains(term))
            .unzip();
        Said {
            terms,
            folded: words.join(" "),
        }
    }
}

/// The kept words of every case, in the order of `cases`; `public` words are kept however rare.
#[must_use]
pub fn said(cases: &[Case], analyzer: &Analyzer, public: &HashSet<String>) -> Vec<Said> {
    let keeping = Keeping::of(cases, analyzer, public);
    cases.iter().map(|case| keeping.said(case)).collect()
}

/// Words that enough tickets of enough days use; each ticket's day and words are given.
pub(super) fn kept_words<W: AsRef<[String]>>(
    tickets: impl IntoIterator<Item = (Date, W)>,
) -> HashSet<String> {
    let mut used = Used::default();
    for (day, words) in tickets {
        used.add(day, words.as_ref());
    }
    used.kept()
}

/// How many tickets use each word, and on which days; of these no more than matter.
#[derive(Default)]
struct Used(FxHashMap<String, (usize, Vec<Date>)>);

impl Used {
    fn add(&mut self, day: Date, words: &[String]) {
        for word in words.iter().collect::<BTreeSet<_>>() {
            // Most words come again: looking first saves making a text of each.
            let known = match self.0.get_mut(word) {
                Some(known) => known,
                None => self.0.entry(word.clone()).or_default(),
            };
            known.0 += 1;
            on_day(&mut known.1, day);
        }
    }

    fn join(mut self, other: Self) -> Self {
        for (word, (tickets, days)) in other.0 {
            let known = self.0.entry(word).or_default();
            known.0 += tickets;
            days.into_iter().for_each(|day| on_day(&mut known.1, day));
        }
        self
    }

    fn kept(self) -> HashSet<String> {
        let used = self.0.into_iter();
        used.filter(|(_, (tickets, days))| *tickets >= USED_BY && days.len() >= USED_BY)
            .map(|(word, _)| word)
            .collect()
    }
}

fn on_day(days: &mut Vec<Date>, day: Date) {
    if days.len() < USED_BY && !days.contains(&day) {
        days.push(day);
    }
}
