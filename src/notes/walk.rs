//! The walk over one note: forward and backward sums over all ways to read it.
//!
//! States: background; and for each candidate, each result and (where results are watched) each of
//! "nothing resolved it yet" and "something did" four parts: what was done, the result told before,
//! the result told behind, a result that did not last. Cost: tokens × candidates × 128 additions
//! and multiplications.

use super::tokens::{GAPS, Gap};
use super::words::Row;
use serde::{Deserialize, Serialize};

/// The parts of a visit.
const PARTS: usize = 4;
const FIX: usize = 0;
const BEFORE: usize = 1;
const BEHIND: usize = 2;
const PROVISIONAL: usize = 3;
/// Results: resolved, no change, not possible, only spoken of.
const RESULTS: usize = 4;
/// How likely a second fix resolves what a first one did, against a first.
const AGAIN: f64 = 0.05;
/// How likely a fix that changed nothing is told behind the one that resolved, against before it.
/// Chosen on the demo's tickets and the second and third set of hard notes, by trying 0.1 to 1.
const AFTER: f64 = 0.6;
/// How often what was not done is told again behind the words that say so: "the bolts could not be
/// tightened". Chosen in the same way.
const BACK: f64 = 0.1;
/// The result from which on nothing was done.
const NOT_DONE_FROM: usize = 2;

/// The moves from each part of a visit to each part, and out of it.
pub(super) type Within = [[f64; PARTS + 1]; PARTS];

/// The chances of the moves, by what the token moved from leaves behind it: a full stop parts what a
/// comma joins, and a colon points at a result.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Moves {
    pub(super) within: [Within; GAPS],
    /// To stay in the background, against entering a visit.
    pub(super) stay: [f64; GAPS],
}

impl Default for Moves {
    /// Before anything is learned; guessed, and the same behind every mark.
    fn default() -> Self {
        let within = [
            [0.70, 0.00, 0.17, 0.03, 0.10],
            [0.55, 0.45, 0.00, 0.00, 0.00],
            [0.05, 0.00, 0.45, 0.00, 0.50],
            [0.10, 0.00, 0.40, 0.50, 0.00],
        ];
        Self {
            within: [within; GAPS],
            stay: [0.6; GAPS],
        }
    }
}

/// What may be visited.
#[derive(Clone, Debug)]
pub(super) struct Plan<'a> {
    /// The weight of entering each candidate with each result.
    pub(super) enter: &'a [[f64; RESULTS]],
    /// How many of them can resolve a case; those behind are no fixes.
    pub(super) fixes: usize,
    /// The part of visits that begin with their result, by result.
    pub(super) before: [f64; RESULTS],
    /// The weight of an end where nothing, and where something, resolved it; none where a note's
    /// results are known and not watched.
    pub(super) end: Option<[f64; 2]>,
    pub(super) moves: &'a Moves,
}

/// What one token most likely told.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Told {
    /// By candidate.
    pub(super) fix: Vec<f64>,
    pub(super) before: [f64; RESULTS],
    pub(super) result: [f64; RESULTS],
    pub(super) provisional: [f64; RESULTS],
    pub(super) background: f64,
}

/// The sums over all walks.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Walked {
    /// The logarithm of how likely the note is.
    pub(super) log: f64,
    /// Expected visits by candidate and result.
    pub(super) visits: Vec<[f64; RESULTS]>,
    /// By token.
    pub(super) told: Vec<Told>,
    /// Expected moves.
    pub(super) within: [Within; GAPS],
    /// Expected stays in the background and entries into visits.
    pub(super) stays: [[f64; 2]; GAPS],
}

struct Walk<'a> {
    rows: &'a [Row],
    plan: &'a Plan<'a>,
    flags: usize,
    visits: usize,
    /// The moves of visits that did something, and of those that did not.
    moves: [[Within; GAPS]; 2],
}

/// Forward sums at one token, scaled to one.
struct Ahead {
    visit: Vec<f64>,
    background: [f64; 2],
    scale: f64,
}

/// Sums over all walks; none for an empty note.
pub(super) fn walk(rows: &[Row], plan: &Plan<'_>) -> Option<Walked> {
    let walk = Walk {
        rows,
        plan,
        flags: if plan.end.is_some() { 2 } else { 1 },
        visits: plan.enter.len() * RESULTS,
        moves: [plan.moves.within, plan.moves.within.map(back_to_fix)],
    };
    let ahead = walk.forward()?;
    Some(walk.backward(&ahead))
}

/// The moves of a visit where nothing was done.
pub(super) fn back_to_fix(mut within: Within) -> Within {
    let moves = &mut within[BEHIND];
    moves.iter_mut().for_each(|chance| *chance *= 1.0 - BACK);
    moves[FIX] += BACK;
    within
}

impl Walk<'_> {
    fn within(&self, gap: usize, visit: usize) -> &Within {
        &self.moves[usize::from(visit % RESULTS >= NOT_DONE_FROM)][gap]
    }

    fn end(&self) -> [f64; 2] {
        self.plan.end.unwrap_or([1.0, 0.0])
    }

    fn size(&self) -> usize {
        self.flags * self.visits * PARTS
    }

    /// Where a visit with a result leads, and at which price: a resolving one raises the flag.
    fn flag(&self, flag: usize, candidate: usize, result: usize) -> (usize, f64) {
        let is_fix = candidate < self.plan.fixes;
        match (result, flag) {
            _ if self.flags == 1 || !is_fix => (flag, 1.0),
            (0, 0) => (1, 1.0),
            (0, _) => (1, AGAIN),
            (1 | 2, 1) => (1, AFTER),
            _ => (flag, 1.0),
        }
    }

    /// Calls back with (flag before, place of the visit, its result, weight of entering it).
    fn each_entry(&self, mut call: impl FnMut(usize, usize, usize, f64)) {
        for flag in 0..self.flags {
            for (candidate, enter) in self.plan.enter.iter().enumerate() {
                for (result, weight) in enter.iter().enumerate() {
                    if *weight > 0.0 {
                        let (to, price) = self.flag(flag, candidate, result);
                        let visit = to * self.visits + candidate * RESULTS + result;
                        call(
                            flag,
                            visit * PARTS,
                            candidate * RESULTS + result,
                            weight * price,
                        );
                    }
                }
            }
        }
    }

    fn emits(&self, row: &Row, visit: usize) -> [f64; PARTS] {
        let (candidate, result) = (visit / RESULTS, visit % RESULTS);
        [
            row.fix[candidate],
            row.before[result],
            row.result[result],
            row.provisional[result],
        ]
    }

    fn forward(&self) -> Option<Vec<Ahead>> {
        let mut all: Vec<Ahead> = Vec::with_capacity(self.rows.len());
        for (at, row) in self.rows.iter().enumerate() {
            let gap = self.gap(at);
            let hub = self.hub(all.last(), gap);
            let mut visit = vec![0.0; self.size()];
            if let Some(last) = all.last() {
                let both = last.visit.chunks(PARTS).zip(visit.chunks_mut(PARTS));
                for (number, (from, to)) in both.enumerate() {
                    let within = self.within(gap, number);
                    for (part, weight) in from.iter().enumerate().filter(|(_, w)| **w > 0.0) {
                        for (into, chance) in to.iter_mut().zip(&within[part]) {
                            *into += weight * chance;
                        }
                    }
                }
            }
            let stay = self.plan.moves.stay[gap];
            let enter = 1.0 - stay;
            self.each_entry(|flag, place, which, weight| {
                let before = self.plan.before[which % RESULTS];
                let weight = hub[flag] * enter * weight;
                visit[place + FIX] += weight * (1.0 - before);
                visit[place + BEFORE] += weight * before;
            });
            for (number, parts) in visit.chunks_mut(PARTS).enumerate() {
                let emits = self.emits(row, number % self.visits);
                parts.iter_mut().zip(emits).for_each(|(p, e)| *p *= e);
            }
            let mut background = hub.map(|hub| hub * stay * row.background);
            let scale: f64 = visit.iter().sum::<f64>() + background.iter().sum::<f64>();
            if scale <= 0.0 || !scale.is_finite() {
                return None;
            }
            visit.iter_mut().for_each(|v| *v /= scale);
            background.iter_mut().for_each(|b| *b /= scale);
            all.push(Ahead {
                visit,
                background,
                scale,
            });
        }
        (!all.is_empty()).then_some(all)
    }

    /// What parts a token from the one before it; a note begins as a sentence does.
    fn gap(&self, at: usize) -> usize {
        let before = at.checked_sub(1).map(|at| self.rows[at].gap);
        before.unwrap_or(Gap::Ends) as usize
    }

    /// What stands ready to go on to the background or to the next visit.
    fn hub(&self, last: Option<&Ahead>, gap: usize) -> [f64; 2] {
        let Some(last) = last else {
            return [1.0, 0.0];
        };
        let mut hub = last.background;
        for (flag, visits) in last.visit.chunks(self.visits * PARTS).enumerate() {
            for (number, parts) in visits.chunks(PARTS).enumerate() {
                let within = self.within(gap, number);
                for (part, weight) in parts.iter().enumerate() {
                    hub[flag] += weight * within[part][PARTS];
                }
            }
        }
        hub
    }

    fn backward(&self, ahead: &[Ahead]) -> Walked {
        let last = &ahead[ahead.len() - 1];
        let end = self.end();
        let per_flag = self.visits * PARTS;
        let mut total: f64 = (0..2).map(|f| last.background[f] * end[f]).sum();
        // A result told before needs a fix behind it: no note ends there.
        let ends = |place: usize| match place % PARTS {
            BEFORE => 0.0,
            _ => end[place / per_flag],
        };
        for (place, visit) in last.visit.iter().enumerate() {
            total += visit * ends(place);
        }
        let total = total.max(f64::MIN_POSITIVE);
        let mut behind: Vec<f64> = (0..self.size()).map(|place| ends(place) / total).collect();
        let mut behind_background = end.map(|e| e / total);
        let mut walked = Walked {
            log: ahead.iter().map(|a| a.scale.ln()).sum::<f64>() + total.ln(),
            visits: vec![[0.0; RESULTS]; self.plan.enter.len()],
            told: Vec::with_capacity(ahead.len()),
            within: [[[0.0; PARTS + 1]; PARTS]; GAPS],
            stays: [[0.0; 2]; GAPS],
        };
        for at in (0..ahead.len()).rev() {
            walked
                .told
                .push(self.told(&ahead[at], &behind, behind_background));
            let row = &self.rows[at];
            let scale = ahead[at].scale;
            for (number, parts) in behind.chunks_mut(PARTS).enumerate() {
                let emits = self.emits(row, number % self.visits);
                parts
                    .iter_mut()
                    .zip(emits)
                    .for_each(|(p, e)| *p *= e / scale);
            }
            let background = behind_background.map(|b| b * row.background / scale);
            let before = at.checked_sub(1).map(|at| &ahead[at]);
            let gap = self.gap(at);
            let hub = self.hub(before, gap);
            let value = self.value(&behind, background, (hub, gap), &mut walked);
            if let Some(before) = before {
                behind = self.step_back(&behind, value, (before, gap), &mut walked.within[gap]);
                behind_background = value;
            }
        }
        walked.told.reverse();
        walked
    }

    /// What standing ready before a token is worth by flag; counts visits and stays on the way.
    fn value(
        &self,
        told: &[f64],
        background: [f64; 2],
        (hub, gap): ([f64; 2], usize),
        walked: &mut Walked,
    ) -> [f64; 2] {
        let stay = self.plan.moves.stay[gap];
        let mut value = background.map(|b| b * stay);
        for (flag, value) in value.iter().enumerate() {
            walked.stays[gap][0] += hub[flag] * value;
        }
        self.each_entry(|flag, place, which, weight| {
            let before = self.plan.before[which % RESULTS];
            let gain = told[place + FIX] * (1.0 - before) + told[place + BEFORE] * before;
            let gain = (1.0 - stay) * weight * gain;
            value[flag] += gain;
            let visits = hub[flag] * gain;
            walked.visits[which / RESULTS][which % RESULTS] += visits;
            walked.stays[gap][1] += visits;
        });
        value
    }

    fn step_back(
        &self,
        told: &[f64],
        value: [f64; 2],
        (before, gap): (&Ahead, usize),
        within: &mut Within,
    ) -> Vec<f64> {
        let per_flag = self.visits * PARTS;
        let mut back = vec![0.0; told.len()];
        for (number, parts) in told.chunks(PARTS).enumerate() {
            let place = number * PARTS;
            let out = value[place / per_flag];
            for part in 0..PARTS {
                let moves = &self.within(gap, number)[part];
                // The way back is given and not learned.
                let learned = part != BEHIND || number % RESULTS < NOT_DONE_FROM;
                let counts = f64::from(u8::from(learned));
                let stood = counts * before.visit[place + part];
                let mut sum = moves[PARTS] * out;
                within[part][PARTS] += stood * moves[PARTS] * out;
                for (to, gain) in parts.iter().enumerate() {
                    sum += moves[to] * gain;
                    within[part][to] += stood * moves[to] * gain;
                }
                back[place + part] = sum;
            }
        }
        back
    }

    fn told(&self, ahead: &Ahead, behind: &[f64], background: [f64; 2]) -> Told {
        let mut told = Told {
            fix: vec![0.0; self.plan.enter.len()],
            before: [0.0; RESULTS],
            result: [0.0; RESULTS],
            provisional: [0.0; RESULTS],
            background: (0..2).map(|f| ahead.background[f] * background[f]).sum(),
        };
        let both = ahead.visit.chunks(PARTS).zip(behind.chunks(PARTS));
        for (number, (ahead, behind)) in both.enumerate() {
            let visit = number % self.visits;
            let (candidate, result) = (visit / RESULTS, visit % RESULTS);
            told.fix[candidate] += ahead[FIX] * behind[FIX];
            told.before[result] += ahead[BEFORE] * behind[BEFORE];
            told.result[result] += ahead[BEHIND] * behind[BEHIND];
            told.provisional[result] += ahead[PROVISIONAL] * behind[PROVISIONAL];
        }
        told
    }
}
