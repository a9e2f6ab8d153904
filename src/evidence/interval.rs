//! Intervals of counted shares: Wilson for one proportion, Newcombe for a difference.

/// The normal quantile of a two-sided 95 % interval.
pub const Z95: f64 = 1.959_963_984_540_054;

/// Wilson's score interval (Wilson 1927, JASA 22:209–212) for `hits` of `all`, no continuity
/// correction: `(p + z²/2n ± z·√(p(1−p)/n + z²/4n²)) / (1 + z²/n)`. Nothing known is `(0, 1)`.
#[must_use]
pub fn wilson(hits: f64, all: f64, z: f64) -> (f64, f64) {
    if all <= 0.0 {
        return (0.0, 1.0);
    }
    let (p, z2) = (hits / all, z * z);
    let centre = p + z2 / (2.0 * all);
    let half = z * f64::sqrt(p * (1.0 - p) / all + z2 / (4.0 * all * all));
    let scale = 1.0 + z2 / all;
    let low = if hits <= 0.0 {
        0.0
    } else {
        (centre - half) / scale
    };
    let high = if hits >= all {
        1.0
    } else {
        (centre + half) / scale
    };
    (low.max(0.0), high.min(1.0))
}

/// The interval of `p1 − p2` from both Wilson intervals (Newcombe 1998, Stat Med 17:873–890,
/// method 10): `θ − √((p1−l1)² + (u2−p2)²)` to `θ + √((u1−p1)² + (p2−l2)²)`.
#[must_use]
pub fn newcombe(first: (f64, f64), second: (f64, f64), z: f64) -> (f64, f64) {
    let share = |(hits, all): (f64, f64)| if all > 0.0 { hits / all } else { 0.5 };
    let (p1, p2) = (share(first), share(second));
    let (l1, u1) = wilson(first.0, first.1, z);
    let (l2, u2) = wilson(second.0, second.1, z);
    (
        p1 - p2 - (p1 - l1).hypot(u2 - p2),
        p1 - p2 + (u1 - p1).hypot(p2 - l2),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wilson_meets_newcombes_table() {
        // Newcombe 1998, method 3, read in secondary text (S); digits from statsmodels 0.15.0.
        for (hits, all, low, high) in [
            (81.0, 263.0, 0.255288519878, 0.366209576983),
            (15.0, 148.0, 0.062386399531, 0.160487241723),
            (0.0, 20.0, 0.0, 0.161125158053),
            (1.0, 29.0, 0.006113214293, 0.171755218793),
            (29.0, 29.0, 0.883030201500, 1.0),
        ] {
            let found = wilson(hits, all, Z95);
            assert!((found.0 - low).abs() < 1e-11, "{hits}/{all}: {found:?}");
            assert!((found.1 - high).abs() < 1e-11, "{hits}/{all}: {found:?}");
        }
        // 4 of 20 at 90 %, computed with statsmodels 0.15.0.
        let found = wilson(4.0, 20.0, 1.644_853_626_951_472_2);
        assert!((found.0 - 0.0931180166).abs() < 1e-9 && (found.1 - 0.3783766858).abs() < 1e-9);
        assert_eq!(wilson(0.0, 0.0, Z95), (0.0, 1.0));
    }

    #[test]
    fn the_difference_meets_newcombes_table() {
        // Newcombe 1998, table II, method 10, read in secondary text (S); digits: statsmodels.
        for (first, second, low, high) in [
            ((56.0, 70.0), (48.0, 80.0), 0.052431472402, 0.333872654037),
            ((9.0, 10.0), (3.0, 10.0), 0.170522723935, 0.809017973535),
            ((6.0, 7.0), (2.0, 7.0), 0.058227927482, 0.806249637524),
            ((5.0, 56.0), (0.0, 29.0), -0.038137147904, 0.192560013855),
            ((0.0, 10.0), (0.0, 20.0), -0.161125158053, 0.277532799863),
            ((10.0, 10.0), (0.0, 20.0), 0.679086037142, 1.0),
        ] {
            let found = newcombe(first, second, Z95);
            assert!((found.0 - low).abs() < 1e-11, "{first:?}: {found:?}");
            assert!((found.1 - high).abs() < 1e-11, "{first:?}: {found:?}");
        }
    }
}
