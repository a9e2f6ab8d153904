//! The function to be minimised, in few numbers.
//!
//! At the minimum every column of weights is a sum of the texts' vectors: `u'(·, a) = Xᵀ b_a`, with
//! one number for each row that `a` stands in (the representer theorem; Kimeldorf & Wahba 1971).
//! L-BFGS from 0 never leaves this form, because gradients have it too: `Xᵀ(d_a + λ b_a)` with `d`
//! = `p − r` summed over the pairs of `a`. So the search walks over the `b` and carries the scores
//! `s_a = X Xᵀ b_a` along. It takes the very steps it would take over the weights (the inner
//! product of two places is `Σ b·s`), but a candidate list of 20 articles needs 20 numbers a row
//! where 1,000 articles with 30,000 runs would need 30 million weights.
//!
//! A slot is the place of one such number: a row and a column (an article or a kind).

use super::Settings;
use super::kernel::{Counted, Sums, Texts, WIDTH, Which, collect, multiply};
use crate::evidence::lbfgs::Point;
use rayon::prelude::*;

/// Columns over the same rows, and where their slots are.
pub(super) struct Block {
    /// Columns; places beyond them, up to the width, are not used.
    pub(super) columns: Vec<usize>,
    /// Rows they stand in.
    pub(super) rows: Which,
    /// Columns side by side: 1 or [`WIDTH`].
    pub(super) width: usize,
    /// Where its slots are: row by row, the columns of one row together.
    pub(super) slots: std::ops::Range<usize>,
    /// Prior variance.
    pub(super) variance: f64,
}

/// What stands against what in some rows.
pub(super) struct Choice {
    /// Columns, ascending.
    pub(super) columns: Vec<usize>,
    /// For each pair the places of its article and its kind in `columns`.
    pub(super) pairs: Vec<[usize; 2]>,
}

/// One row.
pub(super) struct Row {
    pub(super) weight: f64,
    /// Number of its choice.
    pub(super) choice: usize,
    /// Pairs it leaves possible, as places in the choice.
    pub(super) target: Vec<usize>,
    /// The slot of each column of the choice.
    pub(super) slots: Vec<u32>,
}

/// Everything the function needs.
pub(super) struct Slots {
    pub(super) texts: Texts,
    pub(super) choices: Vec<Choice>,
    pub(super) rows: Vec<Row>,
    pub(super) blocks: Vec<Block>,
    /// What the own words alone score, slot by slot.
    pub(super) own: Vec<f64>,
    pub(super) penalty: f64,
}

/// What words and runs sum up in: for one column and for several.
struct Room {
    one: Sums<1>,
    several: Sums<WIDTH>,
}

impl Slots {
    /// Lays out the slots. `articles` columns are articles, later ones kinds; `own` holds the runs
    /// of each article's own words.
    pub(super) fn new(
        texts: Texts,
        choices: Vec<Choice>,
        rows: Vec<Row>,
        articles: usize,
        own: &[Vec<Counted>],
        settings: &Settings,
    ) -> Self {
        let mut slots = Self {
            texts,
            choices,
            rows,
            blocks: Vec::new(),
            own: Vec::new(),
            penalty: settings.penalty,
        };
        slots.lay_out(articles, settings.kinds);
        slots.number_rows();
        slots.score_own(own, settings.own);
        slots
    }

    /// How many slots there are.
    pub(super) fn len(&self) -> usize {
        self.blocks.last().map_or(0, |block| block.slots.end)
    }

    /// What one look at the function costs: for each column the words of its texts and the runs of
    /// these words.
    pub(super) fn work(&self) -> usize {
        let of_block = |block: &Block| {
            let mut cost = match &block.rows {
                Which::All => self.texts.words.len(),
                Which::Some { texts, .. } => texts
                    .iter()
                    .map(|text| self.texts.words_of(*text as usize).len())
                    .sum(),
            };
            block.rows.each_word(&self.texts, |word| {
                cost += self.texts.runs_of(word).len();
            });
            cost * block.columns.len()
        };
        self.blocks.iter().map(of_block).sum()
    }

    fn lay_out(&mut self, articles: usize, kinds_variance: f64) {
        let mut rows_of: std::collections::BTreeMap<usize, Vec<u32>> =
            std::collections::BTreeMap::new();
        for (row, number) in self.rows.iter().zip(0_u32..) {
            for column in &self.choices[row.choice].columns {
                rows_of.entry(*column).or_default().push(number);
            }
        }
        // Kinds stand in nearly all rows; giving them a slot in all lets them go side by side.
        let all = self.rows.len();
        let (wide, narrow): (Vec<_>, Vec<_>) = rows_of
            .into_iter()
            .partition(|(column, rows)| *column >= articles || rows.len() == all);
        let columns: Vec<usize> = wide.into_iter().map(|(column, _)| column).collect();
        let (of_articles, of_kinds) = columns.split_at(columns.partition_point(|c| *c < articles));
        let sides = [(of_articles, 1.0), (of_kinds, kinds_variance)];
        let wide = sides.into_iter().flat_map(|(columns, variance)| {
            columns
                .chunks(WIDTH)
                .map(move |c| (c.to_vec(), Which::All, WIDTH, variance))
        });
        let narrow = narrow
            .into_iter()
            .map(|(column, rows)| (vec![column], self.some(rows), 1, 1.0));
        let mut from = 0;
        let laid_out: Vec<_> = wide.chain(narrow).collect();
        for (columns, rows, width, variance) in laid_out {
            let slots = from..from + rows.of(all) * width;
            from = slots.end;
            self.blocks.push(Block {
                columns,
                rows,
                width,
                slots,
                variance,
            });
        }
    }

    fn some(&self, rows: Vec<u32>) -> Which {
        let mut words: Vec<u32> = rows
            .iter()
            .flat_map(|row| self.texts.words_of(*row as usize))
            .copied()
            .collect();
        words.sort_unstable();
        words.dedup();
        Which::Some { texts: rows, words }
    }

    fn number_rows(&mut self) {
        for row in &mut self.rows {
            row.slots = vec![0; self.choices[row.choice].columns.len()];
        }
        for block in &self.blocks {
            let numbers: Vec<u32> = match &block.rows {
                Which::All => (0_u32..).take(self.rows.len()).collect(),
                Which::Some { texts, .. } => texts.clone(),
            };
            let mut slot = u32::try_from(block.slots.start).unwrap_or(u32::MAX);
            for number in numbers {
                let row = &mut self.rows[number as usize];
                let known = &self.choices[row.choice].columns;
                for (place, column) in (0_u32..).zip(&block.columns) {
                    if let Ok(at) = known.binary_search(column) {
                        row.slots[at] = slot + place;
                    }
                }
                slot += u32::try_from(block.width).unwrap_or(0);
            }
        }
    }

    fn score_own(&mut self, own: &[Vec<Counted>], strength: f64) {
        let texts = &self.texts;
        let mut scored = vec![0.0; self.len()];
        self.blocks
            .par_iter()
            .zip(self.of_blocks(&mut scored))
            .for_each(|(block, out)| {
                for (place, column) in block.columns.iter().enumerate() {
                    let Some(grams) = own.get(*column) else {
                        continue;
                    };
                    let mut sums = Sums::<1>::new(texts);
                    let scale = strength * texts.scale_of(grams);
                    for (run, count) in grams {
                        sums.runs[*run as usize][0] = scale * count;
                    }
                    let scores = collect(texts, &block.rows, &mut sums);
                    for (row, score) in scores.into_iter().enumerate() {
                        out[row * block.width + place] = score;
                    }
                }
            });
        self.own = scored;
    }

    /// The numbers of each block, out of those of all slots.
    fn of_blocks<'n>(&self, mut numbers: &'n mut [f64]) -> Vec<&'n mut [f64]> {
        let mut of_blocks = Vec::with_capacity(self.blocks.len());
        for block in &self.blocks {
            let (of_block, rest) = numbers.split_at_mut(block.slots.len());
            of_blocks.push(of_block);
            numbers = rest;
        }
        of_blocks
    }

    /// The function at a place `[b, s]`.
    pub(super) fn at(&self, place: &[f64]) -> Point {
        let (b, s) = place.split_at(self.len());
        let of_rows: Vec<(f64, Vec<f64>)> = self.rows.par_iter().map(|r| self.row(r, s)).collect();
        let mut gradient = vec![0.0; place.len()];
        let (slopes, scores) = gradient.split_at_mut(self.len());
        for (slope, b) in slopes.iter_mut().zip(b) {
            *slope = self.penalty * b;
        }
        let mut value = 0.0;
        for (row, (loss, of_row)) in self.rows.iter().zip(of_rows) {
            value += loss;
            for (slot, slope) in row.slots.iter().zip(of_row) {
                slopes[*slot as usize] += slope;
            }
        }
        let steepest = self.times_texts(slopes, scores);
        Point {
            value: value + self.penalty / 2.0 * self.dot(place, place),
            gradient,
            steepest,
        }
    }

    /// The inner product of two places; in pieces of a fixed size.
    pub(super) fn dot(&self, one: &[f64], other: &[f64]) -> f64 {
        let (b, s) = (&one[..self.len()], &other[self.len()..]);
        let pieces: Vec<f64> = b
            .par_chunks(4096)
            .zip(s.par_chunks(4096))
            .map(|(b, s)| crate::evidence::lbfgs::dot(b, s))
            .collect();
        pieces.iter().sum()
    }

    /// `−w ln Σ_{c∈A} p(c)` of one row, and its slope along each column of its choice.
    fn row(&self, row: &Row, s: &[f64]) -> (f64, Vec<f64>) {
        let choice = &self.choices[row.choice];
        let columns: Vec<f64> = row
            .slots
            .iter()
            .map(|slot| s[*slot as usize] + self.own[*slot as usize])
            .collect();
        let scores = choice.pairs.iter().map(|[a, k]| columns[*a] + columns[*k]);
        let mut chances: Vec<f64> = scores.collect();
        let left = logsumexp(row.target.iter().map(|pair| chances[*pair]));
        let share: Vec<f64> = row
            .target
            .iter()
            .map(|pair| (chances[*pair] - left).exp())
            .collect();
        // The largest is taken off first, so nothing overflows; each exponential is taken once.
        let top = chances.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        chances.iter_mut().for_each(|c| *c = (*c - top).exp());
        let sum: f64 = chances.iter().sum();
        let all = top + sum.ln();
        chances.iter_mut().for_each(|c| *c /= sum);
        for (pair, share) in row.target.iter().zip(share) {
            chances[*pair] -= share;
        }
        let mut slopes = vec![0.0; columns.len()];
        for ([a, k], slope) in choice.pairs.iter().zip(chances) {
            slopes[*a] += row.weight * slope;
            slopes[*k] += row.weight * slope;
        }
        (row.weight * (all - left), slopes)
    }

    /// Writes `X Xᵀ` times every column, by its variance; gives the steepest slope along any weight.
    fn times_texts(&self, values: &[f64], scores: &mut [f64]) -> f64 {
        let room = || Room {
            one: Sums::new(&self.texts),
            several: Sums::new(&self.texts),
        };
        let steepest: Vec<f64> = self
            .blocks
            .par_iter()
            .zip(self.of_blocks(scores))
            .map_init(room, |room, (block, scores)| {
                let values = &values[block.slots.clone()];
                let (product, steepest) = if block.width == 1 {
                    multiply(&self.texts, &block.rows, values, &mut room.one)
                } else {
                    multiply(&self.texts, &block.rows, values, &mut room.several)
                };
                for (score, product) in scores.iter_mut().zip(product) {
                    *score = product * block.variance;
                }
                steepest * block.variance.sqrt()
            })
            .collect();
        steepest.into_iter().fold(0.0, f64::max)
    }
}

/// `ln Σ exp`; the largest is taken off first, so nothing overflows.
fn logsumexp(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let top = values.clone().fold(f64::NEG_INFINITY, f64::max);
    top + values.map(|v| (v - top).exp()).sum::<f64>().ln()
}
