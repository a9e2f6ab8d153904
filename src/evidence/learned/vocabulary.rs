//! The runs of letters that are known, and texts as vectors over them.

use super::kernel::counted;
use crate::evidence::keeping::USED_BY;
use crate::evidence::letters::{each_gram, grams_of_word};
use jiff::civil::Date;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Known runs with their rarity.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Vocabulary {
    /// The runs, in order of their bytes.
    pub grams: Vec<String>,
    /// `ln((1 + n)/(1 + df)) + 1`, where `df` of the `n` texts have the run.
    pub idf: Vec<f64>,
}

impl Vocabulary {
    /// The runs that texts of enough tickets and days have ([`USED_BY`] of each), and all that
    /// articles say of themselves. A name that the scrubber missed has runs that hardly anybody
    /// else uses, and none is longer than five letters. `days` are the texts' days, ascending.
    #[must_use]
    pub fn of(texts: &[Vec<String>], days: &[Date], own: &[Vec<String>]) -> Self {
        let of_word: Vec<(&str, BTreeSet<String>)> = distinct(texts)
            .into_par_iter()
            .map(|word| (word, grams_of_word(word)))
            .collect();
        let all: BTreeSet<&String> = of_word.iter().flat_map(|(_, grams)| grams).collect();
        let number: HashMap<&String, u32> = all.iter().copied().zip(0..).collect();
        let of_word: HashMap<&str, Vec<u32>> = of_word
            .iter()
            .map(|(word, grams)| (*word, grams.iter().map(|g| number[g]).collect()))
            .collect();
        let mut used = vec![Used::default(); all.len()];
        for (numbers, day) in sets(texts, &of_word).iter().zip(days) {
            numbers.iter().for_each(|n| used[*n as usize].add(*day));
        }
        let own: BTreeSet<String> = distinct(own).into_iter().flat_map(grams_of_word).collect();
        let mut df: BTreeMap<String, usize> = all
            .into_iter()
            .zip(used)
            .filter(|(gram, used)| used.is_enough() || own.contains(*gram))
            .map(|(gram, used)| (gram.clone(), used.texts))
            .collect();
        for gram in own {
            df.entry(gram).or_default();
        }
        let n = texts.len() as f64;
        let idf = df
            .values()
            .map(|df| ((1.0 + n) / (1.0 + *df as f64)).ln() + 1.0)
            .collect();
        Self {
            grams: df.into_keys().collect(),
            idf,
        }
    }

    /// The number of a run.
    #[must_use]
    pub fn number(&self, gram: &str) -> Option<usize> {
        self.grams.binary_search_by(|g| g.as_str().cmp(gram)).ok()
    }

    /// The known runs of one word, ascending, each once.
    #[must_use]
    pub fn runs_of_word(&self, word: &str) -> Vec<u32> {
        let mut runs = Vec::new();
        each_gram(word, &mut String::new(), |gram| {
            runs.extend(self.number(gram).and_then(|n| u32::try_from(n).ok()));
        });
        runs.sort_unstable();
        runs.dedup();
        runs
    }

    /// The words of many texts, and the known runs of each word.
    #[must_use]
    pub fn spell(&self, texts: &[Vec<String>]) -> Spelled {
        let words = distinct(texts);
        let number: HashMap<&str, u32> = words.iter().copied().zip(0..).collect();
        let of_text = |text: &Vec<String>| {
            let numbers = text.iter().map(|word| number[word.as_str()]);
            let numbers: BTreeSet<u32> = numbers.collect();
            numbers.into_iter().collect()
        };
        Spelled {
            texts: texts.par_iter().map(of_text).collect(),
            runs: words.par_iter().map(|w| self.runs_of_word(w)).collect(),
        }
    }

    /// The known runs of these words with `x_g = c_g·√idf(g) ÷ √Σ c²·idf`, ascending; `c_g` of the
    /// different words have the run.
    #[must_use]
    pub fn vector(&self, words: &BTreeSet<String>) -> Vec<(usize, f64)> {
        let counted = counted(words.iter().flat_map(|word| self.runs_of_word(word)));
        let part = |(run, count): &(u32, f64)| count * count * self.idf[*run as usize];
        let sum: f64 = counted.iter().map(part).sum();
        let value = |(run, count): (u32, f64)| {
            let run = run as usize;
            (run, count * (self.idf[run] / sum).sqrt())
        };
        counted.into_iter().map(value).collect()
    }
}

/// Texts by their words, and words by their known runs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spelled {
    /// The words of each text, ascending, each once.
    pub texts: Vec<Vec<u32>>,
    /// The runs of each word, ascending, each once.
    pub runs: Vec<Vec<u32>>,
}

/// How often a run was used: by how many texts, on how many days.
#[derive(Clone, Copy, Default)]
struct Used {
    texts: usize,
    days: usize,
    last: Option<Date>,
}

impl Used {
    fn add(&mut self, day: Date) {
        self.texts += 1;
        if self.last != Some(day) {
            self.days += 1;
            self.last = Some(day);
        }
    }

    fn is_enough(&self) -> bool {
        self.texts >= USED_BY && self.days >= USED_BY
    }
}

fn distinct(texts: &[Vec<String>]) -> Vec<&str> {
    let words: BTreeSet<&str> = texts.iter().flatten().map(String::as_str).collect();
    words.into_iter().collect()
}

/// The numbers that the words of each text have, ascending, each once.
fn sets(texts: &[Vec<String>], of_word: &HashMap<&str, Vec<u32>>) -> Vec<Vec<u32>> {
    let set = |words: &Vec<String>| {
        let numbers = words.iter().filter_map(|word| of_word.get(word.as_str()));
        let mut numbers: Vec<u32> = numbers.flatten().copied().collect();
        numbers.sort_unstable();
        numbers.dedup();
        numbers
    };
    texts.par_iter().map(set).collect()
}
