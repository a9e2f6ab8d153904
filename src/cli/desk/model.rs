//! Learned weights and words in the state folder: one file for each fit point, named after the last
//! day whose tickets it was learned from.
//!
//! Each is kept under the digest of exactly those tickets and articles. Answering never waits for
//! learning: where there is none of today's fit point, the one of an earlier day answers, and a
//! notice says so. One of a later day never does: with `--as-of` in the past, tickets that were not
//! closed yet must not have been learned from.

use super::derived::{self, Unused};
use super::flow::Flow;
use super::hex;
use crate::cli::{Failure, Session};
use crate::evidence::cases::day;
use crate::evidence::fit::fit_point;
use crate::evidence::learning::{Field, Model, STEPS, learn_model, most_known};
use crate::tickets::Ticket;
use jiff::Timestamp;
use jiff::civil::Date;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::path::{Path, PathBuf};

/// How the files' names begin; the day follows.
const PREFIX: &str = "model-";

/// Files that are kept: that of the newest day, and of the others those written last.
const KEPT: usize = 8;

/// Which tickets are to be learned from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct FitPoint {
    /// The count of cases that was reached.
    pub(super) cases: usize,
    /// The day on which the last of them was closed: all tickets closed up to it are learned from.
    pub(super) day: Date,
    /// Digest of these tickets.
    pub(super) key: String,
}

/// Digests of the tickets closed up to each day, taken while they pass by, oldest first: which day's is
/// wanted shows when all have passed.
#[derive(Default)]
pub(super) struct Passed {
    hash: Sha256,
    days: Vec<(Date, Sha256)>,
    /// Tickets that came back, with the day they did: what came back later is not learned from.
    back: Vec<(Date, String)>,
}

impl Passed {
    /// Takes the next tickets.
    pub(super) fn add(&mut self, part: &[Ticket]) {
        let as_closed = |ticket: &Ticket| {
            // A ticket is plain values; writing it to memory cannot fail.
            if ticket.reopened.is_none() {
                return serde_json::to_vec(ticket).unwrap_or_default();
            }
            let mut before = (**ticket).clone();
            before.reopened = None;
            serde_json::to_vec(&before).unwrap_or_default()
        };
        let texts: Vec<Vec<u8>> = part.par_iter().map(as_closed).collect();
        for (ticket, text) in part.iter().zip(texts) {
            let closed = day(ticket.closed);
            if self.days.last().is_none_or(|(last, _)| *last != closed) {
                self.days.push((closed, Sha256::new()));
            }
            self.hash.update(text);
            self.hash.update(b"\n");
            if let Some(at) = ticket.reopened {
                self.back.push((day(at), format!("{} {at}", ticket.id)));
            }
            if let Some((_, day)) = self.days.last_mut() {
                day.clone_from(&self.hash);
            }
        }
    }

    /// The fit point of all cases, of which these are the closing times, in any order; none where they
    /// are too few.
    pub(super) fn point(&self, mut closed: Vec<Timestamp>) -> Option<FitPoint> {
        let last = fit_point(closed.len())?;
        let until = day(*closed.select_nth_unstable(last - 1).1);
        let known = self.days.iter().rev().find(|(day, _)| *day <= until);
        let mut hash = known.map(|(_, hash)| hash.clone()).unwrap_or_default();
        for (_, ticket) in self.back.iter().filter(|(day, _)| *day <= until) {
            hash.update(ticket);
            hash.update(b"\n");
        }
        Some(FitPoint {
            cases: last,
            day: until,
            key: hex(&hash.finalize()),
        })
    }
}

/// What is kept.
#[derive(Default)]
pub(super) struct Kept {
    /// What was learned at the fit point asked for, from the same tickets and articles.
    pub(super) fresh: Option<Model>,
    /// Else what was learned last, of the days up to "now".
    pub(super) older: Option<Model>,
    /// A file was damaged.
    pub(super) damaged: bool,
}

/// Looks for what was learned at a fit point under this key, or last of what was known on `as_of`.
pub(super) fn find(state: &Path, point: &FitPoint, key: &str, as_of: Date) -> Kept {
    let mut kept = Kept::default();
    let mut days = days(state);
    days.retain(|day| *day <= as_of);
    if days.contains(&point.day) {
        match derived::read_any(&path(state, point.day)) {
            Ok((found, model)) if found == key => {
                kept.fresh = Some(model);
                return kept;
            }
            Err(Unused::Damaged) => kept.damaged = true,
            _ => {}
        }
    }
    for day in days.into_iter().rev() {
        match derived::read_any(&path(state, day)) {
            Ok((_, model)) => {
                kept.older = Some(model);
                return kept;
            }
            Err(Unused::Damaged) => kept.damaged = true,
            Err(_) => {}
        }
    }
    kept
}

fn path(state: &Path, day: Date) -> PathBuf {
    state.join(format!("{PREFIX}{day}"))
}

/// The days of which something was learned, ascending.
fn days(state: &Path) -> Vec<Date> {
    let entries = std::fs::read_dir(state).into_iter().flatten().flatten();
    let mut days: Vec<Date> = entries
        .filter_map(|entry| {
            let name = entry.file_name().into_string().ok()?;
            name.strip_prefix(PREFIX)?.parse().ok()
        })
        .collect();
    days.sort_unstable();
    days
}

/// Removes what was written longest ago where there are too many. One that cannot be removed now is
/// removed after the next learning.
fn remove_old(state: &Path) {
    let mut days = days(state);
    days.pop();
    let written = |day: &Date| {
        let about = std::fs::metadata(path(state, *day));
        about.and_then(|about| about.modified()).ok()
    };
    days.sort_by_cached_key(|day| std::cmp::Reverse((written(day), *day)));
    for day in days.into_iter().skip(KEPT - 1) {
        let _ = std::fs::remove_file(path(state, day));
    }
}

/// The key of what is learned at a fit point from articles with this digest.
pub(super) fn key(digest: &str, point: &FitPoint) -> String {
    format!("{} {digest} {}", env!("CARGO_PKG_VERSION"), point.key)
}

/// Learns and keeps. `flow` gives the cases up to the fit point's day. Only what people recorded or
/// confirmed teaches; nothing that was read of words.
///
/// # Errors
/// Where the ledger cannot be read or the state folder cannot be written.
pub(super) fn learn(
    state: &Path,
    key: &str,
    flow: &Flow<'_>,
    point: &FitPoint,
    field: Field<'_>,
    session: &Session,
) -> Result<Model, Failure> {
    let step = session.steps("Learning from the tickets", STEPS);
    let cases = flow.newest(most_known(field.layout), &|_| false)?;
    let model = learn_model(&cases, field, point.day, &|| step.advance());
    let path = path(state, point.day);
    derived::write(&path, key, &model).map_err(|e| Failure::file("write", &path, &e))?;
    remove_old(state);
    step.finish();
    Ok(model)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_day_stays_and_of_the_others_what_was_written_last() {
        let folder = tempfile::tempdir().unwrap();
        let state = folder.path();
        let day = |number: i8| jiff::civil::date(2026, 1, number);
        for number in 1..=20 {
            // The newest day was written first, then the others from the newest to the oldest.
            let file = std::fs::File::create(path(state, day(21 - number))).unwrap();
            let time = std::time::UNIX_EPOCH + std::time::Duration::from_secs(number as u64);
            file.set_modified(time).unwrap();
        }
        std::fs::write(state.join("model-notes"), "not ours").unwrap();
        remove_old(state);
        let mut expected: Vec<Date> = (1..=7).map(day).collect();
        expected.push(day(20));
        assert_eq!(days(state), expected);
        assert!(state.join("model-notes").exists());
    }
}
