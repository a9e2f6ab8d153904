//! `fixtally tickets export`: the ledger as JSON Lines.

use super::{Exit, Failure, Session};
use crate::cli::ledger;
use crate::tickets::store::{Filter, Ledger, Order};
use std::io::{BufWriter, Write as _};
use std::ops::ControlFlow;

/// Print all tickets as JSON Lines
///
/// In order of closing time and id. Importing the output into an empty ledger gives the same
/// ledger again. Example: `fixtally tickets export > tickets.jsonl`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {}

pub(super) fn run(_: &Args, session: &Session) -> Result<Exit, Failure> {
    let Some(store) = ledger::open_existing(session)? else {
        session.notice("No tickets were imported yet.");
        return Ok(Exit::Findings);
    };
    let mut out = BufWriter::new(std::io::stdout().lock());
    let mut written: Result<(), std::io::Error> = Ok(());
    let mut write = |ticket| {
        written = serde_json::to_writer(&mut out, &ticket)
            .map_err(Into::into)
            .and_then(|()| out.write_all(b"\n"));
        match written {
            Ok(()) => ControlFlow::Continue(()),
            Err(_) => ControlFlow::Break(()),
        }
    };
    store
        .each(&Filter::default(), Order::OldestFirst, &mut write)
        .map_err(ledger::failure)?;
    written?;
    out.flush()?;
    Ok(Exit::Done)
}
