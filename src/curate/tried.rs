//! Every fix that was tried, with what had failed before it in the same case.
//!
//! What came of a try is what the case says, after the hold rule; the order is that in which people
//! wrote the tries down, or told them in their notes. That last order is a guess, and notes leave things
//! out, so [`super::drift`] compares tries that were read with others that were read alone.

use crate::articles::firmware::Version;
use crate::base::ids::{FixId, TicketId};
use crate::evidence::cases::day;
use crate::evidence::{Case, End};
use jiff::civil::Date;
use rustc_hash::FxHashMap;

/// One fix tried in one case.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried<'a> {
    /// Whether it ended the case, and held.
    pub worked: bool,
    /// The listed fixes that had failed before it, sorted.
    pub before: Box<[&'a FixId]>,
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

impl<'a> Tried<'a> {
    /// The fix that was tried in this place of its case.
    fn of(case: &'a Case, place: usize) -> Self {
        let mut before: Box<[&FixId]> = case.order[..place].iter().collect();
        before.sort_unstable();
        Self {
            worked: matches!(&case.end, End::Fix(by) if *by == case.order[place]),
            before,
            read: !case.read.is_empty(),
            device: case.device.as_deref(),
            firmware: case.firmware.as_deref(),
            version: case.firmware.as_deref().and_then(Version::read),
            day: day(case.closed),
            case: &case.id,
        }
    }
}

/// Where each fix was tried: all tries of a million cases at once would take more room than the cases.
#[derive(Debug)]
pub struct Tries<'a> {
    cases: &'a [Case],
    /// By fix: the case and the place in its order.
    places: Vec<(&'a FixId, Vec<(u32, u8)>)>,
}

impl<'a> Tries<'a> {
    /// Finds them. In one case no more than 255 fixes count.
    #[must_use]
    pub fn of(cases: &'a [Case]) -> Self {
        let mut found: FxHashMap<&FixId, Vec<(u32, u8)>> = FxHashMap::default();
        // Cases are far fewer than 2³².
        for (at, case) in (0..=u32::MAX).zip(cases) {
            for (place, fix) in (0..=u8::MAX).zip(&*case.order) {
                found.entry(fix).or_default().push((at, place));
            }
        }
        let mut places: Vec<_> = found.into_iter().collect();
        places.sort_unstable_by_key(|(fix, _)| *fix);
        Self { cases, places }
    }

    /// Every fix that was tried, in order, with its tries in order of closing.
    pub fn by_fix(&self) -> impl Iterator<Item = (&'a FixId, Vec<Tried<'a>>)> {
        self.places
            .iter()
            .map(|(fix, places)| (*fix, self.at(places)))
    }

    /// The tries of one fix.
    #[must_use]
    pub fn of_fix(&self, fix: &FixId) -> Vec<Tried<'a>> {
        let found = self.places.binary_search_by_key(&fix, |(fix, _)| *fix);
        found.map_or_else(|_| Vec::new(), |at| self.at(&self.places[at].1))
    }

    fn at(&self, places: &[(u32, u8)]) -> Vec<Tried<'a>> {
        let tried = |(at, place): &(u32, u8)| {
            let case = &self.cases[*at as usize];
            Tried::of(case, usize::from(*place))
        };
        places.iter().map(tried).collect()
    }
}
