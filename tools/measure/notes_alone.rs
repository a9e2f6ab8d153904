//! Does evidence from notes alone say the same as evidence from recorded tries?
//!
//! `notes_alone KB TICKETS.jsonl… > articles.jsonl`. Of the tickets that have an article, notes and
//! tries, each third is read with its tries hidden by a reader that the other two thirds taught, so
//! no note is read by a reader that has seen it. The cases are then counted twice: as recorded, and
//! with what was read in the place of all tries. For each article a line with its tickets and the
//! fixes by share in each count, each with the ends of its 90 % interval.

#![allow(clippy::print_stderr, reason = "a tool tells its failures there")]

use fixtally::articles::{Catalog, folder};
use fixtally::base::ids::{ArticleId, TicketId};
use fixtally::evidence::cases::day;
use fixtally::evidence::folds::fold;
use fixtally::evidence::readings::{learn_reader, tries};
use fixtally::evidence::{Cases, Evidence, Reading, gather};
use fixtally::tickets::jsonl::JsonLines;
use fixtally::tickets::row::Row;
use fixtally::tickets::{Scrubber, Ticket};
use jiff::civil::Date;
use rayon::prelude::*;
use serde_json::json;
use std::collections::BTreeMap;
use std::error::Error;
use std::io::{BufReader, Write};
use std::path::{Path, PathBuf};

/// Into how many parts the tickets fall.
const PARTS: usize = 3;

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args_os().skip(1).map(PathBuf::from);
    let Some(kb) = args.next() else {
        eprintln!("usage: notes_alone KB TICKETS.jsonl…");
        std::process::exit(2);
    };
    let files: Vec<PathBuf> = args.collect();
    let base = folder::read(&kb, Date::MIN)?;
    let scrubber = Scrubber::new(base.settings.serial.as_deref())?;
    let recorded = tickets(&files, &scrubber)?;
    let hidden: Vec<Ticket> = recorded
        .iter()
        .map(|ticket| {
            let mut raw = (**ticket).clone();
            raw.tries.clear();
            scrubber.ticket(raw).0
        })
        .collect();
    let mut readings: BTreeMap<TicketId, Reading> = BTreeMap::new();
    for part in 0..PARTS {
        let taught = recorded.iter().filter(|t| fold(&t.id) % PARTS != part);
        let reader = learn_reader(taught, &base.catalog, &base.analyzer);
        let read: Vec<(TicketId, Reading)> = hidden
            .par_iter()
            .filter(|ticket| fold(&ticket.id) % PARTS == part)
            .map(|t| {
                (
                    t.id.clone(),
                    tries(t, &base.catalog, &reader, &base.analyzer),
                )
            })
            .collect();
        readings.extend(read);
    }
    let as_of = recorded.iter().map(|t| day(t.closed)).max();
    let as_of = as_of.unwrap_or(Date::MIN);
    let count = |tickets: &[Ticket], readings: &BTreeMap<TicketId, Reading>| {
        let cases = Cases::of(
            tickets,
            readings,
            &base.catalog,
            &base.settings.model,
            as_of,
        );
        gather(&cases, &base.catalog, &base.settings, as_of)
    };
    let (as_recorded, as_read) = (
        count(&recorded, &BTreeMap::new()),
        count(&hidden, &readings),
    );
    let mut out = std::io::stdout().lock();
    for (article, found) in &as_recorded.articles {
        let shares = |evidence| shares(evidence, article, &base.catalog);
        let line = json!({
            "article": article, "tickets": found.cases,
            "recorded": shares(&as_recorded), "read": shares(&as_read),
        });
        writeln!(out, "{line}")?;
    }
    Ok(())
}

/// Tickets with everything that is to be compared.
fn tickets(files: &[PathBuf], scrubber: &Scrubber) -> Result<Vec<Ticket>, Box<dyn Error>> {
    let mut all = Vec::new();
    for file in files {
        for row in rows(file)? {
            let Row::Ticket(raw) = row? else {
                return Err(format!("{}: a line is no ticket", file.display()).into());
            };
            if raw.article.is_some() && raw.notes.is_some() && !raw.tries.is_empty() {
                all.push(scrubber.ticket(*raw).0);
            }
        }
    }
    Ok(all)
}

fn rows(file: &Path) -> std::io::Result<JsonLines<BufReader<std::fs::File>>> {
    Ok(JsonLines::new(
        file,
        BufReader::new(std::fs::File::open(file)?),
    ))
}

/// Fixes with their shares and the ends of the 90 % intervals, the largest first; the author's first of
/// equals.
fn shares(
    evidence: &Evidence,
    article: &ArticleId,
    catalog: &Catalog,
) -> Vec<(String, f64, f64, f64)> {
    let Some(fixes) = catalog.fixes_of.get(article) else {
        return Vec::new();
    };
    let shares = evidence.share_of(article, None);
    let mut all: Vec<(String, f64, f64, f64)> = fixes
        .iter()
        .zip(&shares)
        .map(|(fix, share)| (fix.to_string(), share.share, share.low, share.high))
        .collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all
}
