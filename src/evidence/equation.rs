//! The one equation for a case in hand, and its weights.
//!
//! `chance(c) ∝ exp(β·x(c))` over the candidates `c`: pairs of an article and one of its fixes or
//! none of them, and `unlisted` (`McFadden` 1974, conditional logit). The features `x` are listed in
//! [`Feature`]; each is a number a lead tech can be told in words, and none may count against what it
//! speaks for.
//!
//! Text scores are BM25 divided by `√(Σ_t w_t)` of the question's term weights: a sum over terms
//! grows with the length of the question, its noise with the root of it, so questions of three and
//! of thirty words become comparable.

use serde::{Deserialize, Serialize};

/// What speaks for a candidate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Feature {
    /// The article's own words.
    OwnArticle,
    /// The fix's own words.
    OwnFix,
    /// Callers in the cases this fix of this article ended.
    CallersOfPair,
    /// Callers in the article's cases.
    CallersOfArticle,
    /// Callers in cases this kind of fix ended, in any article.
    CallersOfKind,
    /// As `CallersOfArticle`, by letters.
    LettersOfArticle,
    /// As `CallersOfKind`, by letters.
    LettersOfKind,
    /// How common the article's cases are: `ln(n_a + 1)`.
    Common,
    /// How often this fix is the one in them: `ln π(a,f,d)`.
    Share,
    /// A fault code that the article names.
    Code,
    /// Indicators that agree with the article, less those that differ.
    Signs,
    /// Words learned for the article.
    LearnedArticle,
    /// Words learned for the kind of fix.
    LearnedKind,
}

/// How many features there are.
pub const FEATURES: usize = 13;

/// The numbers of one candidate, in the order of [`Feature`].
pub type Row = [f64; FEATURES];

impl Feature {
    /// Every feature in order.
    pub const ALL: [Self; FEATURES] = [
        Self::OwnArticle,
        Self::OwnFix,
        Self::CallersOfPair,
        Self::CallersOfArticle,
        Self::CallersOfKind,
        Self::LettersOfArticle,
        Self::LettersOfKind,
        Self::Common,
        Self::Share,
        Self::Code,
        Self::Signs,
        Self::LearnedArticle,
        Self::LearnedKind,
    ];

    /// What it looks at, for people; "such a fix" is any fix of the same kind.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::OwnArticle => "own words of the article",
            Self::OwnFix => "own words of the fix",
            Self::CallersOfPair => "what callers said when this fix ended it",
            Self::CallersOfArticle => "what callers said with this article",
            Self::CallersOfKind => "what callers said when such a fix ended it",
            Self::LettersOfArticle => "callers' word parts, this article",
            Self::LettersOfKind => "callers' word parts, such a fix",
            Self::Common => "how common the article's cases are",
            Self::Share => "how often this fix is the one in them",
            Self::Code => "fault code of the article",
            Self::Signs => "indicators as the article says",
            Self::LearnedArticle => "words learned for the article",
            Self::LearnedKind => "words learned for such a fix",
        }
    }
}

/// The weights of the equation.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Weights {
    /// One weight a feature, for the features as they come, unscaled.
    pub beta: Row,
    /// The constant of `unlisted`.
    pub unlisted: f64,
    /// How `unlisted` grows with what speaks for all candidates together; 0 for a plain constant.
    #[serde(default)]
    pub unlisted_by_sum: f64,
    /// How it grows with the doubt between the candidates; 0 for a plain constant.
    #[serde(default)]
    pub unlisted_by_doubt: f64,
    /// How many tickets they were learned from; 0 for the shipped ones.
    pub cases: u64,
}

impl Weights {
    /// The weights that answer until enough tickets are there to learn from.
    ///
    /// Found by fitting the equation to later tickets with the features of earlier ones, on the
    /// open work orders' learning rows and on the invented demo together, and rounding.
    #[must_use]
    pub fn shipped() -> Self {
        Self {
            beta: [
                0.75, 0.45, 0.1, 0.4, 0.2, 0.2, 0.1, 0.15, 0.7, 2.6, 1.5, 1.0, 1.0,
            ],
            unlisted: -0.3,
            unlisted_by_sum: 0.7,
            unlisted_by_doubt: 0.3,
            cases: 0,
        }
    }

    /// The exponent of one candidate.
    #[must_use]
    pub fn utility(&self, row: &Row) -> f64 {
        self.beta.iter().zip(row).map(|(b, x)| b * x).sum()
    }
}

/// `exp` of each, divided by their sum; the largest is taken off first, so nothing overflows.
#[must_use]
pub fn softmax(utilities: &[f64]) -> Vec<f64> {
    let top = utilities.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let exps: Vec<f64> = utilities.iter().map(|u| (u - top).exp()).collect();
    let sum: f64 = exps.iter().sum();
    exps.into_iter().map(|e| e / sum).collect()
}

/// `ln Σ exp` of the candidates' exponents, and the entropy of their chances among themselves: how
/// much speaks for all of them together, and how little for one alone. Both 0 without candidates.
#[must_use]
pub fn sum_and_doubt(utilities: &[f64]) -> (f64, f64) {
    if utilities.is_empty() {
        return (0.0, 0.0);
    }
    let top = utilities.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let sum = top + utilities.iter().map(|u| (u - top).exp()).sum::<f64>().ln();
    let doubt = utilities.iter().map(|u| (u - sum).exp() * (sum - u)).sum();
    (sum, doubt)
}
