//! A desk whose faults are known, and the ledger it leaves behind.
//!
//! Eight faults with skewed shares (log-normal, spread 1) and up to 5 % that no fix ends. Minutes are
//! log-normal around 12, from 2 to 90. The author's order is a noisy guess at the shares. Each of four
//! agents has a habit, mostly cheap things first, and sticks to it but for a swap now and then; after
//! each failed try they may give up, so often that the wanted part of cases ends unresolved.

use fixtally::backtest::dice::Dice;
use fixtally::evidence::prior::Prior;
use fixtally::evidence::share::{Patterns, Tally};

pub(crate) const FAULTS: usize = 8;

/// Strength of the author's order, as shipped.
const PRIOR_CASES: f64 = 4.0;

/// In which ways the ledger departs from what the estimate takes for granted.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Ways {
    /// Chance that a try that did nothing is recorded as resolved.
    pub(crate) false_resolved: f64,
    /// Whether giving up depends on the fault.
    pub(crate) by_cause: bool,
    /// Chance of a second fault in the same case.
    pub(crate) two_faults: f64,
    /// How many given-up cases a visit brings back.
    pub(crate) visits: usize,
}

/// What is true.
pub(crate) struct World {
    /// Shares of the fixes, in the author's order.
    pub(crate) shares: Vec<f64>,
    /// The share that no fix ends.
    pub(crate) other: f64,
    /// Minutes of the fixes.
    pub(crate) minutes: Vec<f64>,
    /// The agents' orders.
    pub(crate) habits: Vec<Vec<usize>>,
    give_up: f64,
    /// How much sooner than usual an agent gives up with each fault, where that depends.
    haste: Vec<f64>,
}

/// One closed case.
pub(crate) struct Done {
    pub(crate) failed: Vec<usize>,
    pub(crate) resolved_by: Option<usize>,
    /// What a visit found after it was handed on.
    pub(crate) visit: Option<usize>,
}

fn normal(dice: &mut Dice) -> f64 {
    // Box & Muller 1958.
    (-2.0 * (1.0 - dice.unit()).ln()).sqrt() * (std::f64::consts::TAU * dice.unit()).cos()
}

fn falling(keys: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..keys.len()).collect();
    order.sort_by(|a, b| keys[*b].total_cmp(&keys[*a]));
    order
}

impl World {
    pub(crate) fn new(seed: u64, unresolved: Option<f64>) -> Self {
        let mut dice = Dice::new(seed);
        let other = 0.05 * dice.unit();
        let raw: Vec<f64> = (0..FAULTS).map(|_| normal(&mut dice).exp()).collect();
        let sum: f64 = raw.iter().sum();
        let shares: Vec<f64> = raw.iter().map(|r| r / sum * (1.0 - other)).collect();
        let guess: Vec<f64> = shares.iter().map(|s| s.ln() + normal(&mut dice)).collect();
        let shares: Vec<f64> = falling(&guess).into_iter().map(|f| shares[f]).collect();
        let log_minutes = (0..FAULTS).map(|_| 0.9 * normal(&mut dice));
        let minutes: Vec<f64> = log_minutes
            .map(|m| (12.0 * m.exp()).clamp(2.0, 90.0))
            .collect();
        let habits = (0..4).map(|_| {
            let likes = shares.iter().zip(&minutes);
            let likes = likes.map(|(s, m)| 0.5 * s.ln() - m.ln() + 0.8 * normal(&mut dice));
            falling(&likes.collect::<Vec<f64>>())
        });
        let habits: Vec<Vec<usize>> = habits.collect();
        let wanted = unresolved.unwrap_or_else(|| 0.05 + 0.35 * dice.unit());
        let haste = (0..FAULTS)
            .map(|_| (0.8 * normal(&mut dice)).exp())
            .collect();
        let mut world = Self {
            shares,
            other,
            minutes,
            habits,
            give_up: 0.0,
            haste,
        };
        world.give_up = world.give_up_for(wanted);
        world
    }

    /// The chance of giving up after a failed try with which this part of cases ends unresolved.
    fn give_up_for(&self, wanted: f64) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..50 {
            let middle: f64 = 0.5 * (low + high);
            if self.unresolved(middle) < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }

    fn unresolved(&self, give_up: f64) -> f64 {
        let mut part = self.other;
        for habit in &self.habits {
            let mut patient = 1.0;
            for fault in habit {
                part += self.shares[*fault] * (1.0 - patient) / self.habits.len() as f64;
                patient *= 1.0 - give_up;
            }
        }
        part
    }

    /// A fault, or none of the listed.
    fn fault(&self, dice: &mut Dice) -> Option<usize> {
        let mut left = dice.unit();
        self.shares.iter().position(|share| {
            left -= share;
            left < 0.0
        })
    }

    /// The ledger of so many cases.
    pub(crate) fn ledger(&self, cases: usize, ways: Ways, seed: u64) -> Vec<Done> {
        let mut dice = Dice::new(seed ^ 0x5eed_0000);
        let mut visits = ways.visits;
        let mut case = || {
            let mut done = self.case(ways, &mut dice);
            if done.visit.is_some() {
                done.visit = done.visit.filter(|_| visits > 0);
                visits = visits.saturating_sub(1);
            }
            done
        };
        (0..cases).map(|_| case()).collect()
    }

    fn case(&self, ways: Ways, dice: &mut Dice) -> Done {
        let fault = self.fault(dice);
        let second = if dice.happens(ways.two_faults) {
            self.fault(dice)
        } else {
            None
        };
        let mut left: Vec<usize> = fault.into_iter().chain(second).collect();
        left.dedup();
        let mut order = self.habits[dice.below(self.habits.len())].clone();
        if dice.happens(0.3) {
            let at = dice.below(FAULTS - 1);
            order.swap(at, at + 1);
        }
        let haste = fault
            .filter(|_| ways.by_cause)
            .map_or(1.0, |f| self.haste[f]);
        let give_up = 1.0 - (1.0 - self.give_up).powf(haste);
        let mut failed = Vec::new();
        for fix in order {
            let before = left.len();
            left.retain(|fault| *fault != fix);
            // A case with two faults ends with the second of them.
            let ended = before > 0 && left.is_empty();
            if ended || dice.happens(ways.false_resolved) {
                return Done {
                    failed,
                    resolved_by: Some(fix),
                    visit: None,
                };
            }
            failed.push(fix);
            if dice.happens(give_up) {
                break;
            }
        }
        Done {
            visit: fault.filter(|f| left == [*f]),
            resolved_by: None,
            failed,
        }
    }
}

/// What can be counted in a ledger.
#[derive(Default)]
pub(crate) struct Counts {
    resolved: Vec<f64>,
    tries: Vec<f64>,
    patterns: Patterns,
    /// Cases that stay unresolved.
    pub(crate) unresolved: usize,
}

impl Counts {
    pub(crate) fn of(ledger: &[Done]) -> Self {
        let mut counts = Self {
            resolved: vec![0.0; FAULTS],
            tries: vec![0.0; FAULTS],
            ..Self::default()
        };
        for done in ledger {
            let ended_by = done.resolved_by.or(done.visit);
            for fix in done.failed.iter().chain(&ended_by) {
                counts.tries[*fix] += 1.0;
            }
            match ended_by {
                Some(fix) => {
                    counts.resolved[fix] += 1.0;
                    counts.patterns.resolved(fix, 1.0);
                }
                None => {
                    counts.unresolved += 1;
                    counts.patterns.open(done.failed.clone(), 1.0);
                }
            }
        }
        counts
    }

    /// The likelihood with the author's order, as the evidence makes it.
    pub(crate) fn tally(&self) -> Tally {
        let prior = Prior::stated(PRIOR_CASES);
        self.patterns
            .clone()
            .tally(prior.counts(FAULTS), prior.shares(FAULTS))
    }

    /// Our shares.
    pub(crate) fn shares(&self) -> Vec<f64> {
        let mut shares = self.tally().solve().shares;
        shares.pop();
        shares
    }

    /// The part of resolved cases that each fix resolved.
    pub(crate) fn plain(&self) -> Vec<f64> {
        let all: f64 = self.resolved.iter().sum();
        self.resolved.iter().map(|r| r / all.max(1.0)).collect()
    }

    /// Resolved when tried.
    pub(crate) fn when_tried(&self) -> Vec<f64> {
        let both = self.resolved.iter().zip(&self.tries);
        both.map(|(resolved, tries)| resolved / tries.max(1.0))
            .collect()
    }
}
