//! Weights and words from the ledger: everything the equation learns, in one value.
//!
//! A case's features come from statistics that leave it out: cases fall into five folds by their
//! ids, and each fold is answered from the counts, shares, texts and words of the other four. With
//! those features the weights are fitted ([`super::fit`]); the words themselves are then learned
//! from all cases, as all will stand behind the next answer.

use super::cases::{Case, Cases, End, day};
use super::counted::{Candidates, CountsError, InMemory};
use super::equation::{FEATURES, Row, Weights};
use super::features::{Sources, Table, table};
use super::fit::{FitCase, MOST_CASES, fit, steps};
use super::folds::{FOLDS, fold};
use super::gather::gather_where;
use super::layout::Layout;
use super::learned::choose::{LearnRow, MOST_PAIRS, newest, target};
use super::learned::learn::{learn, own_texts};
use super::learned::{self, LearnedWords};
use super::question::{Question, Said};
use super::spoken::Spoken;
use super::weights::of_age;
use crate::articles::{Catalog, Settings};
use crate::base::spelling::Vocabulary;
use crate::base::text::Analyzer;
use jiff::civil::Date;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// What was learned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Model {
    /// The weights of the equation.
    pub weights: Weights,
    /// The words; empty where too few cases were there.
    pub words: LearnedWords,
    /// How much each feature typically differs between the candidates of one case: see
    /// [`super::fit::steps`]. All 0 for the shipped weights.
    pub steps: Row,
    /// The last day whose tickets were learned from; none for the shipped weights.
    pub until: Option<Date>,
}

impl Model {
    /// What answers before anything was learned.
    #[must_use]
    pub fn shipped() -> Self {
        Self {
            weights: Weights::shipped(),
            words: LearnedWords::default(),
            steps: [0.0; FEATURES],
            until: None,
        }
    }
}

/// What is learned about.
#[derive(Clone, Copy, Debug)]
pub struct Field<'a> {
    /// The articles.
    pub catalog: &'a Catalog,
    /// Their numbers.
    pub layout: &'a Layout,
    /// The text analysis.
    pub analyzer: &'a Analyzer,
    /// The settings.
    pub settings: &'a Settings,
}

impl Field<'_> {
    /// The texts of the articles and of what callers said in these cases, counted in memory.
    #[must_use]
    pub fn counts<'c>(self, cases: impl IntoIterator<Item = &'c Case>) -> InMemory {
        let mut spoken = Spoken::new(self.catalog, self.layout, self.analyzer);
        spoken.add(cases);
        InMemory::of(&spoken.settled(), self.layout)
    }
}

/// Cases that are learned from at most, the newest: with more, weights and words stay what they are, and
/// memory would grow with the ledger. Articles are far fewer mostly; each should still have a few.
const MOST_KNOWN: usize = 50_000;
const MOST_KNOWN_PER_ARTICLE: usize = 20;

/// From how many cases at most [`learn_model`] should learn about these articles.
#[must_use]
pub fn most_known(layout: &Layout) -> usize {
    MOST_KNOWN.max(MOST_KNOWN_PER_ARTICLE * layout.articles.len())
}

/// Learns from cases; `as_of` is the day their ages are measured from. `step` is told after each
/// of [`STEPS`] parts.
#[must_use]
pub fn learn_model(
    cases: &Cases,
    field: Field<'_>,
    as_of: Date,
    step: &(dyn Fn() + Sync),
) -> Model {
    let begin = |left_out: Option<usize>| Begun::new(cases, field, as_of, left_out);
    let mut words = LearnedWords::default();
    let mut fit_cases: Vec<(usize, FitCase)> = Vec::new();
    // A search for words takes more memory than all else together, so there is one at a time; it takes
    // all threads but for moments, in which the next part is begun.
    let mut parts = std::iter::once(None).chain((0..FOLDS).map(Some));
    let mut begun = parts.next().map(begin);
    while let Some(mut part) = begun {
        let next = parts.next();
        (_, begun) = rayon::join(|| part.learn_words(), || next.map(begin));
        match part.left_out {
            None => words = part.past.words,
            Some(fold) => fit_cases.extend(answer_fold(cases, &part.past, fold)),
        }
        step();
    }
    // In the order of the cases, so that the sums do not depend on the folds.
    fit_cases.sort_by_key(|(at, _)| *at);
    let fit_cases: Vec<FitCase> = fit_cases.into_iter().map(|(_, case)| case).collect();
    let mut weights = fit(&fit_cases, &Weights::shipped());
    weights.cases = cases.list.len() as u64;
    Model {
        weights,
        words,
        steps: steps(&fit_cases),
        until: Some(as_of),
    }
}

/// All cases, or those of all folds but one, before words are learned from them.
struct Begun<'a> {
    left_out: Option<usize>,
    past: Past<'a>,
    rows: Vec<LearnRow>,
}

impl<'a> Begun<'a> {
    fn new(cases: &Cases, field: Field<'a>, as_of: Date, left_out: Option<usize>) -> Self {
        let kept = |case: &Case| left_out.is_none_or(|left_out| fold(&case.id) != left_out);
        let train: Vec<&Case> = cases.list.iter().filter(|case| kept(case)).collect();
        let past = Past::of(&train, cases, field, as_of, kept);
        Self {
            left_out,
            rows: past.learn_rows(&train),
            past,
        }
    }

    fn learn_words(&mut self) {
        self.past.learn_words(&std::mem::take(&mut self.rows));
    }
}

/// The newest cases of a fold with their places, answered from all other folds.
fn answer_fold(cases: &Cases, past: &Past<'_>, left_out: usize) -> Vec<(usize, FitCase)> {
    let newest = cases.list.len().saturating_sub(MOST_CASES);
    cases.list[newest..]
        .par_iter()
        .enumerate()
        .filter(|(_, case)| fold(&case.id) == left_out)
        .filter_map(|(at, case)| Some((at, past.fit_case(case)?)))
        .collect()
}

/// Of how many articles the fixes stand against each other in learning words, where there are too
/// many to compare all: on the open work orders 12 of 39 ranked as well as all of them.
const COMPARED: usize = 12;

/// How often `step` is called.
pub const STEPS: u64 = FOLDS as u64 + 1;

/// Everything known from some of the cases, ready to answer others.
#[derive(Debug)]
pub struct Past<'a> {
    field: Field<'a>,
    evidence: super::Evidence,
    counts: InMemory,
    known: Vocabulary,
    words: LearnedWords,
}

impl<'a> Past<'a> {
    /// From the cases in `train`, which are those of `cases` that `keep` keeps. No words are learned yet.
    pub fn of(
        train: &[&Case],
        cases: &Cases,
        field: Field<'a>,
        as_of: Date,
        keep: impl Fn(&Case) -> bool,
    ) -> Self {
        let Field {
            catalog, settings, ..
        } = field;
        let counts = field.counts(train.iter().copied());
        let known = counts.vocabulary();
        Self {
            field,
            evidence: gather_where(cases, catalog, settings, as_of, keep),
            counts,
            known,
            words: LearnedWords::default(),
        }
    }

    fn learn_words(&mut self, rows: &[LearnRow]) {
        let Field {
            catalog, layout, ..
        } = self.field;
        let own = own_texts(catalog, layout);
        self.words = learn(layout, &own, rows, &learned::Settings::default()).words;
    }

    /// What answers from this past are drawn from.
    #[must_use]
    pub fn sources(&self) -> Sources<'_> {
        Sources {
            catalog: self.field.catalog,
            layout: self.field.layout,
            evidence: &self.evidence,
            candidates: &self.counts,
            words: &self.words,
        }
    }

    /// The question that a case was, before anything was tried.
    #[must_use]
    pub fn question(&self, case: &Case) -> Question {
        Question::new(
            Said::of(case),
            self.field.catalog,
            self.field.analyzer,
            &self.known,
        )
    }

    fn weight(&self, case: &Case) -> f64 {
        let held = if matches!(case.end, End::Fix(_)) {
            case.held
        } else {
            1.0
        };
        of_age(case.age_days, self.field.settings.model.half_life_days) * held
    }

    /// The rows to learn from. They are chosen before candidates are looked for, which takes longest.
    fn learn_rows(&self, cases: &[&Case]) -> Vec<LearnRow> {
        let layout = self.field.layout;
        let usable: Vec<(&Case, Vec<usize>)> = cases
            .par_iter()
            .map(|case| (*case, left_possible(case, layout)))
            .filter(|(_, target)| !target.is_empty())
            .collect();
        let keys = usable.iter().map(|(case, target)| {
            let article = layout.pairs[target[0]].article;
            (article, self.weight(case), case.said.as_str())
        });
        let row = |number: usize| {
            let (case, target) = &usable[number];
            LearnRow {
                text: case.said.clone(),
                day: day(case.closed),
                weight: self.weight(case),
                target: target.clone(),
                candidates: self.near(case).unwrap_or_default(),
            }
        };
        newest(keys).into_par_iter().map(row).collect()
    }

    /// The pairs of the best articles by text; needed only where there are too many to compare all.
    fn near(&self, case: &Case) -> Result<Vec<usize>, CountsError> {
        if self.field.layout.pairs.len() <= MOST_PAIRS {
            return Ok(Vec::new());
        }
        let words = self.question(case).all.words;
        let best = self.counts.matching(&words, COMPARED)?;
        Ok(best
            .into_iter()
            .flat_map(|article| self.field.layout.pairs_of[article].clone())
            .collect())
    }

    fn fit_case(&self, case: &Case) -> Option<FitCase> {
        let target: BTreeSet<usize> = left_possible(case, self.field.layout).into_iter().collect();
        if target.is_empty() && !case.unlisted {
            return None;
        }
        // Counts in memory cannot fail to be read.
        let Table { pairs, rows } = table(&self.question(case), self.sources()).ok()?;
        Some(FitCase {
            weight: self.weight(case),
            chosen: pairs.iter().map(|pair| target.contains(pair)).collect(),
            rows: rows.into(),
            unlisted_chosen: case.unlisted,
            unlisted_times: self.evidence.unlisted,
        })
    }
}

/// `A_i`: the pairs that a case leaves possible. Articles that were only read from words, and cases
/// whose end nobody knows, say nothing.
#[must_use]
pub fn left_possible(case: &Case, layout: &Layout) -> Vec<usize> {
    let Some(article) = case.article.as_ref().and_then(|id| layout.article(id)) else {
        return Vec::new();
    };
    if case.inferred {
        return Vec::new();
    }
    let failed: BTreeSet<usize> = case
        .failed
        .iter()
        .filter_map(|fix| layout.fix(fix))
        .collect();
    match &case.end {
        End::Fix(id) => match layout.fix(id) {
            Some(fix) => target(layout, article, Some(Some(fix)), &failed),
            None => Vec::new(),
        },
        End::Other => target(layout, article, Some(None), &failed),
        End::Unresolved => target(layout, article, None, &failed),
        End::Unknown => Vec::new(),
    }
}
