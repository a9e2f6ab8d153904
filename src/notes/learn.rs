//! What tickets with notes and known tries teach, by expectation and maximisation.
//!
//! Each round reads every example with what was learned so far, allowing visits to its own tries
//! alone, each with its known result, and to what is no fix; the expected counts of all words are
//! the next round's knowledge (Baum et al. 1970). Sums run in the order of the examples, so the
//! same examples give the same reader.

use super::known::Known;
use super::reader::{NO_FIX, NO_FIX_RESULTS, Reader, STYLES};
use super::tokens::{MARKS, Token};
use super::walk::{Moves, Plan, Told, Walked, walk};
use super::words::{CueCounts, Row, Seen, Shares, Sums, Who, WordCounts, Words};
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
/// Pseudo-counts behind the moves and behind the shares of each place.
const OF_MOVES: f64 = 60.0;
const OF_SHARES: f64 = 100.0;
/// Soft counts below this are dropped.
const LEAST: f64 = 1e-4;
/// A word counts as said in a place from this soft count on.
const SAID: f64 = 0.3;
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

/// The articles' own words, as parts of each text.
struct OwnText {
    /// By word: fixes with the part of their text that it makes up.
    fixes: BTreeMap<String, Vec<(u32, f64)>>,
    checks: BTreeMap<String, Vec<(u32, f64)>>,
    /// Plain counts.
    times: BTreeMap<String, f64>,
}

impl OwnText {
    fn of(known: &Known, terms: &dyn Fn(&str) -> Vec<String>) -> Self {
        let mut own = Self {
            fixes: BTreeMap::new(),
            checks: BTreeMap::new(),
            times: BTreeMap::new(),
        };
        let mut texts: Vec<BTreeMap<String, f64>> = Vec::new();
        for fix in &known.fixes {
            let mut text: BTreeMap<String, f64> = BTreeMap::new();
            // A title names the work; a step may name anything on the way.
            let parts = [(&fix.title, 3.0), (&fix.kind, 2.0)];
            let steps = fix.steps.iter().map(|step| (step, 0.7));
            for (part, weight) in parts.into_iter().chain(steps) {
                for term in terms(part) {
                    *own.times.entry(term.clone()).or_default() += 0.5;
                    *text.entry(term).or_default() += weight;
                }
            }
            texts.push(text);
        }
        let mut in_texts: BTreeMap<&str, f64> = BTreeMap::new();
        for term in texts.iter().flat_map(BTreeMap::keys) {
            *in_texts.entry(term).or_default() += 1.0;
        }
        // Rare words say more (Spärck Jones 1972).
        let all = texts.len() as f64 + 1.0;
        let rarity = |term: &str| (all / (in_texts[term] + 0.5)).ln();
        for (fix, text) in texts.iter().enumerate() {
            let weight = |(term, times): (&String, &f64)| times * rarity(term);
            let sum: f64 = text.iter().map(weight).sum();
            for pair in text.iter().filter(|_| sum > 0.0) {
                let list = own.fixes.entry(pair.0.clone()).or_default();
                list.push((number(fix), weight(pair) / sum));
            }
        }
        own.of_checks(known, terms);
        own
    }

    fn of_checks(&mut self, known: &Known, terms: &dyn Fn(&str) -> Vec<String>) {
        for (article, checks) in known.articles.iter().map(|a| &a.checks).enumerate() {
            let mut text: BTreeMap<String, f64> = BTreeMap::new();
            for term in checks.iter().flat_map(|check| terms(check)) {
                *text.entry(term).or_default() += 1.0;
            }
            let sum: f64 = text.values().sum();
            for (term, times) in text {
                let list = self.checks.entry(term).or_default();
                list.push((number(article), times / sum));
            }
        }
    }
}

/// Articles, fixes and words are far fewer than 2³².
fn number(of: usize) -> u32 {
    u32::try_from(of).unwrap_or(u32::MAX)
}

/// All words and phrases of the texts with how common they are, nothing learned of them yet.
fn vocabulary<'a>(
    own: &OwnText,
    notes: impl Iterator<Item = &'a Vec<Token>>,
    known: &Known,
) -> Words {
    let mut all = own.times.clone();
    for term in own.checks.keys() {
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
            ..WordCounts::default()
        });
        words.names.push(name);
    }
    words
}

/// An example, ready for every round.
struct Lesson {
    seen: Vec<Seen>,
    candidates: Vec<Who>,
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
        let row = |seen| reader.words.row(seen, &self.candidates);
        let rows: Vec<Row> = self.seen.iter().map(row).collect();
        let plan = |before| Plan {
            enter: &self.enter,
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

/// The sums over both styles of writing, each by how likely it is.
pub(super) fn joined(both: Vec<(f64, Walked)>) -> Option<Walked> {
    let most = both.iter().map(|(log, _)| *log).fold(f64::MIN, f64::max);
    let sum: f64 = both.iter().map(|(log, _)| (log - most).exp()).sum();
    let mut out: Option<Walked> = None;
    for (log, walked) in both {
        let part = (log - most).exp() / sum;
        match &mut out {
            None => {
                let mut first = walked;
                first.scale(part);
                first.log = most + sum.ln();
                out = Some(first);
            }
            Some(out) => out.add(&walked, part),
        }
    }
    out
}

impl Walked {
    fn scale(&mut self, part: f64) {
        let scale = |values: &mut [f64]| values.iter_mut().for_each(|v| *v *= part);
        self.visits.iter_mut().for_each(|v| scale(v));
        for told in &mut self.told {
            scale(&mut told.fix);
            scale(&mut told.before);
            scale(&mut told.result);
            scale(&mut told.provisional);
            told.background *= part;
        }
        self.within.iter_mut().for_each(|v| scale(v));
        scale(&mut self.stays);
    }

    fn add(&mut self, other: &Self, part: f64) {
        let add = |to: &mut [f64], from: &[f64]| {
            to.iter_mut()
                .zip(from)
                .for_each(|(to, from)| *to += part * from);
        };
        for (to, from) in self.visits.iter_mut().zip(&other.visits) {
            add(to, from);
        }
        for (to, from) in self.told.iter_mut().zip(&other.told) {
            add(&mut to.fix, &from.fix);
            add(&mut to.before, &from.before);
            add(&mut to.result, &from.result);
            add(&mut to.provisional, &from.provisional);
            to.background += part * from.background;
        }
        for (to, from) in self.within.iter_mut().zip(&other.within) {
            add(to, from);
        }
        add(&mut self.stays, &other.stays);
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

/// Soft counts of one round.
struct Tally {
    counts: Vec<Soft>,
    cues: Vec<CueCounts>,
    cue_sums: CueCounts,
    marks: [[f64; MARKS]; 4],
    shares: Shares,
    within: [[f64; 5]; 4],
    stays: [f64; 2],
}

#[derive(Clone, Default)]
struct Soft {
    plain: WordCounts,
    fixes: BTreeMap<u32, f64>,
    others: BTreeMap<u32, f64>,
    kinds: BTreeMap<u32, f64>,
}

impl Tally {
    fn new(words: &Words) -> Self {
        let mut shares = Shares::default();
        shares
            .all_mut()
            .for_each(|s| s.iter_mut().for_each(|s| *s *= OF_SHARES));
        let moves = Moves::default();
        Self {
            counts: vec![Soft::default(); words.names.len()],
            cues: vec![CueCounts::default(); words.cues.len()],
            cue_sums: CueCounts::default(),
            marks: [[0.0; MARKS]; 4],
            shares,
            within: moves.within.map(|row| row.map(|chance| chance * OF_MOVES)),
            stays: [moves.stay * OF_MOVES, (1.0 - moves.stay) * OF_MOVES],
        }
    }

    fn add(&mut self, lesson: &Lesson, walked: &Walked, kind_of: &[u32]) {
        for (to, from) in self.within.iter_mut().zip(&walked.within) {
            to.iter_mut().zip(from).for_each(|(to, from)| *to += from);
        }
        for (to, from) in self.stays.iter_mut().zip(walked.stays) {
            *to += from;
        }
        for (seen, told) in lesson.seen.iter().zip(&walked.told) {
            let class = match seen {
                Seen::Word(_) => 0,
                Seen::Mark(_) => 1,
                Seen::Cue(class, ..) => 2 + *class as usize,
            };
            self.shares.fix[class] += told.fix.iter().sum::<f64>();
            self.shares.background[class] += told.background;
            for result in 0..4 {
                self.shares.before[result][class] += told.before[result];
                self.shares.result[result][class] += told.result[result];
                self.shares.provisional[result][class] += told.provisional[result];
                self.cue_sums.before[result] += told.before[result];
                self.cue_sums.result[result] += told.result[result];
                self.cue_sums.provisional[result] += told.provisional[result];
            }
            self.cue_sums.background += told.background;
            match seen {
                Seen::Word(Some(word)) => {
                    self.word(*word, lesson, told, kind_of);
                    self.counts[*word].places(told);
                }
                Seen::Word(None) => {}
                Seen::Mark(mark) => {
                    self.marks[0][*mark] += told.fix.iter().sum::<f64>();
                    self.marks[1][*mark] += told.before.iter().sum::<f64>();
                    let behind = told.result.iter().chain(&told.provisional);
                    self.marks[2][*mark] += behind.sum::<f64>();
                    self.marks[3][*mark] += told.background;
                }
                Seen::Cue(_, cue, words) => {
                    if let Some(cue) = cue.map(|cue| &mut self.cues[cue]) {
                        for result in 0..4 {
                            cue.before[result] += told.before[result];
                            cue.result[result] += told.result[result];
                            cue.provisional[result] += told.provisional[result];
                        }
                        cue.background += told.background;
                    }
                    if let [Some(word)] = words[..] {
                        self.word(word, lesson, told, kind_of);
                    }
                }
            }
        }
    }

    /// A word told of fixes.
    fn word(&mut self, word: usize, lesson: &Lesson, told: &Told, kind_of: &[u32]) {
        let soft = &mut self.counts[word];
        for (who, count) in lesson.candidates.iter().zip(&told.fix) {
            if *count <= LEAST {
                continue;
            }
            match who {
                Who::Fix(fix) => {
                    soft.plain.any_fix += count;
                    *soft.fixes.entry(number(*fix)).or_default() += count;
                    *soft.kinds.entry(kind_of[*fix]).or_default() += count;
                }
                Who::Other(article) => {
                    soft.plain.any_fix += count;
                    soft.plain.other += count;
                    if let Some(article) = article {
                        *soft.others.entry(number(*article)).or_default() += count;
                    }
                }
                Who::NoFix(_) => soft.plain.no_fix += count,
            }
        }
    }

    fn into_reader(self, reader: &mut Reader) {
        let words = &mut reader.words;
        let mut sums = Sums::default();
        let mut by_number = Soft::default();
        for (soft, counts) in self.counts.into_iter().zip(&mut words.counts) {
            soft.add_to(&mut sums, &mut by_number);
            *counts = WordCounts {
                all: counts.all,
                own: std::mem::take(&mut counts.own),
                checks: std::mem::take(&mut counts.checks),
                fixes: soft.fixes.into_iter().collect(),
                others: soft.others.into_iter().collect(),
                kinds: soft.kinds.into_iter().collect(),
                ..soft.plain
            };
        }
        sums.counts.all = words.sums.counts.all;
        sums.counts.fixes = by_number.fixes.into_iter().collect();
        sums.counts.others = by_number.others.into_iter().collect();
        sums.counts.kinds = by_number.kinds.into_iter().collect();
        words.sums = sums;
        words.cue_counts = self.cues;
        words.cue_sums = self.cue_sums;
        words.marks = self.marks;
        words.shares = self.shares;
        words.shares.scale();
        reader.moves.within = self.within.map(|row| {
            let sum: f64 = row.iter().sum();
            row.map(|chance| chance / sum)
        });
        reader.moves.stay = self.stays[0] / (self.stays[0] + self.stays[1]);
    }
}

impl Soft {
    fn places(&mut self, told: &Told) {
        let keep = |count: f64| if count > LEAST { count } else { 0.0 };
        self.plain.background += keep(told.background);
        for result in 0..4 {
            self.plain.before[result] += keep(told.before[result]);
            self.plain.result[result] += keep(told.result[result]);
            self.plain.provisional[result] += keep(told.provisional[result]);
        }
    }

    fn add_to(&self, sums: &mut Sums, by_number: &mut Self) {
        let (counts, distinct) = (&mut sums.counts, &mut sums.distinct);
        let add = |count: f64, sum: &mut f64, said: &mut f64| {
            *sum += count;
            *said += f64::from(u8::from(count > SAID));
        };
        let plain = &self.plain;
        add(plain.any_fix, &mut counts.any_fix, &mut distinct.any_fix);
        add(plain.other, &mut counts.other, &mut distinct.other);
        add(plain.no_fix, &mut counts.no_fix, &mut distinct.no_fix);
        add(
            plain.background,
            &mut counts.background,
            &mut distinct.background,
        );
        for r in 0..4 {
            let (sum, said) = (&mut counts.before[r], &mut distinct.before[r]);
            add(plain.before[r], sum, said);
            let (sum, said) = (&mut counts.result[r], &mut distinct.result[r]);
            add(plain.result[r], sum, said);
            let (sum, said) = (&mut counts.provisional[r], &mut distinct.provisional[r]);
            add(plain.provisional[r], sum, said);
        }
        for (to, from) in [
            (&mut by_number.fixes, &self.fixes),
            (&mut by_number.others, &self.others),
            (&mut by_number.kinds, &self.kinds),
        ] {
            for (number, count) in from {
                *to.entry(*number).or_default() += count;
            }
        }
    }
}
