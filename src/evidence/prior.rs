//! What is believed of an article's fixes before its tickets speak, and how strongly.
//!
//! The author's order says which fix comes first, not how much likelier the first is than the last.
//! That, and how many cases the order is worth, is the same question in every article, so the articles
//! that have tickets answer it for those that have few (empirical Bayes). An article of `k` fixes has
//! the prior
//!
//! ```text
//! α(j) = m · (1 − o) · ρ^−j / Σ_i ρ^−i,     α("none listed") = m · o
//! ```
//!
//! of strength `m` (in cases), fall `ρ` from each fix to the next, and `o` left to none of them. The
//! three maximise the Dirichlet-multinomial likelihood of all articles' counts (Minka 2000,
//! "Estimating a Dirichlet distribution") under a normal prior of `ln m`, `ln ρ` and `ln o` around the
//! settings' `prior-cases`, 2 and 0.1, so that few tickets move them little. Given-up cases are counted
//! as expected under the shares found with those. A fall stuck at 2 makes the last of seven fixes one
//! in a hundred whatever the tickets say; on the demo such fixes end one case in twenty-five.
//!
//! The search goes along one number after the other within [`BOUNDS`] by golden section (Kiefer 1953,
//! Proc. AMS 4:502–506): few evaluations, and the same result whatever the number of threads.

use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use statrs::function::gamma::ln_gamma;

/// Weighted cases with a known end that an article needs before it is heard.
pub const CASES_OF_ARTICLE: f64 = 5.0;

/// Articles that must be heard; with fewer the settings stand.
pub const FEWEST_ARTICLES: usize = 10;

/// Bounds of `m`, `ρ` and `o`. The author's order may say little, but never the opposite.
pub const BOUNDS: [(f64, f64); 3] = [(0.5, 200.0), (1.0, 4.0), (0.002, 0.5)];

/// How far each number may stray from the settings, as standard deviations of its logarithm.
const STRAY: [f64; 3] = [1.0, 0.5, 1.0];

/// Rounds of the search at most, and the gain below which it ends.
const ROUNDS: usize = 40;
const SETTLED: f64 = 1e-9;

/// Steps of one golden section: the bounds shrink by 0.618 each, to a hundred-thousandth.
const SECTIONS: usize = 26;

/// The three numbers; see the module.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Prior {
    /// `m`: how many cases the author's order is worth.
    pub cases: f64,
    /// `ρ`: how many times as likely each fix is as the next one.
    pub fall: f64,
    /// `o`: the share of none of the listed fixes.
    pub other: f64,
    /// Articles whose tickets were heard; 0 for the settings alone.
    pub articles: usize,
}

/// Counts of one article: its fixes in the author's order, "none listed" last.
pub type Counts = Vec<f64>;

impl Prior {
    /// Before any ticket speaks.
    #[must_use]
    pub fn stated(cases: f64) -> Self {
        Self {
            cases,
            fall: 2.0,
            other: 0.1,
            articles: 0,
        }
    }

    /// The shares `q` of so many fixes in the author's order, "none listed" last; all of it there where
    /// there are no fixes.
    #[must_use]
    pub fn shares(&self, fixes: usize) -> Vec<f64> {
        if fixes == 0 {
            return vec![1.0];
        }
        let steps: Vec<f64> = std::iter::successors(Some(1.0), |step| Some(step / self.fall))
            .take(fixes)
            .collect();
        let sum: f64 = steps.iter().sum();
        let listed = steps.iter().map(|step| (1.0 - self.other) * step / sum);
        listed.chain([self.other]).collect()
    }

    /// `α` of so many fixes.
    #[must_use]
    pub fn counts(&self, fixes: usize) -> Vec<f64> {
        let shares = self.shares(fixes);
        shares.iter().map(|share| self.cases * share).collect()
    }

    /// What the articles' counts and the settings agree on.
    #[must_use]
    pub fn learned(&self, articles: &[Counts]) -> Self {
        let heard: Vec<&Counts> = articles
            .iter()
            .filter(|counts| counts.len() > 1 && counts.iter().sum::<f64>() >= CASES_OF_ARTICLE)
            .collect();
        if heard.len() < FEWEST_ARTICLES || self.cases <= 0.0 {
            return *self;
        }
        let center = self.logarithms();
        let gain = |place: &[f64; 3]| {
            let off = place.iter().zip(center).zip(STRAY);
            let strayed: f64 = off.map(|((x, x0), s)| ((x - x0) / s).powi(2) / 2.0).sum();
            Self::at(place).log_likelihood(&heard) - strayed
        };
        let mut place = center;
        let mut best = gain(&place);
        for _ in 0..ROUNDS {
            let before = best;
            for number in 0..place.len() {
                (place, best) = along(number, place, best, &gain);
            }
            if best - before < SETTLED {
                break;
            }
        }
        Self {
            articles: heard.len(),
            ..Self::at(&place)
        }
    }

    fn logarithms(&self) -> [f64; 3] {
        let numbers = [self.cases, self.fall, self.other];
        std::array::from_fn(|at| numbers[at].clamp(BOUNDS[at].0, BOUNDS[at].1).ln())
    }

    fn at(place: &[f64; 3]) -> Self {
        let [cases, fall, other] = place.map(f64::exp);
        Self {
            cases,
            fall,
            other,
            articles: 0,
        }
    }

    /// `Σ_a ln Γ(m) − ln Γ(m + n_a) + Σ_f ln Γ(α_f + n_af) − ln Γ(α_f)`.
    fn log_likelihood(&self, articles: &[&Counts]) -> f64 {
        let of_article = |counts: &&Counts| {
            let prior = self.counts(counts.len() - 1);
            let options = prior.iter().zip(counts.iter());
            let options: f64 = options.map(|(a, n)| ln_gamma(a + n) - ln_gamma(*a)).sum();
            let all: f64 = counts.iter().sum();
            options + ln_gamma(self.cases) - ln_gamma(self.cases + all)
        };
        // Collected first: a sum over threads would depend on how they share the work.
        let parts: Vec<f64> = articles.par_iter().map(of_article).collect();
        parts.iter().sum()
    }
}

/// The best place along one number, by golden section within its bounds; the old one where none is
/// better.
fn along(
    number: usize,
    place: [f64; 3],
    best: f64,
    gain: &dyn Fn(&[f64; 3]) -> f64,
) -> ([f64; 3], f64) {
    let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
    let moved = |to: f64| {
        let mut next = place;
        next[number] = to;
        next
    };
    let value = |to: f64| gain(&moved(to));
    let (mut low, mut high) = (BOUNDS[number].0.ln(), BOUNDS[number].1.ln());
    let (mut left, mut right) = (high - golden * (high - low), low + golden * (high - low));
    let (mut at_left, mut at_right) = (value(left), value(right));
    for _ in 0..SECTIONS {
        if at_left >= at_right {
            (high, right, at_right) = (right, left, at_left);
            left = high - golden * (high - low);
            at_left = value(left);
        } else {
            (low, left, at_left) = (left, right, at_right);
            right = low + golden * (high - low);
            at_right = value(right);
        }
    }
    let ends = [(low, value(low)), (high, value(high))];
    let inside = [(left, at_left), (right, at_right)];
    ends.into_iter()
        .chain(inside)
        .fold((place, best), |(place, best), (to, gained)| {
            if gained > best {
                (moved(to), gained)
            } else {
                (place, best)
            }
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: &[f64], expected: &[f64], within: f64) {
        assert_eq!(found.len(), expected.len());
        for (found, expected) in found.iter().zip(expected) {
            assert!((found - expected).abs() < within, "{found} {expected}");
        }
    }

    #[test]
    fn shares_fall_by_the_same_factor_and_leave_some_to_none_listed() {
        let stated = Prior::stated(4.0);
        close(&stated.shares(0), &[1.0], 1e-15);
        close(&stated.shares(1), &[0.9, 0.1], 1e-15);
        close(&stated.shares(2), &[0.6, 0.3, 0.1], 1e-15);
        close(&stated.counts(2), &[2.4, 1.2, 0.4], 1e-15);
    }

    #[test]
    fn few_articles_leave_the_settings() {
        let stated = Prior::stated(4.0);
        let articles = vec![vec![3.0, 4.0, 9.0]; FEWEST_ARTICLES - 1];
        assert_eq!(stated.learned(&articles), stated);
        let quiet = vec![vec![1.0, 2.0, 1.0]; 50];
        assert_eq!(stated.learned(&quiet), stated);
        let none = Prior::stated(0.0);
        assert_eq!(none.learned(&vec![vec![9.0, 9.0, 9.0]; 50]), none);
    }

    #[test]
    fn an_order_that_says_nothing_is_believed_less() {
        let articles: Vec<Counts> = (0..40)
            .map(|at| {
                let mut counts = vec![10.0; 5];
                counts[at % 5] += 8.0;
                counts.push(1.0);
                counts
            })
            .collect();
        let learned = Prior::stated(4.0).learned(&articles);
        assert!(learned.fall < 1.05, "{learned:?}");
        assert!(learned.cases > 8.0, "{learned:?}");
        assert!(learned.other < 0.05, "{learned:?}");
        assert_eq!(learned.articles, 40);
    }

    #[test]
    fn an_order_that_tells_is_believed() {
        let articles = vec![vec![32.0, 16.0, 8.0, 4.0, 7.0]; 40];
        let learned = Prior::stated(4.0).learned(&articles);
        assert!((learned.fall - 2.0).abs() < 0.05, "{learned:?}");
        assert!((learned.other - 7.0 / 67.0).abs() < 0.01, "{learned:?}");
    }

    #[test]
    fn the_order_of_articles_does_not_matter() {
        let mut articles: Vec<Counts> = (1..30)
            .map(|at| vec![f64::from(at), 3.0, f64::from(at % 7), 1.0])
            .collect();
        let one = Prior::stated(4.0).learned(&articles);
        articles.reverse();
        let other = Prior::stated(4.0).learned(&articles);
        close(
            &[one.cases, one.fall, one.other],
            &[other.cases, other.fall, other.other],
            1e-6,
        );
    }
}
