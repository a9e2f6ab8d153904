//! `fixtally tickets import --look`: the first rows as they would be read; nothing is written.

use super::input::{self, Clean};
use super::maps::Maps;
use super::opened::{self, Opened};
use super::{Exit, Failure, Session, show};
use crate::base::escape::terminal_line;
use crate::base::problem::Problem;
use crate::cli::problem;
use crate::tickets::encoding::Encoding;
use crate::tickets::map::Map;
use crate::tickets::{Scrubber, Ticket};
use indicatif::ProgressBar;
use serde_json::json;
use std::io::Write as _;
use std::path::{Path, PathBuf};

/// How many rows are shown.
const SHOWN: usize = 5;

/// How many rows are read to say how many are no tickets.
const LOOKED_AT: usize = 1000;

/// What a look at one file found.
struct Looked {
    read_as: String,
    /// The first rows, in order.
    rows: Vec<Shown>,
    read: usize,
    rejected: usize,
    /// Columns that no field is fed from.
    unused: Vec<String>,
    /// Fields that nothing feeds.
    empty: Vec<&'static str>,
}

enum Shown {
    Ticket(Box<Ticket>),
    Problem(Box<Problem>),
}

pub(super) fn run(
    session: &Session,
    files: &[PathBuf],
    maps: &Maps,
    scrubber: &Scrubber,
    encoding: Option<Encoding>,
) -> Result<Exit, Failure> {
    let mut out = session.out();
    let (mut json_files, mut rejected, mut failed) = (Vec::new(), false, false);
    for file in files {
        let looked = opened::open(file, maps, encoding, |_| ProgressBar::hidden())
            .and_then(|opened| look(session, file, opened, scrubber));
        let looked = match looked {
            Ok(looked) => looked,
            Err(failure) => {
                session.show_failure(&failure);
                failed = true;
                continue;
            }
        };
        rejected |= looked.rejected > 0;
        if session.json {
            json_files.push(as_json(file, &looked));
        } else {
            write!(out, "{}", text(session, file, &looked))?;
        }
    }
    if session.json {
        session.print_json(&json!({ "files": json_files }))?;
    }
    Ok(if failed {
        Exit::Error
    } else {
        Exit::findings_if(rejected)
    })
}

fn look(
    session: &Session,
    file: &Path,
    opened: Opened<'_>,
    scrubber: &Scrubber,
) -> Result<Looked, Failure> {
    let empty = opened
        .map
        .map_or_else(Vec::new, |map| Map::empty_fields(map).collect());
    let read_as = opened.read_as;
    let (rows, unused) = match input::rows(file, opened.form, opened.map, opened.times, opened.text)
    {
        Ok(rows) => rows,
        Err(error) => {
            if let crate::tickets::row::ReadError::Map(problems) = &error {
                problem::print(session, problems)?;
            }
            return Err(opened::unreadable(file, &error));
        }
    };
    let mut looked = Looked {
        read_as,
        rows: Vec::new(),
        read: 0,
        rejected: 0,
        unused,
        empty,
    };
    for row in rows.take(LOOKED_AT) {
        looked.read += 1;
        let shown = match input::clean(scrubber, row) {
            Clean::Ticket(ticket, _) => Shown::Ticket(ticket),
            Clean::Rejected(reject) => {
                looked.rejected += 1;
                Shown::Problem(Box::new(reject.problem))
            }
            Clean::Broken(error) => return Err(opened::unreadable(file, &error)),
        };
        if looked.rows.len() < SHOWN {
            looked.rows.push(shown);
        }
    }
    Ok(looked)
}

fn as_json(file: &Path, looked: &Looked) -> serde_json::Value {
    let rows: Vec<_> = looked
        .rows
        .iter()
        .map(|row| match row {
            Shown::Ticket(ticket) => json!({ "ticket": ticket }),
            Shown::Problem(problem) => json!({ "problem": problem }),
        })
        .collect();
    json!({
        "file": file,
        "read_as": looked.read_as,
        "rows": rows,
        "read": looked.read,
        "rejected": looked.rejected,
        "unused_columns": looked.unused,
        "empty_fields": looked.empty,
    })
}

fn text(session: &Session, file: &Path, looked: &Looked) -> String {
    let name = terminal_line(&session.short(file).display().to_string());
    let mut out = format!("{name}: {}\n", looked.read_as);
    for (at, row) in looked.rows.iter().enumerate() {
        out += &format!("\nrow {}\n", at + 1);
        match row {
            Shown::Ticket(ticket) => out += &show::text(ticket),
            Shown::Problem(problem) => {
                out += &problem::text(problem, true);
                out.push('\n');
            }
        }
    }
    out.push('\n');
    if looked.read == 0 {
        out += "No rows.\n";
    } else {
        out += &format!(
            "Of the first {}, {} would be rejected.\n",
            crate::view::numbers::counted(looked.read as u64, "row"),
            looked.rejected
        );
    }
    let mut list = |label: &str, names: Vec<String>| {
        if !names.is_empty() {
            let options = textwrap::Options::new(80).subsequent_indent("  ");
            let line = format!("{label}: {}.", names.join(", "));
            out += &textwrap::fill(&terminal_line(&line), options);
            out.push('\n');
        }
    };
    list("Columns not used", looked.unused.clone());
    let empty = looked.empty.iter().map(|f| (*f).to_owned()).collect();
    list("Fields without a column", empty);
    out += "Nothing was written.\n";
    out
}
