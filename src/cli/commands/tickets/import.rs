//! `fixtally tickets import`: exports into the ledger.

use super::input::{self, Feed, Format, Passing, Unclear};
use super::rejects::Rejects;
use super::report::{self, FileReport};
use super::{Exit, Failure, Session};
use crate::cli::{Desk, ledger, place, problem};
use crate::tickets::Scrubber;
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::map::Map;
use crate::tickets::row::ReadError;
use crate::tickets::store::{Ledger, StoreError};
use indicatif::{ProgressBar, ProgressStyle};
use sha2::Digest;
use std::fs::File;
use std::path::{Path, PathBuf};

/// Take closed tickets into the ledger
///
/// JSON Lines (.jsonl, .ndjson, .json) as they are, tables (.csv, .tsv) through a map. Personal
/// data are taken out first. A ticket whose id or ref is known is updated, so the same file may
/// be imported again. Rows that are no tickets are kept in the state folder with the reason.
///
/// Each file goes in as a whole or not at all. Exit code 1: some rows were rejected; 2: some file
/// could not be read. Example: `fixtally tickets import north.csv --map north.toml`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The exports
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
    /// How the columns of tables become fields
    #[arg(long, value_name = "MAP.toml")]
    map: Option<PathBuf>,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let state = place::state_dir(session)?;
    let map = match &args.map {
        Some(file) => Some(read_map(session, file)?),
        None => None,
    };
    let mut work = Work {
        session,
        state,
        map,
        scrubber: super::scrubber(session)?,
        ledger: ledger::open(session)?,
    };
    let mut reports = Vec::new();
    let mut stopped = None;
    for file in &args.files {
        let mut report = FileReport::new(file);
        let done = work.import(file, &mut report);
        reports.push(report);
        if let Err(failure) = done {
            stopped = Some(failure);
            break;
        }
    }
    let revision = work.ledger.revision().map_err(ledger::failure)?;
    report::show(session, &reports, revision)?;
    if reports.iter().any(FileReport::changed_anything) {
        learn(session);
    }
    match stopped {
        Some(failure) => Err(failure),
        None => Ok(report::exit(&reports)),
    }
}

/// Counts, indexes and learns, so that the next question does not. The tickets are in, whatever
/// becomes of this; without articles there is nothing to learn about yet.
fn learn(session: &Session) {
    if !session.kb.join("kb.toml").exists() {
        return;
    }
    if let Err(failure) = Desk::open_learned(session) {
        session.notice(&format!(
            "The tickets are in, but nothing was learned from them: {failure}."
        ));
    }
}

fn read_map(session: &Session, file: &Path) -> Result<Map, Failure> {
    let text =
        std::fs::read_to_string(file).map_err(|e| Failure::file("read the map", file, &e))?;
    match Map::parse(file, &text) {
        Ok(map) => Ok(map),
        Err(problems) => {
            problem::print(session, &problems)?;
            let message = format!("the map `{}` cannot be used", file.display());
            Err(Failure::new(message))
        }
    }
}

struct Work<'a> {
    session: &'a Session,
    state: PathBuf,
    map: Option<Map>,
    scrubber: Scrubber,
    ledger: SqliteLedger,
}

impl Work<'_> {
    /// Imports one file. What is wrong with the file goes into its report; only what stands in the
    /// way of all files is a failure.
    fn import(&mut self, file: &Path, report: &mut FileReport) -> Result<(), Failure> {
        let format = match input::format_of(file, self.map.as_ref()) {
            Ok(format) => format,
            Err(unclear) => {
                report.error = Some(unclear_format(file, &unclear));
                return Ok(());
            }
        };
        let opened = File::open(file).and_then(|opened| {
            let metadata = opened.metadata()?;
            if metadata.is_dir() {
                return Err(std::io::Error::other("it is a folder"));
            }
            Ok((opened, metadata.len()))
        });
        let (opened, length) = match opened {
            Ok(opened) => opened,
            Err(error) => {
                report.error = Some(Failure::file("read", file, &error));
                return Ok(());
            }
        };
        let bar = self.bar(file, length);
        let (passing, digest) = Passing::new(bar.wrap_read(opened));
        let mut rejects = Rejects::new(&self.state);
        let taken = take(
            &mut self.ledger,
            &self.scrubber,
            file,
            &format,
            passing,
            &mut rejects,
            report,
        );
        bar.finish_and_clear();
        taken?;
        if report.error.is_none() {
            let digest = digest.borrow().clone().finalize();
            report.rejects = rejects
                .keep(file, &digest)
                .map_err(|e| Failure::file("keep the rejected rows in", &self.state, &e))?;
        }
        Ok(())
    }

    fn bar(&self, file: &Path, length: u64) -> ProgressBar {
        if !self.session.shows_progress() {
            return ProgressBar::hidden();
        }
        let style = ProgressStyle::with_template("{msg} {wide_bar} {bytes}/{total_bytes} {eta}")
            .unwrap_or_else(|_| ProgressStyle::default_bar());
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        ProgressBar::new(length)
            .with_style(style)
            .with_message(crate::base::escape::terminal_line(&name))
    }
}

fn take(
    ledger: &mut SqliteLedger,
    scrubber: &Scrubber,
    file: &Path,
    format: &Format<'_>,
    passing: Passing,
    rejects: &mut Rejects,
    report: &mut FileReport,
) -> Result<(), Failure> {
    let rows = match input::rows(file, format, passing) {
        Ok(rows) => rows,
        Err(error) => {
            report.fail(unreadable(file, &error), error);
            return Ok(());
        }
    };
    let mut feed = Feed {
        rows,
        scrubber,
        rejects,
        report,
        ended_by: None,
    };
    let imported = ledger.import(&mut feed);
    let ended_by = feed.ended_by.take();
    match (imported, ended_by) {
        (Ok(imported), _) => report.imported = imported,
        (Err(StoreError::Stopped(_)), Some(error)) => report.fail(unreadable(file, &error), error),
        (Err(error), _) => {
            report.nothing_taken();
            let doing = format!("cannot import `{}`", file.display());
            let mut failure = ledger::failure(error);
            failure
                .causes
                .insert(0, std::mem::replace(&mut failure.message, doing));
            return Err(failure);
        }
    }
    Ok(())
}

fn unreadable(file: &Path, error: &ReadError) -> Failure {
    let failure = Failure::because(format!("cannot read `{}`", file.display()), error);
    match error.help() {
        Some(help) => failure.hint(help),
        None => failure,
    }
}

fn unclear_format(file: &Path, unclear: &Unclear) -> Failure {
    let shown = file.display();
    match unclear {
        Unclear::NoMap => Failure::new(format!("`{shown}` is a table, and a table needs a map"))
            .hint("say which column is which field: `--map MAP.toml`"),
        Unclear::Ending => Failure::new(format!(
            "cannot tell the format of `{shown}` by its name, expected .jsonl, .ndjson, .json, .csv or .tsv"
        )),
    }
}
