//! Does it differ by device? One number says how closely devices follow the article.
//!
//! The shares on a device are those of [`super::share`] with the prior `κ·π(a,·)`: with a large
//! `κ` every device has the article's shares, with a small one each its own. `κ` maximises the
//! Dirichlet-multinomial likelihood of the devices' counts with the mean `π(a,·)` held fixed:
//! `κ ← κ · Σ_d Σ_f π_f[ψ(n_df + κπ_f) − ψ(κπ_f)] / Σ_d [ψ(n_d + κ) − ψ(κ)]`, the fixed mean's
//! form of the fixed point of Minka (2000), "Estimating a Dirichlet distribution".
//!
//! One `κ` for the whole knowledge base: a single article seldom has the devices to tell.
//! Counts of given-up cases are expected counts under `π(a,·)`.

use rayon::prelude::*;
use statrs::function::gamma::digamma;

/// Cases a device needs before it says something about `κ`.
pub const CASES_OF_DEVICE: u64 = 5;

/// `κ` where fewer than two devices of any article have that many cases.
pub const KAPPA_UNKNOWN: f64 = 10.0;

/// `κ` stays within these.
pub const KAPPA_BOUNDS: (f64, f64) = (1.0, 1000.0);

const MOST_STEPS: usize = 200;
const SETTLED: f64 = 1e-10;

/// One article for `κ`: its shares, and the counts of each device that has enough cases.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// `π(a,·)`.
    pub shares: Vec<f64>,
    /// `n_df` by device.
    pub counts: Vec<Vec<f64>>,
}

/// `κ` by maximum likelihood over all articles that have at least two devices with enough cases.
#[must_use]
pub fn kappa(groups: &[Group]) -> f64 {
    let telling: Vec<&Group> = groups.iter().filter(|g| g.counts.len() > 1).collect();
    if telling.is_empty() {
        return KAPPA_UNKNOWN;
    }
    let (least, most) = KAPPA_BOUNDS;
    let mut kappa = KAPPA_UNKNOWN;
    for _ in 0..MOST_STEPS {
        let (over, under) = terms(&telling, kappa);
        let next = (kappa * over / under).clamp(least, most);
        if !next.is_finite() {
            break;
        }
        if (next - kappa).abs() <= SETTLED * kappa {
            return next;
        }
        kappa = next;
    }
    bisect(&telling)
}

/// Numerator and denominator of the fixed point; their difference is the score.
fn terms(groups: &[&Group], kappa: f64) -> (f64, f64) {
    let parts: Vec<(f64, f64)> = groups.par_iter().map(|g| g.terms(kappa)).collect();
    parts
        .iter()
        .fold((0.0, 0.0), |sum, part| (sum.0 + part.0, sum.1 + part.1))
}

impl Group {
    fn terms(&self, kappa: f64) -> (f64, f64) {
        let mut sums = (0.0, 0.0);
        for counts in &self.counts {
            for (share, count) in self.shares.iter().zip(counts) {
                if *share > 0.0 && *count > 0.0 {
                    sums.0 += share * rise(kappa * share, *count);
                }
            }
            sums.1 += rise(kappa, counts.iter().sum());
        }
        sums
    }
}

/// `ψ(x + n) − ψ(x)`.
fn rise(x: f64, n: f64) -> f64 {
    digamma(x + n) - digamma(x)
}

fn bisect(groups: &[&Group]) -> f64 {
    let score = |kappa: f64| {
        let (over, under) = terms(groups, kappa);
        over - under
    };
    let (mut low, mut high) = KAPPA_BOUNDS;
    if score(low) <= 0.0 {
        return low;
    }
    if score(high) >= 0.0 {
        return high;
    }
    for _ in 0..MOST_STEPS {
        let middle = f64::sqrt(low * high);
        if score(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
        if high - low <= SETTLED * low {
            break;
        }
    }
    f64::sqrt(low * high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kappa_is_the_strength_of_the_polya_maximum_at_its_mean() {
        // Invented counts; alpha by Newton and scipy 1.17.1 BFGS, 8 digits. Where the mean is the
        // maximum's own, the strength that maximises is the maximum's own too.
        let alpha = [7.82777665513, 2.8792726426, 2.04442031624];
        let strength: f64 = alpha.iter().sum();
        let counts: [[f64; 3]; 5] = [
            [12.0, 3.0, 1.0],
            [8.0, 6.0, 2.0],
            [15.0, 1.0, 0.0],
            [5.0, 5.0, 6.0],
            [9.0, 2.0, 4.0],
        ];
        let group = Group {
            shares: alpha.iter().map(|a| a / strength).collect(),
            counts: counts.iter().map(|c| c.to_vec()).collect(),
        };
        assert!((strength - 12.75146961).abs() < 1e-8);
        assert!((kappa(std::slice::from_ref(&group)) - strength).abs() < 1e-6);
        assert!((bisect(&[&group]) - strength).abs() < 1e-6);
    }

    #[test]
    fn kappa_is_bounded_and_needs_two_devices() {
        let group = |counts: &[[f64; 2]]| Group {
            shares: vec![0.5, 0.5],
            counts: counts.iter().map(|c| c.to_vec()).collect(),
        };
        let same = group(&[[50.0, 50.0], [50.0, 50.0]]);
        let apart = group(&[[100.0, 0.0], [0.0, 100.0]]);
        assert!((kappa(&[same]) - 1000.0).abs() < 1e-9);
        assert!((kappa(&[apart]) - 1.0).abs() < 1e-9);
        assert!((kappa(&[group(&[[9.0, 1.0]])]) - KAPPA_UNKNOWN).abs() < 1e-12);
        assert!((kappa(&[]) - KAPPA_UNKNOWN).abs() < 1e-12);
    }
}
