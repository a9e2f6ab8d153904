//! Every fix that was tried, with what had failed before it in the same case.
//!
//! What came of a try is what the case says, after the hold rule; the order is that in which people
//! wrote the tries down, or told them in their notes. That last order is a guess, and notes leave things
//! out, so [`super::drift`] compares tries that were read with others that were read alone.

use super::Material;
use crate::articles::firmware::Version;
use crate::base::ids::{FixId, TicketId};
use crate::evidence::End;
use crate::evidence::cases::day;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// One fix tried in one case.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried<'a> {
    /// Whether it ended the case, and held.
    pub worked: bool,
    /// The listed fixes that had failed before it, sorted.
    pub before: Box<[FixId]>,
    /// Whether tries of its case were read from notes.
    pub read: bool,
    /// The device.
    pub device: Option<&'a str>,
    /// Its firmware, as stated.
    pub firmware: Option<&'a str>,
    /// The same as numbers.
    pub version: Option<Version>,
    /// The day the case was closed.
    pub day: Date,
    /// The case.
    pub case: &'a TicketId,
}

/// All tries by fix, each in order of closing.
#[must_use]
pub fn by_fix<'a>(from: &Material<'a>) -> BTreeMap<FixId, Vec<Tried<'a>>> {
    let mut all: BTreeMap<FixId, Vec<Tried<'a>>> = BTreeMap::new();
    for case in from.cases {
        let version = case.firmware.as_deref().and_then(Version::read);
        for (at, fix) in case.order.iter().enumerate() {
            let mut before: Box<[FixId]> = case.order[..at].into();
            before.sort_unstable();
            all.entry(fix.clone()).or_default().push(Tried {
                worked: matches!(&case.end, End::Fix(by) if by == fix),
                before,
                read: !case.read.is_empty(),
                device: case.device.as_deref(),
                firmware: case.firmware.as_deref(),
                version: version.clone(),
                day: day(case.closed),
                case: &case.id,
            });
        }
    }
    all
}
