//! The weights of the equation, from cases that ended.
//!
//! A conditional logit (`McFadden` 1974) in which a case may only narrow the alternatives: `A_i` is
//! one candidate where it is known what ended the case, several where it is only known what did
//! not. With the features `x` of each candidate and a prior around the start `β⁰`:
//!
//! ```text
//! maximise  Σ_i w_i ln Σ_{c ∈ A_i} p_i(c) − Σ_k (β_k − β⁰_k)²/2σ_k²,     β ≥ 0
//! slope     Σ_i w_i Σ_c (r_ic − p_ic) ∂u_ic/∂β − (β − β⁰)/σ²,        r = p restricted to A_i
//! ```
//!
//! The search is Newton's, straight on this function, with the exact slope; the curvature leaves
//! out how the exponent of `unlisted` bends. Where cases with wide `A_i` make the function bend the
//! wrong way, the curvature is that of the complete data, which never does: one step of EM with one
//! Newton step inside (Lange 1995, "A gradient algorithm locally equivalent to the EM algorithm").
//! Weights that may not be negative are cut at 0, and held there while the slope points below
//! (two-metric projection, Bertsekas 1982). L-BFGS would need hundreds of looks at every case for
//! these fifteen numbers; Newton needs about ten. The function may have several maxima where `A_i`
//! are wide, so the start is fixed: the same cases give the same weights.

mod cases;
mod climb;
mod rows;
#[cfg(test)]
mod tests;

use super::equation::{FEATURES, Row, Weights};
use climb::climb;
pub use rows::Rows;

/// How far a weight may stray from the shipped one, on features scaled to unit variance.
///
/// The variance is taken within cases, over their candidates, because only differences between
/// candidates of one case say anything.
pub const SIGMA: f64 = 0.5;

/// The same for the three weights of `unlisted`, unscaled; they have no features to scale.
pub const SIGMA_UNLISTED: f64 = 2.0;

/// Cases that are enough for fifteen numbers; with more, give the newest. A case takes about 8 kB
/// and some hundred thousand multiplications.
pub const MOST_CASES: usize = 10_000;

/// The first fit point.
pub const FIRST_FIT: usize = 200;

/// Each next one is larger by this factor, rounded up.
pub const NEXT_FIT: f64 = 1.05;

/// One case to fit to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FitCase {
    /// How much it counts.
    pub weight: f64,
    /// The features of its candidates, from statistics that leave it out.
    pub rows: Rows,
    /// Which of them it leaves possible.
    pub chosen: Vec<bool>,
    /// Whether a person found no article that covers it.
    pub unlisted_chosen: bool,
    /// How many cases nothing covered, in the statistics that leave it out.
    pub unlisted_times: f64,
}

/// The numbers that are fitted: the features' weights and the three of `unlisted`.
const NUMBERS: usize = FEATURES + 3;

type Numbers = [f64; NUMBERS];

/// How far weights may stray; infinite for "as far as the cases say".
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// See [`SIGMA`].
    pub features: f64,
    /// See [`SIGMA_UNLISTED`].
    pub unlisted: f64,
}

/// The weights that these cases and the start agree on. Cases that leave nothing possible (what
/// ended them was no candidate) say nothing.
///
/// The same cases give the same weights to the last bit; another order gives the same up to
/// rounding.
#[must_use]
pub fn fit(cases: &[FitCase], start: &Weights) -> Weights {
    let spread = Spread {
        features: SIGMA,
        unlisted: SIGMA_UNLISTED,
    };
    fit_within(cases, start, spread).weights
}

/// The weights with what they reach.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// The weights.
    pub weights: Weights,
    /// `Σ w ln Σ p`, without the prior's part.
    pub log_likelihood: f64,
    /// Steps of the search.
    pub steps: usize,
}

/// As [`fit`], with another prior.
#[must_use]
pub fn fit_within(cases: &[FitCase], start: &Weights, spread: Spread) -> Fitted {
    let usable = usable(cases);
    let from = numbers(start);
    let mut precision = [spread.unlisted.powi(-2); NUMBERS];
    for (precision, variance) in precision.iter_mut().zip(cases::variances(&usable)) {
        // A feature that never differs is not scaled.
        let variance = if variance > 0.0 { variance } else { 1.0 };
        *precision = variance / spread.features.powi(2);
    }
    let found = climb(&usable, &from, &precision);
    let mut weights = Weights {
        cases: usable.len() as u64,
        ..start.clone()
    };
    weights.beta.copy_from_slice(&found.place[..FEATURES]);
    weights.unlisted = found.place[FEATURES];
    weights.unlisted_by_sum = found.place[FEATURES + 1];
    weights.unlisted_by_doubt = found.place[FEATURES + 2];
    Fitted {
        weights,
        log_likelihood: found.log_likelihood,
        steps: found.steps,
    }
}

/// A typical step of each feature: its standard deviation within cases, over their candidates. 0
/// where it never differs.
#[must_use]
pub fn steps(cases: &[FitCase]) -> Row {
    cases::variances(&usable(cases)).map(f64::sqrt)
}

fn usable(cases: &[FitCase]) -> Vec<&FitCase> {
    cases
        .iter()
        .filter(|case| case.unlisted_chosen || case.chosen.contains(&true))
        .collect()
}

fn numbers(weights: &Weights) -> Numbers {
    let mut numbers = [0.0; NUMBERS];
    numbers[..FEATURES].copy_from_slice(&weights.beta);
    numbers[FEATURES] = weights.unlisted;
    numbers[FEATURES + 1] = weights.unlisted_by_sum;
    numbers[FEATURES + 2] = weights.unlisted_by_doubt;
    numbers
}

/// The counts of cases at which weights are fitted: 200, 210, 221, … They depend on nothing else,
/// so the same ledger has the same weights whatever its history.
pub fn fit_points() -> impl Iterator<Item = usize> {
    let exact = std::iter::successors(Some(FIRST_FIT as f64), |n| Some(n * NEXT_FIT));
    // Rounding errors of the products are far below 1e-6; no exact count is that close above a
    // whole number. `as` cuts counts beyond what a machine can address.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the counts are positive and small"
    )]
    exact.map(|n| (n - 1e-6).ceil() as usize)
}

/// The fit point for this many cases: the weights come from the first so many in order of (closed,
/// id). None where they are too few.
#[must_use]
pub fn fit_point(cases: usize) -> Option<usize> {
    fit_points().take_while(|point| *point <= cases).last()
}
