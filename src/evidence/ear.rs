//! Does it sound like a danger? Learned from sayings of which somebody said whether they are one.
//!
//! Phrases ([`super::danger`]) hear what somebody thought of, and hear it in figures of speech as well.
//! Words and pairs of neighbouring words, weighed together, hear wording nobody wrote down and tell
//! "the meeting went up in smoke" from smoke. Each makes up for what the other lacks: of two sets of
//! sayings that neither knew, phrases alone missed 29 of 160 dangers and stopped 56 of 320 others; with
//! this beside them 13 were missed and 25 stopped (worked out before it was built, by scikit-learn; with
//! 0.6 for [`SOUNDS_FROM`] 10 and 37).
//!
//! Symptoms and titles of the articles are sayings too: without ordinary faults among the examples every
//! third call would sound dangerous. Even so it stops a call alone only where no ordinary article
//! explains what was said ([`EXPLAINED_FROM`]).
//!
//! The chance is that of a logistic regression with an L2 penalty over the terms of a text, each
//! counted once and the whole scaled to length one; dangers and others weigh the same in all:
//!
//! ```text
//! minimise  |w|²/2 + C Σ_i v_i ln(1 + exp(−y_i (w·x_i + b))),     v_i = n / 2n_class
//! ```
//!
//! (the objective of scikit-learn's `LogisticRegression(class_weight="balanced")`). Chosen by leaving
//! out one author's sayings at a time, among words, pairs, runs of letters and their unions, `C` of 10,
//! 30 and 100: 25 settings; runs of letters heard no better and take three times the room.

use super::lbfgs::{Limits, Point, dot, minimise};
use super::letters::words;
use crate::articles::Catalog;
use crate::articles::sayings::Saying;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// Below this chance a phrase that was said only makes us ask.
pub const DOUBTED_BELOW: f64 = 0.2;

/// From this chance on a text stops the call without any phrase, where nothing else explains it.
pub const SOUNDS_FROM: f64 = 0.8;

/// An article without danger of this chance explains a text.
pub const EXPLAINED_FROM: f64 = 0.7;

/// Sayings of either kind that are needed to learn anything.
const FEWEST: usize = 50;

/// A term must come in so many sayings.
const SEEN_FROM: usize = 3;

/// `C`: how much a saying weighs against the penalty.
const STRENGTH: f64 = 100.0;

/// Weights are whole multiples of this, so that a pack carries them exactly.
pub const STEP: f64 = 1.0 / 64.0;

/// A text with fewer known terms is too short to be judged by how it sounds: a greeting, a code, a cry.
pub const FEWEST_TERMS: usize = 6;

/// Words that are weighed together; a longer text is weighed in parts, each half over the next, so that
/// a danger told last is not drowned by what was told before.
pub const WINDOW: usize = 60;

const LIMITS: Limits = Limits {
    memory: 10,
    iterations: 400,
    steepest: 1e-3,
};

/// How a text sounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sound {
    /// Like a danger, with this chance.
    Danger(f64),
    /// Like none.
    Harmless,
    /// Neither.
    Unclear,
}

/// What was learned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ear {
    /// Words, and pairs with a space between them; sorted.
    pub terms: Vec<String>,
    /// The weight of each, in [`STEP`]s.
    pub weights: Vec<i32>,
    /// What no term says, in [`STEP`]s.
    pub bias: i32,
}

impl Ear {
    /// Learns from sayings and from the articles' titles and symptoms; none where there are too few
    /// sayings of either kind. The order of the sayings does not matter.
    #[must_use]
    pub fn learn(sayings: &[Saying], catalog: &Catalog) -> Option<Self> {
        let dangers = sayings.iter().filter(|s| s.stops).count();
        if dangers.min(sayings.len() - dangers) < FEWEST {
            return None;
        }
        let written = catalog.articles.values().flat_map(|article| {
            let lines = article.symptoms.iter().chain([&article.title]);
            lines.map(|line| (line.as_str(), article.danger.is_some()))
        });
        let said = sayings.iter().map(|s| (s.said.as_str(), s.stops));
        let mut texts: Vec<(BTreeSet<String>, bool)> = said
            .chain(written)
            .map(|(text, stops)| (terms_of(&words(text)), stops))
            .collect();
        let dangers = texts.iter().filter(|(_, stops)| *stops).count();
        let others = texts.len() - dangers;
        // Sums of numbers depend on their order in the last bit.
        texts.sort();
        let terms = known_terms(&texts);
        let rows: Vec<Row> = texts
            .iter()
            .map(|(of, stops)| {
                let class = if *stops { dangers } else { others };
                Row::new(of, &terms, *stops, texts.len() as f64 / (2 * class) as f64)
            })
            .collect();
        let numbers = terms.len() + 1;
        let found = minimise(|at| loss(&rows, at), dot, vec![0.0; numbers], &LIMITS);
        let mut weights: Vec<i32> = found.x.iter().map(|w| in_steps(*w)).collect();
        let bias = weights.pop().unwrap_or(0);
        Some(Self {
            terms: terms.into_keys().map(str::to_owned).collect(),
            weights,
            bias,
        })
    }

    /// The chance that a text is a danger: that of its most dangerous part. None where no part has
    /// [`FEWEST_TERMS`].
    #[must_use]
    pub fn chance(&self, text: &str) -> Option<f64> {
        self.most(&words(text))
    }

    /// What to make of a text. Only a short one is doubted: in a long story what is told of a danger is
    /// drowned by the rest.
    #[must_use]
    pub fn hear(&self, text: &str) -> Sound {
        let words = words(text);
        match self.most(&words) {
            Some(chance) if chance >= SOUNDS_FROM => Sound::Danger(chance),
            Some(chance) if chance < DOUBTED_BELOW && words.len() <= WINDOW => Sound::Harmless,
            _ => Sound::Unclear,
        }
    }

    fn most(&self, words: &[String]) -> Option<f64> {
        let mut starts = vec![0];
        while starts.last().is_some_and(|s| s + WINDOW < words.len()) {
            starts.push(starts[starts.len() - 1] + WINDOW / 2);
        }
        let part = |start: &usize| &words[*start..words.len().min(start + WINDOW)];
        let sums = starts.iter().filter_map(|start| self.sum(part(start)));
        let most = sums.reduce(f64::max)?;
        Some(1.0 / (1.0 + (-most).exp()))
    }

    fn sum(&self, words: &[String]) -> Option<f64> {
        let weights: Vec<i32> = terms_of(words)
            .iter()
            .filter_map(|term| self.terms.binary_search(term).ok())
            .map(|at| self.weights[at])
            .collect();
        if weights.len() < FEWEST_TERMS {
            return None;
        }
        let length = (weights.len() as f64).sqrt();
        let sum: i64 = weights.iter().map(|w| i64::from(*w)).sum();
        // Whole numbers below 2^53 are exact.
        Some((sum as f64 / length + f64::from(self.bias)) * STEP)
    }
}

#[allow(
    clippy::cast_possible_truncation,
    reason = "weights are a few thousand steps at most"
)]
fn in_steps(weight: f64) -> i32 {
    (weight / STEP).round() as i32
}

/// The words and the pairs of neighbours, each once.
fn terms_of(words: &[String]) -> BTreeSet<String> {
    let pairs = words.windows(2).map(|pair| pair.join(" "));
    words.iter().cloned().chain(pairs).collect()
}

/// The terms that come in [`SEEN_FROM`] texts, numbered in their order.
fn known_terms(texts: &[(BTreeSet<String>, bool)]) -> BTreeMap<&str, usize> {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for term in texts.iter().flat_map(|(terms, _)| terms) {
        *seen.entry(term).or_default() += 1;
    }
    seen.retain(|_, times| *times >= SEEN_FROM);
    seen.values_mut()
        .enumerate()
        .for_each(|(at, number)| *number = at);
    seen
}

/// One saying: its terms, all of one value.
struct Row {
    terms: Vec<usize>,
    value: f64,
    sign: f64,
    weight: f64,
}

impl Row {
    fn new(of: &BTreeSet<String>, known: &BTreeMap<&str, usize>, stops: bool, weight: f64) -> Self {
        let terms: Vec<usize> = of
            .iter()
            .filter_map(|term| known.get(term.as_str()).copied())
            .collect();
        Self {
            value: 1.0 / (terms.len().max(1) as f64).sqrt(),
            terms,
            sign: if stops { 1.0 } else { -1.0 },
            weight: weight * STRENGTH,
        }
    }
}

/// The function to be made small, and its slope; the last number is the bias, which is not penalised.
fn loss(rows: &[Row], at: &[f64]) -> Point {
    let (bias, weights) = (at[at.len() - 1], &at[..at.len() - 1]);
    let mut slope: Vec<f64> = weights.to_vec();
    slope.push(0.0);
    let mut value = dot(weights, weights) / 2.0;
    for row in rows {
        let sum: f64 = row.terms.iter().map(|t| weights[*t]).sum();
        let margin = row.sign * (row.value * sum + bias);
        // ln(1 + e^−m) without overflow.
        value += row.weight * ((-margin.abs()).exp().ln_1p() + (-margin).max(0.0));
        let pull = -row.weight * row.sign / (1.0 + margin.exp());
        for term in &row.terms {
            slope[*term] += pull * row.value;
        }
        slope[at.len() - 1] += pull;
    }
    Point::new(value, slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sayings() -> Vec<Saying> {
        let say = |said: String, stops: bool| Saying {
            said,
            stops,
            topic: String::new(),
        };
        let things = ["plug", "box", "post", "cable", "meter"];
        let mut all = Vec::new();
        for at in 0..60 {
            let thing = things[at % 5];
            all.push(say(format!("the {thing} {at} smells of hot plastic"), true));
            all.push(say(format!("the {thing} {at} shows no lamp today"), false));
        }
        all
    }

    #[test]
    fn what_was_learned_is_heard_in_other_words_and_last_in_a_long_story() {
        let ear = Ear::learn(&sayings(), &Catalog::default()).unwrap();
        let chance = |text: &str| ear.chance(text).unwrap();
        assert!(chance("the plug smells of hot plastic, of hot plastic") > 0.8);
        assert!(chance("the post shows no lamp today") < 0.2);
        assert_eq!(ear.hear("the post shows no lamp today"), Sound::Harmless);
        let long = "the lamp of the post shows no more ".repeat(40);
        assert!(chance(&long) < 0.5);
        assert_eq!(ear.hear(&long), Sound::Unclear);
        assert!(
            chance(&format!(
                "{long} and it smells of hot plastic, the plug smells of hot plastic"
            )) > 0.5
        );
    }

    #[test]
    fn few_sayings_teach_nothing_and_odd_or_short_texts_say_nothing() {
        assert!(Ear::learn(&sayings()[..98], &Catalog::default()).is_none());
        assert!(Ear::learn(&[], &Catalog::default()).is_none());
        let ear = Ear::learn(&sayings(), &Catalog::default()).unwrap();
        let (one_word, many) = ("x".repeat(100_000), "smells ".repeat(50_000));
        for text in ["", "🔥", "\u{0}", "hello", "smells", &one_word, &many] {
            assert_eq!(ear.chance(text), None);
            assert_eq!(ear.hear(text), Sound::Unclear);
        }
    }

    #[test]
    fn the_order_of_sayings_does_not_matter() {
        let mut all = sayings();
        let one = Ear::learn(&all, &Catalog::default());
        all.reverse();
        assert_eq!(Ear::learn(&all, &Catalog::default()), one);
    }
}
