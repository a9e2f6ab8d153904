//! Articles, tickets and the cases they make, for the lead tech's reports.

use super::Desk;
use crate::base::ids::TicketId;
use crate::cli::ledger::{self, Joined};
use crate::cli::{Failure, Session};
use crate::curate::Material;
use crate::evidence::cases::Cases;
use crate::tickets::Ticket;

/// What the reports are made from.
#[derive(Debug)]
pub(crate) struct Records {
    pub(crate) desk: Desk,
    pub(crate) cases: Cases,
}

impl Records {
    /// Opens the session's knowledge base and reads all its tickets.
    ///
    /// # Errors
    /// Where the folder is no knowledge base, or the ledger cannot be read.
    pub(crate) fn read(session: &Session) -> Result<Self, Failure> {
        Self::of(Desk::open(session)?, session)
    }

    /// The same for an open desk.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(crate) fn of(desk: Desk, session: &Session) -> Result<Self, Failure> {
        let cases = desk.cases(session)?;
        Ok(Self { desk, cases })
    }

    /// The tickets of these ids, whole.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(crate) fn tickets(
        &self,
        session: &Session,
        ids: &[TicketId],
    ) -> Result<Vec<Ticket>, Failure> {
        Joined::of(&ledger::open(session)?)?.named(ids)
    }

    /// The newest tickets known on the desk's day, whole.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(crate) fn newest(&self, session: &Session, most: usize) -> Result<Vec<Ticket>, Failure> {
        Joined::of(&ledger::open(session)?)?.newest(most, self.desk.as_of)
    }

    /// What the reports take.
    pub(crate) fn material(&self) -> Material<'_> {
        Material {
            cases: &self.cases.list,
            catalog: &self.desk.catalog,
            settings: &self.desk.settings,
            analyzer: &self.desk.analyzer,
            as_of: self.desk.as_of,
        }
    }
}
