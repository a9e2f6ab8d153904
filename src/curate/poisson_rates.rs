//! Two counts: is one arriving faster than the other?
//!
//! Given their sum, the first of two Poisson counts is binomial with the part of the exposure that is
//! the first's (Przyborowski & Wilenski 1940, Biometrika 31:313–323): the chance of at least `k₁` of
//! `k₁ + k₂` is the regularised incomplete beta function `I_p(k₁, k₂ + 1)`.
//!
//! Counts that come in clumps have a variance of `φ` times their mean. As negative binomial counts with
//! that variance (the first kind of Cameron & Trivedi 1986, J. Appl. Econometrics 1:29–53, from memory),
//! `μ/(φ−1)` gamma shapes each and one scale for both, the first given the sum is beta-binomial
//! (Johnson, Kemp & Kotz 2005, *Univariate Discrete Distributions* §6.2.2, from memory). The common rate
//! in the shapes is the observed one. Dividing both counts by `φ` instead has the right variance, but too
//! light a tail: a count of clumps is more skewed than that.
//!
//! The interval of the ratio is that of Clopper & Pearson 1934 for the binomial part, `p/(1−p)` of it;
//! it also takes counts that were divided by a dispersion. Cost: the p-value one pass over `0..=k₁ + k₂`
//! where `φ` is above 1, the rest a few continued fractions.

use crate::evidence::beta::quantile;
use statrs::function::beta::beta_reg;

/// A count and what it is a count of: days, or all tickets of the time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Count {
    /// How many.
    pub seen: f64,
    /// Of how many.
    pub of: f64,
}

/// Below this a dispersion is none: the shapes would be too large to tell from a binomial.
const CLUMPED_FROM: f64 = 1.0001;

/// The p-value of "the first arrives no faster" for whole counts of the given dispersion `φ`, at least 1.
/// 1 where nothing was seen or nothing compared with.
#[must_use]
pub fn faster(first: Count, second: Count, dispersion: f64) -> f64 {
    if first.seen <= 0.0 || first.of <= 0.0 || second.of <= 0.0 {
        return 1.0;
    }
    let (sum, exposure) = (first.seen + second.seen, first.of + second.of);
    if dispersion < CLUMPED_FROM {
        return beta_reg(first.seen, second.seen + 1.0, first.of / exposure);
    }
    let shapes = |count: Count| sum * count.of / exposure / (dispersion - 1.0);
    at_least(first.seen, sum, shapes(first), shapes(second))
}

/// The chance of at least `seen` of `sum` by the beta-binomial distribution.
///
/// Each chance follows from its neighbour, from the middle outwards, and all are divided by their sum:
/// no difference of large logarithms is taken.
fn at_least(seen: f64, sum: f64, a: f64, b: f64) -> f64 {
    let next = |k: f64| (sum - k) * (a + k) / ((k + 1.0) * (b + sum - k - 1.0));
    let middle = (sum * a / (a + b)).round();
    let (mut all, mut counted) = (0.0, 0.0);
    let mut add = |k: f64, chance: f64| {
        all += chance;
        counted += if k >= seen { chance } else { 0.0 };
    };
    let (mut k, mut chance) = (middle, 1.0);
    while k <= sum && chance > 0.0 {
        add(k, chance);
        chance *= next(k);
        k += 1.0;
    }
    (k, chance) = (middle, 1.0);
    while k > 0.0 && chance > 0.0 {
        k -= 1.0;
        chance /= next(k);
        add(k, chance);
    }
    counted / all
}

/// How many times as fast the first arrives, with its interval of `1 − alpha`; the high end is
/// infinite where the second never arrived.
#[must_use]
pub fn ratio(first: Count, second: Count, alpha: f64) -> (f64, f64, f64) {
    let exposure = second.of / first.of;
    let odds = |p: f64| {
        if p >= 1.0 {
            f64::INFINITY
        } else {
            p / (1.0 - p)
        }
    };
    let low = if first.seen > 0.0 {
        quantile(alpha / 2.0, first.seen, second.seen + 1.0)
    } else {
        0.0
    };
    let high = if second.seen > 0.0 {
        quantile(1.0 - alpha / 2.0, first.seen + 1.0, second.seen)
    } else {
        1.0
    };
    (
        exposure * first.seen / second.seen,
        exposure * odds(low),
        exposure * odds(high),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn count(seen: f64, of: f64) -> Count {
        Count { seen, of }
    }

    /// Invented counts; values of scipy 1.17.1 `betabinom.sf`.
    #[test]
    fn values_of_the_beta_binomial_tail() {
        for (first, second, dispersion, expected) in [
            (
                count(14.0, 7.0),
                count(6.0, 28.0),
                2.0,
                7.899_242_652_831_262e-4,
            ),
            (
                count(9.0, 7.0),
                count(12.0, 28.0),
                1.5,
                0.038_246_223_832_263_17,
            ),
            (
                count(30.0, 100.0),
                count(60.0, 700.0),
                3.0,
                0.003_099_773_511_455_961,
            ),
        ] {
            let found = faster(first, second, dispersion);
            assert!(
                (found / expected - 1.0).abs() < 1e-9,
                "{found:e} {expected:e}"
            );
        }
    }

    #[test]
    fn hardly_any_clumps_are_hardly_another_test() {
        let (first, second) = (count(9.0, 7.0), count(12.0, 28.0));
        let (bare, clumped) = (faster(first, second, 1.0), faster(first, second, 1.000_2));
        assert!((clumped / bare - 1.0).abs() < 0.002, "{bare} {clumped}");
    }

    #[test]
    fn values_of_the_binomial_test() {
        // Invented counts; values of scipy 1.17.1 `binomtest(…, alternative="greater")`.
        for (first, second, expected) in [
            (count(14.0, 7.0), count(6.0, 28.0), 1.845_005_721_272e-6),
            (count(9.0, 7.0), count(12.0, 28.0), 0.014_413_961_673),
            (count(0.0, 7.0), count(12.0, 28.0), 1.0),
        ] {
            let found = faster(first, second, 1.0);
            assert!(
                (found / expected - 1.0).abs() < 1e-9,
                "{found:e} {expected:e}"
            );
        }
    }

    /// 11 in 800 against 21 in 3011: the example of R's `poisson.test`, ratio 1.971488 with
    /// (0.8584264, 4.2772659) (from memory); digits from statsmodels 0.15.0.
    #[test]
    fn the_interval_of_rs_example() {
        let (ratio, low, high) = ratio(count(11.0, 800.0), count(21.0, 3011.0), 0.05);
        for (found, expected) in [
            (ratio, 1.971_488_095_2),
            (low, 0.858_426_403_4),
            (high, 4.277_265_943_7),
        ] {
            assert!((found - expected).abs() < 1e-9, "{found} {expected}");
        }
    }

    #[test]
    fn nothing_seen_is_no_news_and_the_ends_are_open() {
        assert!((faster(count(0.0, 1.0), count(5.0, 9.0), 2.0) - 1.0_f64).abs() < 1e-12);
        assert!((faster(count(5.0, 9.0), count(0.0, 0.0), 1.0) - 1.0_f64).abs() < 1e-12);
        let (_, low, high) = ratio(count(4.0, 10.0), count(0.0, 10.0), 0.05);
        assert!(low > 0.0 && high.is_infinite());
    }
}
