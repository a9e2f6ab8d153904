//! Whether what was said stops the telephone.
//!
//! A danger article's stop-words are phrases. One is said where its words stand in one clause, in
//! order, with at most [`GAP`] others between two of them; a word the desk does not know counts as
//! the word it is one slip away from. Where all of a phrase's words stand outside of what is denied
//! the danger stands; where the phrase needs denied words ("no burning smell") it is to be asked.

use super::features::Sources;
use crate::base::ids::ArticleId;
use crate::base::negation::Clauses;
use crate::base::spelling::Vocabulary;
use crate::base::text::Analyzer;
use std::collections::{BTreeMap, BTreeSet};

/// A danger whose chance reaches this stops the call.
pub const STOPS_AT: f64 = 0.10;

/// How many other words may stand between two words of a stop phrase.
const GAP: usize = 2;

/// Why a danger article speaks up.
#[derive(Clone, Debug, PartialEq)]
pub enum Alarm {
    /// A stop phrase was said, in these words.
    Said(String),
    /// A stop phrase was said and denied: ask.
    Denied(String),
    /// Its chance reached [`STOPS_AT`].
    Likely(f64),
}

/// The stop phrases in a text, by danger article: said beats denied.
#[must_use]
pub fn stop_words(
    text: &str,
    sources: Sources<'_>,
    analyzer: &Analyzer,
    known: &Vocabulary,
) -> BTreeMap<ArticleId, Alarm> {
    let clauses = Clauses::read(text);
    let mut alarms = BTreeMap::new();
    let runs = Runs::new(&clauses, analyzer, known);
    for article in sources.catalog.dangers() {
        let Some(danger) = &article.danger else {
            continue;
        };
        for phrase in &danger.stop_words {
            let wanted = analyzer.terms(phrase);
            if wanted.is_empty() {
                continue;
            }
            if let Some(words) = runs.affirmed.iter().find_map(|run| run.finds(&wanted)) {
                alarms.insert(article.id.clone(), Alarm::Said(words));
                break;
            }
            if let Some(words) = runs.clauses.iter().find_map(|run| run.finds(&wanted)) {
                alarms
                    .entry(article.id.clone())
                    .or_insert(Alarm::Denied(words));
            }
        }
    }
    alarms
}

/// Terms of a stretch of text, each with what it may also be read as.
struct Run {
    words: String,
    terms: Vec<BTreeSet<String>>,
}

struct Runs {
    /// Stretches in which nothing is denied.
    affirmed: Vec<Run>,
    /// Whole clauses in which something is denied.
    clauses: Vec<Run>,
}

impl Runs {
    fn new(clauses: &Clauses, analyzer: &Analyzer, known: &Vocabulary) -> Self {
        let run = |range: std::ops::Range<usize>| Run::new(&clauses.words[range], analyzer, known);
        let mut runs = Self {
            affirmed: Vec::new(),
            clauses: Vec::new(),
        };
        for clause in &clauses.clauses {
            let mut from = clause.start;
            while from < clause.end {
                let denied = clauses.denied[from];
                let to = (from..clause.end)
                    .find(|i| clauses.denied[*i] != denied)
                    .unwrap_or(clause.end);
                if !denied {
                    runs.affirmed.push(run(from..to));
                }
                from = to;
            }
            if clauses.denied[clause.clone()].contains(&true) {
                runs.clauses.push(run(clause.clone()));
            }
        }
        runs
    }
}

impl Run {
    fn new(words: &[String], analyzer: &Analyzer, known: &Vocabulary) -> Self {
        let words = words.join(" ");
        let terms = analyzer
            .terms(&words)
            .into_iter()
            .map(|term| {
                let mut read_as: BTreeSet<String> = BTreeSet::new();
                if !known.knows(&term) {
                    let (slips, near) = known.near(&term);
                    if slips == 1 {
                        read_as.extend(near.into_iter().map(str::to_owned));
                    }
                }
                read_as.insert(term);
                read_as
            })
            .collect();
        Self { words, terms }
    }

    fn finds(&self, wanted: &[String]) -> Option<String> {
        (0..self.terms.len())
            .any(|start| self.matches_from(start, wanted))
            .then(|| self.words.clone())
    }

    fn matches_from(&self, start: usize, wanted: &[String]) -> bool {
        let Some((first, rest)) = wanted.split_first() else {
            return true;
        };
        if !self.terms[start].contains(first) {
            return false;
        }
        let mut at = start;
        for term in rest {
            let window = at + 1..(at + 2 + GAP).min(self.terms.len());
            match window.into_iter().find(|i| self.terms[*i].contains(term)) {
                Some(found) => at = found,
                None => return false,
            }
        }
        true
    }
}
