//! Times what is made of many tickets, in one process, with the tickets already in memory.
//!
//! `count_many KB STATE [learn]` reads the ledger in STATE as `fixtally` does, makes evidence of it
//! and, where asked, learns weights and words anew. Prints one JSON object: `tickets`, `tries`,
//! `articles`; `read`, `evidence` and `learn`, each with `seconds`, `cpu_seconds` and `megabytes`
//! (the peak beyond what was held before); and `counts`, from fix to resolved and tries.
//!
//! Memory and processor time are read from `/proc`, so only Linux tells them; elsewhere they are 0.

#![allow(clippy::print_stderr, reason = "a tool tells its failures there")]
#![allow(clippy::print_stdout, reason = "and its results here")]

use fixtally::articles::folder;
use fixtally::evidence::cases::{Cases, day};
use fixtally::evidence::gather::gather;
use fixtally::evidence::layout::Layout;
use fixtally::evidence::learning::{Field, learn_model};
use fixtally::tickets::Ticket;
use fixtally::tickets::ledger::{FILE, SqliteLedger};
use fixtally::tickets::store::{Filter, Ledger};
use jiff::civil::Date;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::error::Error;
use std::fs;
use std::path::Path;
use std::time::Instant;

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [kb, state, rest @ ..] = &args[..] else {
        eprintln!("usage: count_many KB STATE [learn]");
        std::process::exit(2);
    };
    let learn = rest.iter().any(|word| word == "learn");
    match measure(Path::new(kb), Path::new(state), learn) {
        Ok(found) => println!("{found}"),
        Err(error) => {
            eprintln!("{error}");
            std::process::exit(2);
        }
    }
}

fn measure(kb: &Path, state: &Path, learn: bool) -> Result<Value, Box<dyn Error>> {
    let folder = folder::read(kb, Date::default())?;
    let store = SqliteLedger::open(&state.join(FILE))?;
    let (tickets, read) = timed(|| store.list(&Filter::default()));
    let tickets: Vec<Ticket> = tickets?;
    let today = tickets.iter().map(|t| day(t.closed)).max();
    let today = today.ok_or("the ledger is empty")?;
    let (catalog, settings) = (&folder.catalog, &folder.settings);
    let made = || {
        let cases = Cases::of(&tickets, &BTreeMap::new(), catalog, &settings.model, today);
        let evidence = gather(&cases, catalog, settings, today);
        (cases, evidence)
    };
    let ((cases, evidence), counted) = timed(made);
    let counts: serde_json::Map<String, Value> = evidence
        .fixes
        .iter()
        .map(|(id, fix)| (id.to_string(), json!([fix.resolved, fix.tries])))
        .collect();
    let mut found = json!({
        "tickets": tickets.len(),
        "tries": tickets.iter().map(|t| t.tries.len()).sum::<usize>(),
        "articles": catalog.articles.len(),
        "read": read,
        "evidence": counted,
        "counts": counts,
    });
    drop(tickets);
    if learn {
        let layout = Layout::new(catalog);
        let field = Field {
            catalog,
            layout: &layout,
            analyzer: &folder.analyzer,
            settings,
        };
        let (model, learned) = timed(|| learn_model(&cases, field, today, &|| ()));
        found["learn"] = learned;
        found["weights"] = json!(model.weights);
        found["words"] = json!(model.words.weights.len());
    }
    Ok(found)
}

/// What something gives, and what it took.
fn timed<T>(work: impl FnOnce() -> T) -> (T, Value) {
    let held = memory("VmRSS:");
    // Sets the peak back to what is held now.
    let _ = fs::write("/proc/self/clear_refs", "5");
    let (cpu, start) = (cpu_seconds(), Instant::now());
    let made = work();
    let took = json!({
        "seconds": start.elapsed().as_secs_f64(),
        "cpu_seconds": cpu_seconds() - cpu,
        "megabytes": (memory("VmHWM:") - held).max(0.0),
    });
    (made, took)
}

/// A line of the process's status, in megabytes.
fn memory(line: &str) -> f64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let found = status.lines().find_map(|l| l.strip_prefix(line));
    let kilobytes = found.and_then(|rest| rest.split_whitespace().next()?.parse::<f64>().ok());
    kilobytes.unwrap_or(0.0) / 1024.0
}

/// Processor time of all threads so far: fields 14 and 15 of `stat` (proc(5)), in hundredths.
fn cpu_seconds() -> f64 {
    let stat = fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after_name = stat.rsplit(')').next().unwrap_or_default();
    let ticks = after_name.split_whitespace().skip(11).take(2);
    ticks.filter_map(|t| t.parse::<f64>().ok()).sum::<f64>() / 100.0
}
