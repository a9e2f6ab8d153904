//! From cases to learned words.

use super::choose::{LearnRow, alternatives, limits, newest};
use super::kernel::{Counted, Texts, counted};
use super::slots::{Choice, Row, Slots};
use super::vocabulary::{Spelled, Vocabulary};
use super::weights::Maker;
use super::{LearnedWords, Settings, first_words};
use crate::articles::Catalog;
use crate::evidence::layout::Layout;
use crate::evidence::lbfgs::minimise;
use jiff::civil::Date;
use rayon::prelude::*;

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
    /// Runs of the different words in the rows read.
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
/// without a target are passed over; their days must ascend.
///
/// The same input gives the same result to the last bit, whatever the number of threads; another
/// order of the rows gives the same up to what the search leaves open.
#[must_use]
pub fn learn(layout: &Layout, own: &[String], rows: &[LearnRow], settings: &Settings) -> Learning {
    let usable: Vec<&LearnRow> = rows.iter().filter(|row| !row.target.is_empty()).collect();
    let keys = usable.iter().map(|row| {
        let article = layout.pairs[row.target[0]].article;
        (article, row.weight, row.text.as_str())
    });
    let rows: Vec<&LearnRow> = newest(keys).into_iter().map(|row| usable[row]).collect();
    let texts: Vec<Vec<String>> = rows.par_iter().map(|r| first_words(&r.text)).collect();
    let own: Vec<Vec<String>> = own.iter().map(|text| first_words(text)).collect();
    let days: Vec<Date> = rows.iter().map(|row| row.day).collect();
    let known = Vocabulary::of(&texts, &days, &own);
    let place = commonest_first(&known);
    let own = own_runs(&known.spell(&own), &place);
    let texts = texts_of(&known.spell(&texts), &known, &place);
    let runs = texts.runs.len();
    let (choices, targets) = choices(&rows, layout, settings.pairs);
    let slots = Slots::new(
        texts,
        choices,
        targets,
        layout.articles.len(),
        &own,
        settings,
    );
    let zero = vec![0.0; slots.len() * 2];
    let start = slots.at(&zero).value;
    let limits = limits(settings, slots.work(), zero.len());
    let found = minimise(|x| slots.at(x), |a, b| slots.dot(a, b), zero, &limits);
    let maker = Maker {
        layout,
        slots: &slots,
        own: &own,
        settings,
    };
    Learning {
        words: maker.words(&found.x, known, &place),
        start,
        value: found.value,
        steepest: found.steepest,
        iterations: found.iterations,
        rows: rows.len(),
        runs,
    }
}

fn texts_of(spelled: &Spelled, known: &Vocabulary, place: &[u32]) -> Texts {
    let mut all = Texts {
        idf: vec![0.0; known.idf.len()],
        ..Texts::default()
    };
    for (place, idf) in place.iter().zip(&known.idf) {
        all.idf[*place as usize] = *idf;
    }
    for runs in &spelled.runs {
        let mut runs: Vec<u32> = runs.iter().map(|run| place[*run as usize]).collect();
        runs.sort_unstable();
        all.runs.extend(runs);
        all.word_ends.push(all.runs.len());
    }
    for words in &spelled.texts {
        let runs = words.iter().flat_map(|w| all.runs_of(*w as usize)).copied();
        let scale = all.scale_of(&counted(runs));
        all.scale.push(scale);
        all.words.extend(words);
        all.ends.push(all.words.len());
    }
    all
}

/// The runs of each article's own words, by place.
fn own_runs(spelled: &Spelled, place: &[u32]) -> Vec<Vec<Counted>> {
    let of_text = |words: &Vec<u32>| {
        let runs = words.iter().flat_map(|word| &spelled.runs[*word as usize]);
        counted(runs.map(|run| place[*run as usize]))
    };
    spelled.texts.iter().map(of_text).collect()
}

/// The place of each run when the commonest come first: sums over them then lie close in memory.
fn commonest_first(known: &Vocabulary) -> Vec<u32> {
    let mut order: Vec<u32> = (0_u32..).take(known.idf.len()).collect();
    let idf = |run: &u32| known.idf[*run as usize];
    order.sort_by(|a, b| idf(a).total_cmp(&idf(b)).then(a.cmp(b)));
    let mut place = vec![0; order.len()];
    for (at, run) in (0_u32..).zip(order) {
        place[run as usize] = at;
    }
    place
}

/// The column of a kind: kinds follow articles, [`OTHER`] is the last.
fn kind_column(layout: &Layout, kind: Option<usize>) -> usize {
    layout.articles.len() + kind.unwrap_or(layout.kinds.len())
}

fn choices(rows: &[&LearnRow], layout: &Layout, most: usize) -> (Vec<Choice>, Vec<Row>) {
    let alternatives = alternatives(rows, most);
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
