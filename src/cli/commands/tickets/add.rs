//! `fixtally tickets add`: one closed case, or several, for scripts.

use super::latest::Latest;
use super::{Exit, Failure, Session, from_pack};
use crate::base::problem::Problem;
use crate::cli::call::clock::Clock;
use crate::cli::call::keep::Keep;
use crate::cli::names::Names;
use crate::cli::{desk, ledger, place};
use crate::tickets::jsonl::JsonLines;
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::record::{OTHER, UNLISTED};
use crate::tickets::row::Row;
use crate::tickets::scrub::Removed;
use crate::tickets::store::{Added, Ledger};
use crate::tickets::times::Times;
use crate::tickets::{RawTicket, Scrubber};
use crate::view::taken_out::taken_out;
use serde_json::{Map, Value, json};
use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};

/// Add closed cases to the ledger
///
/// One case from options, or one JSON object per line from FILE (`-` for standard input) in the
/// form that `tickets export` writes; `id` and `closed` may be left out. Personal data are taken
/// out. A known id is never overwritten: `tickets import` does that. Each id is printed once its
/// ticket is safe; the next `ask` counts it.
///
/// `--from-pack` takes in what a pack saved on site, closed cases and remarks; twice changes nothing.
///
/// Exit code 1: some lines were refused. Example:
/// `fixtally tickets add --said "no lights" --fixed-by no-lights-at-all#switch-on-once`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Tickets, one JSON object per line; `-` for standard input
    #[arg(value_name = "FILE", exclusive = true)]
    file: Option<PathBuf>,
    /// The ticket's id; a new one where it is left out
    #[arg(long, value_name = "ID")]
    id: Option<String>,
    /// What a pack saved on site; `-` for standard input
    #[arg(long, value_name = "FILE", exclusive = true)]
    from_pack: Option<PathBuf>,
    #[command(flatten)]
    case: CaseArgs,
}

/// The fields of a case as options.
#[derive(Debug, clap::Args)]
pub(super) struct CaseArgs {
    /// What the caller said
    #[arg(long, value_name = "WORDS")]
    said: Option<String>,
    /// The agent's notes
    #[arg(long, value_name = "WORDS")]
    notes: Option<String>,
    /// Its id in the office's own system
    #[arg(long = "ref", value_name = "ID")]
    reference: Option<String>,
    /// The ticket it continues
    #[arg(long, value_name = "ID")]
    follows: Option<String>,
    /// When it began, such as `2026-03-02T09:14:00Z`; without a zone in that of `kb.toml`
    #[arg(long, value_name = "TIME")]
    opened: Option<String>,
    /// When it was closed, such as `2026-03-02T09:41:00Z`
    #[arg(long, value_name = "TIME")]
    closed: Option<String>,
    /// The device, by its id in `kb.toml`
    #[arg(long, value_name = "D")]
    device: Option<String>,
    /// Its firmware
    #[arg(long, value_name = "V")]
    firmware: Option<String>,
    /// A fault code it showed
    #[arg(long = "code", value_name = "C")]
    codes: Vec<String>,
    /// An indicator and its state
    #[arg(long = "sign", value_name = "NAME=STATE")]
    signs: Vec<String>,
    /// A check and its answer
    #[arg(long, value_name = "CHECK=ANSWER")]
    seen: Vec<String>,
    /// A fix that was tried and changed nothing
    #[arg(long, value_name = "FIX")]
    tried: Vec<String>,
    /// A fix that could not be done
    #[arg(long, value_name = "FIX")]
    could_not: Vec<String>,
    /// The fix that ended it, or `other` for something no article lists
    #[arg(long, value_name = "FIX")]
    fixed_by: Option<String>,
    /// How it ended: resolved, handed-on, dropped
    #[arg(long, value_name = "OUTCOME")]
    outcome: Option<String>,
    /// The article, or `unlisted` where none covers it; that of the fix where it is left out
    #[arg(long, value_name = "ID")]
    article: Option<String>,
    /// A danger article that somebody on site said does not apply
    #[arg(long, value_name = "ID")]
    not_danger: Vec<String>,
}

/// How often another id is tried where one is taken.
const ATTEMPTS: usize = 100;

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let (settings, catalog) = desk::names(session)?;
    let state = place::state_dir(session)?;
    let mut work = Work {
        times: super::times(session)?,
        scrubber: super::scrubber(session)?,
        store: ledger::open(session)?,
        latest: Latest::of(session)?,
        clock: Clock::on(session, &settings, desk::now(session)?),
        keep: Keep::open(&state)?,
        session,
        refused: false,
        removed: Removed::default(),
    };
    match (&args.file, &args.from_pack) {
        (Some(file), _) => work.file(file)?,
        (None, Some(saved)) => {
            let input = opened(saved)?;
            from_pack::take(&mut work, saved, input.lines())?;
        }
        (None, None) => {
            let names = Names {
                settings: &settings,
                catalog: &catalog,
            };
            let mut ticket = args.case.ticket(names)?;
            if let Some(id) = &args.id {
                ticket.insert("id".to_owned(), json!(id));
            }
            work.line(
                Path::new("the options"),
                1,
                &Value::Object(ticket).to_string(),
            )?;
        }
    }
    if work.removed.total() > 0 {
        let out = taken_out(&work.removed);
        session.notice(&format!("Taken out: {out}."));
    }
    Ok(Exit::findings_if(work.refused))
}

impl CaseArgs {
    /// The options as a ticket in JSON, with names checked.
    pub(super) fn ticket(&self, names: Names<'_>) -> Result<Map<String, Value>, Failure> {
        let mut ticket = Map::new();
        let mut put = |key: &str, value: Value| ticket.insert(key.to_owned(), value);
        for (key, text) in [
            ("ref", &self.reference),
            ("follows", &self.follows),
            ("opened", &self.opened),
            ("closed", &self.closed),
            ("firmware", &self.firmware),
            ("said", &self.said),
            ("notes", &self.notes),
        ] {
            if let Some(text) = text {
                put(key, json!(text));
            }
        }
        if let Some(device) = &self.device {
            put("device", json!(names.device(device)?));
        }
        put("codes", json!(all(&self.codes, |c| names.code(c))?));
        put(
            "signs",
            Value::Object(pairs(&self.signs, |s| names.sign(s))?),
        );
        let seen = |s: &str| {
            names
                .seen(s)
                .map(|(check, answer)| (check.to_string(), answer))
        };
        put("seen", Value::Object(pairs(&self.seen, seen)?));
        let dangers = all(&self.not_danger, |d| names.danger(d))?;
        put("not_danger", json!(dangers));
        let mut tries = Vec::new();
        for (fixes, result) in [
            (&self.could_not, "not-possible"),
            (&self.tried, "no-change"),
        ] {
            for fix in fixes {
                tries.push(json!({"fix": names.fix(fix)?, "result": result}));
            }
        }
        let fixed_by = match self.fixed_by.as_deref() {
            None => None,
            Some(OTHER) => Some(OTHER.to_owned()),
            Some(fix) => Some(names.fix(fix)?.to_string()),
        };
        if let Some(fix) = &fixed_by {
            tries.push(json!({"fix": fix, "result": "resolved"}));
        }
        put("tries", json!(tries));
        let of_fix = fixed_by.as_deref().and_then(|f| f.split_once('#'));
        match (self.article.as_deref(), of_fix) {
            (Some(UNLISTED), _) => put("article", json!(UNLISTED)),
            (Some(id), _) => put("article", json!(names.article(id)?)),
            (None, Some((article, _))) => put("article", json!(article)),
            (None, None) => None,
        };
        let resolved = fixed_by.map(|_| "resolved".to_owned());
        if let Some(outcome) = self.outcome.clone().or(resolved) {
            put("outcome", json!(outcome));
        }
        Ok(ticket)
    }
}

fn all<T>(texts: &[String], read: impl Fn(&str) -> Result<T, Failure>) -> Result<Vec<T>, Failure> {
    texts.iter().map(|text| read(text)).collect()
}

fn pairs(
    texts: &[String],
    read: impl Fn(&str) -> Result<(String, String), Failure>,
) -> Result<Map<String, Value>, Failure> {
    let pair = |text: &String| read(text).map(|(name, value)| (name, json!(value)));
    texts.iter().map(pair).collect()
}

pub(super) struct Work<'a> {
    pub(super) session: &'a Session,
    times: Times,
    pub(super) scrubber: Scrubber,
    pub(super) store: SqliteLedger,
    latest: Latest,
    clock: Clock,
    keep: Keep,
    refused: bool,
    removed: Removed,
}

impl Work<'_> {
    fn file(&mut self, file: &Path) -> Result<(), Failure> {
        let unreadable = |e: std::io::Error| Failure::file("read", file, &e);
        for (at, line) in opened(file)?.lines().enumerate() {
            let line = line.map_err(unreadable)?;
            if !line.trim().is_empty() {
                self.line(file, at + 1, &line)?;
            }
        }
        Ok(())
    }

    /// One ticket: filled up, read, scrubbed, stored; then its id is printed.
    pub(super) fn line(&mut self, file: &Path, number: usize, line: &str) -> Result<(), Failure> {
        let mut own_id = true;
        let line = match serde_json::from_str(line) {
            Ok(Value::Object(mut ticket)) => {
                own_id = ticket.get("id").is_some_and(|id| !id.is_null());
                ticket.entry("id").or_insert(json!("new"));
                ticket
                    .entry("closed")
                    .or_insert(json!(self.clock.now().to_string()));
                Value::Object(ticket).to_string()
            }
            _ => line.to_owned(),
        };
        let mut rows = JsonLines::new(file, line.as_bytes()).with_times(self.times.clone());
        let row = rows.next();
        match row {
            Some(Ok(Row::Ticket(raw))) => match self.latest.refuses(raw.closed) {
                Some(why) => {
                    self.refuse(number, &why);
                    Ok(())
                }
                None => self.add(*raw, own_id, number),
            },
            Some(Ok(Row::Rejected(reject))) => {
                self.refuse(number, &worded(&reject.problem));
                Ok(())
            }
            Some(Err(error)) => {
                self.refuse(number, &error.to_string());
                Ok(())
            }
            None => Ok(()),
        }
    }

    fn add(&mut self, mut raw: RawTicket, own_id: bool, number: usize) -> Result<(), Failure> {
        for _ in 0..ATTEMPTS {
            if !own_id {
                raw.id = self.keep.reserve(raw.closed)?.0;
            }
            let (ticket, removed) = self.scrubber.ticket(raw.clone());
            match self.store.add(&ticket).map_err(ledger::failure)? {
                Added::New | Added::Same => {
                    self.removed += removed;
                    return self.confirm(ticket.id.as_str());
                }
                Added::IdTaken if own_id => {
                    let why = format!(
                        "there is another ticket `{}`; it was not changed",
                        ticket.id
                    );
                    self.refuse(number, &why);
                    return Ok(());
                }
                Added::IdTaken => {}
                Added::RefTaken(other) => {
                    let reference = ticket.reference.clone().unwrap_or_default();
                    let why =
                        format!("ticket `{other}` has the ref `{reference}`; it was not changed");
                    self.refuse(number, &why);
                    return Ok(());
                }
            }
        }
        Err(Failure::new("no free id was found"))
    }

    fn confirm(&self, id: &str) -> Result<(), Failure> {
        let mut out = self.session.out();
        if self.session.json {
            writeln!(out, "{}", json!({"id": id}))?;
        } else {
            writeln!(out, "{id}")?;
        }
        Ok(out.flush()?)
    }

    pub(super) fn refuse(&mut self, line: usize, why: &str) {
        self.refused = true;
        let why = crate::base::escape::terminal_line(&self.scrubber.text(why));
        anstream::eprintln!("line {line}: {why}");
    }
}

/// A file, or standard input for `-`.
fn opened(file: &Path) -> Result<Box<dyn BufRead>, Failure> {
    if file == Path::new("-") {
        return Ok(Box::new(std::io::stdin().lock()));
    }
    let file = std::fs::File::open(file).map_err(|e| Failure::file("read", file, &e))?;
    Ok(Box::new(std::io::BufReader::new(file)))
}

fn worded(problem: &Problem) -> String {
    match &problem.help {
        Some(help) => format!("{}; {help}", problem.message),
        None => problem.message.clone(),
    }
}
