//! What does a fix take? Recorded minutes, tamed and drawn towards what its author wrote.
//!
//! `c(f) = (n·m̄ + 5·author) / (n + 5)`, with `m̄` the mean of the `n` recorded minutes after each
//! was capped at the 95th percentile of the fix's kind: a clock left running overnight must not
//! rule, and few records must not overrule the author.

/// How many records the author's figure is worth.
pub const AUTHOR_CASES: f64 = 5.0;

/// The percentile of a kind at which minutes are capped.
pub const CAP: f64 = 0.95;

/// A quantile of numbers in any order, straight between the two nearest (type 7 of Hyndman & Fan
/// 1996); none of no numbers.
#[must_use]
pub fn quantile(mut numbers: Vec<f64>, share: f64) -> Option<f64> {
    numbers.sort_by(f64::total_cmp);
    let last = numbers.len().checked_sub(1)?;
    let place = share.clamp(0.0, 1.0) * last as f64;
    let low = place.floor();
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 ≤ place ≤ last, which is an index"
    )]
    let at = low as usize;
    let next = numbers[(at + 1).min(last)];
    Some(numbers[at] + (place - low) * (next - numbers[at]))
}

/// `c(f)` from the recorded minutes of a fix, its kind's cap and the author's minutes.
#[must_use]
pub fn minutes(recorded: &[f64], cap: Option<f64>, author: f64) -> f64 {
    let cap = cap.unwrap_or(f64::INFINITY);
    let capped: Vec<f64> = recorded.iter().map(|m| m.min(cap)).collect();
    let n = capped.len() as f64;
    (super::share::sorted_sum(capped) + AUTHOR_CASES * author) / (n + AUTHOR_CASES)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_lie_between_the_author_and_the_capped_records() {
        for (recorded, cap, author, expected) in [
            (vec![], None, 20.0, 20.0),
            (vec![10.0; 5], Some(30.0), 20.0, 15.0),
            (vec![10.0, 600.0], Some(30.0), 20.0, 20.0),
        ] {
            assert!((minutes(&recorded, cap, author) - expected).abs() < 1e-12);
        }
    }

    #[test]
    fn quantiles_lie_between_neighbours() {
        // numpy.quantile's default on the same numbers, by hand.
        assert_eq!(quantile(vec![], 0.95), None);
        for (numbers, expected) in [
            (vec![7.0], 7.0),
            (vec![2.0, 1.0], 1.95),
            ((1..=21).map(f64::from).collect(), 20.0),
        ] {
            assert!((quantile(numbers, 0.95).unwrap() - expected).abs() < 1e-12);
        }
    }
}
