//! Many tests at once: which of them are findings.
//!
//! Benjamini & Hochberg 1995, JRSS B 57:289–300: with `m` p-values in ascending order, the adjusted
//! value of the `i`-th is `min over j ≥ i of p_j·m/j`. Calling everything below 5 % a finding, one
//! finding in twenty is expected to be chance.

/// Adjusted p-values, in the order given.
#[must_use]
pub fn adjusted(p: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..p.len()).collect();
    order.sort_by(|a, b| p[*a].total_cmp(&p[*b]).then(a.cmp(b)));
    let mut out = vec![1.0; p.len()];
    let mut least: f64 = 1.0;
    for (rank, at) in order.into_iter().enumerate().rev() {
        least = least.min(p[at] * p.len() as f64 / (rank + 1) as f64);
        out[at] = least;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The paper's section 4 (data of Neuhaus et al. 1992): four are rejected, 0.0095 the largest.
    /// The adjusted values are those of statsmodels 0.15.0 `multipletests(method="fdr_bh")`.
    #[test]
    fn the_papers_example() {
        let p = [
            0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262,
            0.5719, 0.6528, 0.7590, 1.0,
        ];
        let expected = [
            0.0015,
            0.003,
            0.0095,
            0.035_625,
            0.0603,
            0.063_857_14,
            0.063_857_14,
            0.0645,
            0.0765,
            0.486,
            0.581_181_82,
            0.714_875,
            0.753_230_77,
            0.813_214_29,
            1.0,
        ];
        let found = adjusted(&p);
        assert_eq!(found.iter().filter(|q| **q < 0.05).count(), 4);
        for (found, expected) in found.iter().zip(expected) {
            assert!((found - expected).abs() < 1e-8, "{found} {expected}");
        }
        assert!(adjusted(&[]).is_empty());
    }

    proptest! {
        #[test]
        fn order_is_kept_and_nothing_gets_likelier(p in proptest::collection::vec(0.0..=1.0f64, 0..40)) {
            let q = adjusted(&p);
            for (i, a) in p.iter().enumerate() {
                prop_assert!(q[i] >= *a - 1e-15 && q[i] <= 1.0);
                for (j, b) in p.iter().enumerate() {
                    prop_assert!(a > b || q[i] <= q[j] + 1e-15);
                }
            }
        }
    }
}
