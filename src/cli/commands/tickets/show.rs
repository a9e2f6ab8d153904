//! `fixtally tickets show`: one ticket.

use super::list::name;
use super::readings::{self, Readings, result_name};
use super::{Exit, Failure, Session};
use crate::base::escape::terminal_line;
use crate::base::problem::did_you_mean;
use crate::cli::ledger;
use crate::tickets::care::Care as _;
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::store::Ledger;
use crate::tickets::{Ticket, Try};
use jiff::Timestamp;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write as _;

/// Show one ticket
///
/// By its id, or by its id in the office's own system.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The ticket's id or ref
    #[arg(value_name = "ID")]
    id: String,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let store = ledger::open_existing(session)?;
    let found = match &store {
        Some(store) => found(&args.id, store)?,
        None => None,
    };
    let mut out = session.out();
    if let Some(ticket) = found {
        let readings = match &store {
            Some(store) => Some(Readings::open(session, store)?),
            None => None,
        };
        if session.json {
            writeln!(out, "{}", as_json(&ticket, readings.as_ref()))?;
        } else {
            let read = readings.map_or_else(String::new, |readings| read_text(&ticket, &readings));
            write!(out, "{}{read}", text(&ticket))?;
        }
        return Ok(Exit::Done);
    }
    if session.json {
        writeln!(out, "null")?;
    }
    match &store {
        Some(store) => missing(&args.id, store),
        None => Ok(no_such(&args.id, "")),
    }
}

/// The ticket of this id or ref; else the one whose id differs in capitals alone.
fn found(asked: &str, store: &SqliteLedger) -> Result<Option<Ticket>, Failure> {
    if let Some(ticket) = store.get(asked).map_err(ledger::failure)? {
        return Ok(Some(ticket));
    }
    let small = asked.to_lowercase();
    let ids = store.ids().map_err(ledger::failure)?;
    let mut alike = ids.iter().filter(|id| id.as_str().to_lowercase() == small);
    match (alike.next(), alike.next()) {
        (Some(one), None) => store.get(one.as_str()).map_err(ledger::failure),
        _ => Ok(None),
    }
}

/// Says that there is no such ticket, and which is called similarly; or that it was removed.
pub(super) fn missing(asked: &str, store: &SqliteLedger) -> Result<Exit, Failure> {
    if let Some(id) = store.removed(asked).map_err(ledger::failure)? {
        let line =
            format!("`{id}` was removed; `fixtally tickets remove {id} --undo` puts it back");
        anstream::eprintln!("{}", terminal_line(&line));
        return Ok(Exit::Findings);
    }
    let ids = store.ids().map_err(ledger::failure)?;
    let near = did_you_mean(asked, ids.iter().map(|id| id.as_str()));
    let near = near.map(|near| format!("; {near}")).unwrap_or_default();
    Ok(no_such(asked, &near))
}

fn no_such(asked: &str, near: &str) -> Exit {
    let line = format!("there is no ticket `{asked}`{near}");
    anstream::eprintln!("{}", terminal_line(&line));
    Exit::Findings
}

/// As it arrived, with what was read of its words and what people confirmed beside it.
fn as_json(ticket: &Ticket, readings: Option<&Readings>) -> Value {
    let mut shown = json!(ticket);
    if let (Some(shown), Some(readings)) = (shown.as_object_mut(), readings) {
        if let Some(reading) = readings.of(ticket) {
            shown.insert("reading".to_owned(), readings::as_json(&reading));
        }
        if let Some(said) = readings.said(ticket) {
            shown.insert("confirmed".to_owned(), json!(said));
        }
    }
    shown
}

/// What was read of its words, or what a person said of that.
fn read_text(ticket: &Ticket, readings: &Readings) -> String {
    let mut out = String::new();
    let lines = readings
        .of(ticket)
        .map_or_else(Vec::new, |r| readings::lines(&r));
    for (at, read) in lines.iter().enumerate() {
        line(&mut out, if at == 0 { "read" } else { "" }, read);
    }
    if let Some(said) = readings.said(ticket) {
        let article = said
            .article
            .iter()
            .map(|article| format!("article {article}"));
        let all: Vec<String> = article.chain(said.tries.iter().map(try_text)).collect();
        let told = if all.is_empty() {
            "what was read is not so".to_owned()
        } else {
            all.join("\n")
        };
        line(&mut out, "confirmed", &told);
    }
    out
}

/// Labels at the left, wrapped at 80 columns.
pub(super) fn text(ticket: &Ticket) -> String {
    let pairs = |pairs: &BTreeMap<String, String>| {
        let shown: Vec<String> = pairs.iter().map(|(k, v)| format!("{k} = {v}")).collect();
        shown.join(", ")
    };
    let time = |time: Option<Timestamp>| time.map_or_else(String::new, |t| t.to_string());
    let plain = |text: &Option<String>| text.clone().unwrap_or_default();
    let id = |text: Option<&str>| text.unwrap_or_default().to_owned();
    let not_danger: Vec<&str> = ticket.not_danger.iter().map(|a| a.as_str()).collect();
    let mut out = String::new();
    for (label, value) in [
        ("id", ticket.id.to_string()),
        ("ref", plain(&ticket.reference)),
        ("follows", id(ticket.follows.as_ref().map(|f| f.as_str()))),
        ("opened", time(ticket.opened)),
        ("closed", ticket.closed.to_string()),
        ("reopened", time(ticket.reopened)),
        ("device", plain(&ticket.device)),
        ("firmware", plain(&ticket.firmware)),
        ("channel", plain(&ticket.channel)),
        ("source", plain(&ticket.source)),
        ("codes", ticket.codes.join(", ")),
        ("signs", pairs(&ticket.signs)),
        ("seen", pairs(&ticket.seen)),
        ("article", id(ticket.article.as_ref().map(|a| a.as_str()))),
        ("no danger", not_danger.join(", ")),
        ("outcome", ticket.outcome.map_or("", name).to_owned()),
    ] {
        line(&mut out, label, &value);
    }
    for (at, one) in ticket.tries.iter().enumerate() {
        line(&mut out, if at == 0 { "tries" } else { "" }, &try_text(one));
    }
    line(&mut out, "said", &plain(&ticket.said));
    line(&mut out, "notes", &plain(&ticket.notes));
    out
}

fn try_text(one: &Try) -> String {
    let result = result_name(one.result);
    match one.minutes {
        Some(minutes) => format!("{}: {result}, {minutes} minutes", one.fix),
        None => format!("{}: {result}", one.fix),
    }
}

fn line(out: &mut String, label: &str, value: &str) {
    if value.is_empty() {
        return;
    }
    let first = format!("{label:<10}");
    for (at, paragraph) in value.lines().enumerate() {
        let options = textwrap::Options::new(80)
            .initial_indent(if at == 0 { &first } else { "          " })
            .subsequent_indent("          ");
        for wrapped in textwrap::wrap(&terminal_line(paragraph), options) {
            let _ = writeln!(out, "{}", wrapped.trim_end());
        }
    }
}
