//! Why a fix has its chance in a case: what each thing known multiplies it by.
//!
//! ```text
//! chance(c)   = average · Π_k factor_k(c)
//! factor_k(c) = exp(part_k(c) − mean of part_k over the candidates)
//! average     = exp(mean of ln chance over the candidates)
//! ```
//! The logarithm of a chance is a sum of parts (`β_k·x_k`, one for each learned word, the logarithm
//! of how well an answer fits) less one number that all candidates have in common. Taken from its
//! mean that number falls out, so the product is exact: the centred log-ratio of compositions
//! (Aitchison 1986, "The Statistical Analysis of Compositional Data", §4.6). Candidates are here the
//! fixes that are still possible, once for each article that offers them; "none of the listed",
//! `unlisted` and dangers have their part in the average chance alone.
//!
//! A fix of several articles is told in the likeliest of them; the others together are one factor.

use super::chance::Chances;
use super::equation::{Feature, Row, Weights};
use super::features::Sources;
use super::learned::{OTHER, Scores};
use super::question::Question;
use crate::base::ids::{ArticleId, FixId};
use serde::Serialize;

/// Chances below this have lost digits and are no candidates.
const LEAST: f64 = 1e-300;

/// Features that are told word by word.
const BY_WORD: [Feature; 2] = [Feature::LearnedArticle, Feature::LearnedKind];

/// A case as it was answered.
#[derive(Clone, Copy)]
pub struct Answered<'a> {
    /// What was said and shown.
    pub question: &'a Question,
    /// What the features came from.
    pub sources: Sources<'a>,
    /// The weights.
    pub weights: &'a Weights,
    /// The candidates with their features.
    pub chances: &'a Chances,
    /// Their chances after everything that was tried and seen.
    pub believed: &'a [f64],
    /// Answers to checks in words, and how likely each candidate makes them.
    pub seen: &'a [(String, Vec<f64>)],
}

/// What multiplies a chance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// An answer to a check.
    Answer,
    /// The fix is in other articles too.
    OtherArticles,
    /// A number of the equation.
    #[serde(untagged)]
    Feature(Feature),
}

/// One thing known.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Factor {
    /// What it is.
    pub what: What,
    /// The same for people.
    pub words: String,
    /// What it multiplies the chance by.
    pub times: f64,
}

/// One learned word.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WordFactor {
    /// The word, in the plain form of [`super::letters::words`].
    pub word: String,
    /// What it multiplies the chance by.
    pub times: f64,
}

/// Why one fix has its chance: `average` times all factors and all words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Factors {
    /// The article in which the fix is likeliest, and about which the factors are.
    pub article: ArticleId,
    /// The chance of an average candidate: the geometric mean.
    pub average: f64,
    /// How many candidates there are.
    pub candidates: usize,
    /// Features, answers and other articles: the same things in the same order for every fix.
    pub factors: Vec<Factor>,
    /// Words of the question with what was learned of them, the strongest first.
    pub words: Vec<WordFactor>,
}

/// Ready to explain any fix of an answer.
pub struct Explainer<'a> {
    about: Answered<'a>,
    by_word: Vec<(String, Scores<'a>)>,
    /// Places of the candidates among the pairs.
    candidates: Vec<usize>,
    average: f64,
    means: Vec<f64>,
    word_means: Vec<f64>,
}

impl<'a> Explainer<'a> {
    /// Takes the averages over the candidates.
    #[must_use]
    pub fn new(about: Answered<'a>) -> Self {
        let Sources {
            catalog,
            layout,
            words,
            ..
        } = about.sources;
        let is_candidate = |at: &usize| {
            let pair = layout.pairs[about.chances.pairs[*at]];
            let article = &catalog.articles[&layout.articles[pair.article]];
            pair.fix.is_some() && article.danger.is_none() && about.believed[*at] >= LEAST
        };
        let candidates: Vec<usize> = (0..about.chances.pairs.len())
            .filter(is_candidate)
            .collect();
        let mut explainer = Self {
            about,
            by_word: words.by_word(&about.question.all.text),
            candidates,
            average: 0.0,
            means: Vec::new(),
            word_means: Vec::new(),
        };
        let chances = |at: usize| vec![about.believed[at].ln()];
        explainer.average = explainer.mean(chances).first().map_or(0.0, |ln| ln.exp());
        explainer.means = explainer.mean(|at| explainer.parts(at));
        explainer.word_means = explainer.mean(|at| explainer.word_parts(at));
        explainer
    }

    fn mean(&self, parts: impl Fn(usize) -> Vec<f64>) -> Vec<f64> {
        let mut sums: Vec<f64> = Vec::new();
        for at in &self.candidates {
            let parts = parts(*at);
            sums.resize(parts.len(), 0.0);
            sums.iter_mut()
                .zip(parts)
                .for_each(|(sum, part)| *sum += part);
        }
        let count = self.candidates.len() as f64;
        sums.into_iter().map(|sum| sum / count).collect()
    }

    /// The parts of a candidate's exponent that are no words: features, then answers.
    fn parts(&self, at: usize) -> Vec<f64> {
        let row: &Row = &self.about.chances.rows[at];
        let of_features = told().map(|f| self.about.weights.beta[f as usize] * row[f as usize]);
        let of_answers = self.about.seen.iter().map(|(_, likely)| likely[at].ln());
        of_features.chain(of_answers).collect()
    }

    fn word_parts(&self, at: usize) -> Vec<f64> {
        let layout = self.about.sources.layout;
        let pair = layout.pairs[self.about.chances.pairs[at]];
        let article = &layout.articles[pair.article];
        let kind = pair.kind.map_or(OTHER, |kind| &layout.kinds[kind]);
        let weight = |feature: Feature| self.about.weights.beta[feature as usize];
        let of_word = |(_, scores): &(String, Scores<'_>)| {
            weight(Feature::LearnedArticle) * scores.article(article)
                + weight(Feature::LearnedKind) * scores.kind(kind)
        };
        self.by_word.iter().map(of_word).collect()
    }

    /// Why a fix has its chance; none where it is no candidate.
    #[must_use]
    pub fn explain(&self, fix: &FixId) -> Option<Factors> {
        let layout = self.about.sources.layout;
        let number = layout.fix(fix)?;
        let pair_of = |at: usize| self.about.chances.pairs[at];
        let chance = |at: usize| self.about.believed[at];
        let mut offers: Vec<usize> = self.candidates.clone();
        offers.retain(|at| layout.pairs[pair_of(*at)].fix == Some(number));
        offers.sort_by(|a, b| chance(*b).total_cmp(&chance(*a)).then(a.cmp(b)));
        let best = *offers.first()?;
        let all: f64 = offers.iter().map(|at| chance(*at)).sum();
        let things = told().map(|f| (What::Feature(f), self.words_of(f))).chain(
            self.about
                .seen
                .iter()
                .map(|(words, _)| (What::Answer, words.clone())),
        );
        let mut factors: Vec<Factor> = things
            .zip(self.parts(best).iter().zip(&self.means))
            .map(|((what, words), (part, mean))| Factor {
                what,
                words,
                times: (part - mean).exp(),
            })
            .collect();
        factors.push(Factor {
            what: What::OtherArticles,
            words: "also a fix of other articles".to_owned(),
            times: all / chance(best),
        });
        Some(Factors {
            article: layout.articles[layout.pairs[pair_of(best)].article].clone(),
            average: self.average,
            candidates: self.candidates.len(),
            factors,
            words: self.words(best),
        })
    }

    fn words(&self, at: usize) -> Vec<WordFactor> {
        let parts = self.word_parts(at);
        let mut parts: Vec<(f64, &String)> = parts
            .iter()
            .zip(&self.word_means)
            .zip(&self.by_word)
            .map(|((part, mean), (word, _))| (part - mean, word))
            .collect();
        parts.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()).then(a.1.cmp(b.1)));
        let factor = |(part, word): (f64, &String)| WordFactor {
            word: word.clone(),
            times: part.exp(),
        };
        parts.into_iter().map(factor).collect()
    }

    /// What a feature is, with what was shown in this case.
    fn words_of(&self, feature: Feature) -> String {
        let said = &self.about.question.said;
        match feature {
            Feature::Code if !said.codes.is_empty() => {
                format!("fault code {}", said.codes.join(", "))
            }
            Feature::Signs if !said.signs.is_empty() => {
                let signs = said
                    .signs
                    .iter()
                    .map(|(lamp, state)| format!("{lamp}={state}"));
                format!("indicators {}", signs.collect::<Vec<_>>().join(", "))
            }
            _ => feature.words().to_owned(),
        }
    }
}

/// The features that are told as one number.
fn told() -> impl Iterator<Item = Feature> {
    Feature::ALL.into_iter().filter(|f| !BY_WORD.contains(f))
}
