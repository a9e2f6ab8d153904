//! The runs of letters that are known, and texts as vectors over them.

use crate::evidence::letters::grams_of_word;
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
    /// The runs that at least `used_by` of the texts have, and all that articles say of themselves.
    #[must_use]
    pub fn of(texts: &[Vec<String>], own: &[Vec<String>], used_by: usize) -> Self {
        let mut df: HashMap<String, usize> = HashMap::new();
        let of_texts: Vec<BTreeSet<String>> = texts.par_iter().map(grams).collect();
        for gram in of_texts.into_iter().flatten() {
            *df.entry(gram).or_default() += 1;
        }
        let own: BTreeSet<String> = own.iter().flat_map(grams).collect();
        df.retain(|gram, df| *df >= used_by || own.contains(gram));
        for gram in own {
            df.entry(gram).or_default();
        }
        let sorted: BTreeMap<String, usize> = df.into_iter().collect();
        let n = texts.len() as f64;
        let idf = sorted
            .values()
            .map(|df| ((1.0 + n) / (1.0 + *df as f64)).ln() + 1.0)
            .collect();
        Self {
            grams: sorted.into_keys().collect(),
            idf,
        }
    }

    /// The number of a run.
    #[must_use]
    pub fn number(&self, gram: &str) -> Option<usize> {
        self.grams.binary_search_by(|g| g.as_str().cmp(gram)).ok()
    }

    /// The known runs of these words, ascending, each once.
    #[must_use]
    pub fn numbers<W: AsRef<str>>(&self, words: impl IntoIterator<Item = W>) -> Vec<u32> {
        grams(words)
            .iter()
            .filter_map(|gram| u32::try_from(self.number(gram)?).ok())
            .collect()
    }

    /// `1/√Σ idf` over these runs; 0 where there are none.
    #[must_use]
    pub fn scale(&self, numbers: &[u32]) -> f64 {
        let sum: f64 = numbers.iter().map(|g| self.idf[*g as usize]).sum();
        if sum > 0.0 { sum.sqrt().recip() } else { 0.0 }
    }

    /// The known runs of these words with `x_g = √(idf(g)/Σ idf)`, ascending.
    #[must_use]
    pub fn vector<W: AsRef<str>>(&self, words: impl IntoIterator<Item = W>) -> Vec<(usize, f64)> {
        let numbers = self.numbers(words);
        let scale = self.scale(&numbers);
        numbers
            .into_iter()
            .map(|g| (g as usize, self.idf[g as usize].sqrt() * scale))
            .collect()
    }
}

fn grams<W: AsRef<str>>(words: impl IntoIterator<Item = W>) -> BTreeSet<String> {
    words
        .into_iter()
        .flat_map(|word| grams_of_word(word.as_ref()))
        .collect()
}
