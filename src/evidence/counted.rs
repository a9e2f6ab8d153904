//! Where counts come from: a small trait, and the plain version of it that keeps all texts in
//! memory. The search room's index is the other one; a test holds the two together.

use super::bm25::{Constants, Counts, Size, scores};
use super::layout::Layout;
use super::texts::{self, Family};
use crate::base::spelling::{Vocabulary, Weighted};
use rayon::prelude::*;
use rustc_hash::FxHashMap;
use std::cmp::Ordering;
use std::collections::BTreeMap;
use thiserror::Error;

/// The index could not be read.
#[derive(Debug, Error)]
#[error("{0}")]
pub struct CountsError(pub String);

/// Something that knows how often terms stand in texts, and which articles they point to.
pub trait Candidates {
    /// The counts of these terms in these texts of a family; the texts' numbers ascend.
    ///
    /// # Errors
    /// Where the index cannot be read.
    fn counts(
        &self,
        family: Family,
        terms: &[&str],
        texts: &[usize],
    ) -> Result<Counts, CountsError>;

    /// Numbers of the articles that match these terms best in their own or their callers' words,
    /// at most `most`, in no particular order.
    ///
    /// # Errors
    /// Where the index cannot be read.
    fn matching(&self, terms: &Weighted, most: usize) -> Result<Vec<usize>, CountsError>;
}

/// All texts in memory.
#[derive(Clone, Debug, Default)]
pub struct InMemory {
    families: BTreeMap<Family, Texts>,
}

/// The number of a text that a term stands in, and how often.
pub type Place = (u32, u32);

#[derive(Clone, Debug, Default)]
struct Texts {
    len: Vec<u64>,
    terms: u64,
    postings: FxHashMap<Box<str>, Vec<Place>>,
}

impl InMemory {
    /// Turns texts into postings.
    #[must_use]
    pub fn of(made: &dyn texts::Texts, layout: &Layout) -> Self {
        let families = Family::ALL.par_iter().map(|family| {
            let mut texts = Texts::default();
            for text in 0..family.texts(layout) {
                let counted = made.text(*family, text);
                texts.put(counted.iter().map(|(term, tf)| (term.as_str(), *tf)));
            }
            texts.postings.values_mut().for_each(Vec::shrink_to_fit);
            (*family, texts)
        });
        Self {
            families: families.collect(),
        }
    }
}

impl Texts {
    /// The next text's terms, each once, with how often.
    fn put<'t>(&mut self, terms: impl Iterator<Item = (&'t str, u32)>) {
        // Texts are far fewer than 2³².
        let text = u32::try_from(self.len.len()).unwrap_or(u32::MAX);
        let mut len = 0;
        for (term, tf) in terms {
            len += u64::from(tf);
            if let Some(postings) = self.postings.get_mut(term) {
                postings.push((text, tf));
            } else {
                self.postings.insert(term.into(), vec![(text, tf)]);
            }
        }
        self.len.push(len);
        self.terms += len;
    }
}

impl InMemory {
    /// Every term of the articles' own words and of callers' words.
    #[must_use]
    pub fn vocabulary(&self) -> Vocabulary {
        let families = [Family::Own, Family::Fix, Family::Callers];
        let terms = families.iter().filter_map(|f| self.families.get(f));
        Vocabulary::new(
            terms
                .flat_map(|texts| texts.postings.keys().map(ToString::to_string))
                .collect(),
        )
    }
}

/// How often a term stands in each of these texts, which ascend as its postings do.
#[must_use]
pub fn times(mut postings: &[Place], texts: &[usize]) -> Vec<u32> {
    let mut times = vec![0; texts.len()];
    // Some terms stand in few texts, others in nearly all: each round leaps in both lists.
    let mut at = 0;
    while let (Some((text, tf)), Some(wanted)) = (postings.first(), texts.get(at)) {
        match (*text as usize).cmp(wanted) {
            Ordering::Less => postings = &postings[leap(postings, |p| (p.0 as usize) < *wanted)..],
            Ordering::Greater => at += leap(&texts[at..], |t| *t < *text as usize),
            Ordering::Equal => {
                times[at] = *tf;
                (at, postings) = (at + 1, &postings[1..]);
            }
        }
    }
    times
}

/// How many of the first items are before, found in steps that double (Bentley & Yao 1976).
fn leap<T>(items: &[T], before: impl Fn(&T) -> bool) -> usize {
    let mut step = 1;
    while items.get(step).is_some_and(&before) {
        step *= 2;
    }
    let (from, to) = (step / 2, items.len().min(step + 1));
    from + items[from..to].partition_point(before)
}

impl Candidates for InMemory {
    fn counts(
        &self,
        family: Family,
        terms: &[&str],
        texts: &[usize],
    ) -> Result<Counts, CountsError> {
        let Some(known) = self.families.get(&family) else {
            return Ok(Counts::default());
        };
        let mut counts = Counts {
            size: Size {
                texts: known.len.len() as u64,
                terms: known.terms,
            },
            len: texts.iter().map(|t| known.len[*t]).collect(),
            ..Counts::default()
        };
        for term in terms {
            let postings = known.postings.get(*term).map_or(&[][..], Vec::as_slice);
            counts.df.push(postings.len() as u64);
            counts.tf.push(times(postings, texts));
        }
        Ok(counts)
    }

    fn matching(&self, terms: &Weighted, most: usize) -> Result<Vec<usize>, CountsError> {
        let mut touched: Vec<usize> = Vec::new();
        for family in [Family::Own, Family::Callers] {
            if let Some(texts) = self.families.get(&family) {
                for term in terms.keys() {
                    let places = texts.postings.get(term.as_str()).into_iter().flatten();
                    touched.extend(places.map(|place| place.0 as usize));
                }
            }
        }
        touched.sort_unstable();
        touched.dedup();
        let mut best = text_scores(self, terms, &touched)?;
        best.truncate(most);
        Ok(best.into_iter().map(|(article, _)| article).collect())
    }
}

/// Articles with their score in own plus callers' words, best first, ties by number.
///
/// # Errors
/// Where the index cannot be read.
pub fn text_scores(
    candidates: &dyn Candidates,
    terms: &Weighted,
    articles: &[usize],
) -> Result<Vec<(usize, f64)>, CountsError> {
    let names: Vec<&str> = terms.keys().map(String::as_str).collect();
    let weights: Vec<f64> = terms.values().copied().collect();
    let own = scores(
        &candidates.counts(Family::Own, &names, articles)?,
        &weights,
        Constants::OWN,
    );
    let callers = scores(
        &candidates.counts(Family::Callers, &names, articles)?,
        &weights,
        Constants::CALLERS,
    );
    let mut best: Vec<(usize, f64)> = articles
        .iter()
        .zip(own.iter().zip(&callers))
        .map(|(a, (o, c))| (*a, o + c))
        .collect();
    best.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    Ok(best)
}
