//! The weights of the equation as a lead technician reads them.

use crate::evidence::equation::{Feature, Weights};
use crate::evidence::fit::fit_points;
use crate::evidence::learned::strongest::WordSays;
use crate::evidence::learning::Model;
use crate::evidence::prior::Prior;
use jiff::civil::Date;
use serde::Serialize;

/// Words listed for an article, and half as many against it.
const WORDS: usize = 12;

/// A word that changes the odds by less than this factor is not listed.
const TELLING: f64 = 1.15;

/// Everything that was learned, beside what was shipped.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeightsTable {
    /// What was learned; none where the shipped weights answer.
    pub learned: Option<LearnedFrom>,
    /// Cases in the ledger as of today.
    pub cases: u64,
    /// The count of cases at which weights are learned next.
    pub next_fit_point: usize,
    /// The weights of what is looked at.
    pub weights: Vec<WeightRow>,
    /// The three numbers behind the chance that no article covers a case.
    pub unlisted: Vec<NumberRow>,
    /// What is believed of an article's fixes before its own tickets speak.
    pub prior: Prior,
    /// The words of the article asked for.
    pub article: Option<ArticleWords>,
}

/// From what was learned, and how much.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LearnedFrom {
    /// The fit point: a count of cases, reached by the tickets closed up to now.
    pub fit_point: usize,
    /// Cases that were learned from: those closed up to the day on which it was reached.
    pub cases: u64,
    /// That day.
    pub until: Date,
    /// Known parts of words: runs of two to five letters.
    pub word_parts: usize,
    /// Their weights, over all articles and kinds of fix.
    pub word_weights: usize,
    /// Articles with such weights.
    pub articles: usize,
    /// Kinds of fix with such weights.
    pub kinds: usize,
}

/// One weight.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeightRow {
    /// What is looked at.
    pub what: Feature,
    /// The same for people.
    pub words: &'static str,
    /// Its weight.
    pub weight: f64,
    /// Its shipped weight.
    pub shipped: f64,
    /// By how much it typically differs between two candidates of a case; 1 for codes and indicators,
    /// which match or do not. None where it never differed or nothing was learned.
    pub step: Option<f64>,
    /// What such a step does to the odds between the two.
    pub odds: Option<f64>,
    /// The same with the shipped weight.
    pub odds_shipped: Option<f64>,
}

/// A number without a step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NumberRow {
    /// What it is.
    pub words: &'static str,
    /// The number.
    pub weight: f64,
    /// What it is where nothing was learned.
    pub shipped: f64,
}

/// The strongest learned words of an article.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ArticleWords {
    /// The article.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Its cases.
    pub cases: u64,
    /// Words that speak for it, the strongest first.
    pub for_it: Vec<WordSays>,
    /// Words that speak against it, the strongest first.
    pub against: Vec<WordSays>,
}

impl WeightsTable {
    /// Draws a model that was learned at `fit_point`, from a ledger of so many cases.
    #[must_use]
    pub fn new(
        model: &Model,
        fit_point: Option<usize>,
        cases: u64,
        prior: Prior,
        article: Option<ArticleWords>,
    ) -> Self {
        let shipped = Weights::shipped();
        let words = &model.words;
        let learned = model
            .until
            .zip(fit_point)
            .map(|(until, fit_point)| LearnedFrom {
                fit_point,
                cases: model.weights.cases,
                until,
                word_parts: words.known.grams.len(),
                word_weights: words.weights.len(),
                articles: words.articles.len(),
                kinds: words.kinds.len(),
            });
        let reached = usize::try_from(cases).unwrap_or(usize::MAX);
        Self {
            learned,
            cases,
            next_fit_point: fit_points()
                .find(|point| *point > reached)
                .unwrap_or(reached),
            weights: Feature::ALL
                .iter()
                .map(|f| weight_row(*f, model, &shipped))
                .collect(),
            unlisted: unlisted(&model.weights, &shipped),
            prior,
            article,
        }
    }
}

impl ArticleWords {
    /// Takes the strongest of all words, which come strongest first.
    #[must_use]
    pub fn new(id: String, title: String, cases: u64, all: &[WordSays]) -> Self {
        let speaks = |word: &&WordSays| word.times >= TELLING;
        let denies = |word: &&WordSays| word.times <= TELLING.recip();
        Self {
            id,
            title,
            cases,
            for_it: all.iter().filter(speaks).take(WORDS).cloned().collect(),
            against: all
                .iter()
                .rev()
                .filter(denies)
                .take(WORDS / 2)
                .cloned()
                .collect(),
        }
    }
}

fn weight_row(feature: Feature, model: &Model, shipped: &Weights) -> WeightRow {
    let at = feature as usize;
    let (weight, shipped) = (model.weights.beta[at], shipped.beta[at]);
    let step = match feature {
        Feature::Code | Feature::Signs => Some(1.0),
        _ => Some(model.steps[at]).filter(|step| *step > 0.0),
    };
    let odds = |weight: f64| step.map(|step| (weight * step).exp());
    WeightRow {
        what: feature,
        words: feature.words(),
        weight,
        shipped,
        step,
        odds: odds(weight),
        odds_shipped: odds(shipped),
    }
}

fn unlisted(now: &Weights, shipped: &Weights) -> Vec<NumberRow> {
    let numbers = [
        ("to begin with", now.unlisted, shipped.unlisted),
        (
            "by how much speaks for any",
            now.unlisted_by_sum,
            shipped.unlisted_by_sum,
        ),
        (
            "by the doubt which one",
            now.unlisted_by_doubt,
            shipped.unlisted_by_doubt,
        ),
    ];
    let row = |(words, weight, shipped)| NumberRow {
        words,
        weight,
        shipped,
    };
    numbers.into_iter().map(row).collect()
}
