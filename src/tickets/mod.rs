//! What happened: one record per closed case, its import, its scrubbing and its ledger.

pub mod record;

pub use record::{Outcome, RawTicket, Ticket, Try, TryResult};
