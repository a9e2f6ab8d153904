//! `fixtally tickets remove`: tickets that are to stay out.

use super::correct::{say, say_undone};
use super::{Exit, Failure, Session};
use crate::cli::ledger;
use crate::tickets::care::Care;
use serde_json::json;

/// Take tickets out of the ledger
///
/// They no longer count, and later imports leave them out. --undo puts them back; after an import,
/// it lets the next one bring them.
///
/// Exit code 1: there is no such ticket, or nothing to undo.
/// Example: `fixtally tickets remove T-10482`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The tickets' ids or refs
    #[arg(value_name = "ID", required = true)]
    tickets: Vec<String>,
    /// Put them back
    #[arg(long)]
    undo: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let mut store = ledger::open(session)?;
    let mut exit = Exit::Done;
    for ticket in &args.tickets {
        let done = if args.undo {
            let undone = store.restore(ticket).map_err(ledger::failure)?;
            say_undone(session, ticket, &undone, "removed")?
        } else {
            match store.remove(ticket).map_err(ledger::failure)? {
                None => super::show::missing(ticket, &store)?,
                Some(id) => {
                    let line = format!(
                        "{id}: removed, also from later imports (`fixtally tickets remove {id} --undo` puts it back)"
                    );
                    say(session, &json!({"id": id, "removed": true}), &line)?;
                    Exit::Done
                }
            }
        };
        if done != Exit::Done {
            exit = done;
        }
    }
    Ok(exit)
}
