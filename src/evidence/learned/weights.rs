//! From the numbers that were found to weights, without the small ones.

use super::kernel::{Counted, Sums, WIDTH, spread};
use super::slots::{Block, Slots};
use super::vocabulary::Vocabulary;
use super::{LearnedWords, OTHER, Settings};
use crate::evidence::layout::Layout;
use rayon::prelude::*;

/// Weights that are kept; with more, the smallest count as small too. A pack must carry them.
const MOST_WEIGHTS: usize = 1_000_000;

/// A run (by its place), a column and the weight.
type Weight = (u32, usize, f32);

/// What weights are made of.
pub(super) struct Maker<'a> {
    pub(super) layout: &'a Layout,
    pub(super) slots: &'a Slots,
    /// The runs of each article's own words, by place.
    pub(super) own: &'a [Vec<Counted>],
    pub(super) settings: &'a Settings,
}

impl Maker<'_> {
    /// The weights at a place of the search. `place` says where each run of `known` is.
    pub(super) fn words(&self, found: &[f64], known: Vocabulary, place: &[u32]) -> LearnedWords {
        let articles = self.layout.articles.len();
        let (kinds, number_of_kind) = kinds(self.layout);
        let mut number_at: Vec<u32> = vec![0; place.len()];
        for (number, place) in (0_u32..).zip(place) {
            number_at[*place as usize] = number;
        }
        let number_of = |column: usize| match column.checked_sub(articles) {
            Some(kind) => articles + number_of_kind[kind],
            None => column,
        };
        let mut weights: Vec<(u32, u32, f32)> = self
            .largest(self.weights(found), MOST_WEIGHTS)
            .into_iter()
            .map(|(run, column, weight)| {
                let column = u32::try_from(number_of(column)).unwrap_or(u32::MAX);
                (number_at[run as usize], column, weight)
            })
            .collect();
        weights.par_sort_unstable_by_key(|(run, column, _)| (*run, *column));
        let end = |run: u32| weights.partition_point(|(r, _, _)| *r <= run);
        let runs = (0_u32..).take(known.grams.len());
        LearnedWords {
            ends: runs
                .map(|run| u32::try_from(end(run)).unwrap_or(u32::MAX))
                .collect(),
            known,
            articles: self.layout.articles.clone(),
            kinds,
            columns: weights.iter().map(|(_, column, _)| *column).collect(),
            weights: weights.iter().map(|(_, _, weight)| *weight).collect(),
        }
    }

    fn weights(&self, found: &[f64]) -> Vec<Weight> {
        let blocks = &self.slots.blocks;
        let of_block = |block: &Block| {
            if block.width == 1 {
                self.of_block::<1>(block, found)
            } else {
                self.of_block::<WIDTH>(block, found)
            }
        };
        let mut weights: Vec<Weight> = blocks.par_iter().flat_map_iter(of_block).collect();
        // Articles without a case have their own words alone.
        let mut alone = vec![true; self.own.len()];
        for column in blocks.iter().flat_map(|block| &block.columns) {
            if let Some(alone) = alone.get_mut(*column) {
                *alone = false;
            }
        }
        for (article, own) in self.own.iter().enumerate().filter(|(a, _)| alone[*a]) {
            let sum = self.settings.own * self.slots.texts.scale_of(own);
            let kept = own
                .iter()
                .filter_map(|(run, count)| self.kept(*run, article, sum * count));
            weights.extend(kept);
        }
        weights
    }

    fn of_block<const W: usize>(&self, block: &Block, found: &[f64]) -> Vec<Weight> {
        let texts = &self.slots.texts;
        let mut sums = Sums::<W>::new(texts);
        let values = found[block.slots.clone()].iter();
        let values: Vec<f64> = values.map(|b| b * block.variance).collect();
        spread(texts, &block.rows, &values, &mut sums);
        let mut weights = Vec::new();
        for (at, column) in block.columns.iter().enumerate() {
            if let Some(own) = self.own.get(*column) {
                let scale = self.settings.own * texts.scale_of(own);
                for (run, count) in own {
                    sums.runs[*run as usize][at] += scale * count;
                }
            }
            for (run, sums) in (0_u32..).zip(&sums.runs) {
                weights.extend(self.kept(run, *column, sums[at]));
            }
        }
        weights
    }

    /// The `most` largest by `|weight|·√idf`, with those as large as the last of them.
    fn largest(&self, mut weights: Vec<Weight>, most: usize) -> Vec<Weight> {
        let size = |(run, _, weight): &Weight| {
            self.slots.texts.idf[*run as usize].sqrt() * f64::from(weight.abs())
        };
        if weights.len() > most && most > 0 {
            let mut sizes: Vec<f64> = weights.iter().map(size).collect();
            sizes.sort_unstable_by(|a, b| b.total_cmp(a));
            weights.retain(|weight| size(weight) >= sizes[most - 1]);
        }
        weights
    }

    /// `√idf·sum`, where it is large enough.
    fn kept(&self, run: u32, column: usize, sum: f64) -> Option<Weight> {
        let root = self.slots.texts.idf[run as usize].sqrt();
        let grain = self.settings.grain;
        let exact = root * sum;
        let rounded = if grain > 0.0 {
            (exact / grain).round() * grain
        } else {
            exact
        };
        // Weights are far below what 32 bits can hold; only digits are lost.
        #[allow(clippy::cast_possible_truncation, reason = "rounding is meant")]
        let weight = rounded as f32;
        let large = weight != 0.0 && (root * root * sum).abs() >= self.settings.smallest;
        large.then_some((run, column, weight))
    }
}

/// The kinds in order, [`OTHER`] among them, and the place of each by its number.
fn kinds(layout: &Layout) -> (Vec<String>, Vec<usize>) {
    let mut kinds: Vec<(&str, usize)> = layout
        .kinds
        .iter()
        .map(String::as_str)
        .chain([OTHER])
        .zip(0..)
        .collect();
    kinds.sort_unstable();
    let mut place = vec![0; kinds.len()];
    for (at, (_, number)) in kinds.iter().enumerate() {
        place[*number] = at;
    }
    let names = kinds.into_iter().map(|(kind, _)| kind.to_owned());
    (names.collect(), place)
}
