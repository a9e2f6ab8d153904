//! Tickets to cases: chains joined, names brought up to date, one end for each.
//!
//! A case is what the statistics count. [`super::chain`] says which tickets belong together,
//! [`super::ends`] how a chain ended; here both become one value per case.

use super::hold::Hold;
use super::names::Names;
use super::{chain, ends};
use crate::articles::Catalog;
use crate::articles::settings::Model;
use crate::base::ids::{ArticleId, CheckId, FixId, TicketId};
use crate::notes::ARTICLE_BAR;
pub use crate::notes::{ReadTry, Reading};
use crate::tickets::record::UNLISTED;
use crate::tickets::{RawTicket, Ticket};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// Chains read at least with one cache of names.
const CHUNK: usize = 4096;

/// One case: a ticket, or a chain of tickets that continue each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// The last ticket of the chain.
    pub id: TicketId,
    /// All its tickets, in order.
    pub tickets: Vec<TicketId>,
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
    /// The device, as last stated.
    pub device: Option<String>,
    /// The firmware, as first stated: an update may be among what was tried.
    pub firmware: Option<String>,
    /// Codes shown, each once, in order.
    pub codes: Vec<String>,
    /// Indicators and states, as last stated.
    pub signs: BTreeMap<String, String>,
    /// Checks and answers by today's id, as last stated; checks no longer listed are left out.
    pub seen: BTreeMap<CheckId, String>,
    /// The words for text statistics: what callers said, else the notes.
    pub said: String,
    /// How it ended, after the hold rule.
    pub end: End,
    /// `N`: listed fixes that made no change; never holds the one that resolved it.
    pub failed: BTreeSet<FixId>,
    /// Fixes of `end` and `failed` that were read from notes.
    pub read: BTreeSet<FixId>,
    /// `h`: the chance that the resolve holds; 1 where nothing was resolved.
    pub held: f64,
    /// Minutes recorded for listed fixes, in order.
    pub minutes: Vec<(FixId, f64)>,
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
        let (used, later): (Vec<&RawTicket>, Vec<&RawTicket>) = tickets
            .into_iter()
            .map(|ticket| &**ticket)
            .partition(|ticket| day(ticket.closed) <= as_of);
        let chains = chain::chains(&used);
        let hold = ends::hold(&chains, model.hold_days, as_of);
        let context = Context {
            readings,
            catalog,
            hold: &hold,
            as_of,
        };
        let (mut list, mut extras) = (Vec::new(), Vec::new());
        chains
            .par_iter()
            .with_min_len(CHUNK)
            .map_init(
                || Names::new(catalog),
                |names, chain| context.case(chain, names),
            )
            .unzip_into_vecs(&mut list, &mut extras);
        drop(chains);
        let mut cases = Self {
            tickets: used.len() as u64,
            ignored_later: later.len() as u64,
            to: used.iter().map(|ticket| ticket.closed).max().map(day),
            ..Self::default()
        };
        cases.list = list;
        cases.collect(extras);
        cases.count_gone(&used, catalog);
        cases.hold = hold;
        cases
    }

    fn collect(&mut self, extras: Vec<Option<Box<Extra>>>) {
        let mut orphans: BTreeMap<String, (u64, u64)> = BTreeMap::new();
        for extra in extras.into_iter().flatten() {
            for (name, resolved) in extra.gone {
                let count = orphans.entry(name).or_default();
                count.0 += u64::from(resolved);
                count.1 += 1;
            }
            self.moved.extend(extra.moved);
        }
        self.list
            .par_sort_unstable_by(|a, b| (a.closed, &a.id).cmp(&(b.closed, &b.id)));
        self.moved.sort_by(|a, b| a.case.cmp(&b.case));
        self.orphans = orphans
            .into_iter()
            .map(|(fix, (resolved, tries))| Orphan {
                fix,
                resolved,
                tries,
            })
            .collect();
    }

    fn count_gone(&mut self, used: &[&RawTicket], catalog: &Catalog) {
        for id in used.iter().filter_map(|t| t.article.as_ref()) {
            if id.as_str() != UNLISTED && catalog.article(id).is_none() {
                *self.gone_articles.entry(id.clone()).or_default() += 1;
            }
        }
    }
}

struct Context<'a> {
    readings: &'a BTreeMap<TicketId, Reading>,
    catalog: &'a Catalog,
    hold: &'a Hold,
    as_of: Date,
}

/// What few chains have beside their case.
struct Extra {
    moved: Option<Moved>,
    gone: Vec<(String, bool)>,
}

impl Context<'_> {
    fn case(&self, tickets: &[&RawTicket], names: &mut Names<'_>) -> (Case, Option<Box<Extra>>) {
        // A chain is never empty: `chains` makes one for each ticket or group of tickets.
        let last = tickets[tickets.len() - 1];
        let recorded = tickets.iter().rev().find_map(|t| t.article.as_ref());
        let unlisted = recorded.is_some_and(|id| id.as_str() == UNLISTED);
        let named = recorded
            .and_then(|id| self.catalog.article(id))
            .map(|article| article.id.clone());
        let read = if recorded.is_none() {
            self.read_article(tickets)
        } else {
            None
        };
        let short_of = recorded.filter(|_| !unlisted).or(read.as_ref());
        let ended = ends::end(
            tickets,
            short_of,
            self.readings,
            names,
            self.hold.days,
            self.as_of,
        );
        let age_days = days_between(day(last.closed), self.as_of);
        let mut case = Case {
            id: last.id.clone(),
            tickets: tickets.iter().map(|t| t.id.clone()).collect(),
            inferred: read.is_some(),
            article: named.or(read),
            unlisted,
            closed: last.closed,
            age_days,
            device: tickets.iter().rev().find_map(|t| t.device.clone()),
            firmware: tickets.iter().find_map(|t| t.firmware.clone()),
            codes: chain::codes(tickets),
            signs: tickets.iter().flat_map(|t| t.signs.clone()).collect(),
            seen: BTreeMap::new(),
            said: chain::words(tickets),
            held: match ended.end {
                End::Fix(_) | End::Other => self.hold.chance(age_days),
                End::Unresolved | End::Unknown => 1.0,
            },
            end: ended.end,
            failed: ended.failed,
            read: ended.read,
            minutes: ended.minutes,
        };
        let moved = self.follow_fix(&mut case, recorded);
        case.seen = self.seen(tickets, case.article.as_ref());
        let gone = ended.gone;
        let extra = (moved.is_some() || !gone.is_empty()).then(|| Box::new(Extra { moved, gone }));
        (case, extra)
    }

    fn read_article(&self, tickets: &[&RawTicket]) -> Option<ArticleId> {
        let (id, _) = tickets
            .iter()
            .filter_map(|t| self.readings.get(&t.id)?.article.as_ref())
            .rfind(|(_, chance)| *chance >= ARTICLE_BAR)?;
        Some(self.catalog.article(id)?.id.clone())
    }

    /// A resolving fix of another article moves the case to the article where it is written.
    fn follow_fix(&self, case: &mut Case, recorded: Option<&ArticleId>) -> Option<Moved> {
        let End::Fix(fix) = &case.end else {
            return None;
        };
        let offers = self.catalog.articles_of.get(fix)?;
        if case.article.as_ref().is_some_and(|a| offers.contains(a)) {
            return None;
        }
        let to = fix.article();
        case.article = Some(to.clone());
        case.unlisted = false;
        case.inferred = false;
        Some(Moved {
            case: case.id.clone(),
            from: recorded?.clone(),
            to,
            fix: fix.clone(),
        })
    }

    fn seen(
        &self,
        tickets: &[&RawTicket],
        article: Option<&ArticleId>,
    ) -> BTreeMap<CheckId, String> {
        let mut seen = BTreeMap::new();
        for ticket in tickets {
            let own = ticket.article.as_ref().or(article);
            for (name, answer) in &ticket.seen {
                let full = || {
                    let id = CheckId::of(own?, name);
                    self.catalog.resolve_check(None, id.as_str())
                };
                let found = self
                    .catalog
                    .resolve_check(own, name)
                    .or_else(full)
                    .or_else(|| self.catalog.resolve_check(article, name));
                if let Some(check) = found {
                    seen.insert(check, answer.trim().to_owned());
                }
            }
        }
        seen
    }
}
