//! `fixtally tickets forget`: drops old text and keeps what is counted.

use super::correct::say;
use super::readings::Readings;
use super::{Exit, Failure, Session};
use crate::cli::{Desk, ledger};
use crate::tickets::Ticket;
use crate::tickets::care::Care;
use crate::view::numbers::{counted, counted_as};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde_json::json;
use std::cell::Cell;

/// Drop the text of old tickets and keep their counts
///
/// What was said and noted in tickets closed before a day goes, in the ledger and in everything made
/// from it; recorded and confirmed articles, tries, results, codes and answers stay and count as before.
/// What was surely read from the text stays as it stood, marked as read. Later imports do not bring such
/// text back. Dropped text is overwritten and cannot be restored from here, so nothing is done without
/// --yes. --undo lifts the rule, and the next import of the old files brings their text.
///
/// Example: `fixtally tickets forget --before 2024-01-01 --yes`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The first day whose text stays
    #[arg(long, value_name = "DATE", value_parser = crate::cli::args::date, required_unless_present = "undo")]
    before: Option<Date>,
    /// Do it
    #[arg(long)]
    yes: bool,
    /// Let later imports bring text of any time again
    #[arg(long, conflicts_with_all = ["before", "yes"])]
    undo: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let mut store = ledger::open(session)?;
    let Some(day) = args.before.filter(|_| !args.undo) else {
        let held = store.remember().map_err(ledger::failure)?;
        let line = match held {
            Some(time) => format!(
                "text before {} is no longer kept out; the next import of its files brings it back",
                TimeZone::UTC.to_datetime(time).date()
            ),
            None => "no text was kept out: nothing to undo".to_owned(),
        };
        say(session, &json!({"undone": held.is_some()}), &line)?;
        return Ok(Exit::findings_if(held.is_none()));
    };
    let before = TimeZone::UTC
        .to_timestamp(day.at(0, 0, 0, 0))
        .map_err(|e| Failure::because(format!("`{day}` is out of range"), &e))?;
    if !args.yes {
        let with_text = store.with_text(before).map_err(ledger::failure)?;
        let line = format!(
            "{} closed before {day} would lose their text for good; do it with `--yes`",
            counted(with_text, "ticket")
        );
        say(
            session,
            &json!({"before": day, "would_forget": with_text}),
            &line,
        )?;
        return Ok(Exit::Done);
    }
    drop(store);
    // What nobody read yet is read now: afterwards there is nothing to read.
    drop(Desk::open_learned(session)?);
    let mut store = ledger::open(session)?;
    let readings = Readings::open(session, &store)?;
    let kept = Cell::new(0);
    let read = |ticket: &Ticket| {
        let read = readings.of(ticket)?.to_remember();
        kept.set(kept.get() + read.tries.len() as u64);
        Some(read)
    };
    let forgotten = store.forget(before, &read).map_err(ledger::failure)?;
    drop((store, readings));
    // Made anew without the text.
    drop(Desk::open_learned(session)?);
    let line = format!(
        "{} closed before {day} lost their text; their counts stay{}",
        counted(forgotten, "ticket"),
        match kept.get() {
            0 => String::new(),
            kept => format!(
                ", {} read from it among them",
                counted_as(kept, "try", "tries")
            ),
        }
    );
    say(
        session,
        &json!({"before": day, "forgotten": forgotten, "read_tries": kept.get()}),
        &line,
    )?;
    Ok(Exit::Done)
}
