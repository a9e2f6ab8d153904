//! The quantile of the Beta distribution, to 1e-11 of its value even far out in the tails.
//!
//! `I_x(a, b)` is the continued fraction of Didonato & Morris (1992, TOMS 18:360–373, as given in
//! many books), `ln B(a, b)` takes differences of Stirling's series before they lose digits.
//! Own code because `statrs` subtracts whole log-gammas: with `a` near 0.001 and `b` near 10⁴,
//! which rare fixes of large articles reach, it leaves seven digits (`tools/crosscheck`).
//! Cost: some ten fractions of about `√max(a, b)` terms.

use statrs::function::gamma::ln_gamma;

/// Above this, Stirling's series with seven terms is exact to the last digit.
const LARGE: f64 = 12.0;

const HALF_LN_TWO_PI: f64 = 0.918_938_533_204_672_8;

/// The `x` with `I_x(a, b) = p`.
///
/// Newton's steps on the logarithm of the nearer tail, inside a bracket that halves where a step
/// leaves it.
#[must_use]
pub fn quantile(p: f64, a: f64, b: f64) -> f64 {
    if p <= 0.0 || p >= 1.0 {
        return p.clamp(0.0, 1.0);
    }
    let scale = ln_beta(a, b);
    if below(f64::ln(0.5), a, b, scale) >= p {
        lower_tail(p, a, b, scale)
    } else {
        1.0 - lower_tail(1.0 - p, b, a, scale)
    }
}

/// The quantile where it is at most one half.
fn lower_tail(p: f64, a: f64, b: f64, scale: f64) -> f64 {
    let (mut low, mut high) = (f64::MIN_POSITIVE.ln(), f64::ln(0.5));
    // Near 0 the density is x^(a−1)/B, so the quantile is about (p·a·B)^(1/a).
    let mut at = ((p.ln() + a.ln() + scale) / a).clamp(low, high);
    for _ in 0..200 {
        let found = below(at, a, b, scale);
        if found < p {
            low = at;
        } else {
            high = at;
        }
        // d ln I / d ln x = density·x / I; on this scale the curve is straight for small x.
        let slope = (a * at + (b - 1.0) * f64::ln_1p(-at.exp()) - scale).exp() / found;
        let step = at - (found.ln() - p.ln()) / slope;
        let next = if step > low && step < high {
            step
        } else {
            0.5 * (low + high)
        };
        let settled = (next - at).abs() <= 2e-16 * at.abs().max(1.0);
        at = next;
        if settled {
            break;
        }
    }
    at.exp()
}

/// `I_x(a, b)` for `x = e^ln_x` up to one half; `scale` is `ln B(a, b)`.
fn below(ln_x: f64, a: f64, b: f64, scale: f64) -> f64 {
    let x = ln_x.exp();
    let front = (a * ln_x + b * f64::ln_1p(-x) - scale).exp();
    if x < (a + 1.0) / (a + b + 2.0) {
        front * fraction(x, a, b) / a
    } else {
        1.0 - front * fraction(1.0 - x, b, a) / b
    }
}

/// The continued fraction of the incomplete beta function, by Lentz's method.
fn fraction(x: f64, a: f64, b: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let away = |value: f64| if value.abs() < TINY { TINY } else { value };
    let mut c = 1.0;
    let mut d = 1.0 / away(1.0 - (a + b) * x / (a + 1.0));
    let mut product = d;
    for nth in 1..10_000 {
        let m = f64::from(nth);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        let mut change = 1.0;
        for term in [even, odd] {
            d = 1.0 / away(1.0 + term * d);
            c = away(1.0 + term / c);
            change *= c * d;
        }
        product *= change;
        if (change - 1.0).abs() < 1e-16 {
            break;
        }
    }
    product
}

/// `ln B(a, b)`.
fn ln_beta(a: f64, b: f64) -> f64 {
    let (small, large) = (a.min(b), a.max(b));
    if large < LARGE {
        return ln_gamma(small) + ln_gamma(large) - ln_gamma(small + large);
    }
    // ln Γ(large) − ln Γ(small + large), Stirling's leading terms joined by hand.
    let sum = small + large;
    let joined = -(large - 0.5) * f64::ln_1p(small / large) + rest(large) - rest(sum);
    if small < LARGE {
        ln_gamma(small) + joined - small * sum.ln() + small
    } else {
        let own = (small - 0.5) * f64::ln(small / sum) - 0.5 * sum.ln() + HALF_LN_TWO_PI;
        own + rest(small) + joined
    }
}

/// What Stirling's leading terms leave of `ln Γ(z)`: `1/12z − 1/360z³ + …`.
fn rest(z: f64) -> f64 {
    const TERMS: [f64; 7] = [
        1.0 / 12.0,
        -1.0 / 360.0,
        1.0 / 1260.0,
        -1.0 / 1680.0,
        1.0 / 1188.0,
        -691.0 / 360_360.0,
        1.0 / 156.0,
    ];
    let square = 1.0 / (z * z);
    TERMS
        .iter()
        .rev()
        .fold(0.0, |sum, term| sum * square + term)
        / z
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_are_scipys() {
        // Computed with scipy 1.17.1, `stats.beta.ppf`.
        for (p, a, b, expected) in [
            (0.05, 2.0, 3.0, 0.09761146288641434),
            (0.95, 2.0, 3.0, 0.7513953742698181),
            (0.05, 0.4, 3.6, 0.0001252472503312272),
            (0.95, 0.4, 3.6, 0.39357374625342384),
            (0.05, 0.02, 7.0, 7.778354919050881e-67),
            (0.95, 0.02, 7.0, 0.007020233219946201),
            (0.05, 38.0, 74.0, 0.26765346778973625),
            (0.95, 38.0, 74.0, 0.4141959768024845),
            (0.95, 0.001, 9000.0, 3.304169545984163e-27),
            (0.05, 450.0, 9550.0, 0.04164281184228693),
            (0.5, 5000.0, 0.7, 0.999918516125766),
        ] {
            let found = quantile(p, a, b);
            assert!(
                (found - expected).abs() < 1e-11 * expected,
                "{found} {expected}"
            );
        }
    }

    #[test]
    fn the_ends_are_the_ends() {
        for (p, x) in [(0.0, 0.0), (1.0, 1.0), (-1.0, 0.0)] {
            assert!((quantile(p, 2.0, 3.0) - x).abs() < 1e-15);
        }
        // Far below the smallest number, and next to 1.
        assert!(quantile(0.05, 1e-4, 5.0) < 1e-300);
        assert!((quantile(0.95, 5.0, 1e-4) - 1.0).abs() < 1e-15);
    }

    proptest::proptest! {
        #[test]
        fn quantiles_rise_and_mirror(a in 0.01f64..500.0, b in 0.01f64..500.0, p in 0.01f64..0.98) {
            let (low, high) = (quantile(p, a, b), quantile(p + 0.01, a, b));
            assert!(low < high || high < 1e-200 || low > 1.0 - 1e-12);
            assert!((low - (1.0 - quantile(1.0 - p, b, a))).abs() < 1e-9);
        }
    }
}
