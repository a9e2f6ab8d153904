//! Abbreviations of this desk's own that `words.toml` does not know yet, offered and never merged.
//!
//! A short word may stand for a longer one of the articles where it is its beginning, or keeps its
//! letters in order and of the vowels at most the first. Of those, people use the short one in the
//! places of the long one: both are described by the words beside them (up to two on either side,
//! `(1 + ln n)·ln(N/df)`, Salton & Buckley 1988, from memory), and compared by the cosine ("a word is
//! known by the company it keeps": Harris 1954, from memory). What leads clearly is offered.
//!
//! Initials (`ct` for current transformer) are not found: people who write them seldom write the words
//! out. On the demo's notes nine of ten offers are right.
//!
//! Cost: the words of the newest [`MOST`] tickets.

use super::{Advice, Ground};
use crate::base::text::split;
use crate::evidence::cases::day;
use crate::tickets::Ticket;
use jiff::civil::Date;
use rustc_hash::FxHashMap;
use std::collections::{BTreeMap, BTreeSet};

/// Tickets read, the newest.
pub(super) const MOST: usize = 20_000;

/// Offered from this likeness on, where the next word is so much less alike. Chosen on the demo: below,
/// wrong ones outnumber right ones.
const ALIKE: f64 = 0.12;
const LEAD: f64 = 0.1;

/// Tickets that use either.
const USED: usize = 5;

/// Days on which they do; design: a caller's word is told only from three on.
const DAYS: usize = 3;

/// Letters of an abbreviation, and how many fewer than the long word's.
const SHORTEST: usize = 2;
const LONGEST: usize = 6;
const SAVED: usize = 2;

/// A neighbour of more than this part of all words says nothing.
const COMMON: f64 = 0.2;

/// Most are offered.
const OFFERED: usize = 20;

/// A neighbour: two to the left to two to the right.
type Beside<'a> = (i8, &'a str);

#[derive(Default)]
struct Word<'a> {
    tickets: usize,
    days: BTreeSet<Date>,
    beside: FxHashMap<Beside<'a>, f64>,
}

pub(super) fn advice(ground: &Ground<'_>, newest: &[Ticket]) -> Vec<Advice> {
    let texts = texts(ground, newest);
    let written: BTreeSet<String> = own_words(ground);
    let words = words(&texts);
    let vectors = Vectors::of(&words);
    let mut offers: Vec<(f64, &str, &str, usize)> = Vec::new();
    for (short, about) in &words {
        if !is_candidate(short, about, &written, ground) {
            continue;
        }
        let mut alike: Vec<(f64, &str)> = words
            .iter()
            .filter(|(long, about)| {
                about.tickets >= USED && written.contains(**long) && may_stand_for(short, long)
            })
            .map(|(long, _)| (vectors.cosine(short, long), *long))
            .collect();
        alike.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
        let Some((best, long)) = alike.first().copied() else {
            continue;
        };
        // Another form of the same word is no rival.
        let stem = ground.from.analyzer.stem(long);
        let mut rivals = alike
            .iter()
            .filter(|(_, other)| ground.from.analyzer.stem(other) != stem);
        let next = rivals.next().map_or(0.0, |(alike, _)| *alike);
        if best >= ALIKE && best - next >= LEAD {
            offers.push((best, short, long, about.tickets));
        }
    }
    offers.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
    offers.truncate(OFFERED);
    offers
        .into_iter()
        .map(|(_, short, long, tickets)| Advice {
            rule: "abbreviation",
            place: None,
            message: format!("`{short}` in {tickets} tickets may stand for `{long}`"),
            help: format!("if so, add `{short} = \"{long}\"` below `[short]`"),
        })
        .collect()
}

/// What was said and noted, as folded words, with the day.
fn texts(ground: &Ground<'_>, newest: &[Ticket]) -> Vec<(Date, Vec<String>)> {
    let mut known: Vec<&Ticket> = newest.iter().collect();
    known.retain(|ticket| day(ticket.closed) <= ground.from.as_of);
    known.sort_by_key(|ticket| std::cmp::Reverse((ticket.closed, &ticket.id)));
    known.truncate(MOST);
    let text = |ticket: &Ticket| {
        let both = [ticket.said.as_deref(), ticket.notes.as_deref()];
        // A word that is nobody's neighbour parts the two.
        let words: Vec<Vec<String>> = both.into_iter().flatten().map(split).collect();
        (day(ticket.closed), words.join(&String::new()))
    };
    known.into_iter().map(text).collect()
}

/// The words that articles write, as they write them.
fn own_words(ground: &Ground<'_>) -> BTreeSet<String> {
    let catalog = ground.from.catalog;
    let mut words = BTreeSet::new();
    let mut put = |text: &str| words.extend(split(text));
    for article in catalog.articles.values() {
        put(&article.title);
        put(&article.intro);
        article.symptoms.iter().for_each(|symptom| put(symptom));
    }
    for check in catalog.checks.values() {
        put(&check.question);
        put(&check.work.markdown);
    }
    for fix in catalog.fixes.values() {
        put(&fix.title);
        put(&fix.work.markdown);
    }
    words
}

fn words<'a>(texts: &'a [(Date, Vec<String>)]) -> BTreeMap<&'a str, Word<'a>> {
    let mut words: BTreeMap<&str, Word<'_>> = BTreeMap::new();
    for (day, text) in texts {
        let mut met = BTreeSet::new();
        for (at, word) in text.iter().enumerate().filter(|(_, word)| is_letters(word)) {
            let about = words.entry(word).or_default();
            if met.insert(word) {
                about.tickets += 1;
                about.days.insert(*day);
            }
            let beside = [
                (-2, at.checked_sub(2)),
                (-1, at.checked_sub(1)),
                (1, Some(at + 1)),
                (2, Some(at + 2)),
            ];
            for (side, place) in beside {
                let neighbour = place.and_then(|place| text.get(place));
                let neighbour = neighbour.map_or("", String::as_str);
                *about.beside.entry((side, neighbour)).or_insert(0.0) += 1.0;
            }
        }
    }
    words
}

fn is_letters(word: &str) -> bool {
    word.chars().count() >= SHORTEST && word.chars().all(char::is_alphabetic)
}

fn is_candidate(
    short: &str,
    about: &Word<'_>,
    written: &BTreeSet<String>,
    ground: &Ground<'_>,
) -> bool {
    let letters = short.chars().count();
    let tables = ground.from.analyzer.tables();
    let known = tables.short.contains_key(short)
        || tables
            .same
            .values()
            .flatten()
            .any(|same| split(same).iter().any(|word| word == short));
    (SHORTEST..=LONGEST).contains(&letters)
        && about.tickets >= USED
        && about.days.len() >= DAYS
        && !known
        && !written.contains(short)
}

/// Whether one word's letters can be an abbreviation of another's.
fn may_stand_for(short: &str, long: &str) -> bool {
    let vowel = |letter: char| "aeiouy".contains(letter);
    if long.chars().count() < short.chars().count() + SAVED {
        return false;
    }
    if long.starts_with(short) {
        return true;
    }
    let mut rest = long.chars();
    let in_order = short
        .chars()
        .all(|letter| rest.any(|other| other == letter));
    let same_start = short.chars().next() == long.chars().next();
    same_start && in_order && !short.chars().skip(1).any(vowel)
}

/// Words as tf-idf vectors of their neighbours, of length one.
struct Vectors<'a>(BTreeMap<&'a str, BTreeMap<Beside<'a>, f64>>);

impl<'a> Vectors<'a> {
    fn of(words: &BTreeMap<&'a str, Word<'a>>) -> Self {
        let mut holding: FxHashMap<Beside<'_>, f64> = FxHashMap::default();
        for neighbour in words.values().flat_map(|word| word.beside.keys()) {
            *holding.entry(*neighbour).or_insert(0.0) += 1.0;
        }
        let total = words.len() as f64;
        let of = |word: &Word<'a>| {
            let telling = word
                .beside
                .iter()
                .filter(|(beside, _)| holding[*beside] < COMMON * total);
            let weighed = telling
                .map(|(beside, n)| (*beside, (1.0 + n.ln()) * (total / holding[beside]).ln()));
            let mut vector: BTreeMap<Beside<'a>, f64> = weighed.collect();
            let length = vector.values().map(|v| v * v).sum::<f64>().sqrt();
            if length > 0.0 {
                vector.values_mut().for_each(|v| *v /= length);
            }
            vector
        };
        let enough = words.iter().filter(|(_, word)| word.tickets >= USED);
        Self(enough.map(|(text, word)| (*text, of(word))).collect())
    }

    fn cosine(&self, a: &str, b: &str) -> f64 {
        let (Some(a), Some(b)) = (self.0.get(a), self.0.get(b)) else {
            return 0.0;
        };
        a.iter()
            .filter_map(|(beside, value)| Some(value * b.get(beside)?))
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use super::may_stand_for;

    #[test]
    fn an_abbreviation_is_a_beginning_or_drops_vowels() {
        for (short, long, expected) in [
            ("ctrlr", "controller", true),
            ("cbl", "cable", true),
            ("addr", "address", true),
            ("ent", "entered", true),
            ("spec", "suspect", false),
            ("cabl", "cable", false),
            ("brkr", "controller", false),
            ("cable", "cable", false),
        ] {
            assert_eq!(may_stand_for(short, long), expected, "{short} {long}");
        }
    }
}
