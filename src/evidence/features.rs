//! The numbers that speak for each candidate.

use super::bm25::{Constants, scores};
use super::counted::{Candidates, CountsError, text_scores};
use super::equation::{FEATURES, Feature, Row};
use super::facts::Evidence;
use super::layout::Layout;
use super::learned::{self, LearnedWords, Scores};
use super::question::{Question, Terms};
use super::texts::Family;
use crate::articles::Catalog;
use std::collections::{BTreeMap, BTreeSet};

/// How many articles text alone may bring in.
pub const BY_TEXT: usize = 20;

/// How many articles learned words may bring in besides. They read letters, so they find what was
/// mistyped or run together where no whole word matches.
///
/// Chosen among 0, 10, 20 and all on the learning rows of the open work orders. Answering each part
/// of them from the rows before it, 10 took the log loss from 0.483 to 0.384 and hit@3 from 0.967 to
/// 0.974; by cross-validation, the log loss from 0.355 to 0.322. More brought no more.
pub const BY_LEARNED: usize = 10;

/// So many articles are taken up by their scores; of those that are about this device and firmware the
/// best [`BY_TEXT`] are chosen.
const ASKED_FOR: usize = 60;

/// The candidates of one question with their features.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Numbers of the pairs, ascending.
    pub pairs: Vec<usize>,
    /// Their features.
    pub rows: Vec<Row>,
}

/// What features are computed from.
#[derive(Clone, Copy)]
pub struct Sources<'a> {
    /// The articles.
    pub catalog: &'a Catalog,
    /// Their numbers.
    pub layout: &'a Layout,
    /// The evidence.
    pub evidence: &'a Evidence,
    /// The counts.
    pub candidates: &'a dyn Candidates,
    /// What was learned of words.
    pub words: &'a LearnedWords,
}

/// Chooses the candidates and computes their features.
///
/// # Errors
/// Where the index cannot be read.
pub fn table(question: &Question, sources: Sources<'_>) -> Result<Table, CountsError> {
    let learned = sources.words.score(&question.all.text);
    let articles = chosen_articles(question, &learned, sources)?;
    let (dangers, others): (Vec<usize>, Vec<usize>) = articles.into_iter().partition(|a| {
        sources.catalog.articles[&sources.layout.articles[*a]]
            .danger
            .is_some()
    });
    let affirmed = learned.or_of(&question.affirmed.text);
    let mut rows: BTreeMap<usize, Row> = BTreeMap::new();
    for (articles, terms, learned) in [
        (others, &question.all, &learned),
        (dangers, &question.affirmed, &affirmed),
    ] {
        for (pair, row) in rows_of(&articles, (terms, learned), question, sources)? {
            rows.insert(pair, row);
        }
    }
    let (pairs, rows) = rows.into_iter().unzip();
    Ok(Table { pairs, rows })
}

/// The best by text and by learned words, those whose code or sign was shown or whose check was
/// answered, and all dangers; without those that are about another device or firmware.
fn chosen_articles(
    question: &Question,
    learned: &Scores<'_>,
    sources: Sources<'_>,
) -> Result<Vec<usize>, CountsError> {
    let Sources {
        catalog,
        layout,
        candidates,
        ..
    } = sources;
    let excluded = |a: &usize| {
        question
            .said
            .excludes(&catalog.articles[&layout.articles[*a]])
    };
    let mut matching = candidates.matching(&question.all.words, ASKED_FOR)?;
    matching.retain(|a| !excluded(a));
    matching.sort_unstable();
    let best = text_scores(candidates, &question.all.words, &matching)?;
    let mut chosen: BTreeSet<usize> = best.into_iter().take(BY_TEXT).map(|(a, _)| a).collect();
    // Words that are all unknown have letters in common with anything.
    if !chosen.is_empty() {
        let by_learned = learned.best(BY_LEARNED);
        let by_learned = by_learned.into_iter().filter_map(|id| layout.article(id));
        chosen.extend(by_learned.filter(|a| !excluded(a)));
    }
    for (number, article) in catalog.articles.values().enumerate() {
        let shown = article.danger.is_some()
            || question.said.about.contains(&article.id)
            || article
                .codes
                .iter()
                .any(|c| question.said.codes.contains(c))
            || article
                .signs
                .iter()
                .any(|(lamp, state)| question.said.signs.get(lamp) == Some(state));
        if shown && !excluded(&number) {
            chosen.insert(number);
        }
    }
    Ok(chosen.into_iter().collect())
}

fn rows_of(
    articles: &[usize],
    (terms, learned): (&Terms, &Scores<'_>),
    question: &Question,
    sources: Sources<'_>,
) -> Result<Vec<(usize, Row)>, CountsError> {
    let Sources { layout, .. } = sources;
    let pairs: Vec<usize> = articles
        .iter()
        .flat_map(|a| layout.pairs_of[*a].clone())
        .collect();
    let mut rows: Vec<Row> = vec![[0.0; FEATURES]; pairs.len()];
    text_features(&pairs, terms, sources, &mut rows)?;
    for (pair, row) in pairs.iter().zip(&mut rows) {
        shown_features(*pair, question, sources, row);
        let p = layout.pairs[*pair];
        let kind = p.kind.map_or(learned::OTHER, |kind| &layout.kinds[kind]);
        row[Feature::LearnedArticle as usize] = learned.article(&layout.articles[p.article]);
        row[Feature::LearnedKind as usize] = learned.kind(kind);
    }
    Ok(pairs.into_iter().zip(rows).collect())
}

fn text_features(
    pairs: &[usize],
    terms: &Terms,
    sources: Sources<'_>,
    rows: &mut [Row],
) -> Result<(), CountsError> {
    use Feature::{
        CallersOfArticle, CallersOfKind, CallersOfPair, LettersOfArticle, LettersOfKind,
        OwnArticle, OwnFix,
    };
    let Sources {
        layout, candidates, ..
    } = sources;
    let words: Vec<&str> = terms.words.keys().map(String::as_str).collect();
    let weights: Vec<f64> = terms.words.values().copied().collect();
    let grams: Vec<&str> = terms.grams.iter().map(String::as_str).collect();
    let gram_weights = vec![1.0; grams.len()];
    for (feature, family, constants) in [
        (OwnArticle, Family::Own, Constants::OWN),
        (OwnFix, Family::Fix, Constants::OWN),
        (CallersOfPair, Family::Pair, Constants::CALLERS),
        (CallersOfArticle, Family::Callers, Constants::CALLERS),
        (CallersOfKind, Family::Kind, Constants::CALLERS),
        (LettersOfArticle, Family::CallersGrams, Constants::CALLERS),
        (LettersOfKind, Family::KindGrams, Constants::CALLERS),
    ] {
        let by_letters = matches!(family, Family::CallersGrams | Family::KindGrams);
        let (terms, weights) = if by_letters {
            (&grams, &gram_weights)
        } else {
            (&words, &weights)
        };
        let text_of = |pair: &usize| {
            let p = layout.pairs[*pair];
            match family {
                Family::Own | Family::Callers | Family::CallersGrams => Some(p.article),
                Family::Fix => p.fix,
                Family::Pair => Some(*pair),
                Family::Kind | Family::KindGrams => p.kind,
            }
        };
        let texts: BTreeSet<usize> = pairs.iter().filter_map(text_of).collect();
        let texts: Vec<usize> = texts.into_iter().collect();
        let scores = scores(
            &candidates.counts(family, terms, &texts)?,
            weights,
            constants,
        );
        let scale = weights.iter().sum::<f64>().max(1.0).sqrt();
        for (pair, row) in pairs.iter().zip(rows.iter_mut()) {
            if let Some(at) = text_of(pair).and_then(|t| texts.binary_search(&t).ok()) {
                row[feature as usize] = scores[at] / scale;
            }
        }
    }
    Ok(())
}

fn shown_features(pair: usize, question: &Question, sources: Sources<'_>, row: &mut Row) {
    let Sources {
        catalog,
        layout,
        evidence,
        ..
    } = sources;
    let p = layout.pairs[pair];
    let id = &layout.articles[p.article];
    let article = &catalog.articles[id];
    let slot = pair - layout.pairs_of[p.article].start;
    let share = evidence.share_at(id, question.said.device.as_deref(), slot);
    let share = share.map_or(0.0, |s| s.share);
    let common = evidence.articles.get(id).map_or(0.0, |e| e.weight);
    row[Feature::Common as usize] = (common + 1.0).ln();
    // A share of zero is possible only without a prior; the floor keeps the logarithm finite.
    row[Feature::Share as usize] = share.max(1e-9).ln();
    let code = article
        .codes
        .iter()
        .any(|c| question.said.codes.contains(c));
    row[Feature::Code as usize] = f64::from(u8::from(code));
    row[Feature::Signs as usize] = article
        .signs
        .iter()
        .filter_map(|(lamp, state)| {
            question
                .said
                .signs
                .get(lamp)
                .map(|shown| if shown == state { 1.0 } else { -1.0 })
        })
        .sum();
}

#[cfg(test)]
#[path = "features_tests.rs"]
mod tests;
