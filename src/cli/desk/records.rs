//! Articles, tickets and the cases they make, for the lead tech's reports.

use super::Desk;
use super::readings::Kept;
use crate::base::ids::TicketId;
use crate::cli::ledger::{self, Joined};
use crate::cli::{Failure, Session, place};
use crate::curate::Material;
use crate::evidence::cases::{Cases, Reading};
use crate::tickets::Ticket;
use std::collections::BTreeMap;

/// What the reports are made from.
#[derive(Debug)]
pub(crate) struct Records {
    pub(crate) desk: Desk,
    tickets: Vec<Ticket>,
    readings: BTreeMap<TicketId, Reading>,
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
        let joined = Joined::all(&ledger::open(session)?)?;
        let kept = Kept::open(&place::state_dir(session)?);
        let (readings, _) = kept.of_all(&joined.tickets, |ticket| joined.readable(ticket));
        let model = &desk.settings.model;
        let cases = Cases::of(&joined.tickets, &readings, &desk.catalog, model, desk.as_of);
        Ok(Self {
            desk,
            tickets: joined.tickets,
            readings,
            cases,
        })
    }

    /// What the reports take.
    pub(crate) fn material(&self) -> Material<'_> {
        Material {
            cases: &self.cases.list,
            tickets: &self.tickets,
            readings: &self.readings,
            catalog: &self.desk.catalog,
            settings: &self.desk.settings,
            analyzer: &self.desk.analyzer,
            as_of: self.desk.as_of,
        }
    }
}
