//! `fixtally tickets similar`: closed cases like the one in hand.

use super::list::name;
use super::{Exit, Failure, Session};
use crate::articles::Catalog;
use crate::base::escape::terminal_line;
use crate::cli::answer::wrapped;
use crate::cli::{Desk, ledger};
use crate::tickets::record::OTHER;
use crate::tickets::store::Ledger;
use crate::tickets::{Ticket, TryResult};
use crate::view::numbers::counted_as;
use jiff::tz::TimeZone;
use serde_json::json;

/// Show closed tickets like this one, and what ended them
///
/// By what callers said, closest and newest first, without personal data: a ticket twice as old as
/// `half-life-days` of `kb.toml` must be much closer to stand before a new one.
///
/// Exit code 1: there is none.
/// Example: `fixtally tickets similar breaker trips when it rains --device post-22`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// What the caller says
    #[arg(value_name = "WORDS", required = true)]
    words: Vec<String>,
    /// Only tickets of this device
    #[arg(long, value_name = "D")]
    device: Option<String>,
    /// No more than this many
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u16).range(1..))]
    limit: u16,
}

/// How many tickets are looked through for those of one device.
const LOOKED_THROUGH: usize = 400;

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let said = args.words.join(" ");
    if said.trim().is_empty() {
        let failure = Failure::new("there are no words to look for");
        return Err(
            failure.hint("say what the caller says: `fixtally tickets similar breaker trips`")
        );
    }
    let desk = Desk::open_counted(session)?;
    let device = args.device.as_deref();
    let device = device.map(|d| desk.names().device(d)).transpose()?;
    let limit = usize::from(args.limit);
    let most = if device.is_some() {
        LOOKED_THROUGH
    } else {
        limit
    };
    let store = ledger::open_existing(session)?;
    let mut found = Vec::new();
    for id in desk.like(&said, most)? {
        let ticket = match &store {
            Some(store) => store.get(id.as_str()).map_err(ledger::failure)?,
            None => None,
        };
        let of_device = |t: &Ticket| device.is_none() || t.device == device;
        found.extend(ticket.filter(of_device));
        if found.len() == limit {
            break;
        }
    }
    if session.json {
        let tickets: Vec<_> = found
            .iter()
            .map(|ticket| json!({"ticket": ticket, "ended_by": ended(ticket, &desk.catalog)}))
            .collect();
        session.print_json(&json!({ "similar": tickets }))?;
    } else if found.is_empty() {
        session.notice("No closed ticket is like this.");
    } else {
        for ticket in &found {
            print(session, ticket, &desk.catalog)?;
        }
    }
    Ok(Exit::findings_if(found.is_empty()))
}

fn print(session: &Session, ticket: &Ticket, catalog: &Catalog) -> Result<(), Failure> {
    let out = &mut session.out();
    let day = TimeZone::UTC.to_datetime(ticket.closed).date();
    let mut first = vec![day.to_string(), terminal_line(ticket.id.as_str())];
    first.extend(ticket.device.as_deref().map(terminal_line));
    wrapped(out, "", &first.join("  "))?;
    let said = ticket.said.as_deref().or(ticket.notes.as_deref());
    wrapped(out, "  said   ", said.unwrap_or_default())?;
    wrapped(out, "  ended  ", &ended(ticket, catalog))?;
    // Where no fix is named, the notes say what was done.
    let named = ticket.tries.iter().any(|t| t.result == TryResult::Resolved);
    if let (false, Some(notes), true) = (named, &ticket.notes, ticket.said.is_some()) {
        wrapped(out, "  noted  ", notes)?;
    }
    Ok(())
}

/// What ended a ticket, in words: the fix that resolved it, else its outcome.
fn ended(ticket: &Ticket, catalog: &Catalog) -> String {
    let resolved = ticket
        .tries
        .iter()
        .rfind(|t| t.result == TryResult::Resolved);
    let Some(resolved) = resolved else {
        return match (ticket.outcome, ticket.tries.len()) {
            (None, _) => "not known".to_owned(),
            (Some(outcome), 0) => name(outcome).to_owned(),
            (Some(outcome), tries) => {
                let tries = counted_as(tries as u64, "try", "tries");
                format!("{}, after {tries}", name(outcome))
            }
        };
    };
    if resolved.fix == OTHER {
        return "something no article lists".to_owned();
    }
    let fix = catalog.resolve_fix(ticket.article.as_ref(), &resolved.fix);
    let title = fix
        .as_ref()
        .and_then(|id| catalog.fixes.get(id))
        .map(|fix| fix.title.clone());
    match (title, fix) {
        (Some(title), Some(id)) => format!("{title} ({id})"),
        _ => resolved.fix.clone(),
    }
}
