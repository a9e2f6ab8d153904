//! What is read, and what stands against what, so that time and memory stay bounded.
//!
//! * At most [`MOST_ROWS`] rows with [`MOST_LETTERS`] are read. Each article gives its newest first
//!   (the largest weight, then the later in the list), then each its second newest, and so on, so
//!   that rare articles are learned too.
//! * The alternatives of a row are all pairs that at least one row leaves possible. Where these are
//!   more than [`MOST_PAIRS`], they are only those among the row's own candidates (the pairs of its
//!   best articles by text), with the row's own. That is the set among which the words must decide
//!   when a question is asked. Nothing is drawn by chance.
//! * The search takes fewer steps where each costs more, but at least [`FEWEST_STEPS`].
//!
//! On the open work orders candidates of the 12 best of 39 articles ranked as well as all of them,
//! of 5 no longer; 40 steps were as good as 100, 30 cost 2 % of log loss.

use super::Settings;
use crate::evidence::layout::Layout;
use crate::evidence::lbfgs::Limits;
use crate::evidence::question::MOST_WORDS;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Rows that are read.
pub const MOST_ROWS: usize = 20_000;

/// Letters in the rows that are read; about three runs a letter.
pub const MOST_LETTERS: usize = 600_000;

/// Letters of one text that are counted: later words are not read.
const LETTERS_READ: usize = 8 * MOST_WORDS;

/// Pairs that may all stand against each other.
pub const MOST_PAIRS: usize = 400;

/// Runs times columns, over all steps of the search.
const MOST_WORK: usize = 3_000_000_000;

/// Steps that are always allowed.
pub const FEWEST_STEPS: usize = 30;

/// Numbers that the search remembers of earlier steps.
const MOST_MEMORY: usize = 32_000_000;

/// One case to learn from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LearnRow {
    /// What the caller said.
    pub text: String,
    /// The day its case was closed.
    pub day: Date,
    /// How much it counts.
    pub weight: f64,
    /// The pairs it leaves possible, all of one article; see [`target`].
    pub target: Vec<usize>,
    /// The pairs of the best articles by text; may be empty where there are few pairs.
    pub candidates: Vec<usize>,
}

/// The pairs that a case of an article leaves possible: the one that ended it (`Some(fix)`, or
/// `Some(None)` for none of the listed), else all that did not fail. Cases that no article covers
/// have none and are not learned from.
#[must_use]
pub fn target(
    layout: &Layout,
    article: usize,
    ended: Option<Option<usize>>,
    failed: &BTreeSet<usize>,
) -> Vec<usize> {
    if let Some(fix) = ended {
        return layout.pair(article, fix).into_iter().collect();
    }
    let failed = |fix: Option<usize>| fix.is_some_and(|fix| failed.contains(&fix));
    layout.pairs_of.get(article).map_or_else(Vec::new, |pairs| {
        pairs
            .clone()
            .filter(|p| !failed(layout.pairs[*p].fix))
            .collect()
    })
}

/// The rows to read, ascending, by article, weight and text. Choosing first saves the caller from
/// looking for candidates of rows that are not read.
#[must_use]
pub fn newest<'a>(rows: impl IntoIterator<Item = (usize, f64, &'a str)>) -> Vec<usize> {
    let rows: Vec<(usize, f64, usize)> = rows
        .into_iter()
        .map(|(article, weight, text)| (article, weight, text.len().min(LETTERS_READ)))
        .collect();
    within(&rows, MOST_ROWS, MOST_LETTERS)
}

pub(super) fn within(rows: &[(usize, f64, usize)], most: usize, letters: usize) -> Vec<usize> {
    let newer = |a: &usize, b: &usize| rows[*b].1.total_cmp(&rows[*a].1).then(b.cmp(a));
    let mut of_article: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (row, (article, _, _)) in rows.iter().enumerate() {
        of_article.entry(*article).or_default().push(row);
    }
    let mut ranked: Vec<(usize, usize)> = Vec::with_capacity(rows.len());
    for rows in of_article.values_mut() {
        rows.sort_by(newer);
        ranked.extend(rows.iter().copied().enumerate());
    }
    ranked.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| newer(&a.1, &b.1)));
    let mut left = letters;
    let mut chosen = Vec::new();
    for (_, row) in ranked.into_iter().take(most) {
        let Some(after) = left.checked_sub(rows[row].2) else {
            break;
        };
        left = after;
        chosen.push(row);
    }
    chosen.sort_unstable();
    chosen
}

/// How many steps the search may take, and how many it remembers, where one step costs `work` and
/// moves `numbers`.
pub(super) fn limits(settings: &Settings, work: usize, numbers: usize) -> Limits {
    let affordable = (MOST_WORK / work.max(1)).max(FEWEST_STEPS);
    Limits {
        memory: (MOST_MEMORY / (2 * numbers).max(1)).clamp(3, 6),
        iterations: settings.iterations.min(affordable),
        steepest: settings.steepest,
    }
}

/// The alternatives of each row, ascending; one list where all rows have the same.
pub(super) fn alternatives(rows: &[&LearnRow], most: usize) -> Vec<Vec<usize>> {
    let seen: BTreeSet<usize> = rows.iter().flat_map(|r| r.target.iter().copied()).collect();
    if seen.len() <= most {
        return vec![seen.into_iter().collect()];
    }
    rows.iter()
        .map(|row| {
            let mut pairs: Vec<usize> = row.candidates.clone();
            pairs.retain(|pair| seen.contains(pair));
            pairs.extend(&row.target);
            pairs.sort_unstable();
            pairs.dedup();
            pairs
        })
        .collect()
}
