//! What was found in a note, and what of it is kept.

use super::reading::KEPT;
use crate::tickets::{Outcome, TryResult};

/// Two fixes are tossed for where their chances are below the one and nearer than the other.
const TOSSED_BELOW: f64 = 0.6;
const TOSSED_WITHIN: f64 = 0.05;

/// A try found.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The number of the fix; none for what no article lists.
    pub fix: Option<usize>,
    /// The chance of each result: resolved, no change, not possible.
    pub results: [f64; 3],
    /// Where in the note it is told, in tokens; for the order.
    pub place: f64,
}

impl Found {
    /// The likeliest result with its chance.
    #[must_use]
    pub fn likeliest(&self) -> (TryResult, f64) {
        let named = [
            TryResult::Resolved,
            TryResult::NoChange,
            TryResult::NotPossible,
        ];
        let first = (named[0], self.results[0]);
        named
            .into_iter()
            .zip(self.results)
            .skip(1)
            .fold(first, |best, one| if one.1 > best.1 { one } else { best })
    }

    /// The chance that it was tried, whatever came of it.
    #[must_use]
    pub fn tried(&self) -> f64 {
        self.results.iter().sum::<f64>().min(1.0)
    }
}

/// The tries worth keeping, in the order they are told, with what a resolved ticket says of its only fix: one
/// that is told, and not told to have changed nothing, is what resolved it. With each the likeliest result
/// and the chance that it was tried at all: where two results are as likely, the try is no less sure.
#[must_use]
pub fn told(found: &[Found], outcome: Option<Outcome>) -> Vec<(Option<usize>, TryResult, f64)> {
    let mut tried: Vec<&Found> = found.iter().filter(|f| f.tried() >= KEPT).collect();
    tried.sort_by(|a, b| a.place.total_cmp(&b.place).then_with(|| a.fix.cmp(&b.fix)));
    let only = tried.len() == 1 && outcome == Some(Outcome::Resolved);
    let toss = outcome == Some(Outcome::Resolved) && tossed(&tried);
    tried
        .into_iter()
        .map(|found| match found.likeliest().0 {
            result if only && result != TryResult::NoChange => {
                (found.fix, TryResult::Resolved, found.tried())
            }
            result => (found.fix, result, found.tried()),
        })
        .map(|(fix, result, chance)| (fix, result, if toss { 0.5 * chance } else { chance }))
        .filter(|(fix, result, _)| fix.is_some() || *result == TryResult::Resolved)
        .collect()
}

/// Whether the only two fixes found are as likely as each other, and neither is likelier than not by far: the note
/// says nothing that tells them apart, and both are but guessed from how often fixes are tried.
fn tossed(tried: &[&Found]) -> bool {
    let [one, other] = tried else {
        return false;
    };
    let (a, b) = (one.tried(), other.tried());
    a.max(b) < TOSSED_BELOW && (a - b).abs() < TOSSED_WITHIN
}
