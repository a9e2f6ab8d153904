//! The count of all cases, kept so that a closed case is one more addition.

use super::derived;
use super::flow::Flow;
use super::made::{self, Counted};
use super::model::{FitPoint, Passed};
use super::readings::Kept;
use super::{Desk, today};
use crate::articles::{Catalog, Settings};
use crate::cli::ledger::{self, Joined};
use crate::cli::{Failure, Session, place};
use crate::evidence::Gathering;
use crate::evidence::cases::day;
use crate::evidence::fit::fit_point;
use crate::evidence::making::{Made, Making, Totals};
use crate::evidence::spoken::Spoken;
use crate::tickets::Ticket;
use crate::tickets::ledger::{Mark, SqliteLedger};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::HashSet;
use std::path::Path;
use std::sync::Arc;

/// How often a ledger that is written meanwhile is counted again.
const ATTEMPTS: usize = 3;

/// All cases as they are counted, up to a mark in the ledger.
pub(crate) struct Running {
    gathering: Gathering,
    totals: Totals,
    readable: u64,
    unread: u64,
    point: Option<FitPoint>,
    /// Ids and refs that tickets say they continue.
    continued: HashSet<String>,
    as_of: Date,
    mark: Mark,
    readings: String,
}

impl Running {
    /// Counts all tickets.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(super) fn count(
        store: &SqliteLedger,
        state: &Path,
        about: (&Catalog, &Settings),
        as_of: Date,
    ) -> Result<Self, Failure> {
        Self::listening(store, state, about, as_of, &|| None).map(|(counted, _)| counted)
    }

    /// As [`Self::count`], and takes up what callers said in the same pass.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(super) fn listening<'s>(
        store: &SqliteLedger,
        state: &Path,
        about: (&Catalog, &Settings),
        as_of: Date,
        empty: &dyn Fn() -> Option<Spoken<'s>>,
    ) -> Result<(Self, Option<Spoken<'s>>), Failure> {
        let mut attempt = 1;
        loop {
            let mark = store.mark().map_err(ledger::failure)?;
            let mut spoken = empty();
            let counted = Self::once(store, state, about, (as_of, mark), spoken.as_mut())?;
            let now = store.mark().map_err(ledger::failure)?;
            // What comes in while it is counted may be in it or not.
            if now == counted.mark || attempt == ATTEMPTS {
                return Ok((counted, spoken.map(Spoken::settled)));
            }
            attempt += 1;
        }
    }

    fn once(
        store: &SqliteLedger,
        state: &Path,
        (catalog, settings): (&Catalog, &Settings),
        (as_of, mark): (Date, Mark),
        mut spoken: Option<&mut Spoken<'_>>,
    ) -> Result<Self, Failure> {
        let joined = Joined::of(store)?;
        let said = &joined.said;
        let kept = Kept::open(state);
        let (mut gathering, mut closed) = (Gathering::default(), Vec::new());
        let (mut readable, mut unread) = (0, 0);
        let mut passed = Passed::default();
        let flow = Flow {
            joined: &joined,
            kept: &kept,
            catalog,
            model: &settings.model,
            as_of,
        };
        let mut look = |part: &[Ticket]| {
            passed.add(part);
            let open = part.par_iter().filter(|ticket| said.readable(ticket));
            let open: Vec<bool> = open.map(|ticket| kept.knows(ticket)).collect();
            readable += open.len() as u64;
            unread += open.iter().filter(|known| !**known).count() as u64;
        };
        let (totals, links) = flow.run(&|t| said.readable(t), &mut look, &mut |made| {
            closed.extend(made.iter().map(|made| made.case().closed));
            if let Some(spoken) = &mut spoken {
                spoken.add(made.iter().map(Made::case));
            }
            gathering.add(made, catalog, settings);
            Ok(())
        })?;
        Ok(Self {
            gathering,
            totals,
            readable,
            unread,
            point: passed.point(closed),
            continued: links.into_iter().filter_map(|link| link.follows).collect(),
            as_of,
            mark,
            readings: super::readings::mark(state),
        })
    }

    /// The day taken as today.
    pub(crate) fn as_of(&self) -> Date {
        self.as_of
    }

    /// What was counted.
    pub(super) fn counted(&self, catalog: &Catalog, settings: &Settings) -> Counted {
        Counted {
            evidence: self
                .gathering
                .evidence(&self.totals, catalog, settings, self.as_of),
            point: self.point.clone(),
            readable: self.readable,
            unread: self.unread,
        }
    }

    /// Keeps what was counted, for whoever opens a desk next; `articles` is their digest.
    ///
    /// # Errors
    /// Where the state folder cannot be written.
    pub(super) fn keep(
        &self,
        state: &Path,
        session: &Session,
        articles: &str,
        counted: &Counted,
    ) -> Result<(), Failure> {
        let path = state.join(made::evidence_file(session));
        let ledger = self.mark.fingerprint();
        let key = made::key(articles, &ledger, self.as_of, &self.readings);
        derived::write(&path, &key, counted).map_err(|e| Failure::file("write", &path, &e))
    }

    /// Counts in what was added to the ledger since; says whether that is all there is to do. Where it is
    /// not (a ticket was changed or continues another one, notes are to be read, weights to be learned),
    /// nothing was counted in.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(crate) fn catch_up(
        &mut self,
        store: &SqliteLedger,
        state: &Path,
        (catalog, settings): (&Catalog, &Settings),
    ) -> Result<bool, Failure> {
        if super::readings::mark(state) != self.readings {
            return Ok(false);
        }
        let added = store.added_since(&self.mark).map_err(ledger::failure)?;
        let Some((tickets, mark)) = added else {
            return Ok(false);
        };
        let joined = Joined::of(store)?;
        let tickets = joined.join(tickets);
        if tickets.is_empty() {
            self.mark = mark;
            return Ok(true);
        }
        if !tickets.iter().all(|ticket| self.is_simple(ticket, &joined)) {
            return Ok(false);
        }
        let cases = usize::try_from(self.gathering.cases()).unwrap_or(usize::MAX);
        let reached = self.point.as_ref().map(|point| point.cases);
        if fit_point(cases.saturating_add(tickets.len())) != reached {
            return Ok(false);
        }
        let about = (catalog, &settings.model);
        let mut making = Making::new(about, &|_| None, self.as_of, HashSet::new());
        let made = making.part(&tickets);
        self.gathering.add(made, catalog, settings);
        self.totals.join(making.totals());
        self.mark = mark;
        Ok(true)
    }

    fn is_simple(&self, ticket: &Ticket, joined: &Joined<'_>) -> bool {
        let reference = ticket.reference.as_deref();
        let names = [Some(ticket.id.as_str()), reference];
        let is_continued = names.iter().flatten().any(|n| self.continued.contains(*n));
        let learned = self.point.as_ref();
        ticket.follows.is_none()
            && !is_continued
            && !joined.said.readable(ticket)
            && learned.is_none_or(|point| day(ticket.closed) > point.day)
    }
}

impl Desk {
    /// The same desk with what was counted since.
    fn counted_anew(&self, counted: Counted) -> Self {
        Self {
            settings: Arc::clone(&self.settings),
            catalog: Arc::clone(&self.catalog),
            evidence: counted.evidence,
            as_of: self.as_of,
            fingerprint: self.fingerprint.clone(),
            digest: self.digest.clone(),
            analyzer: Arc::clone(&self.analyzer),
            layout: Arc::clone(&self.layout),
            model: Arc::clone(&self.model),
            fit_point: counted.point,
            index: Arc::clone(&self.index),
            known: Arc::clone(&self.known),
            stop_words: Arc::clone(&self.stop_words),
        }
    }

    /// The count of all its cases, to be kept running.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(crate) fn running(&self, session: &Session) -> Result<Running, Failure> {
        let (store, state) = (ledger::open(session)?, place::state_dir(session)?);
        Running::count(&store, &state, (&self.catalog, &self.settings), self.as_of)
    }

    /// The same desk with the tickets that were added since; none where adding them is not all there is
    /// to do. What was counted is kept for other processes too.
    ///
    /// # Errors
    /// Where the ledger cannot be read or the state folder cannot be written.
    pub(crate) fn caught_up(
        &self,
        running: &mut Running,
        session: &Session,
    ) -> Result<Option<Self>, Failure> {
        let (store, state) = (ledger::open(session)?, place::state_dir(session)?);
        let about = (&*self.catalog, &*self.settings);
        let same_day = today(session, &self.settings, &store)? == running.as_of();
        if !same_day || self.as_of != running.as_of() {
            return Ok(None);
        }
        if !running.catch_up(&store, &state, about)? {
            return Ok(None);
        }
        let counted = running.counted(about.0, about.1);
        running.keep(&state, session, &self.digest, &counted)?;
        Ok(Some(self.counted_anew(counted)))
    }
}
