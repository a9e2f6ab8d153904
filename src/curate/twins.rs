//! Pairs of articles that say or catch the same.
//!
//! Three likenesses, each from 0 to 1, are averaged: of what callers said in their cases, of the titles
//! and symptoms (both the cosine of tf-idf vectors, `(1 + ln n)·ln(N/df)`; Salton & Buckley 1988, from
//! memory), and of the whole text ([`super::shingles`]). Callers' words tell articles apart that are
//! worded alike and are about different things. Articles without cases are compared by their texts
//! alone. What fixes they share is shown and does not count: articles about different symptoms
//! rightly share a fix.
//!
//! Cost: pairs that share a word or shingle found in few articles.

use super::Material;
use super::shingles::{alike, shingles};
use crate::articles::Article;
use crate::base::ids::{ArticleId, FixId};
use crate::evidence::layout::Layout;
use crate::evidence::texts::{self, Keeping};
use rustc_hash::FxHashMap;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Words of callers in more than this part of the articles bring no two together; at least this many
/// articles may share a word.
const COMMON: f64 = 0.1;
const FEW: usize = 12;

/// Pairs less alike are not shown. Chosen on the demo, where three pairs planted in six draws of its
/// tickets have 0.32 and more, and all but one other pair less than 0.2.
const ALIKE: f64 = 0.2;

/// Shared words shown of a pair.
const WORDS: usize = 8;

/// Two articles and why they may be one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pair {
    /// The one with more cases.
    pub keep: ArticleId,
    /// The other.
    pub other: ArticleId,
    /// Their titles.
    pub titles: (String, String),
    /// How many cases each has.
    pub cases: (u64, u64),
    /// The mean of the likenesses known.
    pub alike: f64,
    /// Of what callers said; none where one has no cases.
    pub callers: Option<f64>,
    /// Of titles and symptoms.
    pub symptoms: f64,
    /// Of the whole text.
    pub text: f64,
    /// Words of callers that speak most for the pair, most first.
    pub words: Vec<String>,
    /// Fixes both offer.
    pub shared: Vec<FixId>,
    /// Fixes that only one of them offers.
    pub only: (Vec<FixId>, Vec<FixId>),
}

/// Compares all live articles but those that stop the telephone, most alike first.
#[must_use]
pub fn twins(from: &Material<'_>) -> Vec<Pair> {
    let articles: Vec<&Article> = from
        .catalog
        .articles
        .values()
        .filter(|a| a.danger.is_none())
        .collect();
    let callers = Vectors::new(&callers_of(&articles, from));
    let heads: Vec<BTreeMap<String, f64>> = articles.iter().map(|a| head_words(a, from)).collect();
    let heads = Vectors::new(&heads);
    let bodies: Vec<BTreeSet<String>> = articles.iter().map(|a| body(a, from)).collect();
    let mut candidates = callers.sharing();
    candidates.extend(heads.sharing());
    candidates.extend(sharing(&bodies));
    let mut counts: BTreeMap<&ArticleId, u64> = BTreeMap::new();
    for case in from.cases {
        if let Some(article) = &case.article {
            *counts.entry(article).or_default() += 1;
        }
    }
    let of = |at: usize| counts.get(&articles[at].id).copied().unwrap_or(0);
    let mut pairs: Vec<Pair> = candidates
        .into_iter()
        .filter_map(|(a, b)| {
            // With the same number of cases the first by id is kept.
            let (a, b) = if of(b) > of(a) { (b, a) } else { (a, b) };
            let known = (of(a) > 0 && of(b) > 0).then(|| callers.cosine(a, b));
            let (symptoms, text) = (heads.cosine(a, b), alike(&bodies[a], &bodies[b]));
            let all = [known, Some(symptoms), Some(text)];
            let mean = all.iter().flatten().sum::<f64>() / all.iter().flatten().count() as f64;
            (mean >= ALIKE).then(|| {
                let (keep, other) = (articles[a], articles[b]);
                let fixes = fixes(keep, other, from);
                Pair {
                    keep: keep.id.clone(),
                    other: other.id.clone(),
                    titles: (keep.title.clone(), other.title.clone()),
                    cases: (of(a), of(b)),
                    alike: mean,
                    callers: known,
                    symptoms,
                    text,
                    words: callers.shared_words(a, b),
                    shared: fixes.0,
                    only: fixes.1,
                }
            })
        })
        .collect();
    pairs.sort_by(|a, b| {
        b.alike
            .total_cmp(&a.alike)
            .then_with(|| (&a.keep, &a.other).cmp(&(&b.keep, &b.other)))
    });
    pairs
}

/// What callers said in the cases of each article, as they may be kept.
fn callers_of(articles: &[&Article], from: &Material<'_>) -> Vec<BTreeMap<String, f64>> {
    let layout = Layout::new(from.catalog);
    let public = texts::public_terms(from.catalog, &layout, from.analyzer);
    let keeping = Keeping::of(from.cases, from.analyzer, &public);
    let place: BTreeMap<&ArticleId, usize> = articles
        .iter()
        .enumerate()
        .map(|(at, a)| (&a.id, at))
        .collect();
    let mut all = vec![BTreeMap::new(); articles.len()];
    for case in from.cases {
        if let Some(at) = case.article.as_ref().and_then(|id| place.get(id)) {
            for term in keeping.said(case).terms {
                *all[*at].entry(term).or_insert(0.0) += 1.0;
            }
        }
    }
    all
}

fn head_words(article: &Article, from: &Material<'_>) -> BTreeMap<String, f64> {
    let mut words = BTreeMap::new();
    for text in article.symptoms.iter().chain([&article.title]) {
        for term in from.analyzer.terms(text) {
            *words.entry(term).or_insert(0.0) += 1.0;
        }
    }
    words
}

/// Everything an article says, its own blocks included.
fn body(article: &Article, from: &Material<'_>) -> BTreeSet<String> {
    let mut text = format!(
        "{}\n{}\n{}",
        article.title,
        article.symptoms.join("\n"),
        article.intro
    );
    for check in article.checks.iter().filter_map(|entry| entry.own()) {
        text += &format!("\n{}\n{}", check.question, check.work.markdown);
    }
    for fix in article.fixes.iter().filter_map(|entry| entry.own()) {
        text += &format!("\n{}\n{}", fix.title, fix.work.markdown);
    }
    shingles(&from.analyzer.words(&text))
}

type Fixes = (Vec<FixId>, (Vec<FixId>, Vec<FixId>));

fn fixes(a: &Article, b: &Article, from: &Material<'_>) -> Fixes {
    let of = |article: &Article| {
        from.catalog
            .fixes_of
            .get(&article.id)
            .cloned()
            .unwrap_or_default()
    };
    let (first, second) = (of(a), of(b));
    let (shared, only): (Vec<FixId>, Vec<FixId>) =
        first.into_iter().partition(|fix| second.contains(fix));
    let rest = second.into_iter().filter(|fix| !shared.contains(fix));
    let rest = rest.collect();
    (shared, (only, rest))
}

/// Texts as tf-idf vectors of length one.
struct Vectors {
    all: Vec<BTreeMap<String, f64>>,
}

impl Vectors {
    fn new(counts: &[BTreeMap<String, f64>]) -> Self {
        let mut found: BTreeMap<&str, f64> = BTreeMap::new();
        for term in counts.iter().flat_map(BTreeMap::keys) {
            *found.entry(term).or_insert(0.0) += 1.0;
        }
        let total = counts.len() as f64;
        let weighed = |counts: &BTreeMap<String, f64>| {
            let value = |(term, count): (&String, &f64)| {
                let weight = (1.0 + count.ln()) * (total / found[term.as_str()]).ln();
                (term.clone(), weight)
            };
            let mut vector: BTreeMap<String, f64> = counts.iter().map(value).collect();
            let length = vector.values().map(|v| v * v).sum::<f64>().sqrt();
            if length > 0.0 {
                vector.values_mut().for_each(|v| *v /= length);
            }
            vector
        };
        Self {
            all: counts.iter().map(weighed).collect(),
        }
    }

    fn cosine(&self, a: usize, b: usize) -> f64 {
        let products = self.all[a].iter();
        products
            .filter_map(|(term, value)| Some(value * self.all[b].get(term)?))
            .sum()
    }

    fn shared_words(&self, a: usize, b: usize) -> Vec<String> {
        let mut words: Vec<(f64, &String)> = self.all[a]
            .iter()
            .filter_map(|(term, value)| Some((value * self.all[b].get(term)?, term)))
            .filter(|(product, _)| *product > 0.0)
            .collect();
        words.sort_by(|x, y| y.0.total_cmp(&x.0).then_with(|| x.1.cmp(y.1)));
        words
            .into_iter()
            .take(WORDS)
            .map(|(_, term)| term.clone())
            .collect()
    }

    /// Pairs that share a word of few texts.
    fn sharing(&self) -> BTreeSet<(usize, usize)> {
        let sets: Vec<BTreeSet<String>> = self
            .all
            .iter()
            .map(|vector| vector.keys().cloned().collect())
            .collect();
        sharing(&sets)
    }
}

/// Pairs of sets that share a member few sets have.
fn sharing(sets: &[BTreeSet<String>]) -> BTreeSet<(usize, usize)> {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a part of a number of articles"
    )]
    let part = (COMMON * sets.len() as f64) as usize;
    let most = part.clamp(FEW, 4 * FEW);
    let mut holding: FxHashMap<&str, Vec<usize>> = FxHashMap::default();
    for (at, set) in sets.iter().enumerate() {
        for member in set {
            holding.entry(member).or_default().push(at);
        }
    }
    let mut pairs = BTreeSet::new();
    for sets in holding.values().filter(|sets| sets.len() <= most) {
        for (at, a) in sets.iter().enumerate() {
            pairs.extend(sets[at + 1..].iter().map(|b| (*a, *b)));
        }
    }
    pairs
}
