//! What one case, and all of them, say about the weights.

use super::{FEATURES, FitCase, NUMBERS, Numbers};
use crate::evidence::equation::{Feature, Row, sum_and_doubt};
use rayon::prelude::*;

/// Cases that are summed up together. Fixed, so that sums do not depend on threads.
const TOGETHER: usize = 64;

type Matrix = [Numbers; NUMBERS];

/// The function and its shape at one place, without the prior.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    pub(super) value: f64,
    pub(super) slope: Numbers,
    /// Curvature turned round, were everything known: the covariance under `p`, summed.
    pub(super) complete: Matrix,
    /// The part of it that is not known: the covariance under `r`, summed.
    pub(super) missing: Matrix,
}

impl Shape {
    fn zero() -> Self {
        Self {
            value: 0.0,
            slope: [0.0; NUMBERS],
            complete: [[0.0; NUMBERS]; NUMBERS],
            missing: [[0.0; NUMBERS]; NUMBERS],
        }
    }

    fn add(&mut self, other: &Self) {
        self.value += other.value;
        let rows = self.complete.iter_mut().zip(&other.complete);
        let rows = rows.chain(self.missing.iter_mut().zip(&other.missing));
        for (to, from) in rows.chain([(&mut self.slope, &other.slope)]) {
            to.iter_mut().zip(from).for_each(|(to, from)| *to += from);
        }
    }
}

/// Everything at one place.
pub(super) fn shape(cases: &[&FitCase], place: &Numbers) -> Shape {
    let parts: Vec<Shape> = cases
        .par_chunks(TOGETHER)
        .map(|cases| {
            let mut sum = Shape::zero();
            for case in cases {
                add_case(case, place, &mut sum);
            }
            sum
        })
        .collect();
    let mut sum = Shape::zero();
    parts.iter().for_each(|part| sum.add(part));
    sum
}

/// The function alone.
pub(super) fn value(cases: &[&FitCase], place: &Numbers) -> f64 {
    let parts: Vec<f64> = cases
        .par_chunks(TOGETHER)
        .map(|cases| {
            cases
                .iter()
                .map(|case| Candidates::of(case, place).gain())
                .sum()
        })
        .collect();
    parts.iter().sum()
}

/// Variance of each feature within cases, over their candidates; 0 where it never differs.
pub(super) fn variances(cases: &[&FitCase]) -> Row {
    let mut squares = [0.0; FEATURES];
    let mut total = 0.0;
    for case in cases {
        let rows: Vec<Row> = case.rows.each().collect();
        let count = rows.len().max(1) as f64;
        for (k, squares) in squares.iter_mut().enumerate() {
            let mean = rows.iter().map(|row| row[k]).sum::<f64>() / count;
            let off = rows.iter().map(|row| (row[k] - mean).powi(2));
            *squares += case.weight * off.sum::<f64>();
        }
        total += case.weight * rows.len() as f64;
    }
    squares.map(|sum| if sum > 0.0 { sum / total } else { 0.0 })
}

/// The alternatives of one case: its candidates, `unlisted` last.
struct Candidates<'a> {
    case: &'a FitCase,
    rows: Vec<Row>,
    /// Exponents.
    exponents: Vec<f64>,
    sum: f64,
    doubt: f64,
}

impl<'a> Candidates<'a> {
    fn of(case: &'a FitCase, place: &Numbers) -> Self {
        let exponent = |row: &Row| row.iter().zip(place).map(|(x, b)| x * b).sum();
        let rows: Vec<Row> = case.rows.each().collect();
        let mut exponents: Vec<f64> = rows.iter().map(exponent).collect();
        let (sum, doubt) = sum_and_doubt(&exponents);
        let times = (case.unlisted_times + 1.0).ln();
        exponents.push(
            place[Feature::Common as usize] * times
                + place[FEATURES]
                + place[FEATURES + 1] * sum
                + place[FEATURES + 2] * doubt,
        );
        Self {
            case,
            rows,
            exponents,
            sum,
            doubt,
        }
    }

    fn is_left(&self, at: usize) -> bool {
        let chosen = self.case.chosen.get(at).copied();
        chosen.unwrap_or(at == self.rows.len() && self.case.unlisted_chosen)
    }

    /// `w ln Σ_{c∈A} p(c)`.
    fn gain(&self) -> f64 {
        let left = (0..self.exponents.len()).filter(|at| self.is_left(*at));
        let left = logsumexp(left.map(|at| self.exponents[at]));
        self.case.weight * (left - logsumexp(self.exponents.iter().copied()))
    }

    /// How the exponent of `unlisted` moves with each number.
    fn unlisted_slope(&self, place: &Numbers) -> Numbers {
        let mut slope = [0.0; NUMBERS];
        for (row, exponent) in self.rows.iter().zip(&self.exponents) {
            let log_share = exponent - self.sum;
            let by_exponent = log_share.exp()
                * (place[FEATURES + 1] - place[FEATURES + 2] * (log_share + self.doubt));
            for (slope, x) in slope.iter_mut().zip(row) {
                *slope += by_exponent * x;
            }
        }
        slope[Feature::Common as usize] += (self.case.unlisted_times + 1.0).ln();
        slope[FEATURES] = 1.0;
        slope[FEATURES + 1] = self.sum;
        slope[FEATURES + 2] = self.doubt;
        slope
    }
}

fn add_case(case: &FitCase, place: &Numbers, to: &mut Shape) {
    let found = Candidates::of(case, place);
    to.value += found.gain();
    let all = logsumexp(found.exponents.iter().copied());
    let left = (0..found.exponents.len()).filter(|at| found.is_left(*at));
    let left = logsumexp(left.map(|at| found.exponents[at]));
    let unlisted = found.unlisted_slope(place);
    let mut under_p = Moments::zero();
    let mut under_r = Moments::zero();
    for (at, exponent) in found.exponents.iter().enumerate() {
        let mut x = unlisted;
        if let Some(row) = found.rows.get(at) {
            x = [0.0; NUMBERS];
            x[..FEATURES].copy_from_slice(row);
        }
        under_p.add((exponent - all).exp(), &x);
        if found.is_left(at) {
            under_r.add((exponent - left).exp(), &x);
        }
    }
    for k in 0..NUMBERS {
        to.slope[k] += case.weight * (under_r.mean[k] - under_p.mean[k]);
    }
    under_p.add_covariance(case.weight, &mut to.complete);
    under_r.add_covariance(case.weight, &mut to.missing);
}

struct Moments {
    mean: Numbers,
    square: Matrix,
}

impl Moments {
    fn zero() -> Self {
        Self {
            mean: [0.0; NUMBERS],
            square: [[0.0; NUMBERS]; NUMBERS],
        }
    }

    #[allow(
        clippy::needless_range_loop,
        reason = "rows and columns are written as in the formula"
    )]
    fn add(&mut self, chance: f64, x: &Numbers) {
        if chance <= 0.0 {
            return;
        }
        for (k, squares) in self.square.iter_mut().enumerate() {
            let part = chance * x[k];
            self.mean[k] += part;
            for (square, other) in squares.iter_mut().zip(&x[..=k]) {
                *square += part * other;
            }
        }
    }

    #[allow(
        clippy::needless_range_loop,
        reason = "rows and columns are written as in the formula"
    )]
    fn add_covariance(&self, weight: f64, to: &mut Matrix) {
        for (k, to) in to.iter_mut().enumerate() {
            for (l, to) in to.iter_mut().enumerate() {
                let square = self.square[k.max(l)][k.min(l)];
                *to += weight * (square - self.mean[k] * self.mean[l]);
            }
        }
    }
}

/// `ln Σ exp`; the largest is taken off first, so nothing overflows.
fn logsumexp(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let top = values.clone().fold(f64::NEG_INFINITY, f64::max);
    top + values.map(|v| (v - top).exp()).sum::<f64>().ln()
}
