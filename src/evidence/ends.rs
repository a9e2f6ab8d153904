//! How a chain of tickets ended, and what had failed before: the rules for odd tickets.
//!
//! - Tries of the whole chain are united; the last stated result rules.
//! - Several resolving tries: the last one ended it, earlier ones made no change. Where they were only read
//!   from notes, the surest one did, the last of equals, and of the others nothing is said: they are other
//!   ways to read the same words.
//! - A resolving try beats the outcome. Resolved with tries, none of which resolved: something
//!   that is not listed; where the tries were only read from notes, which may have left out what
//!   resolved it, that it was none of these. Resolved without tries, or no outcome at all: only the
//!   words count.
//! - `not-possible` says nothing. A fix no longer listed counts as not listed, and is reported.
//! - A case that came back within the hold days was not fixed.

use super::cases::{End, Reading, day, days_between};
use super::chain::came_back;
use super::making::Read;
use super::names::Names;
use crate::base::ids::{ArticleId, FixId};
use crate::tickets::record::{OTHER, UNLISTED};
use crate::tickets::{Outcome, RawTicket, TryResult};
use jiff::civil::Date;
use std::collections::BTreeSet;

/// What a chain says about fixes.
#[derive(Debug)]
pub(super) struct Ended {
    pub(super) end: End,
    pub(super) failed: BTreeSet<FixId>,
    pub(super) read: BTreeSet<FixId>,
    pub(super) minutes: Vec<(FixId, f64)>,
    /// Fixes no longer listed, and whether they resolved.
    pub(super) gone: Vec<(String, bool)>,
}

/// A try with a clear result: resolved or no change.
struct Clear {
    /// Which fix; none for anything that is not listed.
    fix: Option<FixId>,
    resolved: bool,
    /// Its ticket's place in the chain.
    ticket: usize,
    /// Read from notes, which may have left out, or hidden from the reader, what else was tried.
    read: bool,
    /// How sure it is that it was tried; 1 where it was recorded.
    chance: f64,
}

/// For each ticket that ended resolved, the days until it came back, or until `as_of` where it did
/// not, and which of the two.
pub(super) fn watched(chains: &[Vec<&RawTicket>], as_of: Date) -> Vec<(f64, bool)> {
    let mut watched = Vec::new();
    for chain in chains {
        for (at, ticket) in chain.iter().enumerate() {
            if states(ticket) == Some(true) {
                let back = reopened(ticket, as_of).or_else(|| came_back(ticket, &chain[at + 1..]));
                let age = days_between(day(ticket.closed), as_of);
                watched.push((back.unwrap_or(age), back.is_some()));
            }
        }
    }
    watched
}

/// What a ticket states about its end: resolved or not, or nothing.
fn states(ticket: &RawTicket) -> Option<bool> {
    if ticket.tries.iter().any(|t| t.result == TryResult::Resolved) {
        return Some(true);
    }
    ticket.outcome.map(|outcome| outcome == Outcome::Resolved)
}

fn reopened(ticket: &RawTicket, as_of: Date) -> Option<f64> {
    let back = ticket.reopened.filter(|at| day(*at) <= as_of)?;
    Some(days_between(day(ticket.closed), day(back)).max(0.0))
}

/// Applies the rules. `short_of` is the article of short fix ids where a ticket records none.
pub(super) fn end(
    tickets: &[&RawTicket],
    short_of: Option<&ArticleId>,
    readings: &Read<'_>,
    names: &mut Names<'_>,
    (hold_days, as_of): (f64, Date),
) -> Ended {
    let mut ended = Ended {
        end: End::Unknown,
        failed: BTreeSet::new(),
        read: BTreeSet::new(),
        minutes: Vec::new(),
        gone: Vec::new(),
    };
    let mut tries = Vec::new();
    for (at, ticket) in tickets.iter().enumerate() {
        let own = ticket.article.as_ref().filter(|a| a.as_str() != UNLISTED);
        ended.record(ticket, at, own.or(short_of), names, &mut tries);
        if ticket.tries.is_empty() {
            ended.reading(readings(ticket).as_ref(), at, names, &mut tries);
        }
    }
    let by = resolved_by(tickets, &tries, hold_days, as_of);
    let by_ticket = match by {
        Result::By(at) => Some(tries[at].ticket),
        _ => None,
    };
    for (at, clear) in tries.iter().enumerate() {
        let other_reading = clear.read && clear.resolved && by_ticket == Some(clear.ticket);
        let failed = by != Result::By(at) && !other_reading;
        if let Some(fix) = clear.fix.as_ref().filter(|_| failed) {
            ended.failed.insert(fix.clone());
        }
    }
    ended.minutes.shrink_to_fit();
    ended.end = match by {
        Result::By(at) => tries[at].fix.clone().map_or(End::Other, End::Fix),
        Result::Unlisted => End::Other,
        Result::Unresolved => End::Unresolved,
        Result::Unknown => End::Unknown,
    };
    if let End::Fix(fix) = &ended.end {
        ended.failed.remove(fix);
    }
    ended
}

impl Ended {
    fn record(
        &mut self,
        ticket: &RawTicket,
        at: usize,
        article: Option<&ArticleId>,
        names: &mut Names<'_>,
        tries: &mut Vec<Clear>,
    ) {
        for tried in &ticket.tries {
            let resolved = match tried.result {
                TryResult::Resolved => true,
                TryResult::NoChange => false,
                TryResult::NotPossible => continue,
            };
            let fix = names.listed(article, tried.fix.trim());
            match (&fix, tried.minutes) {
                (Some(fix), Some(minutes)) if minutes > 0.0 && minutes.is_finite() => {
                    self.minutes.push((fix.clone(), minutes));
                }
                (None, _) if tried.fix.trim() != OTHER => {
                    self.gone
                        .push((full_name(article, tried.fix.trim()), resolved));
                }
                _ => {}
            }
            tries.push(Clear {
                fix,
                resolved,
                ticket: at,
                read: false,
                chance: 1.0,
            });
        }
    }

    fn reading(
        &mut self,
        reading: Option<&Reading>,
        at: usize,
        names: &mut Names<'_>,
        tries: &mut Vec<Clear>,
    ) {
        for read in reading.into_iter().flat_map(Reading::sure_tries) {
            let resolved = match read.result {
                TryResult::NotPossible => continue,
                result => result == TryResult::Resolved,
            };
            let fix = names.listed(None, read.fix.as_str());
            match &fix {
                Some(fix) => {
                    self.read.insert(fix.clone());
                }
                // The articles changed since the notes were read.
                None if read.fix.as_str() != OTHER => continue,
                None => {}
            }
            tries.push(Clear {
                fix,
                resolved,
                ticket: at,
                read: true,
                chance: read.chance,
            });
        }
    }
}

fn full_name(article: Option<&ArticleId>, name: &str) -> String {
    match article {
        Some(article) if !name.contains('#') => format!("{article}#{name}"),
        _ => name.to_owned(),
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Result {
    /// The try at this place ended it.
    By(usize),
    Unlisted,
    Unresolved,
    Unknown,
}

fn resolved_by(tickets: &[&RawTicket], tries: &[Clear], hold_days: f64, as_of: Date) -> Result {
    let by_try = |at: usize| {
        let here = tries.iter().enumerate();
        let resolved = here.filter(|(_, t)| t.ticket == at && t.resolved);
        let best = resolved.max_by(|(_, a), (_, b)| a.chance.total_cmp(&b.chance));
        best.map(|(place, _)| place)
    };
    let stated = (0..tickets.len())
        .rev()
        .find_map(|at| match (by_try(at), states(tickets[at])) {
            (Some(_), _) => Some((at, true)),
            (None, stated) => Some((at, stated?)),
        });
    let Some((at, resolved)) = stated else {
        return Result::Unknown;
    };
    if !resolved {
        return Result::Unresolved;
    }
    let back = |at: usize| {
        reopened(tickets[at], as_of)
            .or_else(|| came_back(tickets[at], &tickets[at + 1..]))
            .is_some_and(|days| days <= hold_days)
    };
    let tried_here = tries.iter().any(|t| t.ticket == at);
    let result = match by_try(at) {
        Some(by) => Result::By(by),
        // A later call that only says "still fine" leaves the earlier try as what ended it,
        // unless the case had come back in between.
        None if !tried_here => match tries.iter().rposition(|t| t.resolved) {
            Some(by) if !back(tries[by].ticket) => Result::By(by),
            _ if tries.is_empty() => Result::Unknown,
            _ => Result::Unlisted,
        },
        // Whatever ended it, it was none of these.
        None if tries.iter().all(|t| t.ticket != at || t.read) => Result::Unresolved,
        None => Result::Unlisted,
    };
    if result != Result::Unknown && back(at) {
        return Result::Unresolved;
    }
    result
}
