//! A sample of the tickets of an export, without personal data and without a ledger.

use super::input::{self, Clean, Ending};
use super::maps::Maps;
use super::opened;
use crate::base::problem::Problem;
use crate::cli::Failure;
use crate::tickets::map::Map;
use crate::tickets::{Scrubber, Ticket};
use indicatif::ProgressBar;
use std::path::Path;

/// Between half and all of so many tickets are kept, spread evenly over the file.
const MOST: usize = 12_000;

/// Whether a file is a table, which needs a map, by the ending of its name.
pub(crate) fn is_table(file: &Path) -> bool {
    input::ending_of(file) != Some(Ending::Json)
}

/// Tickets of all parts of a file, and what the rows are that were looked at.
#[derive(Debug, Default)]
pub(crate) struct Sample {
    pub(crate) tickets: Vec<Ticket>,
    /// How many rows were looked at.
    pub(crate) read: u64,
    /// How many of them are no tickets.
    pub(crate) rejected: u64,
    /// The first of these.
    pub(crate) first: Option<Problem>,
}

/// Tickets of all parts of a file; memory does not grow with it. `zone` is that of times that name none
/// in a file without a map.
pub(crate) fn sample(
    file: &Path,
    map: Option<Map>,
    zone: &str,
    scrubber: &Scrubber,
) -> Result<Sample, Failure> {
    let maps = Maps::only(map, zone);
    let opened = opened::open(file, &maps, None, |_| ProgressBar::hidden())?;
    let (rows, _) = input::rows(file, opened.form, opened.map, opened.times, opened.text)
        .map_err(|e| opened::unreadable(file, &e))?;
    let mut sample = Sample::default();
    let mut step = 1;
    for (at, row) in rows.enumerate() {
        if at % step != 0 {
            continue;
        }
        sample.read += 1;
        let kept = &mut sample.tickets;
        match input::clean(scrubber, row) {
            Clean::Ticket(ticket, _) => kept.push(*ticket),
            Clean::Rejected(reject) => {
                sample.rejected += 1;
                sample.first.get_or_insert(reject.problem);
            }
            Clean::Broken(error) => return Err(opened::unreadable(file, &error)),
        }
        if kept.len() == MOST {
            step *= 2;
            let mut keep = false;
            kept.retain(|_| {
                keep = !keep;
                keep
            });
        }
    }
    Ok(sample)
}
