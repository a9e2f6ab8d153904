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

use super::shingles::{numbered, share_of_both};
use crate::articles::Article;
use crate::base::ids::{ArticleId, FixId};
use crate::evidence::spoken::Spoken;
use crate::evidence::texts::{Counted, Family, Texts};
use rayon::prelude::*;
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

/// Compares all live articles but those that stop the telephone, by what they and their callers said,
/// most alike first.
#[must_use]
pub fn twins(from: &Spoken<'_>) -> Vec<Pair> {
    let all = from.catalog.articles.values();
    let articles: Vec<&Article> = all.filter(|a| a.danger.is_none()).collect();
    let callers = Vectors::new(callers_of(&articles, from));
    let heads = Vectors::new(articles.iter().map(|a| head_words(a, from)).collect());
    let bodies = numbered(articles.iter().map(|a| body(a, from)));
    let number = |article: &&Article| from.layout.article(&article.id);
    let all = All {
        from,
        cases: articles
            .iter()
            .map(|a| number(a).map_or(0, |number| from.cases_in(number)))
            .collect(),
        sharing: [
            Sharing::of(&callers.numbers()),
            Sharing::of(&heads.numbers()),
            Sharing::of(&bodies),
        ],
        articles,
        callers,
        heads,
        bodies,
    };
    let mut pairs: Vec<Pair> = (0..all.articles.len())
        .into_par_iter()
        .map_init(
            || all.spread(),
            |spread, first| {
                let mut candidates = BTreeSet::new();
                for sharing in &all.sharing {
                    sharing.after(first, &mut candidates);
                }
                all.lay_out(first, spread);
                let others = candidates.into_iter();
                let pairs = others.filter_map(|other| all.pair(first, other, spread));
                let pairs = pairs.collect::<Vec<Pair>>();
                all.take_up(first, spread);
                pairs
            },
        )
        .flatten()
        .collect();
    pairs.sort_by(|a, b| {
        b.alike
            .total_cmp(&a.alike)
            .then_with(|| (&a.keep, &a.other).cmp(&(&b.keep, &b.other)))
    });
    pairs
}

/// Everything that pairs are made from, by number of the article.
struct All<'a> {
    from: &'a Spoken<'a>,
    articles: Vec<&'a Article>,
    cases: Vec<u64>,
    callers: Vectors,
    heads: Vectors,
    bodies: Vec<Vec<u32>>,
    /// What brings two together: of callers, of titles and symptoms, of the whole text.
    sharing: [Sharing; 3],
}

/// One article laid out by number, so that it is looked up in and not merged with each of its candidates.
struct Spread {
    callers: Vec<f64>,
    heads: Vec<f64>,
    body: Vec<bool>,
}

impl All<'_> {
    fn spread(&self) -> Spread {
        let shingles = self.bodies.iter().flatten().max();
        Spread {
            callers: vec![0.0; self.callers.terms.len()],
            heads: vec![0.0; self.heads.terms.len()],
            body: vec![false; shingles.map_or(0, |most| *most as usize + 1)],
        }
    }

    fn lay_out(&self, article: usize, spread: &mut Spread) {
        self.callers
            .lay(article, &mut spread.callers, |value| value);
        self.heads.lay(article, &mut spread.heads, |value| value);
        for shingle in &self.bodies[article] {
            spread.body[*shingle as usize] = true;
        }
    }

    fn take_up(&self, article: usize, spread: &mut Spread) {
        self.callers.lay(article, &mut spread.callers, |_| 0.0);
        self.heads.lay(article, &mut spread.heads, |_| 0.0);
        for shingle in &self.bodies[article] {
            spread.body[*shingle as usize] = false;
        }
    }

    /// Two articles, the first of them laid out, where they are alike.
    fn pair(&self, first: usize, second: usize, spread: &Spread) -> Option<Pair> {
        let of = |at: usize| self.cases[at];
        let known =
            (of(first) > 0 && of(second) > 0).then(|| self.callers.with(second, &spread.callers));
        let symptoms = self.heads.with(second, &spread.heads);
        let there = self.bodies[second].iter();
        let both = there
            .filter(|shingle| spread.body[**shingle as usize])
            .count();
        let sizes = (self.bodies[first].len(), self.bodies[second].len());
        let text = share_of_both(both, sizes);
        let all = [known, Some(symptoms), Some(text)];
        let mean = all.iter().flatten().sum::<f64>() / all.iter().flatten().count() as f64;
        (mean >= ALIKE).then(|| {
            // With the same number of cases the first by id is kept.
            let (a, b) = if of(second) > of(first) {
                (second, first)
            } else {
                (first, second)
            };
            let (keep, other) = (self.articles[a], self.articles[b]);
            let fixes = fixes(keep, other, self.from);
            Pair {
                keep: keep.id.clone(),
                other: other.id.clone(),
                titles: (keep.title.clone(), other.title.clone()),
                cases: (of(a), of(b)),
                alike: mean,
                callers: known,
                symptoms,
                text,
                words: self.callers.shared_words(a, b),
                shared: fixes.0,
                only: fixes.1,
            }
        })
    }
}

/// What callers said in the cases of each article, as it may be kept.
fn callers_of(articles: &[&Article], from: &Spoken<'_>) -> Vec<Counted> {
    let of = |article: &&Article| {
        let number = from.layout.article(&article.id);
        number.map_or_else(Vec::new, |number| from.text(Family::Callers, number))
    };
    articles.par_iter().map(of).collect()
}

fn head_words(article: &Article, from: &Spoken<'_>) -> Counted {
    let mut words: BTreeMap<String, u32> = BTreeMap::new();
    for text in article.symptoms.iter().chain([&article.title]) {
        for term in from.analyzer.terms(text) {
            *words.entry(term).or_default() += 1;
        }
    }
    words.into_iter().collect()
}

/// The words of everything an article says, its own blocks included.
fn body(article: &Article, from: &Spoken<'_>) -> Vec<String> {
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
    from.analyzer.words(&text)
}

type Fixes = (Vec<FixId>, (Vec<FixId>, Vec<FixId>));

fn fixes(a: &Article, b: &Article, from: &Spoken<'_>) -> Fixes {
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

/// Texts as tf-idf vectors of length one, terms by number in the order of their letters.
struct Vectors {
    terms: Vec<String>,
    all: Vec<Vec<(u32, f64)>>,
}

impl Vectors {
    fn new(counts: Vec<Counted>) -> Self {
        let mut found: BTreeMap<String, (u32, f64)> = BTreeMap::new();
        for (term, _) in counts.iter().flatten() {
            match found.get_mut(term) {
                Some(found) => found.1 += 1.0,
                None => {
                    found.insert(term.clone(), (0, 1.0));
                }
            }
        }
        for (number, (_, found)) in (0..).zip(&mut found) {
            found.0 = number;
        }
        let total = counts.len() as f64;
        let weighed = |counts: Counted| {
            let value = |(term, count): (String, u32)| {
                let (number, texts) = found[&term];
                let weight = (1.0 + f64::from(count).ln()) * (total / texts).ln();
                (number, weight)
            };
            let mut vector: Vec<(u32, f64)> = counts.into_iter().map(value).collect();
            let length = vector.iter().map(|(_, v)| v * v).sum::<f64>().sqrt();
            if length > 0.0 {
                vector.iter_mut().for_each(|(_, v)| *v /= length);
            }
            vector
        };
        Self {
            all: counts.into_iter().map(weighed).collect(),
            terms: found.into_keys().collect(),
        }
    }

    /// The terms of two texts with the product of their values, in order.
    fn products(&self, a: usize, b: usize) -> impl Iterator<Item = (u32, f64)> {
        let (a, mut b) = (&self.all[a], &self.all[b][..]);
        a.iter().filter_map(move |(term, value)| {
            while let [(other, _), rest @ ..] = b
                && other < term
            {
                b = rest;
            }
            let (other, there) = b.first()?;
            (other == term).then_some((*term, value * there))
        })
    }

    /// Writes what becomes of a text's values into a list by term.
    fn lay(&self, text: usize, into: &mut [f64], what: impl Fn(f64) -> f64) {
        for (term, value) in &self.all[text] {
            into[*term as usize] = what(*value);
        }
    }

    /// The cosine of a text and one that is laid out; terms are added up in their order.
    fn with(&self, text: usize, laid: &[f64]) -> f64 {
        let products = self.all[text].iter();
        products
            .map(|(term, value)| value * laid[*term as usize])
            .sum()
    }

    fn shared_words(&self, a: usize, b: usize) -> Vec<String> {
        let mut words: Vec<(u32, f64)> = self.products(a, b).filter(|p| p.1 > 0.0).collect();
        words.sort_by(|x, y| y.1.total_cmp(&x.1).then_with(|| x.0.cmp(&y.0)));
        let words = words.into_iter().take(WORDS);
        words
            .map(|(term, _)| self.terms[term as usize].clone())
            .collect()
    }

    fn numbers(&self) -> Vec<Vec<u32>> {
        let terms = |vector: &Vec<(u32, f64)>| vector.iter().map(|(term, _)| *term).collect();
        self.all.iter().map(terms).collect()
    }
}

/// Members that few sets have, with the sets that have them.
struct Sharing {
    /// By set: its members that few have.
    members: Vec<Vec<u32>>,
    /// By member: the sets, ascending.
    holding: Vec<Vec<u32>>,
}

impl Sharing {
    /// Of sets of numbers.
    fn of(sets: &[Vec<u32>]) -> Self {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a part of a number of articles"
        )]
        let part = (COMMON * sets.len() as f64) as usize;
        let most = part.clamp(FEW, 4 * FEW);
        let numbers = sets.iter().flatten().max().map_or(0, |most| most + 1);
        let mut holding: Vec<Vec<u32>> = vec![Vec::new(); numbers as usize];
        for (at, set) in (0..).zip(sets) {
            for member in set {
                holding[*member as usize].push(at);
            }
        }
        for sets in &mut holding {
            if sets.len() < 2 || sets.len() > most {
                *sets = Vec::new();
            }
        }
        let few = |set: &Vec<u32>| {
            let members = set.iter().copied();
            members
                .filter(|m| !holding[*m as usize].is_empty())
                .collect()
        };
        Self {
            members: sets.iter().map(few).collect(),
            holding,
        }
    }

    /// The later sets that share such a member with this one.
    fn after(&self, set: usize, into: &mut BTreeSet<usize>) {
        for member in &self.members[set] {
            let sets = self.holding[*member as usize].iter().rev();
            let later = sets.map(|other| *other as usize);
            into.extend(later.take_while(|other| *other > set));
        }
    }
}
