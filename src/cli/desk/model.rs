//! Learned weights and words in the state folder.
//!
//! They are learned from the cases up to a fit point and kept under the digest of exactly those
//! tickets and articles. Answering never waits for learning: where the kept ones come from fewer
//! tickets or older articles they answer all the same, and a notice says so.

use super::derived::{self, Unused};
use super::hex;
use crate::cli::{Failure, Session};
use crate::evidence::cases::{Cases, day};
use crate::evidence::fit::fit_point;
use crate::evidence::learning::{Field, Model, STEPS, learn_model};
use crate::tickets::Ticket;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::path::Path;

const FILE: &str = "model";

/// Which tickets are to be learned from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct FitPoint {
    /// All tickets closed up to this day.
    pub(super) day: Date,
    /// Digest of these tickets.
    pub(super) key: String,
    /// Whether they are enough to learn weights; to read notes, few are better than none.
    pub(super) enough: bool,
}

/// The fit point of all cases; all of them where they are too few for one.
pub(super) fn point(tickets: &[Ticket], cases: &Cases) -> FitPoint {
    let last = fit_point(cases.list.len());
    let case = cases
        .list
        .get(last.unwrap_or(cases.list.len()).saturating_sub(1));
    let day_of_last = case.map_or(Date::MIN, |case| day(case.closed));
    let mut hash = Sha256::new();
    for ticket in tickets.iter().filter(|t| day(t.closed) <= day_of_last) {
        // A ticket is plain values; writing it to memory cannot fail.
        hash.update(serde_json::to_vec(ticket).unwrap_or_default());
        hash.update(b"\n");
    }
    FitPoint {
        day: day_of_last,
        key: hex(&hash.finalize()),
        enough: last.is_some(),
    }
}

/// What is kept, and whether it is what would be learned today.
pub(super) struct Kept {
    pub(super) model: Model,
    pub(super) fresh: bool,
}

/// Reads what was learned, whatever it was learned from.
pub(super) fn read(state: &Path, key: &str) -> Result<Kept, Unused> {
    let (found, model) = derived::read_any(&state.join(FILE))?;
    Ok(Kept {
        model,
        fresh: found == key,
    })
}

/// The key of what is learned at a fit point from articles with this digest.
pub(super) fn key(digest: &str, point: &FitPoint) -> String {
    format!("{} {digest} {}", env!("CARGO_PKG_VERSION"), point.key)
}

/// Learns from cases up to a fit point, none of whose articles is inferred, and keeps.
///
/// # Errors
/// Where the state folder cannot be written.
pub(super) fn learn(
    state: &Path,
    key: &str,
    cases: &Cases,
    point: &FitPoint,
    field: Field<'_>,
    session: &Session,
) -> Result<Model, Failure> {
    let step = session.steps("Learning from the tickets", STEPS);
    let model = learn_model(cases, field, point.day, &|| step.advance());
    let path = state.join(FILE);
    derived::write(&path, key, &model).map_err(|e| Failure::file("write", &path, &e))?;
    step.finish();
    Ok(model)
}
