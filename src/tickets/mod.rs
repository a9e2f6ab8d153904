//! What happened: one record per closed case, its import, its scrubbing and its ledger.
//!
//! An export comes in as rows ([`jsonl`], [`csv`] with a [`map`]), each row becomes a
//! [`RawTicket`] or a reject, the [`scrub::Scrubber`] turns it into a [`Ticket`], and only that
//! type goes into the [`store::Ledger`]. [`links`] tells which tickets continue each other.

pub mod care;
pub mod confirmed;
pub mod csv;
pub mod encoding;
mod fields;
pub mod json_list;
pub mod jsonl;
pub mod ledger;
pub mod links;
pub mod map;
mod newlines;
pub mod propose;
pub mod record;
pub mod remark;
pub mod row;
pub mod scrub;
pub mod store;
pub mod times;

pub use confirmed::{Confirmations, Confirmed, Confirms};
pub use record::{Outcome, RawTicket, Ticket, Try, TryResult};
pub use remark::Remark;
pub use scrub::Scrubber;
pub use store::Ledger;
