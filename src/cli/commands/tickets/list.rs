//! `fixtally tickets list`: closed tickets, newest first.

use super::readings::{Readings, as_json};
use super::table::{self, Column};
use super::unknown;
use super::{Exit, Failure, Session};
use crate::base::escape::terminal_line;
use crate::base::ids::ArticleId;
use crate::cli::ledger;
use crate::tickets::store::{Filter, Ledger, Order};
use crate::tickets::{Outcome, Ticket};
use clap::ValueEnum;
use jiff::civil::Date;
use jiff::{Timestamp, tz::TimeZone};
use serde_json::{Map, Value, json};
use std::io::Write as _;
use std::ops::ControlFlow;

/// List closed tickets, newest first
///
/// Dates are of UTC. An article that was read of a ticket's words stands as `read: ARTICLE`. Example: `fixtally tickets list --outcome handed-on --since 2026-10-01`.
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
    /// Only tickets whose article nobody recorded and no words tell surely enough
    #[arg(long, conflicts_with = "article")]
    unmatched: bool,
    /// Only tickets with an article, fix, device or code that the knowledge base does not have
    #[arg(long, conflicts_with = "unmatched")]
    unknown: bool,
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
    let mut readings = None;
    if let Some(store) = ledger::open_existing(session)? {
        let read = Readings::open(session, &store)?;
        if args.unmatched {
            (tickets, total) = some(&store, filter, args.limit, |t| read.unmatched(t))?;
        } else if args.unknown {
            let known = unknown::knowledge(session);
            let mut looker = known.as_ref().map(unknown::looker);
            let names_unknown = |t: &Ticket| looker.as_mut().is_some_and(|l| l.sees(t));
            (tickets, total) = some(&store, filter, args.limit, names_unknown)?;
        } else {
            let mut take = |ticket| {
                tickets.push(ticket);
                ControlFlow::Continue(())
            };
            store
                .each(&filter, Order::NewestFirst, &mut take)
                .map_err(ledger::failure)?;
            total = store.count(&filter).map_err(ledger::failure)?;
        }
        notice_later(&store, session)?;
        readings = Some(read);
    }
    let mut out = session.out();
    if session.json {
        let list = as_list(&tickets, total, readings.as_ref());
        writeln!(out, "{list}")?;
    } else if tickets.is_empty() {
        session.notice("No such tickets.");
    } else {
        write!(out, "{}", text(&tickets, readings.as_ref()))?;
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

/// Tickets of which something holds: as many as asked for, and how many there are.
fn some(
    store: &dyn Ledger,
    filter: Filter,
    limit: u64,
    mut holds: impl FnMut(&Ticket) -> bool,
) -> Result<(Vec<Ticket>, u64), Failure> {
    let all = Filter {
        limit: None,
        ..filter
    };
    let (mut tickets, mut total) = (Vec::new(), 0);
    let mut take = |ticket: Ticket| {
        if holds(&ticket) {
            total += 1;
            if total <= limit {
                tickets.push(ticket);
            }
        }
        ControlFlow::Continue(())
    };
    store
        .each(&all, Order::NewestFirst, &mut take)
        .map_err(ledger::failure)?;
    Ok((tickets, total))
}

/// For machines: the tickets as they arrived, and beside them what was read of their words.
fn as_list(tickets: &[Ticket], total: u64, readings: Option<&Readings>) -> Value {
    let read = |ticket: &Ticket| Some((ticket.id.to_string(), as_json(&readings?.of(ticket)?)));
    let read: Map<String, Value> = tickets.iter().filter_map(read).collect();
    json!({"tickets": tickets, "total": total, "readings": read})
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

fn text(tickets: &[Ticket], readings: Option<&Readings>) -> String {
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
            terminal_line(&readings.map_or_else(String::new, |r| r.article(ticket))),
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
