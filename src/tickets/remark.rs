//! "This step is wrong": one line that an agent or an installer leaves on an article or a fix.

use super::scrub::Scrubber;
use crate::base::ids::{ArticleId, FixId, TicketId};
use jiff::Timestamp;
use serde::Serialize;

/// Longest remark, in characters; what is beyond is cut off.
const LONGEST: usize = 500;

/// A remark without personal data: [`Remark::new`] scrubs it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Remark {
    /// Its number in the ledger, from 1; 0 before it is stored.
    pub number: u64,
    /// When it was left.
    pub at: Timestamp,
    /// The article it is about.
    pub article: Option<ArticleId>,
    /// The fix it is about.
    pub fix: Option<FixId>,
    /// The case it was left in.
    pub case: Option<TicketId>,
    /// What is wrong.
    text: String,
    /// When somebody closed it.
    pub closed: Option<Timestamp>,
}

impl Remark {
    /// A remark on a fix, or on an article as a whole.
    #[must_use]
    pub fn new(
        at: Timestamp,
        (article, fix): (Option<ArticleId>, Option<FixId>),
        case: Option<TicketId>,
        text: &str,
        scrubber: &Scrubber,
    ) -> Self {
        let one_line: Vec<&str> = text.split_whitespace().collect();
        let clean = scrubber.text(&one_line.join(" "));
        Self {
            number: 0,
            at,
            article,
            fix,
            case,
            text: clean.chars().take(LONGEST).collect(),
            closed: None,
        }
    }

    /// For the ledger alone: the text was scrubbed when it was stored.
    pub(in crate::tickets) fn stored(
        number: u64,
        at: Timestamp,
        (article, fix): (Option<ArticleId>, Option<FixId>),
        case: Option<TicketId>,
        text: String,
        closed: Option<Timestamp>,
    ) -> Self {
        Self {
            number,
            at,
            article,
            fix,
            case,
            text,
            closed,
        }
    }

    /// What is wrong.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}
