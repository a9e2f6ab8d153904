//! Fisher's exact test of a 2×2 table: is it more than chance that a fix worked less often?
//!
//! Given the margins, the number that worked before is hypergeometric. The two-sided p-value adds the
//! chances of all tables that are no likelier than the one seen (Fisher 1935, "The Design of
//! Experiments", §§5–9 for the one-sided tea tasting; the two-sided sum is Irwin's rule, 1935, as most
//! packages use it). Cost: one term for each possible table.

use super::mantel_haenszel::Table;
use statrs::function::factorial::ln_binomial;

/// Tables as likely as the one seen are counted though rounding makes them a little likelier; the
/// value is that of R's `fisher.test`.
const TIES: f64 = 1.0 + 1e-7;

/// The two-sided p-value.
#[must_use]
pub fn two_sided(table: &Table) -> f64 {
    let (chances, seen) = chances(table);
    let bar = chances[seen] * TIES;
    let total: f64 = chances.iter().sum();
    let as_rare = chances.iter().filter(|chance| **chance <= bar);
    (as_rare.sum::<f64>() / total).min(1.0)
}

/// The p-value of "no more than this many worked before".
#[must_use]
pub fn less(table: &Table) -> f64 {
    let (chances, seen) = chances(table);
    let total: f64 = chances.iter().sum();
    (chances[..=seen].iter().sum::<f64>() / total).min(1.0)
}

/// The chance of each number that may have worked before, from the least possible; and the place of
/// the one seen.
fn chances(table: &Table) -> (Vec<f64>, usize) {
    let before = table.before.0 + table.before.1;
    let since = table.since.0 + table.since.1;
    let worked = table.before.0 + table.since.0;
    let least = worked.saturating_sub(since);
    let most = worked.min(before);
    let all = ln_binomial(before + since, worked);
    let chance = |k: u64| (ln_binomial(before, k) + ln_binomial(since, worked - k) - all).exp();
    let seen = usize::try_from(table.before.0 - least).unwrap_or(usize::MAX);
    ((least..=most).map(chance).collect(), seen)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn table(a: u64, b: u64, c: u64, d: u64) -> Table {
        Table {
            before: (a, b),
            since: (c, d),
        }
    }

    #[test]
    fn published_and_computed_values() {
        // Fisher 1935, tea tasting: one-sided 17/70 = 0.2429 (published), two-sided from scipy 1.17.1.
        // Convictions of like-sex twins: 0.0004652 less, 0.0005367 two-sided (example of R's
        // `fisher.test`, from memory); digits from scipy 1.17.1. The third is invented, digits scipy.
        for (table, expected) in [
            (table(3, 1, 1, 3), 0.485_714_285_714),
            (table(2, 10, 15, 3), 5.367_241_191_434e-4),
            (table(18, 2, 9, 11), 0.005_735_673_700),
        ] {
            let found = two_sided(&table);
            assert!(
                (found - expected).abs() < 1e-11 * expected.max(1e-2),
                "{found} {expected}"
            );
        }
        // "At least 3 of 4 right" is "at most 1 of 4" with the rows exchanged.
        assert!((less(&table(1, 3, 3, 1)) - 17.0 / 70.0).abs() < 1e-12);
        assert!((less(&table(2, 10, 15, 3)) - 4.651_809_433_629e-4).abs() < 1e-13);
    }

    proptest! {
        #[test]
        fn exchanging_before_and_since_changes_nothing(a in 0u64..40, b in 0u64..40, c in 0u64..40, d in 0u64..40) {
            let (one, other) = (two_sided(&table(a, b, c, d)), two_sided(&table(c, d, a, b)));
            prop_assert!((one - other).abs() < 1e-9);
            prop_assert!(one > 0.0 && one <= 1.0);
        }
    }
}
