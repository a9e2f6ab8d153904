//! Uphill to the maximum; see [`super`] for the method.

use super::cases::{Shape, shape, value};
use super::{FEATURES, FitCase, NUMBERS, Numbers};
use crate::evidence::linear::Cholesky;

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

/// Newton's step among the free numbers; the others stay, and so do those that nothing depends on.
fn direction(here: &Shape, slope: &Numbers, precision: &Numbers, free: &[usize]) -> Numbers {
    let own = |k: usize, l: usize| if k == l { precision[k] } else { 0.0 };
    let free: Vec<usize> = free
        .iter()
        .copied()
        .filter(|k| here.complete[*k][*k] + precision[*k] > 0.0)
        .collect();
    let curvature = |known: &dyn Fn(usize, usize) -> f64| -> Vec<f64> {
        let pairs = free.iter().flat_map(|k| free.iter().map(move |l| (*k, *l)));
        pairs.map(|(k, l)| known(k, l) + own(k, l)).collect()
    };
    let observed = curvature(&|k, l| here.complete[k][l] - here.missing[k][l]);
    let right: Vec<f64> = free.iter().map(|k| slope[*k]).collect();
    let found = Cholesky::of(observed, free.len())
        .or_else(|| Cholesky::of(curvature(&|k, l| here.complete[k][l]), free.len()))
        .map_or_else(|| right.clone(), |factor| factor.solve(&right));
    let mut way = [0.0; NUMBERS];
    for (k, step) in free.iter().zip(found) {
        way[*k] = step;
    }
    way
}
