//! What people said of readings: facts, kept apart from what arrived.
//!
//! An export brings the same ticket again and again; what a person said of its words must not be
//! lost by that. So confirmations stand in a table of their own, by ticket, and are joined with the
//! ticket when it is read ([`Confirmed::join`]). What arrived goes first: a later import that brings
//! tries or an article of its own is believed.

use super::record::{RawTicket, Ticket, Try};
use super::store::StoreError;
use crate::base::ids::{ArticleId, TicketId};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What a person said of one ticket's reading.
///
/// Nothing at all says: what was read of it is not so, and nothing is known.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Confirmed {
    /// Its article; [`super::record::UNLISTED`] where no article covers it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub article: Option<ArticleId>,
    /// Its tries, fixes in full.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tries: Vec<Try>,
}

/// Confirmations by ticket.
pub type Confirmations = BTreeMap<TicketId, Confirmed>;

impl Confirmed {
    /// The ticket with what was confirmed, where it brought none of its own.
    #[must_use]
    pub fn join(&self, ticket: &Ticket) -> Ticket {
        let mut raw = RawTicket::clone(ticket);
        raw.article = raw.article.or_else(|| self.article.clone());
        if raw.tries.is_empty() {
            raw.tries.clone_from(&self.tries);
        }
        // Ids alone were added, which hold nobody's data.
        Ticket::scrubbed(raw)
    }
}

/// A store that keeps confirmations beside its tickets.
pub trait Confirms {
    /// Keeps what was said, in one transaction; what was said of a ticket before is replaced, and
    /// nothing (`None`) takes it back. Says how many tickets changed.
    ///
    /// # Errors
    /// Where the store cannot be written.
    fn confirm(&mut self, said: &[(TicketId, Option<Confirmed>)]) -> Result<u64, StoreError>;

    /// All that was said.
    ///
    /// # Errors
    /// Where the store cannot be read.
    fn confirmed(&self) -> Result<Confirmations, StoreError>;
}
