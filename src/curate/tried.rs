//! Every fix that was tried, with what had failed before it in the same case.
//!
//! What came of a try is what the case says, after the hold rule; the order is that in which people
//! wrote the tries down, or told them in their notes. That last order is a guess, and notes leave things
//! out, so [`super::drift`] compares tries that were read with others that were read alone.

use super::Material;
use crate::articles::firmware::Version;
use crate::base::ids::{FixId, TicketId};
use crate::evidence::cases::day;
use crate::evidence::{Case, End, Reading};
use crate::tickets::record::UNLISTED;
use crate::tickets::{Ticket, TryResult};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// One fix tried in one case.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried<'a> {
    /// Whether it ended the case, and held.
    pub worked: bool,
    /// The listed fixes that had failed before it.
    pub before: BTreeSet<FixId>,
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
    let tickets: HashMap<&TicketId, &Ticket> = from.tickets.iter().map(|t| (&t.id, t)).collect();
    let mut all: BTreeMap<FixId, Vec<Tried<'a>>> = BTreeMap::new();
    for case in from.cases {
        let version = case.firmware.as_deref().and_then(Version::read);
        let mut before = BTreeSet::new();
        for fix in order(case, &tickets, from) {
            let worked = matches!(&case.end, End::Fix(by) if *by == fix);
            if worked || case.failed.contains(&fix) {
                all.entry(fix.clone()).or_default().push(Tried {
                    worked,
                    before: before.clone(),
                    read: !case.read.is_empty(),
                    device: case.device.as_deref(),
                    firmware: case.firmware.as_deref(),
                    version: version.clone(),
                    day: day(case.closed),
                    case: &case.id,
                });
                before.insert(fix);
            }
        }
    }
    all
}

/// The listed fixes of a case in the order they were tried in, each once.
fn order(case: &Case, tickets: &HashMap<&TicketId, &Ticket>, from: &Material<'_>) -> Vec<FixId> {
    let mut order = Vec::new();
    let mut next = |fix: Option<FixId>| {
        if let Some(fix) = fix.filter(|fix| !order.contains(fix)) {
            order.push(fix);
        }
    };
    for ticket in case.tickets.iter().filter_map(|id| tickets.get(id)) {
        let own = ticket.article.as_ref().filter(|a| a.as_str() != UNLISTED);
        for tried in &ticket.tries {
            if tried.result != TryResult::NotPossible {
                let of = own.or(case.article.as_ref());
                next(from.catalog.resolve_fix(of, tried.fix.trim()));
            }
        }
        let reading = from.readings.get(&ticket.id);
        let reading = reading.filter(|_| ticket.tries.is_empty());
        for read in reading.into_iter().flat_map(Reading::sure_tries) {
            if read.result != TryResult::NotPossible {
                next(from.catalog.resolve_fix(None, read.fix.as_str()));
            }
        }
    }
    order
}
