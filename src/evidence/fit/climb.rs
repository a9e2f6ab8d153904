//! Uphill to the maximum; see [`super`] for the method.

use super::cases::{Matrix, Shape, shape, value};
use super::{FEATURES, FitCase, NUMBERS, Numbers};

/// Most steps. Newton needs about ten.
const MOST_STEPS: usize = 200;

/// The promised gain (twice, squared in the measure of the curvature) that counts as none.
const NO_GAIN: f64 = 1e-20;

/// How much of the promised gain a step must bring.
const PART: f64 = 1e-4;

pub(super) struct Top {
    pub(super) place: Numbers,
    /// Without the prior.
    pub(super) log_likelihood: f64,
    pub(super) steps: usize,
}

/// Climbs from `start`. `precision` holds `1/σ²` of each number around `start`.
pub(super) fn climb(cases: &[&FitCase], start: &Numbers, precision: &Numbers) -> Top {
    let prior = |place: &Numbers| {
        let off = place.iter().zip(start).zip(precision);
        off.map(|((x, x0), p)| p * (x - x0).powi(2) / 2.0)
            .sum::<f64>()
    };
    let mut place = *start;
    let mut steps = 0;
    loop {
        let here = shape(cases, &place);
        let top = Top {
            place,
            log_likelihood: here.value,
            steps,
        };
        let slope: Numbers =
            std::array::from_fn(|k| here.slope[k] - precision[k] * (place[k] - start[k]));
        let free: Vec<usize> = (0..NUMBERS)
            .filter(|k| place[*k] > 0.0 || slope[*k] > 0.0 || !is_bound(*k))
            .collect();
        let way = direction(&here, &slope, precision, &free);
        let promised: f64 = slope.iter().zip(&way).map(|(s, w)| s * w).sum();
        if promised <= NO_GAIN || steps == MOST_STEPS {
            return top;
        }
        let now = here.value - prior(&place);
        // What rounding may take from a value of this size.
        let blur = 1e-13 * (1.0 + now.abs());
        let mut length = 1.0;
        place = loop {
            let next = moved(&place, &way, length);
            let gain: f64 = (0..NUMBERS).map(|k| slope[k] * (next[k] - place[k])).sum();
            if value(cases, &next) - prior(&next) >= now + PART * gain - blur {
                break next;
            }
            if length < 1e-10 {
                return top;
            }
            length /= 2.0;
        };
        steps += 1;
    }
}

/// No feature may count against what it speaks for: a lead tech could not be told why.
fn is_bound(number: usize) -> bool {
    number < FEATURES
}

fn moved(place: &Numbers, way: &Numbers, length: f64) -> Numbers {
    std::array::from_fn(|k| {
        let next = place[k] + length * way[k];
        if is_bound(k) { next.max(0.0) } else { next }
    })
}

/// Newton's step among the free numbers; the others stay.
fn direction(here: &Shape, slope: &Numbers, precision: &Numbers, free: &[usize]) -> Numbers {
    let curvature = |missing: f64| -> Vec<Vec<f64>> {
        let entry = |k: usize, l: usize| {
            let own = if k == l { precision[k] } else { 0.0 };
            let known = |m: &Matrix| m[k][l];
            known(&here.complete) - missing * known(&here.missing) + own
        };
        free.iter()
            .map(|k| free.iter().map(|l| entry(*k, *l)).collect())
            .collect()
    };
    let right: Vec<f64> = free.iter().map(|k| slope[*k]).collect();
    let found = solve(&curvature(1.0), &right)
        .or_else(|| solve(&curvature(0.0), &right))
        .unwrap_or(right);
    let mut way = [0.0; NUMBERS];
    for (k, step) in free.iter().zip(found) {
        way[*k] = step;
    }
    way
}

/// Solves a symmetric system by Cholesky; none where it is not positive definite. A number that
/// nothing depends on (its diagonal is 0) stays at 0.
fn solve(matrix: &[Vec<f64>], right: &[f64]) -> Option<Vec<f64>> {
    let size = right.len();
    let mut lower = vec![vec![0.0; size]; size];
    for i in 0..size {
        for j in 0..=i {
            let done: f64 = (0..j).map(|k| lower[i][k] * lower[j][k]).sum();
            let rest = matrix[i][j] - done;
            if i != j {
                lower[i][j] = rest / lower[j][j];
            } else if rest > 1e-12 * matrix[i][i] {
                lower[i][i] = rest.sqrt();
            } else if matrix[i][i].abs() <= 0.0 {
                lower[i][i] = f64::INFINITY;
            } else {
                return None;
            }
        }
    }
    let mut x = right.to_vec();
    for i in 0..size {
        let done: f64 = (0..i).map(|k| lower[i][k] * x[k]).sum();
        x[i] = (x[i] - done) / lower[i][i];
    }
    for i in (0..size).rev() {
        let done: f64 = (i + 1..size).map(|k| lower[k][i] * x[k]).sum();
        x[i] = (x[i] - done) / lower[i][i];
    }
    x.iter().all(|x| x.is_finite()).then_some(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn systems_are_solved_or_refused() {
        let found = solve(&[vec![4.0, 2.0], vec![2.0, 3.0]], &[8.0, 8.0]).unwrap();
        assert!((found[0] - 1.0).abs() < 1e-15 && (found[1] - 2.0).abs() < 1e-15);
        assert_eq!(solve(&[vec![1.0, 2.0], vec![2.0, 1.0]], &[1.0, 1.0]), None);
        let idle = solve(&[vec![0.0, 0.0], vec![0.0, 2.0]], &[0.0, 1.0]).unwrap();
        assert_eq!(idle, [0.0, 0.5]);
    }
}
