//! Opens the ledger of a knowledge base and words what stands in the way.

use super::desk::demo;
use super::place::state_dir;
use super::{Failure, Session};
use crate::evidence::readings::readable;
use crate::tickets::ledger::{FILE, SqliteLedger};
use crate::tickets::store::{Filter, Ledger, StoreError};
use crate::tickets::{Confirmations, Confirms, RawTicket, Ticket};

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
#[derive(Debug)]
pub(crate) struct Joined {
    /// Oldest first.
    pub(crate) tickets: Vec<Ticket>,
    confirmed: Confirmations,
}

impl Joined {
    /// All tickets of a ledger.
    pub(crate) fn all(store: &SqliteLedger) -> Result<Self, Failure> {
        let mut tickets = store.list(&Filter::default()).map_err(failure)?;
        let confirmed = store.confirmed().map_err(failure)?;
        if !confirmed.is_empty() {
            for ticket in &mut tickets {
                if let Some(said) = confirmed.get(&ticket.id) {
                    *ticket = said.join(ticket);
                }
            }
        }
        Ok(Self { tickets, confirmed })
    }

    /// Whether its words tell more than is known. Of what a person confirmed or rejected, nothing
    /// is read.
    pub(crate) fn readable(&self, ticket: &RawTicket) -> bool {
        readable(ticket) && !self.confirmed.contains_key(&ticket.id)
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
