//! What callers said in all cases, small enough to lie in memory at once: each word once, each case as
//! numbers of words. From it every text that questions are compared with is made, one at a time: all of
//! them together are the largest thing there is.

use super::cases::{Case, day};
use super::keeping::USED_BY;
use super::layout::Layout;
use super::texts::{
    Counted, Family, GRAMS, Packed, Texts, fix_words_of, own_words_of, packed_grams, places,
    public_terms, unpacked,
};
use crate::articles::Catalog;
use crate::base::ids::TicketId;
use crate::base::text::Analyzer;
use jiff::Timestamp;
use jiff::civil::Date;
use rayon::prelude::*;
use rustc_hash::FxHashMap;
use std::collections::BTreeMap;

/// Cases whose words are analysed together.
const TOGETHER: usize = 4096;

/// A word, as folded, and who uses it.
struct Word {
    folded: Box<str>,
    term: Box<str>,
    tickets: usize,
    days: Vec<Date>,
    kept: bool,
}

/// One case: when it was closed, and at which byte its id and its words end among all. They begin where
/// those of the case before end. All of a ledger's words and ids are far fewer bytes than 2³².
struct OneCase {
    closed: Timestamp,
    id: u32,
    words: u32,
}

/// What callers said.
pub struct Spoken<'a> {
    /// The articles in force.
    pub catalog: &'a Catalog,
    /// Their numbers.
    pub layout: &'a Layout,
    /// The text analysis.
    pub analyzer: &'a Analyzer,
    numbers: FxHashMap<Box<str>, u32>,
    words: Vec<Word>,
    /// The numbers of the words of all cases, one behind the other.
    said: Numbers,
    /// The ids of all cases, one behind the other.
    ids: String,
    cases: Vec<OneCase>,
    /// For each text of the families of cases, the cases whose words go into it.
    of: BTreeMap<Family, Vec<Vec<u32>>>,
}

impl<'a> Spoken<'a> {
    /// Nothing yet.
    #[must_use]
    pub fn new(catalog: &'a Catalog, layout: &'a Layout, analyzer: &'a Analyzer) -> Self {
        let families = [Family::Callers, Family::Pair, Family::Kind];
        Self {
            catalog,
            layout,
            analyzer,
            numbers: FxHashMap::default(),
            words: Vec::new(),
            said: Numbers::default(),
            ids: String::new(),
            cases: Vec::new(),
            of: families
                .into_iter()
                .map(|family| (family, vec![Vec::new(); family.texts(layout)]))
                .collect(),
        }
    }

    /// Takes up what was said in these cases.
    pub fn add<'c>(&mut self, cases: impl IntoIterator<Item = &'c Case>) {
        let cases: Vec<&Case> = cases.into_iter().collect();
        cases
            .chunks(TOGETHER)
            .for_each(|cases| self.add_some(cases));
    }

    fn add_some(&mut self, cases: &[&Case]) {
        let analyzer = self.analyzer;
        let words: Vec<Vec<String>> = cases.par_iter().map(|c| analyzer.words(&c.said)).collect();
        for (case, words) in cases.iter().zip(words) {
            let day = day(case.closed);
            let mut used: Vec<u32> = words.iter().map(|word| self.number(word)).collect();
            used.iter().for_each(|number| self.said.push(*number));
            used.sort_unstable();
            used.dedup();
            for number in used {
                let word = &mut self.words[number as usize];
                word.tickets += 1;
                if word.days.len() < USED_BY && !word.days.contains(&day) {
                    word.days.push(day);
                }
            }
            let at = number(self.cases.len());
            for (family, text) in places(case, self.layout, self.catalog) {
                if let Some(texts) = self.of.get_mut(&family) {
                    texts[text].push(at);
                }
            }
            self.ids.push_str(case.id.as_str());
            self.cases.push(OneCase {
                closed: case.closed,
                id: number(self.ids.len()),
                words: number(self.said.len()),
            });
        }
    }

    fn number(&mut self, word: &str) -> u32 {
        if let Some(number) = self.numbers.get(word) {
            return *number;
        }
        let number = number(self.words.len());
        self.numbers.insert(word.into(), number);
        self.words.push(Word {
            folded: word.into(),
            term: self.analyzer.stem(word).into(),
            tickets: 0,
            days: Vec::new(),
            kept: false,
        });
        number
    }

    /// Everything was taken up: words are kept that enough tickets of enough days use, and those of the
    /// articles.
    #[must_use]
    pub fn settled(mut self) -> Self {
        let public = public_terms(self.catalog, self.layout, self.analyzer);
        for word in &mut self.words {
            let common = word.tickets >= USED_BY && word.days.len() >= USED_BY;
            word.kept = common || public.contains(&*word.term);
        }
        self.numbers = FxHashMap::default();
        self
    }

    fn id(&self, case: u32) -> &str {
        let from = case
            .checked_sub(1)
            .map_or(0, |before| self.cases[before as usize].id);
        &self.ids[from as usize..self.cases[case as usize].id as usize]
    }

    fn kept(&self, case: u32) -> impl Iterator<Item = (u32, &Word)> {
        let from = case
            .checked_sub(1)
            .map_or(0, |before| self.cases[before as usize].words);
        let to = self.cases[case as usize].words;
        let words = self.said.between(from as usize, to as usize);
        let words = words.map(|number| (number, &self.words[number as usize]));
        words.filter(|(_, word)| word.kept)
    }

    /// What each caller said, by closing time and id: the ticket, its day, its kept terms.
    pub fn tickets(&self) -> impl Iterator<Item = (TicketId, Date, Vec<String>)> {
        let closed = |case: u32| self.cases[case as usize].closed;
        let mut order: Vec<u32> = (0..number(self.cases.len())).collect();
        order.par_sort_unstable_by_key(|case| (closed(*case), self.id(*case)));
        order.into_iter().map(move |case| {
            let terms = self.kept(case).map(|(_, word)| word.term.to_string());
            let id = TicketId::new(self.id(case));
            (id, day(closed(case)), terms.collect())
        })
    }

    /// How many cases belong to the article of this number.
    #[must_use]
    pub fn cases_in(&self, article: usize) -> u64 {
        self.cases_of(Family::Callers, article).count() as u64
    }

    fn cases_of(&self, family: Family, text: usize) -> impl Iterator<Item = u32> {
        let texts = self.of.get(&family).and_then(|texts| texts.get(text));
        texts.into_iter().flatten().copied()
    }

    fn terms(&self, family: Family, text: usize) -> Counted {
        let mut counts: FxHashMap<u32, u32> = FxHashMap::default();
        for case in self.cases_of(family, text) {
            for (number, _) in self.kept(case) {
                *counts.entry(number).or_insert(0) += 1;
            }
        }
        let mut terms: BTreeMap<&str, u32> = BTreeMap::new();
        for (number, times) in counts {
            *terms.entry(&self.words[number as usize].term).or_insert(0) += times;
        }
        let terms = terms.into_iter();
        terms.map(|(term, n)| (term.to_owned(), n)).collect()
    }

    fn grams(&self, family: Family, text: usize) -> Counted {
        let mut counts: FxHashMap<Packed, u32> = FxHashMap::default();
        let (mut folded, mut grams) = (String::new(), Vec::new());
        for case in self.cases_of(family, text) {
            folded.clear();
            for (_, word) in self.kept(case) {
                if !folded.is_empty() {
                    folded.push(' ');
                }
                folded.push_str(&word.folded);
            }
            packed_grams(&folded, GRAMS, &mut grams);
            for gram in &grams {
                *counts.entry(*gram).or_insert(0) += 1;
            }
        }
        let mut counts: Vec<(Packed, u32)> = counts.into_iter().collect();
        counts.sort_unstable();
        let counts = counts.into_iter();
        counts.map(|(gram, n)| (unpacked(gram), n)).collect()
    }
}

/// Small numbers in few bytes: seven bits each, the lowest first; the last byte of a number is below 128.
/// Words that many say came early and have small numbers.
#[derive(Default)]
struct Numbers(Vec<u8>);

impl Numbers {
    fn len(&self) -> usize {
        self.0.len()
    }

    fn push(&mut self, mut number: u32) {
        while number >= 0x80 {
            self.0.push(number.to_le_bytes()[0] | 0x80);
            number >>= 7;
        }
        self.0.push(number.to_le_bytes()[0]);
    }

    /// Those that were pushed while the length grew from one to the other.
    fn between(&self, from: usize, to: usize) -> impl Iterator<Item = u32> {
        let numbers = self.0[from..to].split_inclusive(|byte| *byte < 0x80);
        numbers.map(|bytes| {
            let bits = bytes.iter().rev().map(|byte| u32::from(byte & 0x7f));
            bits.fold(0, |number, bits| number << 7 | bits)
        })
    }
}

fn number(of: usize) -> u32 {
    u32::try_from(of).unwrap_or(u32::MAX)
}

impl Texts for Spoken<'_> {
    fn text(&self, family: Family, text: usize) -> Counted {
        let own = |terms: Vec<String>| {
            let mut counts: BTreeMap<String, u32> = BTreeMap::new();
            for term in terms {
                *counts.entry(term).or_insert(0) += 1;
            }
            counts.into_iter().collect()
        };
        match family {
            Family::Own => {
                let id = &self.layout.articles[text];
                own(own_words_of(id, self.catalog, self.analyzer))
            }
            Family::Fix => {
                let id = &self.layout.fixes[text];
                own(fix_words_of(id, self.catalog, self.analyzer))
            }
            Family::Callers | Family::Pair | Family::Kind => self.terms(family, text),
            Family::CallersGrams => self.grams(Family::Callers, text),
            Family::KindGrams => self.grams(Family::Kind, text),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_come_back_from_any_length_on() {
        let all = [0, 1, 127, 128, 300, 16_383, 16_384, 1 << 28, u32::MAX];
        let mut numbers = Numbers::default();
        let mut ends = vec![0];
        for number in all {
            numbers.push(number);
            ends.push(numbers.len());
        }
        for (place, from) in ends.iter().enumerate() {
            let found: Vec<u32> = numbers.between(*from, numbers.len()).collect();
            assert_eq!(found, all[place..]);
        }
        assert_eq!(ends[..4], [0, 1, 2, 3]);
    }
}
