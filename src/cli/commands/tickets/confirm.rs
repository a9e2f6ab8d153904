//! `fixtally tickets confirm`: people say whether what was read is so.

mod answers;
mod asking;

use super::readings::{Readings, as_json, percent, result_name};
use super::table::{self, Column};
use super::{Exit, Failure, Session};
use crate::base::escape::terminal_line;
use crate::base::problem::did_you_mean;
use crate::cli::{Desk, ledger};
use crate::notes::Reading;
use crate::tickets::Ticket;
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::store::{Filter, Ledger, Order};
use crate::view::numbers::counted;
use jiff::tz::TimeZone;
use serde_json::json;
use std::io::Write as _;
use std::ops::ControlFlow;
use std::path::PathBuf;

/// Say whether what was read of tickets' words is so
///
/// What is read surely enough counts by itself; the rest waits here, newest first. Asks ticket by
/// ticket on the terminal or through a pipe: accept, correct, reject, or leave for later. What is
/// confirmed is a fact: it stays through every import, and teaches how to read other notes.
///
/// For many at once: `tickets confirm --list --json > waiting.jsonl`, edit `answer` (accept,
/// correct, reject, later), and with `correct` also `article` and `tries`, then
/// `tickets confirm --from waiting.jsonl`. Exit code 1: nothing waits.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Only these tickets, whether they wait or not
    #[arg(value_name = "ID")]
    ids: Vec<String>,
    /// List what waits and ask nothing
    #[arg(long, conflicts_with = "from")]
    list: bool,
    /// Take answers from a file of JSON Lines, `-` for standard input; all of them or none
    #[arg(long, value_name = "FILE", conflicts_with = "ids")]
    from: Option<PathBuf>,
    /// No more than this many
    #[arg(long, value_name = "N")]
    limit: Option<usize>,
}

/// Columns of an id; longer ones are cut.
const ID: usize = 14;

/// A ticket and what was read of it.
struct Waiting {
    ticket: Ticket,
    reading: Reading,
}

/// What answering did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Answered {
    confirmed: u64,
    rejected: u64,
    later: u64,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    // Reads what nobody read yet.
    let desk = Desk::open_learned(session)?;
    let mut store = ledger::open(session)?;
    if let Some(file) = &args.from {
        let Some(done) = answers::take(file, &mut store, &desk.catalog, session)? else {
            return Ok(Exit::Error);
        };
        return finish(done, session);
    }
    let most = args.limit.unwrap_or(usize::MAX);
    let (waiting, total) = if args.ids.is_empty() {
        waiting(most, &store, session)?
    } else {
        named(&args.ids, most, &store, session)?
    };
    if args.list {
        return list(&waiting, total, session);
    }
    if waiting.is_empty() {
        session.notice("Nothing waits to be confirmed.");
        return Ok(Exit::Findings);
    }
    let done = asking::ask(&waiting, &mut store, &desk.catalog, session)?;
    drop((desk, store));
    finish(done, session)
}

/// The newest so many that are below their bar, newest first, and how many there are.
fn waiting(
    most: usize,
    store: &SqliteLedger,
    session: &Session,
) -> Result<(Vec<Waiting>, usize), Failure> {
    let readings = Readings::open(session, store)?;
    let (mut waiting, mut total) = (Vec::new(), 0);
    store
        .each(&Filter::default(), Order::NewestFirst, &mut |ticket| {
            if let Some(reading) = readings.of(&ticket).filter(Reading::waits) {
                total += 1;
                if waiting.len() < most {
                    waiting.push(Waiting { ticket, reading });
                }
            }
            ControlFlow::Continue(())
        })
        .map_err(ledger::failure)?;
    Ok((waiting, total))
}

fn named(
    ids: &[String],
    most: usize,
    store: &SqliteLedger,
    session: &Session,
) -> Result<(Vec<Waiting>, usize), Failure> {
    let readings = Readings::open(session, store)?;
    let mut found = Vec::new();
    for id in ids {
        let Some(ticket) = store.get(id).map_err(ledger::failure)? else {
            let known = store.ids().map_err(ledger::failure)?;
            let failure = Failure::new(format!("there is no ticket `{id}`"));
            let near = did_you_mean(id, known.iter().map(|id| id.as_str()));
            return Err(near.into_iter().fold(failure, Failure::hint));
        };
        let reading = readings.of(&ticket).unwrap_or_default();
        found.push(Waiting { ticket, reading });
    }
    let total = found.len();
    found.truncate(most);
    Ok((found, total))
}

fn list(waiting: &[Waiting], total: usize, session: &Session) -> Result<Exit, Failure> {
    let mut out = session.out();
    if session.json {
        for one in waiting {
            writeln!(out, "{}", line(one))?;
        }
        return Ok(Exit::findings_if(waiting.is_empty()));
    }
    if waiting.is_empty() {
        session.notice("Nothing waits to be confirmed.");
        return Ok(Exit::Findings);
    }
    let mut rows = vec![
        ["closed", "id", "sure", "read of its words"]
            .map(str::to_owned)
            .to_vec(),
    ];
    let ids = waiting.iter().map(|one| one.ticket.id.as_str().len());
    let id_width = ids.max().unwrap_or(0).clamp(2, ID);
    // Between columns stand two blanks; what is longer goes on in the next line.
    let words_width = 80 - (10 + 2) - (id_width + 2) - (5 + 2);
    for Waiting { ticket, reading } in waiting {
        let article = reading.article.iter();
        let article = article.map(|(id, chance)| (*chance, format!("article {id}")));
        let tries = reading.tries.iter();
        let tries = tries.map(|read| {
            (
                read.chance,
                format!("{}: {}", result_name(read.result), read.fix),
            )
        });
        let mut first = [
            TimeZone::UTC.to_datetime(ticket.closed).date().to_string(),
            terminal_line(ticket.id.as_str()),
        ];
        for (chance, read) in article.chain(tries) {
            let mut sure = percent(chance);
            for line in textwrap::wrap(&terminal_line(&read), words_width) {
                let [closed, id] = std::mem::take(&mut first);
                rows.push(vec![
                    closed,
                    id,
                    std::mem::take(&mut sure),
                    line.into_owned(),
                ]);
            }
        }
    }
    let columns = [
        Column::left(10),
        Column::left(ID),
        Column::right(5),
        Column::rest(),
    ];
    write!(out, "{}", table::aligned(&columns, &rows))?;
    let more = total.saturating_sub(waiting.len());
    if more > 0 {
        session.notice(&format!("{more} more."));
    }
    Ok(Exit::Done)
}

/// A line that `--from` takes back.
fn line(one: &Waiting) -> serde_json::Value {
    let Waiting { ticket, reading } = one;
    let mut line = json!({
        "id": ticket.id, "answer": "later", "closed": ticket.closed, "outcome": ticket.outcome,
        "said": ticket.said, "notes": ticket.notes,
    });
    if let (Some(line), serde_json::Value::Object(read)) = (line.as_object_mut(), as_json(reading))
    {
        line.insert("recorded".to_owned(), json!(ticket.article));
        line.extend(read);
    }
    line
}

/// Says what was done, and learns from it as an import would.
fn finish(done: Answered, session: &Session) -> Result<Exit, Failure> {
    let mut out = session.out();
    if session.json {
        let Answered {
            confirmed,
            rejected,
            later,
        } = done;
        let done = json!({ "confirmed": confirmed, "rejected": rejected, "later": later });
        writeln!(out, "{done}")?;
    } else {
        let confirmed = counted(done.confirmed, "reading");
        let said = format!("{confirmed} confirmed, {} rejected", done.rejected);
        writeln!(out, "{said}, {} left for later.", done.later)?;
    }
    out.flush()?;
    if done.confirmed + done.rejected > 0
        && let Err(failure) = Desk::open_learned(session)
    {
        session.notice(&format!(
            "The answers are kept, but nothing was learned from them: {failure}."
        ));
    }
    Ok(Exit::Done)
}
