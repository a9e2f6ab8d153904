//! Learned words: what each run of letters in a caller's words says for an article and for a kind
//! of fix.
//!
//! ```text
//! score(a, f) = Σ_g x_g · (u(g, a) + v(g, kind of f))        chance(a, f) ∝ exp(score)
//! minimise   − Σ_i w_i ln Σ_{c ∈ A_i} p_i(c) + λ/2 Σ (u − u⁰)² + λ/4 Σ v²
//! ```
//! A conditional logit (`McFadden` 1974) with one weight for each run and article, and one for each
//! run and kind (kinds have twice the prior variance, as there are fewer of them). `x_g` is the number
//! of the text's words that have the run, times `√idf(g)`, divided by the length of all of them as a
//! vector, so long and short texts weigh the same. What the
//! article says of itself is the prior mean of what its callers say:
//! `u⁰(g, a) = 10·x_g(title and symptoms of a)`; with few tickets nothing else is left.
//! `A_i` are the pairs a case leaves possible; "none of the listed" has a kind of its own,
//! [`OTHER`]. No constant and no prior: both were tried on the open work orders and came out at 0.
//!
//! All numbers in [`Settings::default`] were chosen there by cross-validation.
//!
//! | file | question |
//! |---|---|
//! | [`choose`] | which rows are read, and which pairs stand against each other? |
//! | [`vocabulary`] | which runs are known, how rare are they, which does a text have? |
//! | `slots`, `kernel` | the function to be minimised, in few numbers |
//! | `weights` | from those numbers back to weights, without the small ones |
//! | [`learn`] | everything together |
//! | [`strongest`] | which words say most for an article? |

pub mod choose;
mod kernel;
pub mod learn;
mod slots;
pub mod strongest;
#[cfg(test)]
mod tests;
pub mod vocabulary;
mod weights;

use super::letters::words;
use super::question::MOST_WORDS;
use crate::base::ids::ArticleId;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use vocabulary::Vocabulary;

/// The kind of "none of the listed fixes". No kind of an article can be named so: kinds are slugs.
pub const OTHER: &str = "~other";

/// The numbers of the recipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// How strongly an article's own words are the prior mean of its callers' words.
    pub own: f64,
    /// `λ`, on a sum over rows.
    pub penalty: f64,
    /// Prior variance of kinds, where that of articles is 1.
    pub kinds: f64,
    /// Most steps of the search.
    pub iterations: usize,
    /// Slope at which the search stops.
    pub steepest: f64,
    /// Pairs that may all stand against each other; see [`choose`].
    pub pairs: usize,
    /// Weights with `|weight|·√idf` below this are dropped after learning.
    pub smallest: f64,
    /// Weights are rounded to multiples of this, so that a pack that carries them is small; 0 keeps
    /// them as they are. Roundings are as good as independent and a text's vector has length one, so a
    /// score moves by about `grain/√12`, half a hundredth.
    pub grain: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            own: 10.0,
            penalty: 0.003,
            kinds: 2.0,
            iterations: 40,
            steepest: 1e-3,
            pairs: choose::MOST_PAIRS,
            smallest: 0.3,
            grain: 1.0 / 64.0,
        }
    }
}

/// What was learned.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct LearnedWords {
    /// The known runs and how rare they are. A run stays known where all its weights were dropped:
    /// it still takes its part of `Σ x²`.
    pub known: Vocabulary,
    /// Articles with a weight, in order of their ids.
    pub articles: Vec<ArticleId>,
    /// Kinds with a weight, in order; [`OTHER`] among them.
    pub kinds: Vec<String>,
    /// Where the weights of each run end in `columns` and `weights`.
    pub ends: Vec<u32>,
    /// What each weight speaks for: a number in `articles`, or `articles.len()` and more for kinds.
    pub columns: Vec<u32>,
    /// The weights, rounded once, when they were learned, so that every reader has the same.
    pub weights: Vec<f32>,
}

/// The scores of one text.
#[derive(Clone, Debug, PartialEq)]
pub struct Scores<'a> {
    of: &'a LearnedWords,
    /// The words that were read, as letters read them.
    words: BTreeSet<String>,
    scores: Vec<f64>,
}

impl<'a> Scores<'a> {
    /// Those of another text: the same where it has the same words.
    #[must_use]
    pub fn or_of(&self, text: &str) -> Self {
        let words = distinct(text);
        if words == self.words {
            self.clone()
        } else {
            self.of.score_words(words)
        }
    }

    /// What the text says for an article; 0 for one that nothing was learned of.
    #[must_use]
    pub fn article(&self, id: &ArticleId) -> f64 {
        self.of
            .articles
            .binary_search(id)
            .map_or(0.0, |at| self.scores[at])
    }

    /// The mean over all articles of which anything was learned; 0 where there is none.
    #[must_use]
    pub fn mean_of_articles(&self) -> f64 {
        let articles = self.of.articles.len();
        self.scores[..articles].iter().sum::<f64>() / (articles as f64).max(1.0)
    }

    /// The articles that the text speaks for, best first, ties in order of their ids; at most `most`.
    #[must_use]
    pub fn best(&self, most: usize) -> Vec<&ArticleId> {
        let scored = self.scores.iter().zip(&self.of.articles);
        let mut spoken_for: Vec<(f64, &ArticleId)> = scored
            .filter(|(score, _)| **score > 0.0)
            .map(|(score, id)| (*score, id))
            .collect();
        spoken_for.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
        spoken_for.truncate(most);
        spoken_for.into_iter().map(|(_, id)| id).collect()
    }

    /// What the text says for a kind of fix ([`OTHER`] for none of the listed); 0 for one that
    /// nothing was learned of.
    #[must_use]
    pub fn kind(&self, kind: &str) -> f64 {
        self.of
            .kinds
            .binary_search_by(|k| k.as_str().cmp(kind))
            .map_or(0.0, |at| self.scores[self.of.articles.len() + at])
    }
}

impl LearnedWords {
    /// Scores a text; words after the first [`MOST_WORDS`] are not read.
    #[must_use]
    pub fn score(&self, text: &str) -> Scores<'_> {
        self.score_words(distinct(text))
    }

    fn score_words(&self, words: BTreeSet<String>) -> Scores<'_> {
        let mut scores = vec![0.0; self.articles.len() + self.kinds.len()];
        for (gram, x) in self.known.vector(&words) {
            for (column, weight) in self.weights_of(gram) {
                scores[column] += x * weight;
            }
        }
        Scores {
            of: self,
            words,
            scores,
        }
    }

    /// What each word of a text adds to its scores, in order of the words' plain form
    /// ([`super::letters::words`]). All together they are the scores of the text. A run that several
    /// words have counts for each in equal parts.
    #[must_use]
    pub fn by_word(&self, text: &str) -> Vec<(String, Scores<'_>)> {
        let words = distinct(text);
        let mut has: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (place, word) in words.iter().enumerate() {
            for run in self.known.runs_of_word(word) {
                has.entry(run as usize).or_default().push(place);
            }
        }
        let none = vec![0.0; self.articles.len() + self.kinds.len()];
        let mut scores = vec![none; words.len()];
        for (gram, x) in self.known.vector(&words) {
            let with_it = &has[&gram];
            for (column, weight) in self.weights_of(gram) {
                for place in with_it {
                    scores[*place][column] += x * weight / with_it.len() as f64;
                }
            }
        }
        let of_word = |(word, scores): (String, Vec<f64>)| {
            let words = BTreeSet::from([word.clone()]);
            let scores = Scores {
                of: self,
                words,
                scores,
            };
            (word, scores)
        };
        words.into_iter().zip(scores).map(of_word).collect()
    }

    /// The weights of a run: what each speaks for, and how much.
    fn weights_of(&self, gram: usize) -> impl Iterator<Item = (usize, f64)> {
        let from = gram.checked_sub(1).map_or(0, |g| self.ends[g] as usize);
        let range = from..self.ends[gram] as usize;
        self.columns[range.clone()]
            .iter()
            .zip(&self.weights[range])
            .map(|(column, weight)| (*column as usize, f64::from(*weight)))
    }
}

fn first_words(text: &str) -> Vec<String> {
    let mut words = words(text);
    words.truncate(MOST_WORDS);
    words
}

/// The different ones of the words that are read.
fn distinct(text: &str) -> BTreeSet<String> {
    first_words(text).into_iter().collect()
}
