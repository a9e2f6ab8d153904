//! Opens the ledger of a knowledge base and words what stands in the way.

use super::desk::demo;
use super::place::state_dir;
use super::{Failure, Session};
use crate::base::ids::TicketId;
use crate::evidence::cases::day;
use crate::evidence::readings::readable;
use crate::tickets::ledger::{FILE, SqliteLedger};
use crate::tickets::links::Link;
use crate::tickets::store::{Filter, Ledger, Order, StoreError};
use crate::tickets::{Confirmations, Confirms, RawTicket, Ticket};
use jiff::civil::Date;
use std::ops::ControlFlow;

/// The ledger; it is made where there is none.
pub(crate) fn open(session: &Session) -> Result<SqliteLedger, Failure> {
    demo::load(session)?;
    SqliteLedger::open(&state_dir(session)?.join(FILE)).map_err(failure)
}

/// The ledger, or nothing where no ticket was ever imported.
pub(crate) fn open_existing(session: &Session) -> Result<Option<SqliteLedger>, Failure> {
    demo::load(session)?;
    SqliteLedger::open_existing(&state_dir(session)?.join(FILE)).map_err(failure)
}

/// Tickets joined with what people confirmed of them.
pub(crate) struct Joined<'a> {
    store: &'a SqliteLedger,
    pub(crate) said: Said,
}

/// What people confirmed.
pub(crate) struct Said(Confirmations);

impl Said {
    /// Whether a ticket's words tell more than is known. Of what a person confirmed or rejected,
    /// nothing is read.
    pub(crate) fn readable(&self, ticket: &RawTicket) -> bool {
        readable(ticket) && !self.0.contains_key(&ticket.id)
    }
}

impl<'a> Joined<'a> {
    /// The tickets of a ledger.
    pub(crate) fn of(store: &'a SqliteLedger) -> Result<Self, Failure> {
        let said = Said(store.confirmed().map_err(failure)?);
        Ok(Self { store, said })
    }

    /// Visits them, oldest first, some thousand at a time.
    pub(crate) fn parts(
        &self,
        visit: &mut dyn FnMut(Vec<Ticket>) -> Result<(), Failure>,
    ) -> Result<(), Failure> {
        let mut stopped = None;
        let mut each = |part| match visit(self.join(part)) {
            Ok(()) => ControlFlow::Continue(()),
            Err(failure) => {
                stopped = Some(failure);
                ControlFlow::Break(())
            }
        };
        self.store.parts(&mut each).map_err(failure)?;
        stopped.map_or(Ok(()), Err)
    }

    /// Those that continue others, and those that are continued.
    pub(crate) fn links(&self) -> Result<Vec<Link>, Failure> {
        self.store.links().map_err(failure)
    }

    /// All at once, oldest first.
    pub(crate) fn all(&self) -> Result<Vec<Ticket>, Failure> {
        let all = self.store.list(&Filter::default()).map_err(failure)?;
        Ok(self.join(all))
    }

    /// Those of these ids.
    pub(crate) fn named(&self, ids: &[TicketId]) -> Result<Vec<Ticket>, Failure> {
        Ok(self.join(self.store.of_ids(ids).map_err(failure)?))
    }

    /// The newest of those closed up to a day.
    pub(crate) fn newest(&self, most: usize, until: Date) -> Result<Vec<Ticket>, Failure> {
        let mut found = Vec::new();
        let mut take = |ticket: Ticket| {
            if day(ticket.closed) <= until {
                found.push(ticket);
            }
            if found.len() < most {
                ControlFlow::Continue(())
            } else {
                ControlFlow::Break(())
            }
        };
        let all = Filter::default();
        self.store
            .each(&all, Order::NewestFirst, &mut take)
            .map_err(failure)?;
        Ok(self.join(found))
    }

    /// These, with what was confirmed of them.
    pub(crate) fn join(&self, mut tickets: Vec<Ticket>) -> Vec<Ticket> {
        let Said(confirmed) = &self.said;
        if !confirmed.is_empty() {
            for ticket in &mut tickets {
                if let Some(said) = confirmed.get(&ticket.id) {
                    *ticket = said.join(ticket);
                }
            }
        }
        tickets
    }
}

/// A store's error with what to do.
pub(crate) fn failure(error: StoreError) -> Failure {
    let hint = match &error {
        StoreError::Stopped(_) | StoreError::Other { .. } => None,
        StoreError::Busy(_) => Some("wait until the other import is done, then do it again".to_owned()),
        StoreError::ReadOnly(_) | StoreError::Open { .. } => {
            Some("keep the state in a folder you may write: `--state DIR`".to_owned())
        }
        StoreError::Full(_) => Some(
            "make room, then do it again; files reported before are in, this one is not".to_owned(),
        ),
        StoreError::Damaged { path, .. } => Some(format!(
            "move `{}*` aside and import the tickets again; nothing of it was changed",
            path.display()
        )),
        StoreError::Foreign(_) => Some("keep the state elsewhere: `--state DIR`".to_owned()),
        StoreError::Newer { .. } => {
            Some("use the newer fixtally that wrote it; it was not changed".to_owned())
        }
        StoreError::Network { .. } => Some(
            "keep the state on a local disk, `--state DIR`; several computers share one `fixtally sheet`"
                .to_owned(),
        ),
    };
    let failure = Failure::new(error.to_string());
    match hint {
        Some(hint) => failure.hint(hint),
        None => failure,
    }
}
