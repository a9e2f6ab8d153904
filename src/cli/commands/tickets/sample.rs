//! A sample of the tickets of an export, without personal data and without a ledger.

use super::import;
use super::input::{self, Clean, Ending};
use super::maps::Maps;
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

/// Tickets of all parts of a file; memory does not grow with it. Rows that are none are left out.
pub(crate) fn sample(
    file: &Path,
    map: Option<Map>,
    scrubber: &Scrubber,
) -> Result<Vec<Ticket>, Failure> {
    let maps = Maps::only(map);
    let opened = import::open(file, &maps, None, |_| ProgressBar::hidden())?;
    let (rows, _) = input::rows(file, opened.form, opened.map, opened.text)
        .map_err(|e| import::unreadable(file, &e))?;
    let mut kept = Vec::new();
    let mut step = 1;
    for (at, row) in rows.enumerate() {
        if at % step != 0 {
            continue;
        }
        match input::clean(scrubber, row) {
            Clean::Ticket(ticket, _) => kept.push(*ticket),
            Clean::Rejected(_) => {}
            Clean::Broken(error) => return Err(import::unreadable(file, &error)),
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
    Ok(kept)
}
