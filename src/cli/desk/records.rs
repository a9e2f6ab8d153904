//! Articles, tickets and the cases they make, for the lead tech's reports.

use super::{counted, knowledge, no_folder, today};
use crate::articles::{Catalog, Settings};
use crate::base::text::Analyzer;
use crate::cli::{Failure, Session, ledger, place};
use crate::curate::Material;
use crate::evidence::cases::Cases;
use crate::tickets::Ticket;
use crate::tickets::store::{Filter, Ledger};
use jiff::civil::Date;
use std::collections::BTreeMap;

/// What the reports are made from.
#[derive(Debug)]
pub(crate) struct Records {
    pub(crate) settings: Settings,
    pub(crate) catalog: Catalog,
    pub(crate) analyzer: Analyzer,
    pub(crate) tickets: Vec<Ticket>,
    pub(crate) cases: Cases,
    pub(crate) as_of: Date,
}

impl Records {
    /// Reads everything; tickets closed after today are left out, and said to be.
    ///
    /// # Errors
    /// Where the folder is no knowledge base, or the ledger cannot be read.
    pub(crate) fn read(session: &Session) -> Result<Self, Failure> {
        let state = place::state_dir(session)?;
        let knowledge = knowledge::read(session, &state).map_err(|e| no_folder(&e))?;
        let store = ledger::open(session)?;
        let as_of = today(session, &knowledge.settings, &store)?;
        let tickets = store.list(&Filter::default()).map_err(ledger::failure)?;
        let model = &knowledge.settings.model;
        let cases = Cases::of(&tickets, &BTreeMap::new(), &knowledge.catalog, model, as_of);
        if cases.ignored_later > 0 {
            let later = counted(cases.ignored_later, "ticket");
            session.notice(&format!("{later} closed after {as_of} ignored."));
        }
        Ok(Self {
            analyzer: Analyzer::new(&knowledge.words),
            settings: knowledge.settings,
            catalog: knowledge.catalog,
            tickets,
            cases,
            as_of,
        })
    }

    /// The same as the reports take it.
    pub(crate) fn material(&self) -> Material<'_> {
        Material {
            cases: &self.cases.list,
            tickets: &self.tickets,
            catalog: &self.catalog,
            settings: &self.settings,
            analyzer: &self.analyzer,
            as_of: self.as_of,
        }
    }
}
