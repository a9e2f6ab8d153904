//! How often is this fix the one? Shares from resolved and given-up cases.
//!
//! Each case is ended by exactly one of an article's fixes, or by none listed. A resolved case
//! says which; a case given up after the fixes `N` says only that the one lies outside `N`. With
//! prior counts `α`, resolved weight `R(f)` and open cases `i` of weight `w_i`,
//! `ℓ(π) = Σ (α(f) + R(f)) ln π(f) + Σ_i w_i ln Σ_{f ∉ N_i} π(f)` is concave on the simplex; EM
//! (Dempster, Laird & Rubin 1977, JRSS B 39:1–38) climbs it by `π(f) ← π(f)·D(f)` with
//! `D(f) = ∂ℓ/∂π(f) ÷ (Σα + Σw)`. Since `ℓ` is concave, `max D − 1` bounds what is left to gain
//! per case: below [`CERTAIN`] the maximum is certified (Lindsay 1983 uses the same bound).
//!
//! With `α = 0` and one order of trying this is the product-limit estimate (Efron 1967; Turnbull
//! 1976, JRSS B 38:290–295).
//!
//! Departure: plain EM ([`Tally::plain`], kept as the reference) can need 10⁴ steps, so each step
//! also offers Newton's point, taken where it is better than EM's.
//! Cost: patterns × fixes per step plus one small Cholesky factor; about ten steps.

use super::linear::Cholesky;
use std::collections::BTreeMap;

/// The gap of the directional derivative below which a maximum counts as certain.
pub const CERTAIN: f64 = 1e-11;

/// Steps after which a search ends uncertified; never met with a prior above 0.
const MOST_STEPS: usize = 20_000;

/// Ridge of Newton's matrix, relative to EM's own curvature: only breaks ties of flat directions.
const RIDGE: f64 = 1e-10;

/// Cases as they come, by pattern; order does not matter.
#[derive(Clone, Debug, Default)]
pub struct Patterns {
    resolved: BTreeMap<usize, Vec<f64>>,
    open: BTreeMap<Vec<usize>, Vec<f64>>,
}

impl Patterns {
    /// A case that the option at this place ended.
    pub fn resolved(&mut self, option: usize, weight: f64) {
        self.resolved.entry(option).or_default().push(weight);
    }

    /// A case given up after these options failed.
    pub fn open(&mut self, mut failed: Vec<usize>, weight: f64) {
        failed.sort_unstable();
        failed.dedup();
        self.open.entry(failed).or_default().push(weight);
    }

    /// Merges equal patterns, summing weights in sorted order, so that the order of cases does
    /// not even change the last bit. `prior` is `α`, the option "none listed" last; `start` must
    /// be above 0 everywhere.
    #[must_use]
    pub fn tally(self, prior: Vec<f64>, start: Vec<f64>) -> Tally {
        let mut resolved = vec![0.0; prior.len()];
        for (option, weights) in self.resolved {
            resolved[option] = sorted_sum(weights);
        }
        let open = self
            .open
            .into_iter()
            .map(|(failed, weights)| Open {
                left: (0..prior.len()).filter(|f| !failed.contains(f)).collect(),
                failed,
                weight: sorted_sum(weights),
            })
            .filter(|open| open.weight > 0.0)
            .collect();
        Tally {
            prior,
            start,
            resolved,
            open,
        }
    }
}

/// The sum of numbers in sorted order, whatever order they came in.
pub(super) fn sorted_sum(mut numbers: Vec<f64>) -> f64 {
    numbers.sort_by(f64::total_cmp);
    // `sum` of nothing is −0; folding from 0 prints as 0.
    numbers.iter().fold(0.0, |sum, number| sum + number)
}

/// Merged cases of one article: the likelihood as a value.
#[derive(Clone, Debug, PartialEq)]
pub struct Tally {
    /// `α`: prior counts, "none listed" last.
    pub prior: Vec<f64>,
    /// Where the search starts.
    pub start: Vec<f64>,
    /// Weight of cases each option resolved.
    pub resolved: Vec<f64>,
    /// Cases given up.
    pub open: Vec<Open>,
}

/// Cases given up after the same fixes failed.
#[derive(Clone, Debug, PartialEq)]
pub struct Open {
    /// `N`, sorted.
    pub failed: Vec<usize>,
    /// Every other option.
    pub left: Vec<usize>,
    /// Their weight.
    pub weight: f64,
}

/// A point found, and how far it can be from the maximum.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// `π`, "none listed" last.
    pub shares: Vec<f64>,
    /// `max D − 1`: what a case could still gain at most.
    pub gap: f64,
    /// Steps taken.
    pub steps: usize,
}

impl Tally {
    /// `Σα + Σw`.
    #[must_use]
    pub fn total(&self) -> f64 {
        let open: f64 = self.open.iter().map(|o| o.weight).sum();
        self.prior.iter().sum::<f64>() + self.resolved.iter().sum::<f64>() + open
    }

    /// The maximum, by EM with Newton's point where that is better.
    #[must_use]
    pub fn solve(&self) -> Found {
        let total = self.total();
        let mut found = self.begin();
        if total <= 0.0 {
            return found;
        }
        let mut slopes = self.slopes(&found.shares, total);
        while found.gap >= CERTAIN && found.steps < MOST_STEPS {
            let mut next = em_step(&found.shares, &slopes);
            let mut next_slopes = self.slopes(&next, total);
            if let Some(point) = self.newton_point(&found.shares, &slopes, total) {
                let point_slopes = self.slopes(&point, total);
                let better = gap(&point_slopes) < 0.5 * found.gap.min(gap(&next_slopes))
                    || self.log_likelihood(&point) > self.log_likelihood(&next);
                if better {
                    (next, next_slopes) = (point, point_slopes);
                }
            }
            slopes = next_slopes;
            found = Found {
                shares: next,
                gap: gap(&slopes),
                steps: found.steps + 1,
            };
        }
        found
    }

    /// The maximum by plain EM, stopped at this gap or number of steps: the reference.
    #[must_use]
    pub fn plain(&self, stop: f64, most_steps: usize) -> Found {
        let total = self.total();
        let mut found = self.begin();
        if total <= 0.0 {
            return found;
        }
        while found.steps < most_steps {
            let slopes = self.slopes(&found.shares, total);
            found.gap = gap(&slopes);
            if found.gap < stop {
                break;
            }
            found.shares = em_step(&found.shares, &slopes);
            found.steps += 1;
        }
        found
    }

    fn begin(&self) -> Found {
        Found {
            shares: self.start.clone(),
            gap: if self.total() > 0.0 {
                f64::INFINITY
            } else {
                0.0
            },
            steps: 0,
        }
    }

    /// `ℓ` without the constant.
    #[must_use]
    pub fn log_likelihood(&self, shares: &[f64]) -> f64 {
        let known = self.prior.iter().zip(&self.resolved).zip(shares);
        let known: f64 = known
            .filter(|((prior, resolved), _)| **prior + **resolved > 0.0)
            .map(|((prior, resolved), share)| (prior + resolved) * share.ln())
            .sum();
        let open: f64 = self
            .open
            .iter()
            .map(|open| open.weight * open.mass(shares).ln())
            .sum();
        known + open
    }

    /// Cases by option under these shares: resolved ones where they are, given-up ones spread over
    /// what was left (the E-step).
    #[must_use]
    pub fn expected_counts(&self, shares: &[f64]) -> Vec<f64> {
        let mut counts = self.resolved.clone();
        for open in &self.open {
            let mass = open.mass(shares);
            for &f in open.left.iter().filter(|_| mass > 0.0) {
                counts[f] += open.weight * shares[f] / mass;
            }
        }
        counts
    }

    /// `D`: the slope of `ℓ` along each option, divided by the total; 1 everywhere inside a
    /// maximum, below 1 where the share is 0.
    fn slopes(&self, shares: &[f64], total: f64) -> Vec<f64> {
        let mut slopes: Vec<f64> = (0..shares.len())
            .map(|f| {
                let count = self.prior[f] + self.resolved[f];
                if count > 0.0 { count / shares[f] } else { 0.0 }
            })
            .collect();
        for open in &self.open {
            let pull = open.weight / open.mass(shares);
            for &f in &open.left {
                slopes[f] += pull;
            }
        }
        for slope in &mut slopes {
            *slope /= total;
        }
        slopes
    }

    /// Minus the second derivative of `ℓ`, scaled by the shares on both sides: prior and resolved
    /// counts on the diagonal, and `w·b·bᵀ` for each open pattern with `b` the chances of what is
    /// left. Row by row.
    pub(super) fn information(&self, shares: &[f64]) -> Vec<f64> {
        let n = shares.len();
        let mut matrix = vec![0.0; n * n];
        for f in 0..n {
            matrix[f * n + f] = self.prior[f] + self.resolved[f];
        }
        for open in &self.open {
            let mass = open.mass(shares);
            for &f in &open.left {
                let row = open.weight * shares[f] / mass;
                for &g in &open.left {
                    matrix[f * n + g] += row * shares[g] / mass;
                }
            }
        }
        matrix
    }

    /// Newton's point on the simplex in the scaled steps `u` of `π·(1 + u)`, kept above 0.
    fn newton_point(&self, shares: &[f64], slopes: &[f64], total: f64) -> Option<Vec<f64>> {
        let n = shares.len();
        let mut matrix = self.information(shares);
        for f in 0..n {
            matrix[f * n + f] += RIDGE * total * shares[f];
        }
        let factor = Cholesky::of(matrix, n)?;
        let pull: Vec<f64> = (0..n).map(|f| total * shares[f] * slopes[f]).collect();
        let (up, side) = (factor.solve(&pull), factor.solve(shares));
        let multiplier = dot(shares, &up) / dot(shares, &side);
        let point: Vec<f64> = (0..n)
            // At most a factor 100 either way: a share that goes to 0 gets there in a few steps.
            .map(|f| shares[f] * (1.0 + up[f] - multiplier * side[f]).clamp(0.01, 100.0))
            .collect();
        let sum: f64 = point.iter().sum();
        (sum.is_finite() && sum > 0.0).then(|| point.iter().map(|p| p / sum).collect())
    }
}

impl Open {
    /// `Σ_{f ∉ N} π(f)`.
    fn mass(&self, shares: &[f64]) -> f64 {
        self.left.iter().map(|&f| shares[f]).sum()
    }
}

fn em_step(shares: &[f64], slopes: &[f64]) -> Vec<f64> {
    let next: Vec<f64> = shares.iter().zip(slopes).map(|(s, d)| s * d).collect();
    let sum: f64 = next.iter().sum();
    next.iter().map(|s| s / sum).collect()
}

fn gap(slopes: &[f64]) -> f64 {
    slopes.iter().copied().fold(f64::NEG_INFINITY, f64::max) - 1.0
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
#[path = "share_tests.rs"]
mod tests;
