//! `fixtally tickets export`: the ledger as JSON Lines.

use super::readings::{Readings, as_json};
use super::{Exit, Failure, Session};
use crate::cli::ledger;
use crate::tickets::Ticket;
use crate::tickets::store::{Filter, Ledger, Order};
use serde_json::{Value, json};
use std::io::{BufWriter, Write as _};
use std::ops::ControlFlow;

/// Print all tickets as JSON Lines
///
/// In order of closing time and id. Importing the output into an empty ledger gives the same
/// ledger again. Example: `fixtally tickets export > tickets.jsonl`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// With what was read of each ticket's words and what people confirmed; `tickets confirm --from`
    /// takes the confirmations back
    #[arg(long)]
    with_readings: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let Some(store) = ledger::open_existing(session)? else {
        session.notice("No tickets were imported yet.");
        return Ok(Exit::Findings);
    };
    let mut out = BufWriter::new(std::io::stdout().lock());
    let mut written: Result<(), std::io::Error> = Ok(());
    let readings = match args.with_readings {
        true => Some(Readings::open(session, &store)?),
        false => None,
    };
    let mut write = |ticket: Ticket| {
        let line = match &readings {
            Some(readings) => serde_json::to_writer(&mut out, &with_readings(&ticket, readings)),
            None => serde_json::to_writer(&mut out, &ticket),
        };
        written = line.map_err(Into::into).and_then(|()| out.write_all(b"\n"));
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

fn with_readings(ticket: &Ticket, readings: &Readings) -> Value {
    let mut line = json!(ticket);
    if let Some(line) = line.as_object_mut() {
        if let Some(reading) = readings.of(ticket) {
            line.insert("reading".to_owned(), as_json(&reading));
        }
        if let Some(said) = readings.said(ticket) {
            line.insert("confirmed".to_owned(), json!(said));
        }
    }
    line
}
