//! What the note reader's second look sees of each fix, beside what a person says was tried: the examples its
//! weights are learned from.
//!
//! `sights KB HARD.jsonl… > sights.jsonl`. The hard notes are read twice: by a reader that the tickets below
//! `KB/tickets` taught, and by one that nothing taught. Those tickets' own notes are read by thirds, each by
//! what the other two teach. And each hard note is read as if it were told of another article, whose fixes it
//! does not tell (`stranger` before the set): so a note is that says nothing of what was done. A line for each fix that may be told: its set (the file's name, with `untaught`
//! before it where nothing taught, `tickets` for the tickets), note, fix, what was told of it, and the
//! features; and a line with `missed` for each try told of a fix that was not looked at.

#![allow(clippy::print_stderr, reason = "a tool tells its failures there")]

use fixtally::articles::folder::{self, Folder};
use fixtally::base::ids::ArticleId;
use fixtally::evidence::folds::fold;
use fixtally::evidence::readings::learn_reader;
use fixtally::notes::Reader;
use fixtally::tickets::jsonl::JsonLines;
use fixtally::tickets::record::OTHER;
use fixtally::tickets::row::Row;
use fixtally::tickets::{Outcome, Scrubber, Ticket, TryResult};
use jiff::civil::Date;
use serde::Deserialize;
use serde_json::json;
use std::collections::BTreeMap;
use std::error::Error;
use std::io::{BufReader, Write};
use std::path::{Path, PathBuf};

/// Into how many parts the tickets fall.
const PARTS: usize = 3;

#[derive(Clone, Deserialize)]
struct Hard {
    id: String,
    article: ArticleId,
    outcome: Outcome,
    notes: String,
    tries: Vec<Told>,
}

#[derive(Clone, Deserialize)]
struct Told {
    fix: String,
    result: TryResult,
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args_os().skip(1).map(PathBuf::from);
    let Some(kb) = args.next() else {
        eprintln!("usage: sights KB HARD.jsonl…");
        std::process::exit(2);
    };
    let base = folder::read(&kb, Date::MIN)?;
    let scrubber = Scrubber::new(base.settings.serial.as_deref())?;
    let tickets = tickets(&kb.join("tickets"), &scrubber)?;
    let mut sights = Sights {
        out: std::io::BufWriter::new(std::io::stdout().lock()),
        base: &base,
    };
    let learn = |tickets: Vec<&Ticket>| learn_reader(tickets, &base.catalog, &base.analyzer);
    let taught = learn(tickets.iter().collect());
    let untaught = learn(Vec::new());
    for file in args {
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        for line in std::fs::read_to_string(&file)?.lines() {
            let hard: Hard = serde_json::from_str(line)?;
            let ticket = hard_ticket(&hard, &scrubber)?;
            let told = hard.tries.iter().map(|t| (t.fix.as_str(), t.result));
            let told: Vec<_> = told.collect();
            sights.put(&name, &ticket, &told, &taught)?;
            sights.put(&format!("untaught {name}"), &ticket, &told, &untaught)?;
            if let Some(ticket) = sights.of_stranger(&hard, &scrubber, &taught)? {
                sights.put(&format!("stranger {name}"), &ticket, &[], &taught)?;
            }
        }
    }
    for part in 0..PARTS {
        let (here, others) = tickets.iter().partition(|t| fold(&t.id) % PARTS == part);
        let reader = learn(others);
        let here: Vec<&Ticket> = here;
        for ticket in here.into_iter().filter(|t| !t.tries.is_empty()) {
            let told = ticket.tries.iter().map(|t| (t.fix.as_str(), t.result));
            sights.put("tickets", ticket, &told.collect::<Vec<_>>(), &reader)?;
        }
    }
    sights.out.flush()?;
    Ok(())
}

/// Those that came as rows of JSON, oldest file first.
fn tickets(folder: &Path, scrubber: &Scrubber) -> Result<Vec<Ticket>, Box<dyn Error>> {
    let mut all = Vec::new();
    for entry in walkdir::WalkDir::new(folder).sort_by_file_name() {
        let path = entry?.into_path();
        if path.extension().is_none_or(|e| e != "jsonl") {
            continue;
        }
        for row in JsonLines::new(&path, BufReader::new(std::fs::File::open(&path)?)) {
            match row? {
                Row::Ticket(raw) => all.push(scrubber.ticket(*raw).0),
                Row::Rejected(reject) => return Err(reject.problem.message.into()),
            }
        }
    }
    Ok(all)
}

fn hard_ticket(hard: &Hard, scrubber: &Scrubber) -> Result<Ticket, serde_json::Error> {
    let raw = json!({
        "id": hard.id, "closed": "2026-10-30T12:00:00Z", "article": hard.article,
        "outcome": hard.outcome, "notes": hard.notes,
    });
    Ok(scrubber.ticket(serde_json::from_value(raw)?).0)
}

struct Sights<'a, W> {
    out: W,
    base: &'a Folder,
}

impl<W: Write> Sights<'_, W> {
    /// The note as a ticket of the article half the way round that shares no fix with its own.
    fn of_stranger(
        &self,
        hard: &Hard,
        scrubber: &Scrubber,
        reader: &Reader,
    ) -> Result<Option<Ticket>, serde_json::Error> {
        let articles = &reader.known.articles;
        let served = self.base.catalog.article(&hard.article);
        let Some(own) = served.and_then(|a| reader.known.article(&a.id)) else {
            return Ok(None);
        };
        let told = |fix: &usize| {
            let id = &reader.known.fixes[*fix].id;
            articles[own].fixes.contains(fix) || hard.tries.iter().any(|t| t.fix == id.as_str())
        };
        let round =
            (0..articles.len()).map(|step| (own + articles.len() / 2 + step) % articles.len());
        let mut strange = round.filter(|a| !articles[*a].fixes.iter().any(told));
        let Some(other) = strange.find(|a| !articles[*a].fixes.is_empty()) else {
            return Ok(None);
        };
        let hard = Hard {
            article: articles[other].id.clone(),
            ..hard.clone()
        };
        hard_ticket(&hard, scrubber).map(Some)
    }

    /// Writes what is seen in one ticket's notes; nothing without notes or a served article.
    fn put(
        &mut self,
        set: &str,
        ticket: &Ticket,
        told: &[(&str, TryResult)],
        reader: &Reader,
    ) -> Result<(), Box<dyn Error>> {
        let catalog = &self.base.catalog;
        let (Some(article), Some(notes)) = (&ticket.article, &ticket.notes) else {
            return Ok(());
        };
        let mut told: BTreeMap<String, TryResult> = told
            .iter()
            .map(|(fix, result)| {
                let full = catalog.resolve_fix(Some(article), fix);
                (
                    full.map_or_else(|| OTHER.to_owned(), |fix| fix.to_string()),
                    *result,
                )
            })
            .collect();
        let served = catalog.article(article);
        if let Some(number) = served.and_then(|a| reader.known.article(&a.id)) {
            let cut = reader.cut(notes, &self.base.analyzer);
            for (fix, features) in reader.sights(&cut, Some(number), ticket.outcome) {
                let fix = fix.map_or(OTHER, |fix| reader.known.fixes[fix].id.as_str());
                let line = json!({
                    "set": set, "note": ticket.id, "fix": fix, "told": told.remove(fix),
                    "outcome": ticket.outcome,
                    "features": features,
                });
                writeln!(self.out, "{line}")?;
            }
        }
        for fix in told.keys() {
            let line = json!({ "set": set, "note": ticket.id, "missed": fix });
            writeln!(self.out, "{line}")?;
        }
        Ok(())
    }
}
