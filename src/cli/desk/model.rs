//! Learned weights and words in the state folder.
//!
//! They are learned from the cases up to a fit point and kept under the digest of exactly those
//! tickets and articles. Answering never waits for learning: where the kept ones come from fewer
//! tickets or older articles they answer all the same, and a notice says so.

use super::derived::{self, Unused};
use super::hex;
use crate::articles::{Catalog, Settings};
use crate::base::text::Analyzer;
use crate::cli::{Failure, Session};
use crate::evidence::cases::{Cases, day};
use crate::evidence::fit::fit_point;
use crate::evidence::layout::Layout;
use crate::evidence::learning::{Field, Model, STEPS, learn_model};
use crate::tickets::Ticket;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::path::Path;

const FILE: &str = "model";

/// Which tickets weights are to be learned from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct FitPoint {
    /// All tickets closed up to this day.
    pub(super) day: Date,
    /// Digest of these tickets.
    pub(super) key: String,
}

/// The fit point of all cases; none where they are too few.
pub(super) fn point(tickets: &[Ticket], cases: &Cases) -> Option<FitPoint> {
    let last = fit_point(cases.list.len())?;
    let day_of_last = day(cases.list[last - 1].closed);
    let mut hash = Sha256::new();
    for ticket in tickets.iter().filter(|t| day(t.closed) <= day_of_last) {
        // A ticket is plain values; writing it to memory cannot fail.
        hash.update(serde_json::to_vec(ticket).unwrap_or_default());
        hash.update(b"\n");
    }
    Some(FitPoint {
        day: day_of_last,
        key: hex(&hash.finalize()),
    })
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
pub(super) fn key(digest: &str, point: Option<&FitPoint>) -> String {
    let tickets = point.map_or("none", |p| p.key.as_str());
    format!("{} {digest} {tickets}", env!("CARGO_PKG_VERSION"))
}

/// Learns and keeps.
///
/// # Errors
/// Where the state folder cannot be written.
pub(super) fn learn(
    state: &Path,
    key: &str,
    tickets: &[Ticket],
    point: &FitPoint,
    (catalog, settings, layout, analyzer): (&Catalog, &Settings, &Layout, &Analyzer),
    session: &Session,
) -> Result<Model, Failure> {
    let step = session.steps("Learning from the tickets", STEPS);
    let cases = Cases::of(
        tickets,
        &BTreeMap::new(),
        catalog,
        &settings.model,
        point.day,
    );
    let field = Field {
        catalog,
        layout,
        analyzer,
        settings,
    };
    let model = learn_model(&cases, field, point.day, &|| step.advance());
    let path = state.join(FILE);
    derived::write(&path, key, &model).map_err(|e| Failure::file("write", &path, &e))?;
    step.finish();
    Ok(model)
}
