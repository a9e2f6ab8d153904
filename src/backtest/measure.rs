//! How good were the answers? One number a question, each a mean over cases.
//!
//! - hit@k: the part of cases whose fix stands among the first `k`.
//! - MRR: the mean of `1/rank`, absent counting 0 (Voorhees 1999, TREC-8 question answering track).
//! - Log loss: the mean of `−ln p` of what really was the one (Good 1952, J. R. Stat. Soc. B
//!   14:107–114); `p` is cut at [`LEAST_CHANCE`] so that one impossible case is not everything, and
//!   the cut ones are counted.
//! - Brier score: the mean of `(p − happened)²` (Brier 1950, Mon. Weather Rev. 78:1–3).
//!
//! Means of nothing are 0; whoever prints them states the count.

use serde::Serialize;

/// Chances below this count as this in the log loss.
pub const LEAST_CHANCE: f64 = 1e-6;

/// What was said of one event, and whether it happened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Forecast {
    /// The chance that was said.
    pub chance: f64,
    /// Whether it happened.
    pub happened: bool,
}

impl Forecast {
    /// 1 where it happened, else 0.
    #[must_use]
    pub fn outcome(&self) -> f64 {
        if self.happened { 1.0 } else { 0.0 }
    }
}

/// The mean; 0 of nothing.
#[must_use]
pub fn mean(numbers: impl IntoIterator<Item = f64>) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for number in numbers {
        sum += number;
        count += 1.0;
    }
    if count > 0.0 { sum / count } else { 0.0 }
}

/// 1 where the rank (from 1; none for absent) is at most `k`, else 0. Its mean is hit@k.
#[must_use]
pub fn hit(rank: Option<usize>, k: usize) -> f64 {
    if rank.is_some_and(|rank| rank <= k) {
        1.0
    } else {
        0.0
    }
}

/// `1/rank`, 0 for absent. Its mean is the MRR.
#[must_use]
pub fn reciprocal(rank: Option<usize>) -> f64 {
    rank.map_or(0.0, |rank| 1.0 / rank.max(1) as f64)
}

/// A log loss with how often it was cut.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct LogLoss {
    /// The mean.
    pub mean: f64,
    /// Cases whose chance was below [`LEAST_CHANCE`].
    pub clipped: usize,
}

/// The log loss of the chances that were given to what really was the one.
#[must_use]
pub fn log_loss(chances: &[f64]) -> LogLoss {
    LogLoss {
        mean: mean(chances.iter().map(|p| -p.max(LEAST_CHANCE).ln())),
        clipped: chances.iter().filter(|p| **p < LEAST_CHANCE).count(),
    }
}

/// The Brier score.
#[must_use]
pub fn brier(forecasts: &[Forecast]) -> f64 {
    mean(forecasts.iter().map(|f| (f.chance - f.outcome()).powi(2)))
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    pub(crate) fn forecasts(outcomes: &[u8], chances: &[f64]) -> Vec<Forecast> {
        let both = outcomes.iter().zip(chances);
        both.map(|(outcome, chance)| Forecast {
            chance: *chance,
            happened: *outcome == 1,
        })
        .collect()
    }

    #[test]
    fn ranks_three_two_and_one_have_eleven_eighteenths() {
        // Example of an encyclopaedia that cites Voorhees 1999 (S); pytrec_eval's mean
        // `recip_rank` agrees.
        let ranks = [Some(3), Some(2), Some(1)];
        let found = mean(ranks.map(reciprocal));
        assert!((found - 11.0 / 18.0).abs() < 1e-12);
        // An absent one counts 0.
        let ranks = [Some(3), None, Some(1)];
        assert!((mean(ranks.map(reciprocal)) - 4.0 / 9.0).abs() < 1e-12);
        for (k, part) in [(1, 1.0 / 3.0), (2, 1.0 / 3.0), (3, 2.0 / 3.0)] {
            assert!((mean(ranks.map(|r| hit(r, k))) - part).abs() < 1e-12);
        }
    }

    #[test]
    fn the_brier_score_is_sklearns() {
        // `sklearn.metrics.brier_score_loss`: the documentation's example (D), and made-up numbers.
        let documented = forecasts(&[0, 1, 1, 0], &[0.1, 0.9, 0.8, 0.3]);
        assert!((brier(&documented) - 0.0375).abs() < 1e-12);
        let made_up = forecasts(
            &[0, 0, 1, 0, 1, 0, 1, 1, 1, 1],
            &[0.05, 0.12, 0.18, 0.33, 0.37, 0.41, 0.62, 0.68, 0.85, 0.93],
        );
        assert!((brier(&made_up) - 0.16374).abs() < 1e-12);
    }

    #[test]
    fn the_log_loss_counts_what_it_cuts() {
        let found = log_loss(&[0.5, 0.25, 0.0, 1e-9]);
        let cut = -LEAST_CHANCE.ln();
        let expected = (2.0_f64.ln() + 4.0_f64.ln() + 2.0 * cut) / 4.0;
        assert!((found.mean - expected).abs() < 1e-12);
        assert_eq!(found.clipped, 2);
        assert_eq!(log_loss(&[]), LogLoss::default());
    }
}
