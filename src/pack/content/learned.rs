//! What each run of letters says for articles and kinds.
//!
//! Runs that stand in the very same words learned the very same weights; half of all do. So a row of
//! weights is written once. Sizes of weights stand in order of the rarity of their runs, as rare runs
//! weigh more.

use super::bytes::{At, Bits, Blob};
use super::postings::front_coded;
use crate::base::ids::ArticleId;
use crate::evidence::learned::LearnedWords;
use serde::Serialize;
use std::collections::HashMap;

/// How many of the grains that learned weights are rounded to make one.
const PER_ONE: u16 = 64;

#[derive(Serialize)]
pub(super) struct LearnedPart<'a> {
    articles: &'a [ArticleId],
    kinds: &'a [String],
    /// The known runs, see [`front_coded`].
    runs: String,
    /// For each run how many rows ago its row came first; 0 for a new one.
    back: At,
    /// Every rarity that a run has, ascending, and for each row which.
    rarities: At,
    rarity: At,
    /// For each row: does it speak for the first article, the second, …, the last kind?
    speaks: At,
    /// For each weight in the same order: is it negative?
    negative: At,
    /// Its size in parts of `per_one`, rows by rarity.
    sizes: At,
    per_one: u16,
}

/// A row of weights and how rare its runs are: columns, weights, rarity.
type Row<'a> = (&'a [u32], &'a [f32], f64);

/// The same as bits, to be found by.
type RowBits<'a> = (&'a [u32], Vec<u32>, u64);

/// All of it, also of articles that did not go in: with them the same ones are among the best, so that
/// a pack for one device answers as `ask --device` does. None where a weight is no whole grain.
pub(super) fn learned<'a>(words: &'a LearnedWords, blob: &mut Blob) -> Option<LearnedPart<'a>> {
    let mut rows: Vec<Row<'_>> = Vec::new();
    let mut known: HashMap<RowBits<'_>, usize> = HashMap::new();
    let mut back = Vec::new();
    let mut from = 0;
    for (end, idf) in words.ends.iter().zip(&words.known.idf) {
        let range = from..*end as usize;
        from = range.end;
        let (columns, weights) = (&words.columns[range.clone()], &words.weights[range]);
        let bits = weights.iter().map(|w| w.to_bits()).collect();
        let row = *known
            .entry((columns, bits, idf.to_bits()))
            .or_insert(rows.len());
        back.push((rows.len() - row) as u64);
        if row == rows.len() {
            rows.push((columns, weights, *idf));
        }
    }
    let mut rarities: Vec<f64> = rows.iter().map(|row| row.2).collect();
    rarities.sort_by(f64::total_cmp);
    rarities.dedup();
    let rarity = |row: &Row<'_>| rarities.partition_point(|idf| *idf < row.2) as u64;
    let which: Vec<u64> = rows.iter().map(rarity).collect();

    let columns = u32::try_from(words.articles.len() + words.kinds.len()).ok()?;
    let (mut speaks, mut negative) = (Bits::default(), Bits::default());
    for (row, weights, _) in &rows {
        let mut row = row.iter().peekable();
        for column in 0..columns {
            speaks.push(row.next_if(|next| **next == column).is_some());
        }
        weights.iter().for_each(|w| negative.push(*w < 0.0));
    }
    let mut by_rarity: Vec<usize> = (0..rows.len()).collect();
    by_rarity.sort_by_key(|row| which[*row]);
    let sizes = by_rarity.iter().flat_map(|row| rows[*row].1).copied();
    let sizes: Vec<u64> = sizes.map(grains).collect::<Option<_>>()?;
    Some(LearnedPart {
        articles: &words.articles,
        kinds: &words.kinds,
        runs: front_coded(words.known.grams.iter().map(String::as_str)),
        back: blob.numbers(back),
        rarities: blob.doubles(rarities),
        rarity: blob.numbers(which),
        speaks: blob.bits(&speaks),
        negative: blob.bits(&negative),
        sizes: blob.numbers(sizes),
        per_one: PER_ONE,
    })
}

/// The size of a weight in whole grains.
fn grains(weight: f32) -> Option<u64> {
    let grains = (weight * f32::from(PER_ONE)).abs();
    // Whole numbers of this size are exact in 32 bits.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "it is whole, small and not negative"
    )]
    let number = grains as u64;
    (grains.fract() <= 0.0 && grains < 1e6).then_some(number)
}
