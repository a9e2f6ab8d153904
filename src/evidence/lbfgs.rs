//! L-BFGS: finds the minimum of a smooth function of many variables from its values and gradients.
//!
//! Nocedal (1980), "Updating quasi-Newton matrices with limited storage"; Liu & Nocedal (1989), "On
//! the limited memory BFGS method for large scale optimization". The first direction is the
//! gradient turned round, at length one; later ones come from the last [`Limits::memory`] steps
//! (two-loop recursion, scaled by `sᵀy/yᵀy`). A step starts at 1 and is halved until the value has
//! fallen enough (Armijo, `c₁ = 1e-4`). A pair of step and change of gradient is kept only where
//! `sᵀy > 1e-12·yᵀy`, so that the curvature stays positive.
//!
//! It stops where the steepest slope is at most [`Limits::steepest`], after
//! [`Limits::iterations`], or where a step lowers the value by no more than rounding does: further
//! steps would follow the noise.
//!
//! The inner product is handed in: [`super::learned`] describes its weights by fewer numbers than
//! there are, and there the plain sum of products would be the wrong one.
//!
//! With many variables the remembered steps are the most memory a program takes, so a step is made in
//! the place that it started from, and nothing is copied to be dropped.

use rayon::prelude::*;
use std::collections::VecDeque;

/// A step shorter than this part of the direction is given up.
const SHORTEST: f64 = 1e-10;

/// How much of the fall promised by the slope a step must bring.
const FALL: f64 = 1e-4;

/// Variables that one thread changes at a time: handing over fewer costs more than changing them.
const PIECE: usize = 1 << 14;

/// The function at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Its value.
    pub value: f64,
    /// Its gradient, in the measure of the inner product.
    pub gradient: Vec<f64>,
    /// The steepest slope along any variable.
    pub steepest: f64,
}

impl Point {
    /// A place whose variables are the numbers themselves.
    #[must_use]
    pub fn new(value: f64, gradient: Vec<f64>) -> Self {
        let steepest = gradient.iter().fold(0.0, |most: f64, g| most.max(g.abs()));
        Self {
            value,
            gradient,
            steepest,
        }
    }
}

/// When to stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Steps remembered, at least one.
    pub memory: usize,
    /// Most steps.
    pub iterations: usize,
    /// Slope that counts as flat.
    pub steepest: f64,
}

/// Where the search ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The place.
    pub x: Vec<f64>,
    /// The value there.
    pub value: f64,
    /// The steepest slope there.
    pub steepest: f64,
    /// Steps taken.
    pub iterations: usize,
    /// Places looked at.
    pub evaluations: usize,
}

/// The plain inner product.
#[must_use]
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

struct Step {
    /// The step.
    s: Vec<f64>,
    /// How the gradient changed.
    y: Vec<f64>,
    /// `sᵀy`.
    sy: f64,
    /// `yᵀy`.
    yy: f64,
}

/// Walks from `start` downhill.
pub fn minimise(
    mut at: impl FnMut(&[f64]) -> Point,
    dot: impl Fn(&[f64], &[f64]) -> f64,
    start: Vec<f64>,
    limits: &Limits,
) -> Found {
    let mut x = start;
    let mut here = at(&x);
    let mut steps: VecDeque<Step> = VecDeque::new();
    let mut iterations = 0;
    let mut evaluations = 1;
    while iterations < limits.iterations && here.steepest > limits.steepest {
        let mut way = direction(&here.gradient, &steps, &dot);
        let mut slope = dot(&here.gradient, &way);
        if slope >= 0.0 {
            steps.clear();
            way = direction(&here.gradient, &steps, &dot);
            slope = dot(&here.gradient, &way);
        }
        let mut length = 1.0;
        let next = loop {
            let mut place = x.clone();
            add(&mut place, length, &way);
            let point = at(&place);
            evaluations += 1;
            if point.value <= here.value + FALL * length * slope {
                break Some((place, point));
            }
            if length < SHORTEST {
                break None;
            }
            length /= 2.0;
        };
        let Some((place, point)) = next else {
            break;
        };
        let fall = here.value - point.value;
        let from = std::mem::replace(&mut x, place);
        let before = std::mem::replace(&mut here, point).gradient;
        let step = Step::new((from, &x), (before, &here.gradient), &dot);
        remember(&mut steps, step, limits.memory);
        iterations += 1;
        if fall <= f64::EPSILON * here.value.abs() {
            break;
        }
    }
    Found {
        x,
        value: here.value,
        steepest: here.steepest,
        iterations,
        evaluations,
    }
}

impl Step {
    /// The step between two places, which takes the room of the first; the same of their gradients.
    fn new(
        (mut s, to): (Vec<f64>, &[f64]),
        (mut y, after): (Vec<f64>, &[f64]),
        dot: &impl Fn(&[f64], &[f64]) -> f64,
    ) -> Self {
        each(&mut s, to, |from, to| *from = to - *from);
        each(&mut y, after, |before, after| *before = after - *before);
        let (sy, yy) = (dot(&s, &y), dot(&y, &y));
        Self { s, y, sy, yy }
    }
}

fn remember(steps: &mut VecDeque<Step>, step: Step, memory: usize) {
    if step.sy > 1e-12 * step.yy {
        if steps.len() >= memory {
            steps.pop_front();
        }
        steps.push_back(step);
    }
}

/// The gradient turned round and bent by what the remembered steps say of the curvature.
fn direction(
    gradient: &[f64],
    steps: &VecDeque<Step>,
    dot: &impl Fn(&[f64], &[f64]) -> f64,
) -> Vec<f64> {
    let mut way: Vec<f64> = gradient.iter().map(|g| -g).collect();
    let Some(last) = steps.back() else {
        let length = dot(&way, &way).sqrt();
        way.iter_mut().for_each(|d| *d /= length);
        return way;
    };
    let mut shares = Vec::with_capacity(steps.len());
    for step in steps.iter().rev() {
        let share = dot(&step.s, &way) / step.sy;
        add(&mut way, -share, &step.y);
        shares.push(share);
    }
    let scale = last.sy / last.yy;
    way.iter_mut().for_each(|d| *d *= scale);
    for (step, share) in steps.iter().zip(shares.iter().rev()) {
        let back = dot(&step.y, &way) / step.sy;
        add(&mut way, share - back, &step.s);
    }
    way
}

fn add(to: &mut [f64], times: f64, what: &[f64]) {
    each(to, what, |to, what| *to += times * what);
}

/// Changes each number by the one at the same place.
fn each(to: &mut [f64], by: &[f64], change: impl Fn(&mut f64, f64) + Sync) {
    let pieces = to.par_chunks_mut(PIECE).zip(by.par_chunks(PIECE));
    pieces.for_each(|(to, by)| to.iter_mut().zip(by).for_each(|(to, by)| change(to, *by)));
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIMITS: Limits = Limits {
        memory: 10,
        iterations: 200,
        steepest: 1e-9,
    };

    #[test]
    fn the_bent_valley_of_rosenbrock_ends_at_one_and_one() {
        let rosenbrock = |x: &[f64]| {
            let (a, b) = (1.0 - x[0], x[1] - x[0] * x[0]);
            let gradient = vec![-2.0 * a - 400.0 * x[0] * b, 200.0 * b];
            Point::new(a * a + 100.0 * b * b, gradient)
        };
        let found = minimise(rosenbrock, dot, vec![-1.2, 1.0], &LIMITS);
        assert!(found.value < 1e-15 && found.steepest <= 1e-9, "{found:?}");
        assert!(found.x.iter().all(|x| (x - 1.0).abs() < 1e-7), "{found:?}");
        let again = minimise(rosenbrock, dot, vec![-1.2, 1.0], &LIMITS);
        assert_eq!(found, again);
    }

    #[test]
    fn a_stretched_bowl_ends_at_its_bottom() {
        let bowl = |x: &[f64]| {
            let pull = |i: usize| (i as f64 + 1.0).powi(2);
            let off = |i: usize| x[i] - i as f64;
            let value = (0..x.len()).map(|i| pull(i) * off(i) * off(i) / 2.0).sum();
            Point::new(value, (0..x.len()).map(|i| pull(i) * off(i)).collect())
        };
        let found = minimise(bowl, dot, vec![0.0; 30], &LIMITS);
        for (i, x) in found.x.iter().enumerate() {
            assert!((x - i as f64).abs() < 1e-9, "{i}: {x}");
        }
        assert!(
            found.iterations < 150 && found.steepest <= 1e-9,
            "{found:?}"
        );
    }

    #[test]
    fn flat_ground_and_no_patience_stay_at_the_start() {
        let flat = |x: &[f64]| Point::new(1.0, vec![0.0; x.len()]);
        let found = minimise(flat, dot, vec![3.0], &LIMITS);
        assert_eq!((found.x, found.evaluations), (vec![3.0], 1));
        let slope = |x: &[f64]| Point::new(x[0], vec![1.0]);
        let none = Limits {
            iterations: 0,
            ..LIMITS
        };
        assert_eq!(minimise(slope, dot, vec![3.0], &none).x, vec![3.0]);
    }

    #[test]
    fn a_value_that_does_not_fall_ends_the_walk() {
        let wall = |x: &[f64]| Point::new(if x[0] < 0.0 { f64::NAN } else { x[0] }, vec![1.0]);
        let found = minimise(wall, dot, vec![0.0], &LIMITS);
        assert_eq!(found.x, vec![0.0]);
    }
}
