//! Ids that stood in an earlier row of the same table.
//!
//! One ticket has one row. Of two that differ nobody knows which is right, and the later one would
//! take the place of the earlier without a word.

use crate::tickets::fields::{Fault, cut};
use csv::ByteRecord;
use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher as _};

/// The rows so far: a digest of the id, the line, the start of a digest of the row. So many bytes are kept
/// for each row and no more, for a file may have millions.
#[derive(Default)]
pub(super) struct Seen(HashMap<u64, (u32, u32)>);

impl Seen {
    /// Takes a row. One whose id stood in an earlier row is fine where it says the same.
    pub(super) fn once(&mut self, id: &str, line: usize, cells: &ByteRecord) -> Result<(), Fault> {
        let row = u32::try_from(digest(cells.as_slice()) >> 32).unwrap_or_default();
        let here = (u32::try_from(line).unwrap_or(u32::MAX), row);
        let (line, earlier) = *self.0.entry(digest(id)).or_insert(here);
        if earlier == row {
            return Ok(());
        }
        let message = format!(
            "the id `{}` stands in line {line} already, with other content",
            cut(id)
        );
        let help = "one ticket has one row: leave one of the two out, or give it an id of its own";
        Err(Fault::new("doubled-id", "", message).help(Some(help.to_owned())))
    }
}

fn digest<T: Hash + ?Sized>(value: &T) -> u64 {
    let mut hasher = DefaultHasher::new();
    value.hash(&mut hasher);
    hasher.finish()
}
