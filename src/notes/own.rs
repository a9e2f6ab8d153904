//! What the articles say themselves, word by word.

use super::known::Known;
use super::verbs::SAME_WORK;
use std::collections::{BTreeMap, BTreeSet};

/// What a word for the same work weighs against the word that stands in the article. Chosen on tickets
/// with known tries and on hard notes, by trying none, 0.25, 0.4 and 0.7.
const SAME: f64 = 0.25;

/// What a word of a fix's id weighs, where one of its title weighs 3.
const NAMED: f64 = 1.5;

/// The articles' own words, as parts of each text.
pub(super) struct OwnText {
    /// By word: fixes with the part of their text that it makes up.
    pub(super) fixes: BTreeMap<String, Vec<(u32, f64)>>,
    pub(super) checks: BTreeMap<String, Vec<(u32, f64)>>,
    /// By word: articles with the part of their symptoms that it makes up.
    pub(super) symptoms: BTreeMap<String, Vec<(u32, f64)>>,
    /// The same for what is seen when its fixes are done.
    pub(super) done: BTreeMap<String, Vec<(u32, f64)>>,
    /// Plain counts.
    pub(super) times: BTreeMap<String, f64>,
}

impl OwnText {
    pub(super) fn of(known: &Known, terms: &dyn Fn(&str) -> Vec<String>) -> Self {
        let mut own = Self {
            fixes: BTreeMap::new(),
            checks: BTreeMap::new(),
            symptoms: BTreeMap::new(),
            done: BTreeMap::new(),
            times: BTreeMap::new(),
        };
        let mut texts: Vec<BTreeMap<String, f64>> = Vec::new();
        let work = same_work(terms);
        for fix in &known.fixes {
            let mut text: BTreeMap<String, f64> = BTreeMap::new();
            let mut like: BTreeMap<String, f64> = BTreeMap::new();
            // A title names the work, an id often in other words; a step may name anything on the way.
            let named = fix.id.short().replace('-', " ");
            let parts = [(&fix.title, 3.0), (&fix.kind, 2.0), (&named, NAMED)];
            let steps = fix.steps.iter().map(|step| (step, 0.7));
            for (part, weight) in parts.into_iter().chain(steps) {
                for term in terms(part) {
                    *own.times.entry(term.clone()).or_default() += 0.5;
                    for term in work.get(&term).into_iter().flatten() {
                        *like.entry(term.clone()).or_default() += weight * SAME;
                    }
                    *text.entry(term).or_default() += weight;
                }
            }
            for (term, weight) in like {
                own.times.entry(term.clone()).or_default();
                text.entry(term).or_insert(weight);
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
        own.checks = parts(known.articles.iter().map(|a| &a.checks), terms);
        own.symptoms = parts(known.articles.iter().map(|a| &a.symptoms), terms);
        own.done = parts(known.articles.iter().map(|a| &a.done), terms);
        own
    }
}

/// By word: the places of the texts that hold it, each with the part of the text that it makes up.
fn parts<'a>(
    texts: impl Iterator<Item = &'a Vec<String>>,
    terms: &dyn Fn(&str) -> Vec<String>,
) -> BTreeMap<String, Vec<(u32, f64)>> {
    let mut all: BTreeMap<String, Vec<(u32, f64)>> = BTreeMap::new();
    for (place, text) in texts.enumerate() {
        let mut counts: BTreeMap<String, f64> = BTreeMap::new();
        for term in text.iter().flat_map(|part| terms(part)) {
            *counts.entry(term).or_default() += 1.0;
        }
        let sum: f64 = counts.values().sum();
        for (term, times) in counts {
            all.entry(term)
                .or_default()
                .push((number(place), times / sum));
        }
    }
    all
}

/// Words for the same work, by word.
fn same_work(terms: &dyn Fn(&str) -> Vec<String>) -> BTreeMap<String, BTreeSet<String>> {
    let mut same: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for group in SAME_WORK {
        let stems: BTreeSet<String> = group.iter().flat_map(|word| terms(word)).collect();
        for one in &stems {
            let others = stems.iter().filter(|other| *other != one);
            let all = same.entry(one.clone()).or_default();
            all.extend(others.cloned());
        }
    }
    same
}

/// Articles, fixes and words are far fewer than 2³².
pub(super) fn number(of: usize) -> u32 {
    u32::try_from(of).unwrap_or(u32::MAX)
}
