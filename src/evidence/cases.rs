//! Tickets to cases: chains joined, names brought up to date, one end for each.
//!
//! A case is what the statistics count. [`super::chain`] says which tickets belong together,
//! [`super::ends`] how a chain ended; [`super::making`] makes one value per case of both. A million of
//! them lie in memory at once for the reports: what is few in each is a boxed slice, not a tree.

use super::chain;
use super::hold::Hold;
use super::making::{Extra, Extras, Made, Making, Totals};
use crate::articles::Catalog;
use crate::articles::settings::Model;
use crate::base::ids::{ArticleId, CheckId, FixId, TicketId};
pub use crate::notes::{ReadTry, Reading};
use crate::tickets::{Outcome, RawTicket, Ticket};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, HashSet};
use std::sync::Arc;

/// One case: a ticket, or a chain of tickets that continue each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// The last ticket of the chain.
    pub id: TicketId,
    /// The tickets before it, in order; mostly none.
    pub earlier: Box<[TicketId]>,
    /// The article it belongs to, by today's id; none where none is known or served.
    pub article: Option<ArticleId>,
    /// A person found no article that covers it.
    pub unlisted: bool,
    /// The article was read from the words and not recorded by a person.
    pub inferred: bool,
    /// When the last ticket was closed.
    pub closed: Timestamp,
    /// Whole days from the closing date to `as_of`.
    pub age_days: f64,
    /// When its first ticket was opened.
    pub opened: Option<Timestamp>,
    /// What its last ticket says of the end.
    pub outcome: Option<Outcome>,
    /// The device, as last stated.
    pub device: Option<Arc<str>>,
    /// The firmware, as first stated: an update may be among what was tried.
    pub firmware: Option<Arc<str>>,
    /// Codes shown, each once, in order.
    pub codes: Vec<String>,
    /// Indicators and states, as last stated, by name.
    pub signs: Box<[(String, String)]>,
    /// Checks and answers by today's id, as last stated; checks no longer listed are left out.
    pub seen: Box<[(CheckId, Box<str>)]>,
    /// The words for text statistics: what callers said, else the notes.
    pub said: String,
    /// How it ended, after the hold rule.
    pub end: End,
    /// `N`: listed fixes that made no change, sorted; never holds the one that resolved it.
    pub failed: Box<[FixId]>,
    /// Fixes of `end` and `failed` that were read from notes, sorted.
    pub read: Box<[FixId]>,
    /// Fixes of `end` and `failed` in the order people wrote them down, or told them in notes.
    pub order: Box<[FixId]>,
    /// `h`: the chance that the resolve holds; 1 where nothing was resolved.
    pub held: f64,
    /// Minutes recorded for listed fixes, in order.
    pub minutes: Box<[(FixId, f64)]>,
    /// All minutes recorded, for whatever was tried.
    pub spent: f64,
}

impl Case {
    /// All its tickets, in order.
    pub fn tickets(&self) -> impl Iterator<Item = &TicketId> {
        self.earlier.iter().chain([&self.id])
    }

    /// The ticket it began with.
    #[must_use]
    pub fn first_ticket(&self) -> &TicketId {
        self.earlier.first().unwrap_or(&self.id)
    }

    /// Whether something ended it.
    #[must_use]
    pub fn is_resolved(&self) -> bool {
        matches!(self.end, End::Fix(_) | End::Other)
    }
}

/// How a case ended.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    /// A listed fix ended it.
    Fix(FixId),
    /// Something that is not listed ended it.
    Other,
    /// It was given up or came back.
    Unresolved,
    /// Nobody knows; only its words count.
    Unknown,
}

/// A fix that tickets name and no article lists.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Orphan {
    /// The fix, in full where its article is known.
    pub fix: String,
    /// Tries that resolved.
    pub resolved: u64,
    /// Tries that resolved or made no change.
    pub tries: u64,
}

/// A case whose resolving fix belongs to another article than the recorded one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Moved {
    /// The case.
    pub case: TicketId,
    /// The article recorded, or `unlisted`.
    pub from: ArticleId,
    /// The article of the fix.
    pub to: ArticleId,
    /// The fix.
    pub fix: FixId,
}

impl std::fmt::Display for Moved {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "Ticket {} was recorded under `{}`, but `{}` ended it: counted under `{}`.",
            self.case, self.from, self.fix, self.to
        )
    }
}

/// All cases as of one day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cases {
    /// In order of (closed, id).
    pub list: Vec<Case>,
    /// Tickets used.
    pub tickets: u64,
    /// Tickets closed after `as_of`, left out.
    pub ignored_later: u64,
    /// The newest closing day used.
    pub to: Option<Date>,
    /// Fixes no longer listed, by name.
    pub orphans: Vec<Orphan>,
    /// Articles that tickets name and that are not served, with how many tickets.
    pub gone_articles: BTreeMap<ArticleId, u64>,
    /// Cases moved by their resolving fix.
    pub moved: Vec<Moved>,
    /// How well resolves hold.
    pub hold: Hold,
    extras: Vec<Extra>,
}

/// The UTC date of an instant: the ledger counts in whole UTC days.
#[must_use]
pub fn day(at: Timestamp) -> Date {
    TimeZone::UTC.to_datetime(at).date()
}

/// Whole days from `from` to `to`.
#[must_use]
pub fn days_between(from: Date, to: Date) -> f64 {
    f64::from((to - from).get_days())
}

impl Cases {
    /// Reads tickets into cases. Tickets closed after `as_of` are counted and left out; what is
    /// not known yet on `as_of` (a later `reopened`) is not used either. `readings` adds what was
    /// inferred from words, by ticket.
    #[must_use]
    pub fn of<'a>(
        tickets: impl IntoIterator<Item = &'a Ticket>,
        readings: &BTreeMap<TicketId, Reading>,
        catalog: &Catalog,
        model: &Model,
        as_of: Date,
    ) -> Self {
        let read = |ticket: &RawTicket| readings.get(&ticket.id).cloned();
        let mut making = Making::new((catalog, model), &read, as_of, HashSet::new());
        let used = making.used(tickets);
        let mut cases = Self::default();
        cases.put(making.chains(&chain::chains(&used)));
        cases.settle(making.totals());
        cases
    }

    /// Takes cases up, in any order.
    pub fn put(&mut self, made: Vec<Made>) {
        let made = made.into_iter();
        self.list.extend(made.map(|made| {
            self.extras.extend(made.extra.map(|extra| *extra));
            made.case
        }));
    }

    /// Lets go the oldest, but for the newest so many, in whatever order they were taken up.
    pub fn keep_newest(&mut self, most: usize) {
        let older = self.list.len().saturating_sub(most);
        if older > 0 {
            self.put_in_order();
            self.list.drain(..older);
        }
    }

    fn put_in_order(&mut self) {
        self.list
            .par_sort_unstable_by(|a, b| (a.closed, &a.id).cmp(&(b.closed, &b.id)));
    }

    /// Puts in order what was taken up, once all of it is known.
    pub fn settle(&mut self, totals: Totals) {
        for case in self.list.iter_mut().filter(|case| case.is_resolved()) {
            case.held = totals.hold.chance(case.age_days);
        }
        self.put_in_order();
        let mut extras = Extras::default();
        for extra in std::mem::take(&mut self.extras) {
            extras.add(extra);
        }
        (self.orphans, self.moved) = extras.told();
        self.tickets = totals.tickets;
        self.ignored_later = totals.ignored_later;
        self.to = totals.to;
        self.gone_articles = totals.gone_articles;
        self.hold = totals.hold;
    }
}
