//! Phrases that a text is searched for, in any inflexion and with a slip of the finger.
//!
//! | written | means |
//! |---|---|
//! | `burning smell` | both words in this order, at most [`GAP`] others between them |
//! | `smell\|stink burnt\|scorched` | one of the alternatives at each place |
//! | `pins-and-needles` | words joined by hyphens stand side by side |
//! | `sparks & <part>` | both in one sentence, in any order |
//! | `<part>` | any member of the group `part` under `[groups]` in `words.toml` |
//! | `verschmor*`, `*geruch`, `*rauch*` | a word that begins, ends, goes so |
//! | `=live` | this word and no other form of it |
//! | `^gas` | first in a phrase: only where its statement says nothing else of weight |
//! | `?child touching` | first in a phrase: no more than asked about |
//!
//! A word without a mark stands for all words of its stem, for the synonyms that `[same]` gives it,
//! and for unknown words one slip away with the same first letter, unless `[apart]` parts them.
//!
//! A [`Book`] holds all phrases analysed. One pass over a text finds where each alternative stands;
//! a phrase then only compares places.

use super::common::is_common;
use super::negation::{is_denial, plain_words};
use super::spelling::{Vocabulary, one_slip};
use super::text::{Analyzer, Words, split};
use serde::{Deserialize, Serialize, Serializer};
use std::collections::{BTreeMap, HashMap};

mod find;
pub use find::{Found, Reading};

/// How many other words may stand between two words of a phrase.
pub const GAP: usize = 2;
/// Shortest word of a phrase in which a slip is believed, and shortest beginning.
const SLIP_FROM: usize = 5;
/// Shortest word in which a wrong letter is believed; a missing, doubled or exchanged one is in all.
const REPLACED_FROM: usize = 7;
/// How deep groups may name groups.
const DEEPEST: usize = 4;

/// One word of a phrase, folded.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
enum Form {
    Stem(String),
    Whole(String),
    Begins(String),
    Ends(String),
    Holds(String),
}

/// A phrase of a [`Book`]: parts that stand in one sentence, each a sequence of places.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Phrase {
    parts: Vec<Vec<usize>>,
    /// Whether it counts only where its statement says nothing else.
    alone: bool,
    /// Whether it is only asked about.
    asks: bool,
}

/// Words that stand side by side, by number of their form.
type Alternative = Vec<usize>;

/// Phrases, analysed once. One that was read back finds as before and takes no further phrases.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Book {
    #[serde(serialize_with = "in_order")]
    numbers: HashMap<Form, usize>,
    slots: Vec<Vec<Alternative>>,
    #[serde(skip)]
    slot_of: HashMap<Vec<Alternative>, usize>,
    /// By place as written: most phrases name the same few groups. None where it holds no word.
    #[serde(skip)]
    places: HashMap<String, Option<usize>>,
    /// By alternative as written, groups included: a word comes again in many places.
    #[serde(skip)]
    known: HashMap<String, Vec<Alternative>>,
    /// By number of its first form: the slots and their alternatives.
    begun: Vec<Vec<(usize, usize)>>,
    /// Forms that are no plain look-up, with their numbers.
    loose: Vec<(Form, usize)>,
    /// By first letter: words as written, for slips.
    written: BTreeMap<char, Vec<(String, usize)>>,
}

/// The same forms always give the same bytes.
fn in_order<S: Serializer>(numbers: &HashMap<Form, usize>, into: S) -> Result<S::Ok, S::Error> {
    numbers.iter().collect::<BTreeMap<_, _>>().serialize(into)
}

impl Book {
    /// Analyses a phrase.
    ///
    /// # Errors
    /// In words, where the phrase holds no word or names an unknown group.
    pub fn phrase(&mut self, text: &str, analyzer: &Analyzer) -> Result<Phrase, String> {
        let mut parts = Vec::new();
        let (asks, text) = without_mark(text, '?');
        let (alone, text) = without_mark(text, '^');
        for part in text.split('&') {
            let mut slots = Vec::new();
            for place in part.split_whitespace() {
                slots.extend(self.place(place, analyzer)?);
            }
            if slots.is_empty() {
                return Err(format!("`{text}` lacks a word"));
            }
            parts.push(slots);
        }
        Ok(Phrase { parts, alone, asks })
    }

    fn place(&mut self, place: &str, analyzer: &Analyzer) -> Result<Option<usize>, String> {
        if let Some(known) = self.places.get(place) {
            return Ok(*known);
        }
        let mut alternatives = Vec::new();
        for written in place.split('|') {
            if let Some(known) = self.known.get(written) {
                alternatives.extend_from_slice(known);
                continue;
            }
            let from = alternatives.len();
            self.alternatives(written, analyzer, 0, &mut alternatives)?;
            let found = alternatives[from..].to_vec();
            self.known.insert(written.to_owned(), found);
        }
        alternatives.sort();
        alternatives.dedup();
        let slot = (!alternatives.is_empty()).then(|| self.slot(alternatives));
        self.places.insert(place.to_owned(), slot);
        Ok(slot)
    }

    fn slot(&mut self, alternatives: Vec<Alternative>) -> usize {
        if let Some(known) = self.slot_of.get(&alternatives) {
            return *known;
        }
        let number = self.slots.len();
        for (i, alternative) in alternatives.iter().enumerate() {
            self.begun[alternative[0]].push((number, i));
        }
        self.slot_of.insert(alternatives.clone(), number);
        self.slots.push(alternatives);
        number
    }

    fn alternatives(
        &mut self,
        written: &str,
        analyzer: &Analyzer,
        depth: usize,
        into: &mut Vec<Alternative>,
    ) -> Result<(), String> {
        let tables = analyzer.tables();
        if let Some(name) = written.strip_prefix('<').and_then(|w| w.strip_suffix('>')) {
            let members = tables
                .groups
                .get(name)
                .filter(|_| depth < DEEPEST)
                .ok_or_else(|| format!("there is no group `{name}` under `[groups]`"))?;
            for member in members {
                self.alternatives(member, analyzer, depth + 1, into)?;
            }
            return Ok(());
        }
        let whole = written.starts_with('=');
        let (ends, begins) = (written.starts_with('*'), written.ends_with('*'));
        let words = plain_words(written);
        let last = words.len().saturating_sub(1);
        let alternative: Alternative = words
            .iter()
            .enumerate()
            .map(|(i, word)| {
                let word = word.clone();
                match (whole, ends && i == 0, begins && i == last) {
                    (true, ..) => self.form(Form::Whole(word), analyzer),
                    (_, true, true) => self.form(Form::Holds(word), analyzer),
                    (_, true, false) => self.form(Form::Ends(word), analyzer),
                    (_, false, true) => self.form(Form::Begins(word), analyzer),
                    _ => self.form(Form::Stem(word), analyzer),
                }
            })
            .collect();
        if alternative.is_empty() {
            return Ok(());
        }
        if let ([word], false) = (words.as_slice(), whole || ends || begins) {
            for synonym in synonyms(tables, word) {
                let words = split(synonym);
                into.push(
                    words
                        .into_iter()
                        .map(|w| self.form(Form::Stem(w), analyzer))
                        .collect(),
                );
            }
        }
        into.push(alternative);
        Ok(())
    }

    /// The number of a form; `word` of a [`Form::Stem`] comes as written and is stemmed here.
    fn form(&mut self, form: Form, analyzer: &Analyzer) -> usize {
        let written = match &form {
            Form::Stem(word) | Form::Begins(word) if word.chars().count() >= SLIP_FROM => {
                Some(word.clone())
            }
            _ => None,
        };
        let form = match form {
            Form::Stem(word) => Form::Stem(analyzer.stem(&word)),
            other => other,
        };
        let next = self.begun.len();
        let number = *self.numbers.entry(form.clone()).or_insert(next);
        if number == next {
            self.begun.push(Vec::new());
            if !matches!(form, Form::Stem(_) | Form::Whole(_)) {
                self.loose.push((form.clone(), number));
            }
        }
        if let Some(word) = written
            && let Some(first) = word.chars().next()
        {
            let list = self.written.entry(first).or_default();
            if !list.iter().any(|(w, n)| *w == word && *n == number) {
                list.push((word, number));
            }
        }
        number
    }

    /// The forms that a word of a text meets.
    fn forms_of(&self, word: &str, analyzer: &Analyzer, known: &Vocabulary) -> Vec<usize> {
        let stem = analyzer.stem(word);
        let mut met: Vec<usize> = [
            self.numbers.get(&Form::Stem(stem.clone())),
            self.numbers.get(&Form::Whole(word.to_owned())),
        ]
        .into_iter()
        .flatten()
        .copied()
        .collect();
        met.extend(
            self.loose
                .iter()
                .filter(|(f, _)| meets(f, word))
                .map(|(_, n)| *n),
        );
        let slip = word.chars().all(char::is_alphabetic)
            && !is_common(word)
            && !is_denial(word)
            && !known.knows(&stem);
        if met.is_empty() && slip {
            met = self.slips(word, analyzer.tables());
        }
        met
    }

    fn slips(&self, word: &str, tables: &Words) -> Vec<usize> {
        let length = word.chars().count();
        let Some(list) = word.chars().next().and_then(|c| self.written.get(&c)) else {
            return Vec::new();
        };
        if length + 1 < SLIP_FROM {
            return Vec::new();
        }
        list.iter()
            .filter(|(known, _)| {
                let exchanged = known.chars().count() == length && sorted(known) != sorted(word);
                // Most words that differ in one letter alone are words of their own.
                (!exchanged || length >= REPLACED_FROM)
                    && one_slip(word, known)
                    && !tables.parted(word, known)
            })
            .map(|(_, number)| *number)
            .collect()
    }
}

fn without_mark(text: &str, mark: char) -> (bool, &str) {
    let text = text.trim_start();
    let rest = text.strip_prefix(mark);
    (rest.is_some(), rest.unwrap_or(text))
}

fn sorted(word: &str) -> Vec<char> {
    let mut letters: Vec<char> = word.chars().collect();
    letters.sort_unstable();
    letters
}

fn synonyms<'a>(tables: &'a Words, word: &str) -> &'a [String] {
    tables.same.get(word).map_or(&[], Vec::as_slice)
}

fn meets(form: &Form, word: &str) -> bool {
    match form {
        Form::Stem(stem) | Form::Whole(stem) => word == stem,
        Form::Begins(begin) => word.starts_with(begin.as_str()),
        Form::Ends(end) => word.ends_with(end.as_str()),
        Form::Holds(part) => word.contains(part.as_str()),
    }
}

#[cfg(test)]
mod tests;
