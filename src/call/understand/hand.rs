//! What is at hand in a case, so that a bare word needs to name nothing.

use crate::articles::model::Before;
use crate::base::ids::{CheckId, FixId};
use crate::call::advice::Advice;
use crate::call::belief::Ground;
use crate::call::state::State;
use crate::call::steps::open_before;

/// What a bare word is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AtHand {
    /// A fix whose steps are shown.
    Fix(FixId),
    /// A check that is asked.
    Check(CheckId),
    /// Neither.
    Nothing,
}

/// The fix taken up, or what must be done before it; else the check asked.
#[must_use]
pub fn at_hand(state: &State, advice: &Advice, ground: Ground<'_>) -> AtHand {
    if state.end.is_some() || !advice.stops.is_empty() {
        return AtHand::Nothing;
    }
    let at_hand = match &state.picked {
        Some(fix) => match first_before(fix, state, ground) {
            Before::Fix(fix) => AtHand::Fix(fix),
            Before::Check(check) => AtHand::Check(check),
        },
        None => match &advice.next_check {
            Some(next) => AtHand::Check(next.check.clone()),
            None => AtHand::Nothing,
        },
    };
    // One question at a time, a danger first: a bare `yes` must never be meant for another one.
    match at_hand {
        AtHand::Check(_) if !advice.ask_first.is_empty() => AtHand::Nothing,
        other => other,
    }
}

/// The first thing to do on the way to a fix: the fix itself where nothing must come before it.
pub(in crate::call) fn first_before(fix: &FixId, state: &State, ground: Ground<'_>) -> Before {
    let done = state.done();
    let mut step = Before::Fix(fix.clone());
    // No cycles: lint sees to that; and should there be one, the way is no longer than all steps.
    for _ in 0..ground.catalog.fixes.len() + ground.catalog.checks.len() {
        match open_before(&step, &done, ground).into_iter().next() {
            Some(before) => step = before,
            None => break,
        }
    }
    step
}
