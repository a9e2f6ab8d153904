//! A ticket as it arrives and as it is kept.
//!
//! [`RawTicket`] is what an export says; [`Ticket`] is the same after personal data were taken
//! out, and the only type the ledger takes.

use crate::base::ids::{ArticleId, FixId, TicketId};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What happened in one closed case, in the words of the file format.
///
/// Only `id`, `closed` and one of `said` and `notes` are required.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawTicket {
    /// The ticket's id.
    pub id: TicketId,
    /// Its id in the office's own system.
    #[serde(rename = "ref", default, skip_serializing_if = "Option::is_none")]
    pub reference: Option<String>,
    /// The ticket this one continues.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub follows: Option<TicketId>,
    /// When it began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opened: Option<Timestamp>,
    /// When it was closed.
    pub closed: Timestamp,
    /// The device, by its id in `kb.toml`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device: Option<String>,
    /// The device's firmware.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub firmware: Option<String>,
    /// How it came in, such as `phone`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub channel: Option<String>,
    /// What the caller said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub said: Option<String>,
    /// Fault codes shown.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub codes: Vec<String>,
    /// Indicators and their states.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub signs: BTreeMap<String, String>,
    /// Checks and their answers.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub seen: BTreeMap<String, String>,
    /// The article a person recorded; `unlisted` where a person found none that covers it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub article: Option<ArticleId>,
    /// Fixes attempted, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tries: Vec<Try>,
    /// How it ended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outcome: Option<Outcome>,
    /// When it came back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reopened: Option<Timestamp>,
    /// Danger articles that a person said do not apply.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_danger: Vec<ArticleId>,
    /// Which export it came from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// Free text of the agent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notes: Option<String>,
    /// What was read of its text before that was forgotten.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read: Option<WasRead>,
}

/// What was surely read of a text that is no longer there: it can be counted and not read again.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WasRead {
    /// The article, where none was recorded.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub article: Option<WasReadArticle>,
    /// The tries, where none were recorded, in the order they were told.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tries: Vec<WasReadTry>,
}

/// An article read from a text that is forgotten.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WasReadArticle {
    /// Which.
    pub id: ArticleId,
    /// How sure it was, 0 to 1.
    pub chance: f64,
}

/// A try read from a text that is forgotten.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WasReadTry {
    /// The fix in full, or [`OTHER`].
    pub fix: FixId,
    /// What came of it.
    pub result: TryResult,
    /// How sure it was, 0 to 1.
    pub chance: f64,
}

/// The value of `article` that says: a person found no article that covers this case.
pub const UNLISTED: &str = "unlisted";

/// The value of a try's `fix` that says: something no article lists.
pub const OTHER: &str = "other";

/// One fix attempted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Try {
    /// A short id of the ticket's article, a full id of any, or [`OTHER`].
    pub fix: String,
    /// What came of it.
    pub result: TryResult,
    /// Minutes it took.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes: Option<f64>,
}

/// What came of a try.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TryResult {
    /// It ended the case.
    Resolved,
    /// It changed nothing.
    NoChange,
    /// It could not be done.
    NotPossible,
}

/// How a ticket ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// The symptom is gone.
    Resolved,
    /// Somebody else took it on.
    HandedOn,
    /// Nobody went on with it.
    Dropped,
}

/// A ticket without personal data: the only form that is stored, indexed or counted.
///
/// Made by [`super::scrub::Scrubber::ticket`] or read back from the ledger; the compiler refuses
/// any other way.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Ticket(RawTicket);

impl Ticket {
    /// For the scrubber and the ledger alone: vouches that the text was scrubbed.
    pub(in crate::tickets) fn scrubbed(raw: RawTicket) -> Self {
        Self(raw)
    }

    /// For unit tests of other rooms, whose made-up tickets hold nobody's data.
    #[cfg(test)]
    pub(crate) fn for_test(raw: RawTicket) -> Self {
        Self(raw)
    }
}

impl std::ops::Deref for Ticket {
    type Target = RawTicket;

    fn deref(&self) -> &RawTicket {
        &self.0
    }
}
