//! Were the chances honest? Of all cases with a chance near 0.7, did seven in ten happen?
//!
//! Forecasts are sorted and cut into bins of equal count (`DeGroot` & Fienberg 1983, The Statistician
//! 32:12–22, for the diagram). The expected calibration error is the mean distance of what was said
//! and what happened over bins, weighted by their counts (Naeini, Cooper & Hauskrecht 2015, AAAI).
//!
//! A perfect forecaster is not at 0: in bins of a few dozen the counts scatter. So the error stands
//! beside what it would be were every chance exactly right: the mean and the 95th percentile of
//! [`DRAWS`] histories drawn from the chances themselves (Bröcker & Smith 2007, Weather and
//! Forecasting 22:651–661). Below the 95th percentile nothing is proven against the chances.
//!
//! Cost: one sort, and one draw a case and history.

use super::dice::Dice;
use super::measure::{Forecast, mean};
use crate::evidence::cost::quantile;
use serde::Serialize;

/// Bins of a table.
pub const BINS: usize = 10;

/// Histories drawn.
pub const DRAWS: usize = 1_000;

/// Forecasts that are looked at together.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bin {
    /// How many.
    pub count: usize,
    /// The mean chance that was said.
    pub said: f64,
    /// The part that happened.
    pub happened: f64,
}

/// A table with its error.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Calibration {
    /// How many forecasts.
    pub count: usize,
    /// The bins, from low to high chances.
    pub bins: Vec<Bin>,
    /// The expected calibration error.
    pub error: f64,
    /// Its mean were every chance exactly right.
    pub perfect_mean: f64,
    /// Its 95th percentile were every chance exactly right.
    pub perfect_95: f64,
}

/// The table of [`BINS`] bins of equal count; fewer where there are fewer forecasts.
#[must_use]
pub fn calibration(forecasts: &[Forecast], seed: u64) -> Calibration {
    let mut sorted = forecasts.to_vec();
    // A stable sort: equal chances stay in the order of the cases.
    sorted.sort_by(|a, b| a.chance.total_cmp(&b.chance));
    let groups: Vec<&[Forecast]> = equal_parts(&sorted, BINS);
    let bins: Vec<Bin> = groups.iter().map(|group| bin(group)).collect();
    let drawn = draws(&groups, &bins, sorted.len(), seed);
    Calibration {
        count: sorted.len(),
        error: error(&bins),
        bins,
        perfect_mean: mean(drawn.iter().copied()),
        perfect_95: quantile(drawn, 0.95).unwrap_or(0.0),
    }
}

/// The expected calibration error of a table.
#[must_use]
pub fn error(bins: &[Bin]) -> f64 {
    let all: usize = bins.iter().map(|bin| bin.count).sum();
    let off = bins
        .iter()
        .map(|bin| bin.count as f64 * (bin.said - bin.happened).abs());
    off.sum::<f64>() / all.max(1) as f64
}

/// One bin.
#[must_use]
pub fn bin(forecasts: &[Forecast]) -> Bin {
    Bin {
        count: forecasts.len(),
        said: mean(forecasts.iter().map(|f| f.chance)),
        happened: mean(forecasts.iter().map(Forecast::outcome)),
    }
}

/// Parts whose lengths differ by at most one; no empty ones.
fn equal_parts<T>(all: &[T], parts: usize) -> Vec<&[T]> {
    let edge = |part: usize| part * all.len() / parts;
    (0..parts)
        .map(|part| &all[edge(part)..edge(part + 1)])
        .filter(|part| !part.is_empty())
        .collect()
}

fn draws(groups: &[&[Forecast]], bins: &[Bin], all: usize, seed: u64) -> Vec<f64> {
    let mut dice = Dice::new(seed);
    let mut draw = || {
        let mut off = 0.0;
        for (group, bin) in groups.iter().zip(bins) {
            let happened = group.iter().filter(|f| dice.happens(f.chance)).count();
            off += (bin.said * bin.count as f64 - happened as f64).abs();
        }
        off / all.max(1) as f64
    };
    (0..DRAWS).map(|_| draw()).collect()
}

#[cfg(test)]
mod tests {
    use super::super::measure::tests::forecasts;
    use super::*;

    #[test]
    fn the_table_and_its_error_are_sklearns() {
        // Made-up numbers; `sklearn.calibration.calibration_curve(n_bins=5, strategy='uniform')`
        // and the error by hand with the bins' parts as weights.
        let all = forecasts(
            &[0, 0, 1, 0, 1, 0, 1, 1, 1, 1],
            &[0.05, 0.12, 0.18, 0.33, 0.37, 0.41, 0.62, 0.68, 0.85, 0.93],
        );
        let groups = [&all[0..3], &all[3..5], &all[5..6], &all[6..8], &all[8..10]];
        let bins = groups.map(bin);
        for (bin, (count, said, happened)) in bins.iter().zip([
            (3, 0.1166666667, 0.3333333333),
            (2, 0.35, 0.5),
            (1, 0.41, 0.0),
            (2, 0.65, 1.0),
            (2, 0.89, 1.0),
        ]) {
            assert_eq!(bin.count, count);
            assert!((bin.said - said).abs() < 1e-9);
            assert!((bin.happened - happened).abs() < 1e-9);
        }
        assert!((error(&bins) - 0.228).abs() < 1e-12);
    }

    #[test]
    fn bins_have_equal_counts_whatever_the_order() {
        let mut all: Vec<Forecast> = (0..25)
            .map(|n| Forecast {
                chance: f64::from(n) / 25.0,
                happened: n % 2 == 0,
            })
            .collect();
        let table = calibration(&all, 1);
        assert_eq!(table.bins.len(), BINS);
        assert!(table.bins.iter().all(|b| b.count == 2 || b.count == 3));
        assert!(table.bins.is_sorted_by(|a, b| a.said < b.said));
        all.reverse();
        assert_eq!(calibration(&all, 1), table);
        assert_eq!(calibration(&[], 1), Calibration::default());
    }

    #[test]
    fn an_honest_forecaster_lies_within_what_is_drawn_and_a_boaster_above() {
        let mut dice = Dice::new(3);
        let mut within = 0;
        for _ in 0..20 {
            let (mut honest, mut boaster) = (Vec::new(), Vec::new());
            for _ in 0..400 {
                let chance = dice.unit();
                let happened = dice.happens(chance);
                honest.push(Forecast { chance, happened });
                let chance = chance.sqrt();
                boaster.push(Forecast { chance, happened });
            }
            let (honest, boaster) = (calibration(&honest, 5), calibration(&boaster, 5));
            assert!(honest.perfect_mean < honest.perfect_95);
            within += u32::from(honest.error <= honest.perfect_95);
            assert!(boaster.error > 1.5 * boaster.perfect_95, "{boaster:?}");
        }
        // 19 are to be expected.
        assert!(within >= 16, "{within}");
    }
}
