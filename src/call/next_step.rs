//! The one thing to do next where an agent just follows the advice.

use super::advice::Advice;
use super::belief::Ground;
use super::state::State;
use super::understand::first_before;
use crate::articles::model::Before;
use crate::base::ids::{ArticleId, CheckId, FixId};

/// What to do next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NextStep {
    /// A danger stops the call until somebody on site says that it does not apply.
    Danger(Vec<ArticleId>),
    /// This check.
    Ask(CheckId),
    /// This fix.
    Try(FixId),
    /// Nothing more: handing on is cheaper, or nothing is left.
    HandOn,
}

/// A danger first; then a check that saves minutes; then the first fix, or what must come before it,
/// unless handing on is cheaper. Advice in the order of time is taken for granted.
#[must_use]
pub fn next_step(state: &State, advice: &Advice, ground: Ground<'_>) -> NextStep {
    if !advice.stops.is_empty() {
        return NextStep::Danger(advice.stops.iter().map(|(id, _)| id.clone()).collect());
    }
    if let Some(next) = &advice.next_check {
        return NextStep::Ask(next.check.clone());
    }
    let worth_it = advice.stop.is_none_or(|stop| stop.after > 0);
    match advice.fixes.first().filter(|fix| fix.allowed && worth_it) {
        None => NextStep::HandOn,
        Some(fix) => match first_before(&fix.fix, state, ground) {
            Before::Fix(fix) => NextStep::Try(fix),
            Before::Check(check) => NextStep::Ask(check),
        },
    }
}
