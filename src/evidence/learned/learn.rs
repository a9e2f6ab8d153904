//! From cases to learned words.

use super::choose::{LearnRow, MOST_ROWS, alternatives, newest};
use super::kernel::{Texts, spread};
use super::slots::{Block, Choice, Row, Slots};
use super::vocabulary::Vocabulary;
use super::{LearnedWords, OTHER, Settings, first_words};
use crate::articles::Catalog;
use crate::evidence::layout::Layout;
use crate::evidence::lbfgs::{Found, Limits, minimise};
use rayon::prelude::*;
use std::array::from_fn;

/// Steps that L-BFGS remembers.
const MEMORY: usize = 10;

/// What was learned, and how the search went.
#[derive(Clone, Debug, PartialEq)]
pub struct Learning {
    /// The result.
    pub words: LearnedWords,
    /// The function at the start, where own words alone speak.
    pub start: f64,
    /// The function at the end.
    pub value: f64,
    /// The steepest slope left.
    pub steepest: f64,
    /// Steps of the search.
    pub iterations: usize,
    /// Rows read.
    pub rows: usize,
    /// Runs in the rows read, each counted once a row.
    pub runs: usize,
}

/// What each article says of itself in callers' words: its title and its symptoms.
#[must_use]
pub fn own_texts(catalog: &Catalog, layout: &Layout) -> Vec<String> {
    let own = layout.articles.iter().map(|id| {
        let article = &catalog.articles[id];
        let symptoms = article.symptoms.iter().map(String::as_str);
        let all: Vec<&str> = std::iter::once(article.title.as_str())
            .chain(symptoms)
            .collect();
        all.join("\n")
    });
    own.collect()
}

/// Learns words. `own` is what each article says of itself, by its number ([`own_texts`]). Rows
/// without a target are passed over.
///
/// The same input gives the same result to the last bit, whatever the number of threads; another
/// order of the rows gives the same up to what the search leaves open.
#[must_use]
pub fn learn(layout: &Layout, own: &[String], rows: &[LearnRow], settings: &Settings) -> Learning {
    let usable: Vec<&LearnRow> = rows.iter().filter(|row| !row.target.is_empty()).collect();
    let ranks: Vec<(usize, f64)> = usable
        .iter()
        .map(|row| (layout.pairs[row.target[0]].article, row.weight))
        .collect();
    let chosen = newest(&ranks, MOST_ROWS);
    let rows: Vec<&LearnRow> = chosen.into_iter().map(|row| usable[row]).collect();
    let texts: Vec<Vec<String>> = rows.par_iter().map(|r| first_words(&r.text)).collect();
    let own: Vec<Vec<String>> = own.iter().map(|text| first_words(text)).collect();
    let known = Vocabulary::of(&texts, &own, settings.used_by);
    let own: Vec<Vec<u32>> = own.iter().map(|words| known.numbers(words)).collect();
    let texts = texts_of(&texts, &known);
    let runs = texts.grams.len();
    let (choices, targets) = choices(&rows, layout);
    let slots = Slots::new(texts, choices, targets, layout.articles.len(), &own, settings);
    let zero = vec![0.0; slots.len() * 2];
    let start = slots.at(&zero).value;
    let limits = Limits {
        memory: MEMORY,
        iterations: settings.iterations,
        steepest: settings.steepest,
    };
    let found = minimise(|x| slots.at(x), |a, b| slots.dot(a, b), zero, &limits);
    Learning {
        words: pruned(layout, known, &slots, &found, &own, settings),
        start,
        value: found.value,
        steepest: found.steepest,
        iterations: found.iterations,
        rows: rows.len(),
        runs,
    }
}

fn texts_of(texts: &[Vec<String>], known: &Vocabulary) -> Texts {
    let numbers: Vec<Vec<u32>> = texts.par_iter().map(|words| known.numbers(words)).collect();
    let mut all = Texts {
        scale: numbers.iter().map(|n| known.scale(n)).collect(),
        idf: known.idf.clone(),
        ..Texts::default()
    };
    for numbers in numbers {
        all.grams.extend(numbers);
        all.ends.push(all.grams.len());
    }
    all
}

/// The column of a kind: kinds follow articles, [`OTHER`] is the last.
fn kind_column(layout: &Layout, kind: Option<usize>) -> usize {
    layout.articles.len() + kind.unwrap_or(layout.kinds.len())
}

fn choices(rows: &[&LearnRow], layout: &Layout) -> (Vec<Choice>, Vec<Row>) {
    let alternatives = alternatives(rows);
    let choices = alternatives.iter().map(|pairs| {
        let columns_of = |pair: &usize| {
            let pair = layout.pairs[*pair];
            [pair.article, kind_column(layout, pair.kind)]
        };
        let mut columns: Vec<usize> = pairs.iter().flat_map(columns_of).collect();
        columns.sort_unstable();
        columns.dedup();
        let place = |column: usize| columns.partition_point(|c| *c < column);
        Choice {
            pairs: pairs.iter().map(|p| columns_of(p).map(place)).collect(),
            columns,
        }
    });
    let choices: Vec<Choice> = choices.collect();
    let rows = rows.iter().enumerate().map(|(number, row)| {
        let choice = number.min(choices.len() - 1);
        let all = &alternatives[choice];
        let mut target: Vec<usize> = row
            .target
            .iter()
            .filter_map(|pair| all.binary_search(pair).ok())
            .collect();
        target.sort_unstable();
        target.dedup();
        Row {
            weight: row.weight,
            choice,
            target,
            slots: Vec::new(),
        }
    });
    let rows = rows.collect();
    (choices, rows)
}

/// Turns the found numbers into weights and drops the small ones.
fn pruned(
    layout: &Layout,
    known: Vocabulary,
    slots: &Slots,
    found: &Found,
    own: &[Vec<u32>],
    settings: &Settings,
) -> LearnedWords {
    let mut kinds: Vec<(&str, usize)> = layout
        .kinds
        .iter()
        .enumerate()
        .map(|(number, kind)| (kind.as_str(), kind_column(layout, Some(number))))
        .chain([(OTHER, kind_column(layout, None))])
        .collect();
    kinds.sort_unstable();
    let articles = layout.articles.len();
    let mut number_of: Vec<usize> = (0..articles + kinds.len()).collect();
    for (number, (_, column)) in kinds.iter().enumerate() {
        number_of[*column] = articles + number;
    }
    let mut weights: Vec<(u32, u32, f32)> = slots
        .blocks
        .par_iter()
        .flat_map_iter(|block| of_block(block, slots, found, own, settings))
        .collect();
    let mut learned = vec![false; articles];
    let columns = slots.blocks.iter().flat_map(|b| &b.columns);
    columns
        .filter(|c| **c < articles)
        .for_each(|c| learned[*c] = true);
    for (article, own) in own.iter().enumerate().filter(|(a, _)| !learned[*a]) {
        let scale = settings.own * known.scale(own);
        let column = u32::try_from(article).unwrap_or(u32::MAX);
        weights.extend(own.iter().filter_map(|gram| {
            kept(scale, known.idf[*gram as usize], settings.smallest).map(|w| (*gram, column, w))
        }));
    }
    for (_, column, _) in &mut weights {
        *column = u32::try_from(number_of[*column as usize]).unwrap_or(u32::MAX);
    }
    weights.sort_unstable_by_key(|(gram, column, _)| (*gram, *column));
    let ends = (0_u32..).take(known.grams.len()).map(|gram| {
        let end = weights.partition_point(|(g, _, _)| *g <= gram);
        u32::try_from(end).unwrap_or(u32::MAX)
    });
    LearnedWords {
        ends: ends.collect(),
        known,
        articles: layout.articles.clone(),
        kinds: kinds.into_iter().map(|(kind, _)| kind.to_owned()).collect(),
        columns: weights.iter().map(|(_, column, _)| *column).collect(),
        weights: weights.iter().map(|(_, _, weight)| *weight).collect(),
    }
}

/// `√idf·sum`, where it is large enough.
fn kept(sum: f64, idf: f64, smallest: f64) -> Option<f32> {
    let weight = sum * idf.sqrt();
    // Weights are far below what 32 bits can hold; only digits are lost.
    #[allow(clippy::cast_possible_truncation, reason = "rounding is meant")]
    let rounded = weight as f32;
    (rounded != 0.0 && (weight * idf.sqrt()).abs() >= smallest).then_some(rounded)
}

fn of_block(
    block: &Block,
    slots: &Slots,
    found: &Found,
    own: &[Vec<u32>],
    settings: &Settings,
) -> Vec<(u32, u32, f32)> {
    let values = &found.x[block.slots.clone()];
    if block.width == 1 {
        weights_of::<1>(block, slots, values, own, settings)
    } else {
        weights_of::<{ super::kernel::WIDTH }>(block, slots, values, own, settings)
    }
}

fn weights_of<const W: usize>(
    block: &Block,
    slots: &Slots,
    values: &[f64],
    own: &[Vec<u32>],
    settings: &Settings,
) -> Vec<(u32, u32, f32)> {
    let idf = &slots.texts.idf;
    let mut sums = vec![[0.0; W]; idf.len()];
    let values: Vec<f64> = values.iter().map(|b| b * block.variance).collect();
    spread(&slots.texts, &block.rows, &values, &mut sums);
    let columns: [usize; W] = from_fn(|c| block.columns.get(c).copied().unwrap_or(usize::MAX));
    let mut weights = Vec::new();
    for (place, column) in columns.into_iter().enumerate() {
        let Ok(number) = u32::try_from(column) else {
            continue;
        };
        if let Some(own) = own.get(column) {
            let sum: f64 = own.iter().map(|g| idf[*g as usize]).sum();
            for gram in own {
                sums[*gram as usize][place] += settings.own / sum.sqrt();
            }
        }
        for (gram, sum) in (0_u32..).zip(&sums) {
            let weight = kept(sum[place], idf[gram as usize], settings.smallest);
            weights.extend(weight.map(|w| (gram, number, w)));
        }
    }
    weights
}
