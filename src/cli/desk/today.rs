//! The day taken as today.

use crate::articles::{Settings, settings_file};
use crate::cli::{Failure, Session, ledger};
use crate::evidence::cases::day;
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::store::{Filter, Ledger, Order};
use jiff::civil::Date;
use std::ops::ControlFlow;

/// "Now": what was asked for, else in a demo the newest closing day, else the real date.
///
/// # Errors
/// Where the ledger cannot be read.
pub(crate) fn today(
    session: &Session,
    settings: &Settings,
    store: &SqliteLedger,
) -> Result<Date, Failure> {
    if let (None, true) = (session.as_of, settings.demo) {
        let mut newest = None;
        let first = Filter {
            limit: Some(1),
            ..Filter::default()
        };
        store
            .each(&first, Order::NewestFirst, &mut |ticket| {
                newest = Some(day(ticket.closed));
                ControlFlow::Break(())
            })
            .map_err(ledger::failure)?;
        if let Some(newest) = newest {
            // A slip of the pen in one ticket must not carry the demo off into the future.
            return Ok(newest.min(session.today()));
        }
    }
    Ok(session.today())
}

/// "Now" for a command that needs no more of the desk than that.
///
/// # Errors
/// Where the ledger cannot be read.
pub(crate) fn now(session: &Session) -> Result<Date, Failure> {
    let Ok(text) = std::fs::read_to_string(session.kb.join("kb.toml")) else {
        return Ok(session.today());
    };
    let settings = settings_file::read(&text).0;
    if session.as_of.is_some() || !settings.demo {
        return Ok(session.today());
    }
    match ledger::open_existing(session)? {
        Some(store) => today(session, &settings, &store),
        None => Ok(session.today()),
    }
}
