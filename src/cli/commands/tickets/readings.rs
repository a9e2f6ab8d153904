//! What was read of tickets and what people confirmed, for listings.

use super::{Failure, Session};
use crate::base::escape::terminal_line;
use crate::cli::desk::readings::Kept;
use crate::cli::{ledger, place};
use crate::notes::{ARTICLE_BAR, ReadTry, Reading, TRY_BAR};
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::{Confirmations, Confirmed, Confirms, Ticket, TryResult};
use serde_json::{Value, json};

/// Both, for all tickets.
pub(super) struct Readings {
    kept: Kept,
    confirmed: Confirmations,
}

impl Readings {
    pub(super) fn open(session: &Session, store: &SqliteLedger) -> Result<Self, Failure> {
        Ok(Self {
            kept: Kept::open(&place::state_dir(session)?),
            confirmed: store.confirmed().map_err(ledger::failure)?,
        })
    }

    /// What was read of a ticket; none where nothing was, or where a person said how it is.
    pub(super) fn of(&self, ticket: &Ticket) -> Option<Reading> {
        if self.said(ticket).is_some() {
            return None;
        }
        self.kept.of(ticket).filter(|reading| !reading.is_empty())
    }

    /// What a person said of its reading.
    pub(super) fn said(&self, ticket: &Ticket) -> Option<&Confirmed> {
        self.confirmed.get(&ticket.id)
    }

    /// Whether nobody knows its article: none is recorded, confirmed or surely read.
    pub(super) fn unmatched(&self, ticket: &Ticket) -> bool {
        ticket.article.is_none()
            && self.said(ticket).is_none_or(|said| said.article.is_none())
            && self
                .of(ticket)
                .is_none_or(|reading| reading.sure_article().is_none())
    }

    /// The article as listings show it: one that was read says so.
    pub(super) fn article(&self, ticket: &Ticket) -> String {
        if let Some(recorded) = &ticket.article {
            return recorded.to_string();
        }
        if let Some(said) = self.said(ticket) {
            return said
                .article
                .as_ref()
                .map_or_else(String::new, ToString::to_string);
        }
        let read = self.of(ticket);
        let sure = read.as_ref().and_then(Reading::sure_article);
        sure.map_or_else(String::new, |article| format!("read: {article}"))
    }
}

/// A reading for machines. `counts` says whether it reaches its bar.
pub(super) fn as_json(reading: &Reading) -> Value {
    let tries: Vec<Value> = reading
        .tries
        .iter()
        .map(|read| {
            json!({
                "fix": read.fix, "result": read.result, "chance": read.chance,
                "counts": read.chance >= TRY_BAR,
            })
        })
        .collect();
    match &reading.article {
        Some((article, chance)) => json!({
            "article": article, "chance": chance, "counts": *chance >= ARTICLE_BAR, "tries": tries,
        }),
        None => json!({ "tries": tries }),
    }
}

/// A reading as lines for people.
pub(super) fn lines(reading: &Reading) -> Vec<String> {
    let below = |chance: f64, bar: f64| {
        if chance >= bar {
            String::new()
        } else {
            format!(", below the bar of {}", percent(bar))
        }
    };
    let article = reading.article.iter().map(|(article, chance)| {
        let below = below(*chance, ARTICLE_BAR);
        format!("article {article}, {}{below}", percent(*chance))
    });
    let tries = reading.tries.iter().map(|read| {
        let below = below(read.chance, TRY_BAR);
        format!("{}{below}", short(read))
    });
    article
        .chain(tries)
        .map(|line| terminal_line(&line))
        .collect()
}

/// "trips#reseal: resolved, 93 %".
fn short(read: &ReadTry) -> String {
    let result = result_name(read.result);
    format!("{}: {result}, {}", read.fix, percent(read.chance))
}

pub(super) fn percent(chance: f64) -> String {
    format!("{:.0} %", 100.0 * chance)
}

/// A result in words.
pub(super) fn result_name(result: TryResult) -> &'static str {
    match result {
        TryResult::Resolved => "resolved",
        TryResult::NoChange => "no change",
        TryResult::NotPossible => "not possible",
    }
}
