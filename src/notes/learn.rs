//! What tickets with notes and known tries teach, by expectation and maximisation.
//!
//! Each round reads every example with what was learned so far, allowing visits to its own tries
//! alone, each with its known result, and to what is no fix; the expected counts of all words are
//! the next round's knowledge (Baum et al. 1970). Sums run in the order of the examples, so the
//! same examples give the same reader.

use super::known::Known;
use super::own::{OwnText, number};
use super::reader::{NO_FIX, NO_FIX_RESULTS, Reader, STYLES};
use super::rows::again;
use super::styles::joined;
use super::tally::Tally;
use super::tokens::Token;
use super::walk::{Plan, Walked, walk};
use super::words::{CueCounts, Seen, Who, WordCounts, Words};
use crate::base::text::Analyzer;
use crate::tickets::TryResult;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Examples learned from at most: the newest. More teach nothing new and cost time.
pub const MOST_EXAMPLES: usize = 20_000;

/// Rounds. Chosen by cross-validation: later ones change nothing.
const ROUNDS: usize = 4;
/// Examples read at a time; their sums are added in order.
const CHUNK: usize = 512;
/// Tickets behind the author's order in how often a fix is tried, and what is not listed in it.
const PRIOR_TRIES: f64 = 3.0;
const PRIOR_OTHER: f64 = 0.05;

/// A ticket whose tries are known.
#[derive(Clone, Debug, PartialEq)]
pub struct Example {
    /// The number of its article.
    pub article: usize,
    /// Its notes; may be empty, as its tries count all the same.
    pub notes: String,
    /// Numbers of the fixes, none for what is not listed, and what came of each.
    pub tries: Vec<(Option<usize>, TryResult)>,
}

/// Learns a reader. `others` are notes whose tries nobody knows: only how common words are is
/// taken from them.
#[must_use]
pub fn learn(known: &Known, analyzer: &Analyzer, examples: &[Example], others: &[&str]) -> Reader {
    let examples = &examples[examples.len().saturating_sub(MOST_EXAMPLES)..];
    let others = &others[others.len().saturating_sub(MOST_EXAMPLES)..];
    let mut reader = Reader::unlearned(known.clone(), tried(known, examples));
    let notes: Vec<&str> = examples.iter().map(|e| e.notes.as_str()).collect();
    reader.learn_spelling(notes.iter().chain(others), analyzer);
    let cut = |text: &&str| reader.cut_tokens(text, analyzer);
    let tokens: Vec<Vec<Token>> = notes.par_iter().map(cut).collect();
    let more: Vec<Vec<Token>> = others.par_iter().map(cut).collect();
    let own = OwnText::of(known, &|text| analyzer.terms(text));
    reader.words = vocabulary(&own, tokens.iter().chain(&more), known);
    let lessons: Vec<Lesson> = examples
        .iter()
        .zip(&tokens)
        .filter(|(_, tokens)| !tokens.is_empty())
        .map(|(example, tokens)| Lesson::new(example, tokens, &reader.words, analyzer))
        .collect();
    for _ in 0..ROUNDS {
        round(&mut reader, &lessons);
    }
    reader.words.shares.level();
    reader
}

/// How often each fix of an article is tried, by its place in the article; what is not listed last.
fn tried(known: &Known, examples: &[Example]) -> Vec<Vec<f64>> {
    let mut times: Vec<Vec<f64>> = known
        .articles
        .iter()
        .map(|article| vec![0.0; article.fixes.len() + 1])
        .collect();
    for example in examples {
        let fixes = &known.articles[example.article].fixes;
        for (fix, _) in &example.tries {
            let place = match fix {
                Some(fix) => fixes.iter().position(|f| f == fix),
                None => Some(fixes.len()),
            };
            if let Some(place) = place {
                times[example.article][place] += 1.0;
            }
        }
    }
    for times in &mut times {
        let listed = times.len() - 1;
        let sum = times.iter().sum::<f64>() + PRIOR_TRIES;
        for (place, times) in times.iter_mut().enumerate() {
            let prior = if place == listed {
                PRIOR_OTHER
            } else {
                (1.0 - PRIOR_OTHER) / listed as f64
            };
            *times = (*times + PRIOR_TRIES * prior) / sum;
        }
    }
    times
}

/// All words and phrases of the texts with how common they are, nothing learned of them yet.
fn vocabulary<'a>(
    own: &OwnText,
    notes: impl Iterator<Item = &'a Vec<Token>>,
    known: &Known,
) -> Words {
    let mut all = own.times.clone();
    for term in own
        .checks
        .keys()
        .chain(own.symptoms.keys())
        .chain(own.done.keys())
    {
        all.entry(term.clone()).or_default();
    }
    let mut cues: BTreeSet<(usize, String)> = BTreeSet::new();
    for token in notes.flatten() {
        match token {
            Token::Word(word) => *all.entry(word.clone()).or_default() += 1.0,
            Token::Mark(_) => {}
            Token::Cue(told, words) => {
                cues.insert((*told as usize, words.clone()));
            }
        }
    }
    let kinds: BTreeSet<&str> = known.fixes.iter().map(|f| f.kind.as_str()).collect();
    let kinds: Vec<&str> = kinds.into_iter().collect();
    let kind_of = |kind: &str| number(kinds.binary_search(&kind).unwrap_or(0));
    let mut words = Words {
        kind_of: known.fixes.iter().map(|f| kind_of(&f.kind)).collect(),
        cue_counts: vec![CueCounts::default(); cues.len()],
        cues: cues.into_iter().collect(),
        ..Words::default()
    };
    for (name, times) in all {
        words.sums.counts.all += times;
        words.counts.push(WordCounts {
            all: times,
            own: own.fixes.get(&name).cloned().unwrap_or_default(),
            checks: own.checks.get(&name).cloned().unwrap_or_default(),
            symptoms: own.symptoms.get(&name).cloned().unwrap_or_default(),
            done: own.done.get(&name).cloned().unwrap_or_default(),
            ..WordCounts::default()
        });
        words.names.push(name);
    }
    words
}

/// An example, ready for every round.
pub(super) struct Lesson {
    pub(super) seen: Vec<Seen>,
    again: Vec<bool>,
    pub(super) candidates: Vec<Who>,
    enter: Vec<[f64; 4]>,
}

impl Lesson {
    fn new(example: &Example, tokens: &[Token], words: &Words, analyzer: &Analyzer) -> Self {
        // The last stated result of a fix is its result.
        let results: BTreeMap<Option<usize>, TryResult> = example.tries.iter().copied().collect();
        let weight = (1.0 - NO_FIX) / results.len().max(1) as f64;
        let mut lesson = Self {
            seen: tokens
                .iter()
                .map(|token| Reader::seen(words, token, analyzer))
                .collect(),
            again: again(tokens),
            candidates: Vec::new(),
            enter: Vec::new(),
        };
        for (fix, result) in results {
            lesson
                .candidates
                .push(fix.map_or(Who::Other(Some(example.article)), Who::Fix));
            let mut enter = [0.0; 4];
            enter[match result {
                TryResult::Resolved => 0,
                TryResult::NoChange => 1,
                TryResult::NotPossible => 2,
            }] = weight;
            lesson.enter.push(enter);
        }
        lesson.candidates.push(Who::NoFix(Some(example.article)));
        lesson.enter.push(NO_FIX_RESULTS.map(|part| NO_FIX * part));
        lesson
    }

    fn read(&self, reader: &Reader) -> Option<Walked> {
        let rows = reader.words.rows(&self.seen, &self.again, &self.candidates);
        let plan = |before| Plan {
            enter: &self.enter,
            fixes: self.enter.len() - 1,
            before,
            end: None,
            moves: &reader.moves,
        };
        let both: Vec<(f64, Walked)> = STYLES
            .iter()
            .filter_map(|(before, part)| {
                let walked = walk(&rows, &plan(*before))?;
                Some((walked.log + part.ln(), walked))
            })
            .collect();
        joined(both)
    }
}

/// One round: reads all lessons, counts, replaces what was learned.
fn round(reader: &mut Reader, lessons: &[Lesson]) {
    let mut tally = Tally::new(&reader.words);
    for chunk in lessons.chunks(CHUNK) {
        let read: Vec<Option<Walked>> = chunk.par_iter().map(|l| l.read(reader)).collect();
        for (lesson, walked) in chunk.iter().zip(&read) {
            if let Some(walked) = walked {
                tally.add(lesson, walked, &reader.words.kind_of);
            }
        }
    }
    tally.into_reader(reader);
}
