//! What one line of a call does to the case.

use crate::base::ids::{ArticleId, CheckId, FixId, TicketId};
use crate::tickets::{Outcome, TryResult};
use serde::{Deserialize, Serialize};

/// One thing understood from a line. Names are resolved: a number that was typed is the fix it
/// stood for at that moment, so acts mean the same whenever they are read again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Act {
    /// Words of the caller, without personal data.
    Say(String),
    /// The device.
    Device(String),
    /// Its firmware.
    Firmware(String),
    /// A fault code it shows.
    Code(String),
    /// An indicator and its state.
    Sign {
        /// The indicator.
        lamp: String,
        /// Its state.
        state: String,
    },
    /// Who does the work on site.
    Role(String),
    /// The case's id in the office's own system.
    Reference(String),
    /// Another ticket has that id: this one goes without.
    NoReference,
    /// A digest of something that tells one site from others; never the thing itself.
    Site(String),
    /// A note of the agent, without personal data.
    Note(String),
    /// A danger that does not apply, as somebody on site says.
    NotDanger(ArticleId),
    /// A danger that does apply: somebody made sure of it, or told it anew after it had been denied.
    IsDanger(ArticleId),
    /// A fix is taken up.
    Pick(FixId),
    /// A check was answered.
    Answer {
        /// The check.
        check: CheckId,
        /// Its answer.
        answer: String,
    },
    /// A check could not be done.
    Skip(CheckId),
    /// A fix was attempted; `resolved` ends the case.
    Try {
        /// The fix; none for something that no article lists.
        fix: Option<FixId>,
        /// What came of it.
        result: TryResult,
        /// Minutes it took, where they were told.
        minutes: Option<f64>,
    },
    /// The case ends without a fix.
    End(Outcome),
    /// Which article it was.
    Article(Choice),
    /// The earlier ticket that this case continues, or none of those offered.
    Follows(Option<TicketId>),
}

/// Which article a case was of, as a person says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Choice {
    /// This one.
    Article(ArticleId),
    /// No article covers it.
    Unlisted,
    /// Not known: nothing is recorded.
    NotSure,
}
