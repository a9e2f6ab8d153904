//! What people do to tickets that are in the ledger already: correct, remove, forget.
//!
//! All of it outlasts later imports: a removed ticket stays removed, corrected fields stay
//! corrected, and the text of a forgotten time does not come back.

use super::fields::Fault;
use super::jsonl;
use super::record::{RawTicket, Ticket, WasRead};
use super::scrub::Scrubber;
use super::store::StoreError;
use super::times::Times;
use crate::base::ids::TicketId;
use jiff::Timestamp;
use serde_json::{Map, Value};

/// What stands in `notes` of a ticket whose text was forgotten. No caller said it: it is not counted.
pub const FORGOTTEN: &str = "[forgotten]";

/// The store's part for care, beside [`super::store::Ledger`].
pub trait Care {
    /// Sets fields of a ticket, now and after each later import of it.
    fn correct(&mut self, id_or_ref: &str, patch: &Patch) -> Result<Corrected, StoreError>;

    /// Takes back the last correction of a ticket, where no import came after it.
    fn uncorrect(&mut self, id_or_ref: &str) -> Result<Undone, StoreError>;

    /// Takes a ticket out, now and in each later import.
    fn remove(&mut self, id_or_ref: &str) -> Result<Option<TicketId>, StoreError>;

    /// The id of a ticket that was taken out, by its id in any capitals or its ref.
    fn removed(&self, id_or_ref: &str) -> Result<Option<TicketId>, StoreError>;

    /// Takes a removal back.
    fn restore(&mut self, id_or_ref: &str) -> Result<Undone, StoreError>;

    /// Drops what was said and noted in tickets closed before a time, now and in each later import;
    /// everything that is counted stays, and `read` says what was read of a ticket's text, which is
    /// kept as that. Gives the number of tickets whose text went. The bytes are overwritten.
    fn forget(
        &mut self,
        before: Timestamp,
        read: &dyn Fn(&Ticket) -> Option<WasRead>,
    ) -> Result<u64, StoreError>;

    /// How many tickets closed before a time still have their text.
    fn with_text(&self, before: Timestamp) -> Result<u64, StoreError>;

    /// The time before which text is forgotten.
    fn forgotten_before(&self) -> Result<Option<Timestamp>, StoreError>;

    /// Lets later imports bring text of any time again; gives the time that held. What is forgotten
    /// stays so until then.
    fn remember(&mut self) -> Result<Option<Timestamp>, StoreError>;
}

/// What became of a correction.
#[derive(Clone, Debug, PartialEq)]
pub enum Corrected {
    /// The ticket as it was and as it is.
    Done(Box<(Ticket, Ticket)>),
    /// It was so already.
    Same(TicketId),
    /// The ticket would be none; why.
    Refused(String),
    /// There is no such ticket.
    Missing,
}

/// What became of an undoing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Undone {
    /// The ticket is as it was.
    Done(TicketId),
    /// An import came since, so the old text is gone; the next import of its file brings it back.
    Later(TicketId),
    /// Nothing to undo.
    Nothing,
}

/// Fields that a person sets in a ticket, as in the file format; `null` empties one.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch(Map<String, Value>);

impl Patch {
    /// A patch without personal data. The id is never changed.
    #[must_use]
    pub fn new(mut fields: Map<String, Value>, scrubber: &Scrubber) -> Self {
        fields.shift_remove("id");
        for key in ["said", "notes", "device", "firmware", "channel", "source"] {
            if let Some(Value::String(text)) = fields.get_mut(key) {
                *text = scrubber.text(text);
            }
        }
        Self(fields)
    }

    /// The patch that [`Self::to_text`] wrote; empty where the text is none.
    pub(in crate::tickets) fn from_text(text: &str) -> Self {
        Self(serde_json::from_str(text).unwrap_or_default())
    }

    pub(in crate::tickets) fn to_text(&self) -> String {
        Value::Object(self.0.clone()).to_string()
    }

    /// Both, `later` over this one.
    pub(in crate::tickets) fn joined(mut self, later: &Self) -> Self {
        self.0.extend(later.0.clone());
        self
    }

    /// Without what was said and noted.
    pub(in crate::tickets) fn without_text(mut self) -> Self {
        self.0.retain(|key, _| key != "said" && key != "notes");
        self
    }

    /// The names of the fields it sets.
    pub fn fields(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    /// The ticket with these fields; the words of the fault where it would be none.
    pub(in crate::tickets) fn applied(&self, ticket: &RawTicket) -> Result<RawTicket, String> {
        let Ok(Value::Object(mut object)) = serde_json::to_value(ticket) else {
            return Err("the ticket cannot be written as JSON".to_owned());
        };
        object.extend(self.0.clone());
        jsonl::ticket(&object, &Times::default()).map_err(|Fault { message, .. }| message)
    }
}

/// What was read of a ticket's text before that was forgotten; none for one that has its text.
#[must_use]
pub fn was_read(ticket: &RawTicket) -> Option<&WasRead> {
    let forgotten = ticket.said.is_none() && ticket.notes.as_deref() == Some(FORGOTTEN);
    ticket.read.as_ref().filter(|_| forgotten)
}

/// The ticket with nothing of what was said and noted, but all that is counted: `read` is what was read
/// of its text, for one that was not forgotten before.
pub(in crate::tickets) fn forgotten(ticket: &RawTicket, read: Option<WasRead>) -> RawTicket {
    let kept = was_read(ticket).cloned();
    let mut ticket = ticket.clone();
    ticket.read = kept.or(read);
    ticket.said = None;
    ticket.notes = Some(FORGOTTEN.to_owned());
    for one in &mut ticket.tries {
        // Free text in the place of an id is text too.
        if one.fix.contains(char::is_whitespace) {
            super::record::OTHER.clone_into(&mut one.fix);
        }
    }
    ticket
}
