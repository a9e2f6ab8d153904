//! `fixtally tickets list`: closed tickets, newest first.

use super::table::{self, Column};
use super::{Exit, Failure, Session};
use crate::base::escape::terminal_line;
use crate::base::ids::ArticleId;
use crate::cli::ledger;
use crate::tickets::store::{Filter, Ledger, Order};
use crate::tickets::{Outcome, Ticket};
use clap::ValueEnum;
use jiff::civil::Date;
use jiff::{Timestamp, tz::TimeZone};
use serde_json::json;
use std::io::Write as _;
use std::ops::ControlFlow;

/// List closed tickets, newest first
///
/// Dates are of UTC. Example: `fixtally tickets list --outcome handed-on --since 2026-10-01`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Only tickets recorded with this article
    #[arg(long, value_name = "ARTICLE")]
    article: Option<String>,
    /// Only tickets closed on this day or later
    #[arg(long, value_name = "DATE", value_parser = crate::cli::args::date)]
    since: Option<Date>,
    /// Only tickets closed on this day or earlier
    #[arg(long, value_name = "DATE", value_parser = crate::cli::args::date)]
    until: Option<Date>,
    /// Only tickets that ended so
    #[arg(long, value_enum, value_name = "OUTCOME")]
    outcome: Option<Ended>,
    /// No more than this many
    #[arg(long, value_name = "N", default_value_t = 20)]
    limit: u64,
}

/// How a ticket ended.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Ended {
    Resolved,
    HandedOn,
    Dropped,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let filter = filter(args, session)?;
    let mut tickets = Vec::new();
    let mut total = 0;
    if let Some(store) = ledger::open_existing(session)? {
        let mut take = |ticket| {
            tickets.push(ticket);
            ControlFlow::Continue(())
        };
        store
            .each(&filter, Order::NewestFirst, &mut take)
            .map_err(ledger::failure)?;
        total = store.count(&filter).map_err(ledger::failure)?;
        notice_later(&store, session)?;
    }
    let mut out = session.out();
    if session.json {
        writeln!(out, "{}", json!({"tickets": tickets, "total": total}))?;
    } else if tickets.is_empty() {
        session.notice("No such tickets.");
    } else {
        write!(out, "{}", text(&tickets))?;
        let more = total.saturating_sub(tickets.len() as u64);
        if more > 0 {
            session.notice(&format!("{more} more; show them with `--limit {total}`."));
        }
    }
    Ok(Exit::findings_if(tickets.is_empty()))
}

fn filter(args: &Args, session: &Session) -> Result<Filter, Failure> {
    let until = match (args.until, session.as_of) {
        (Some(until), Some(as_of)) => Some(until.min(as_of)),
        (until, as_of) => until.or(as_of),
    };
    Ok(Filter {
        article: args.article.as_deref().map(ArticleId::new),
        since: args.since.map(midnight).transpose()?,
        before: until.map(midnight_after).transpose()?,
        outcome: args.outcome.map(|ended| match ended {
            Ended::Resolved => Outcome::Resolved,
            Ended::HandedOn => Outcome::HandedOn,
            Ended::Dropped => Outcome::Dropped,
        }),
        limit: Some(args.limit),
    })
}

fn midnight(day: Date) -> Result<Timestamp, Failure> {
    TimeZone::UTC
        .to_timestamp(day.at(0, 0, 0, 0))
        .map_err(|e| Failure::because(format!("`{day}` is out of range"), &e))
}

fn midnight_after(day: Date) -> Result<Timestamp, Failure> {
    let next = day
        .tomorrow()
        .map_err(|e| Failure::because(format!("`{day}` is out of range"), &e))?;
    midnight(next)
}

/// Tickets after the day taken as today are not shown, but counted.
fn notice_later(store: &dyn Ledger, session: &Session) -> Result<(), Failure> {
    let Some(as_of) = session.as_of else {
        return Ok(());
    };
    let later = Filter {
        since: Some(midnight_after(as_of)?),
        ..Filter::default()
    };
    let later = store.count(&later).map_err(ledger::failure)?;
    if later > 0 {
        session.notice(&format!(
            "{later} tickets closed after {as_of} are ignored."
        ));
    }
    Ok(())
}

fn text(tickets: &[Ticket]) -> String {
    let mut rows = vec![
        ["closed", "id", "outcome", "article", "said"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for ticket in tickets {
        let said = ticket.said.as_deref().or(ticket.notes.as_deref());
        rows.push(vec![
            TimeZone::UTC.to_datetime(ticket.closed).date().to_string(),
            terminal_line(ticket.id.as_str()),
            ticket.outcome.map_or("", name).to_owned(),
            terminal_line(ticket.article.as_ref().map_or("", |a| a.as_str())),
            terminal_line(said.unwrap_or_default()),
        ]);
    }
    let columns = [
        Column::left(10),
        Column::left(14),
        Column::left(9),
        Column::left(24),
        Column::rest(),
    ];
    table::aligned(&columns, &rows)
}

/// An outcome as the file format writes it.
pub(super) fn name(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Resolved => "resolved",
        Outcome::HandedOn => "handed-on",
        Outcome::Dropped => "dropped",
    }
}
