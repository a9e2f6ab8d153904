//! Tickets to cases, part by part: but for those that continue each other, a ticket is a case of its
//! own, and nothing of it needs to stay in memory once it was counted.

use super::cases::{Case, End, Moved, Orphan, Reading, day, days_between};
use super::hold::Hold;
use super::names::Names;
use super::{chain, ends};
use crate::articles::Catalog;
use crate::articles::settings::Model;
use crate::base::ids::{ArticleId, CheckId, FixId, TicketId};
use crate::notes::ARTICLE_BAR;
use crate::tickets::record::UNLISTED;
use crate::tickets::{RawTicket, Ticket, TryResult};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::{BTreeMap, HashSet};

/// Chains read at least with one cache of names.
const CHUNK: usize = 1024;

/// What was read of a ticket's words.
pub type Read<'a> = dyn Fn(&RawTicket) -> Option<Reading> + Sync + 'a;

/// Makes cases as of a day. Tickets closed later are counted and left out.
pub struct Making<'a> {
    catalog: &'a Catalog,
    readings: &'a Read<'a>,
    hold_days: f64,
    as_of: Date,
    /// Tickets that continue another one, and those that are continued.
    linked: HashSet<TicketId>,
    totals: Totals,
}

/// A case, its resolve taken to hold until all tickets are known.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    pub(super) case: Case,
    pub(super) extra: Option<Box<Extra>>,
}

/// What few cases have beside themselves.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Extra {
    moved: Option<Moved>,
    gone: Vec<(String, bool)>,
}

/// The same of all cases.
#[derive(Clone, Debug, Default)]
pub(super) struct Extras {
    orphans: BTreeMap<String, (u64, u64)>,
    moved: Vec<Moved>,
}

/// What all tickets together say.
#[derive(Clone, Debug, Default)]
pub struct Totals {
    pub(super) tickets: u64,
    pub(super) ignored_later: u64,
    pub(super) to: Option<Date>,
    pub(super) gone_articles: BTreeMap<ArticleId, u64>,
    /// How long resolves were watched, in days, and whether the case came back then.
    watched: Vec<(f64, bool)>,
    pub(super) hold: Hold,
}

impl Totals {
    /// With what further tickets say.
    pub fn join(&mut self, more: Self) {
        self.tickets += more.tickets;
        self.ignored_later += more.ignored_later;
        self.to = self.to.max(more.to);
        for (article, tickets) in more.gone_articles {
            *self.gone_articles.entry(article).or_default() += tickets;
        }
        self.watched.extend(more.watched);
        self.hold = Hold::new(self.hold.days, self.watched.clone());
    }
}

impl Extras {
    pub(super) fn add(&mut self, extra: Extra) {
        for (name, resolved) in extra.gone {
            let count = self.orphans.entry(name).or_default();
            count.0 += u64::from(resolved);
            count.1 += 1;
        }
        self.moved.extend(extra.moved);
    }

    /// In order.
    pub(super) fn told(mut self) -> (Vec<Orphan>, Vec<Moved>) {
        self.moved.sort_by(|a, b| a.case.cmp(&b.case));
        let orphan = |(fix, (resolved, tries))| Orphan {
            fix,
            resolved,
            tries,
        };
        (self.orphans.into_iter().map(orphan).collect(), self.moved)
    }
}

impl Made {
    /// The case; where something ended it, nothing is known yet of how well that holds.
    #[must_use]
    pub fn case(&self) -> &Case {
        &self.case
    }
}

impl<'a> Making<'a> {
    /// Begins. `linked` are the ids of all tickets that continue another one, and of all whose id or ref
    /// such a ticket names.
    #[must_use]
    pub fn new(
        (catalog, model): (&'a Catalog, &Model),
        readings: &'a Read<'a>,
        as_of: Date,
        linked: HashSet<TicketId>,
    ) -> Self {
        Self {
            catalog,
            readings,
            hold_days: model.hold_days,
            as_of,
            linked,
            totals: Totals::default(),
        }
    }

    /// The tickets closed up to the day, all of them counted.
    pub(super) fn used<'t>(
        &mut self,
        tickets: impl IntoIterator<Item = &'t Ticket>,
    ) -> Vec<&'t RawTicket> {
        let (used, later): (Vec<&RawTicket>, Vec<&RawTicket>) = tickets
            .into_iter()
            .map(|ticket| &**ticket)
            .partition(|ticket| day(ticket.closed) <= self.as_of);
        let totals = &mut self.totals;
        totals.tickets += used.len() as u64;
        totals.ignored_later += later.len() as u64;
        let newest = used.iter().map(|ticket| ticket.closed).max();
        totals.to = totals.to.max(newest.map(day));
        for id in used.iter().filter_map(|t| t.article.as_ref()) {
            if id.as_str() != UNLISTED && self.catalog.article(id).is_none() {
                *totals.gone_articles.entry(id.clone()).or_default() += 1;
            }
        }
        used
    }

    /// The cases of these tickets, but for the linked ones.
    #[must_use]
    pub fn part<'t>(&mut self, tickets: impl IntoIterator<Item = &'t Ticket>) -> Vec<Made> {
        let mut used = self.used(tickets);
        used.retain(|ticket| !self.linked.contains(&ticket.id));
        let alone: Vec<Vec<&RawTicket>> = used.into_iter().map(|ticket| vec![ticket]).collect();
        self.chains(&alone)
    }

    /// The cases of linked tickets that went through [`Self::part`] before; of what is connected all or
    /// none must be given.
    #[must_use]
    pub fn linked(&mut self, tickets: &[Ticket]) -> Vec<Made> {
        let tickets = tickets.iter().map(|ticket| &**ticket);
        let used: Vec<&RawTicket> = tickets
            .filter(|ticket| day(ticket.closed) <= self.as_of)
            .collect();
        self.chains(&chain::chains(&used))
    }

    /// What all tickets say.
    #[must_use]
    pub fn totals(self) -> Totals {
        Totals {
            hold: Hold::new(self.hold_days, self.totals.watched.clone()),
            ..self.totals
        }
    }

    pub(super) fn chains(&mut self, chains: &[Vec<&RawTicket>]) -> Vec<Made> {
        let watched = ends::watched(chains, self.as_of);
        self.totals.watched.extend(watched);
        let making = &*self;
        chains
            .par_iter()
            .with_min_len(CHUNK)
            .map_init(
                || Names::new(making.catalog),
                |names, chain| making.case(chain, names),
            )
            .collect()
    }

    fn case(&self, tickets: &[&RawTicket], names: &mut Names<'_>) -> Made {
        // A chain is never empty: `chains` makes one for each ticket or group of tickets.
        let (last, earlier) = (tickets[tickets.len() - 1], &tickets[..tickets.len() - 1]);
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
        let days = (self.hold_days, self.as_of);
        let ended = ends::end(tickets, short_of, self.readings, names, days);
        let device = tickets.iter().rev().find_map(|t| t.device.as_deref());
        let firmware = tickets.iter().find_map(|t| t.firmware.as_deref());
        let signs = tickets.iter().flat_map(|t| t.signs.clone());
        let minutes = tickets.iter().flat_map(|t| &t.tries);
        let minutes = minutes.filter_map(|tried| tried.minutes);
        let mut case = Case {
            id: last.id.clone(),
            earlier: earlier.iter().map(|t| t.id.clone()).collect(),
            inferred: read.is_some(),
            article: named.or(read),
            unlisted,
            closed: last.closed,
            age_days: days_between(day(last.closed), self.as_of),
            opened: tickets[0].opened,
            outcome: last.outcome,
            device: device.map(|device| names.text(device)),
            firmware: firmware.map(|firmware| names.text(firmware)),
            codes: chain::codes(tickets),
            signs: signs.collect::<BTreeMap<_, _>>().into_iter().collect(),
            seen: Box::default(),
            said: chain::words(tickets),
            held: 1.0,
            end: ended.end,
            failed: ended.failed.into_iter().collect(),
            read: ended.read.into_iter().collect(),
            order: Box::default(),
            minutes: ended.minutes.into(),
            spent: minutes.filter(|m| m.is_finite() && *m > 0.0).sum(),
        };
        let moved = self.follow_fix(&mut case, recorded);
        case.seen = self.seen(tickets, case.article.as_ref());
        case.order = self.order(tickets, &case);
        let gone = ended.gone;
        let extra = (moved.is_some() || !gone.is_empty()).then(|| Box::new(Extra { moved, gone }));
        Made { case, extra }
    }

    fn read_article(&self, tickets: &[&RawTicket]) -> Option<ArticleId> {
        let (id, _) = tickets
            .iter()
            .filter_map(|t| (self.readings)(t)?.article)
            .rfind(|(_, chance)| *chance >= ARTICLE_BAR)?;
        Some(self.catalog.article(&id)?.id.clone())
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
    ) -> Box<[(CheckId, Box<str>)]> {
        let mut seen: BTreeMap<CheckId, Box<str>> = BTreeMap::new();
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
                    // The catalog's own copy: there are few checks and many cases.
                    let own = self.catalog.checks.get_key_value(&check);
                    let check = own.map_or(check.clone(), |(id, _)| id.clone());
                    seen.insert(check, answer.trim().into());
                }
            }
        }
        seen.into_iter().collect()
    }

    /// The listed fixes in the order people tried them in, each once, as far as they came to something.
    fn order(&self, tickets: &[&RawTicket], case: &Case) -> Box<[FixId]> {
        let by = match &case.end {
            End::Fix(by) => Some(by),
            _ => None,
        };
        let mut order: Vec<FixId> = Vec::new();
        let mut next = |of: Option<&ArticleId>, name: &str, result: TryResult| {
            let tried = (result != TryResult::NotPossible).then_some(name);
            let found = tried.and_then(|name| self.catalog.resolve_fix(of, name));
            // The case's own copy, not one for each try.
            let own = found.and_then(|fix| {
                let failed = case.failed.iter().find(|failed| **failed == fix);
                failed.or(by.filter(|by| **by == fix)).cloned()
            });
            if let Some(fix) = own.filter(|fix| !order.contains(fix)) {
                order.push(fix);
            }
        };
        for ticket in tickets {
            let own = ticket.article.as_ref().filter(|a| a.as_str() != UNLISTED);
            for tried in &ticket.tries {
                next(
                    own.or(case.article.as_ref()),
                    tried.fix.trim(),
                    tried.result,
                );
            }
            if ticket.tries.is_empty() {
                let reading = (self.readings)(ticket);
                for read in reading.iter().flat_map(Reading::sure_tries) {
                    next(None, read.fix.as_str(), read.result);
                }
            }
        }
        order.into()
    }
}
