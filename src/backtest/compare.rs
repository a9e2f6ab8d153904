//! Is one way of answering better than another on the same cases, or was it luck?
//!
//! Each case gives one difference; the mean of these is what counts. The paired bootstrap draws as
//! many cases as there are, with return, again and again; the middle 95 % of the means drawn are the
//! interval (the percentile method: Efron 1979, Ann. Statist. 7:1–26). What both ways find easy or
//! hard alike falls out of the differences, so fewer cases are needed than for two separate means.

use super::dice::Dice;
use super::measure::mean;
use crate::evidence::cost::quantile;
use serde::Serialize;

/// Samples drawn.
pub const SAMPLES: usize = 2_000;

/// A mean difference with its 95 % interval.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Difference {
    /// The mean.
    pub mean: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Difference {
    /// Whether the interval leaves out 0: more than luck.
    #[must_use]
    pub fn is_clear(&self) -> bool {
        self.low > 0.0 || self.high < 0.0
    }
}

/// The mean of these differences, one a case.
#[must_use]
pub fn difference(of_cases: &[f64], seed: u64) -> Difference {
    if of_cases.is_empty() {
        return Difference::default();
    }
    let mut dice = Dice::new(seed);
    let mut sample = || mean((0..of_cases.len()).map(|_| of_cases[dice.below(of_cases.len())]));
    let means: Vec<f64> = (0..SAMPLES).map(|_| sample()).collect();
    Difference {
        mean: mean(of_cases.iter().copied()),
        low: quantile(means.clone(), 0.025).unwrap_or(0.0),
        high: quantile(means, 0.975).unwrap_or(0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_interval_is_about_the_normal_one_and_depends_on_the_seed_alone() {
        // 400 differences of ±1: mean 0.2, standard error √(1 − 0.04)/20 ≈ 0.049.
        let all: Vec<f64> = (0..400)
            .map(|n| if n % 5 < 3 { 1.0 } else { -1.0 })
            .collect();
        let found = difference(&all, 11);
        assert!((found.mean - 0.2).abs() < 1e-12);
        let half = 1.96 * f64::sqrt(0.96 / 400.0);
        assert!((found.low - (0.2 - half)).abs() < 0.01, "{found:?}");
        assert!((found.high - (0.2 + half)).abs() < 0.01, "{found:?}");
        assert!(found.is_clear());
        assert_eq!(difference(&all, 11), found);
        assert_ne!(difference(&all, 12), found);
    }

    #[test]
    fn equals_do_not_differ_and_nothing_is_nothing() {
        assert_eq!(difference(&[0.0; 30], 1), Difference::default());
        assert_eq!(difference(&[], 1), Difference::default());
        assert!(!difference(&[1.0, -1.0], 1).is_clear());
    }
}
