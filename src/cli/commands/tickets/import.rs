//! `fixtally tickets import`: exports into the ledger.

use super::input::{self, Ended, Feed};
use super::latest::Latest;
use super::look;
use super::maps::Maps;
use super::opened::{Opened, open, unreadable};
use super::rejects::Rejects;
use super::report::{self, FileReport};
use super::unknown;
use super::{Exit, Failure, Session};
use crate::cli::stop::Careful;
use crate::cli::{Desk, ledger, place};
use crate::evidence::unknown_names::Looker;
use crate::tickets::Scrubber;
use crate::tickets::encoding::Encoding;
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::map::Map;
use crate::tickets::store::{FileMark, Ledger, StoreError};
use indicatif::{ProgressBar, ProgressState, ProgressStyle};
use jiff::Timestamp;
use sha2::{Digest, Sha256};
use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// Take closed tickets into the ledger
///
/// JSON Lines or a JSON list (.jsonl, .ndjson, .json) as they are, tables (.csv, .tsv, .txt) through
/// a map; any of them packed (.gz). Encoding and delimiter are told from the file and stated.
/// Personal data are taken out first. A ticket whose id or ref is known is updated; a ticket that was
/// removed stays out, a corrected one corrected. Rows that are no tickets are kept in the state
/// folder with the reason.
///
/// Without --map a table is read through the one map in `maps/` of the knowledge base that has its
/// columns. A time that names no zone, such as `2026-03-02 09:14` or a day alone, is of the `zone`
/// of the map; in JSON of that of --map, else of the `zone` in `kb.toml`.
/// A file that was taken before, whatever its name, is passed over; one that gave nothing was not
/// taken. Each file goes in as a
/// whole or not at all; Ctrl-C leaves the ledger as after the last whole file.
///
/// Exit code 1: some rows were rejected; 2: some file could not be read.
/// Example: `fixtally tickets import exports/ --map north`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The exports, or folders of them
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
    /// How the columns of tables become fields: a file, or a name in `maps/`
    #[arg(long, value_name = "MAP.toml")]
    map: Option<PathBuf>,
    /// The encoding of the files, such as `windows-1252`, where it is told wrongly
    #[arg(long, value_name = "NAME", value_parser = encoding)]
    encoding: Option<Encoding>,
    /// Show the first rows as they would be read, and write nothing
    #[arg(long)]
    look: bool,
    /// Also read files that were taken before
    #[arg(long)]
    again: bool,
    /// Leave counting and learning to the next answer
    #[arg(long)]
    later: bool,
}

/// An encoding as every command takes it.
pub(super) fn encoding(name: &str) -> Result<Encoding, String> {
    Encoding::named(name)
        .ok_or_else(|| format!("expected an encoding such as `windows-1252`, but found `{name}`"))
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let maps = Maps::open(session, args.map.as_deref())?;
    let scrubber = super::scrubber(session)?;
    let files = files(session, &args.files);
    if args.look {
        return look::run(session, &files, &maps, &scrubber, args.encoding);
    }
    let mut work = Work {
        session,
        state: place::state_dir(session)?,
        maps,
        scrubber,
        ledger: ledger::open(session)?,
        careful: Careful::begin(),
        latest: Latest::of(session)?,
        args,
    };
    let known = unknown::knowledge(session);
    let mut looker = known.as_ref().map(unknown::looker);
    let mut reports = Vec::new();
    let mut stopped = None;
    for file in &files {
        let mut report = FileReport::new(file);
        let before = looker.as_ref().map(|looker| looker.found.clone());
        let done = work.import(file, &mut report, looker.as_mut());
        if let (Some(looker), Some(before), true) = (&mut looker, before, report.read == 0) {
            looker.found = before;
        }
        reports.push(report);
        if let Err(failure) = done {
            stopped = Some(failure);
            break;
        }
    }
    let revision = work.ledger.revision().map_err(ledger::failure)?;
    drop(work);
    report::show(session, &reports, revision)?;
    if let Some(line) = looker.and_then(|looker| unknown::line(&looker.found)) {
        session.notice(&line);
    }
    if let Some(failure) = stopped {
        return Err(failure);
    }
    if !args.later && reports.iter().any(FileReport::changed_anything) {
        learn(session);
    }
    Ok(report::exit(&reports))
}

/// The files themselves, and those in folders whose ending is known, by path.
fn files(session: &Session, asked: &[PathBuf]) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for path in asked {
        if !path.is_dir() {
            files.push(path.clone());
            continue;
        }
        let hidden = |e: &walkdir::DirEntry| {
            e.depth() > 0 && e.file_name().to_string_lossy().starts_with('.')
        };
        let walk = walkdir::WalkDir::new(path).sort_by_file_name();
        let inside = walk.into_iter().filter_entry(|e| !hidden(e)).flatten();
        let inside = inside.filter(|e| e.file_type().is_file());
        let (known, others): (Vec<PathBuf>, Vec<PathBuf>) = inside
            .map(walkdir::DirEntry::into_path)
            .partition(|file| input::ending_of(file).is_some());
        if !others.is_empty() || known.is_empty() {
            let shown = crate::base::escape::terminal_line(&path.display().to_string());
            session.notice(&format!(
                "`{shown}`: {} taken, {} with other endings passed over.",
                crate::view::numbers::counted(known.len() as u64, "file"),
                others.len()
            ));
        }
        files.extend(known);
    }
    files
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

struct Work<'a> {
    session: &'a Session,
    state: PathBuf,
    maps: Maps,
    scrubber: Scrubber,
    ledger: SqliteLedger,
    careful: Careful,
    latest: Latest,
    args: &'a Args,
}

impl Work<'_> {
    /// Imports one file. What is wrong with the file goes into its report; only what stands in the
    /// way of all files is a failure.
    fn import(
        &mut self,
        file: &Path,
        report: &mut FileReport,
        looker: Option<&mut Looker<'_>>,
    ) -> Result<(), Failure> {
        let passed = Arc::new(AtomicU64::new(0));
        let bar = std::cell::RefCell::new(ProgressBar::hidden());
        let make = |length| {
            let made = self.bar(file, length, &passed);
            bar.replace(made.clone());
            made
        };
        let opened = open(file, &self.maps, self.args.encoding, make);
        let opened = match opened {
            Ok(opened) => opened,
            Err(failure) => {
                bar.borrow().finish_and_clear();
                report.error = Some(failure);
                return Ok(());
            }
        };
        report.read_as.clone_from(&opened.read_as);
        let digest = opened.digest.clone();
        let mark = digest.as_deref().map(|digest| FileMark {
            digest: self.key(file, digest, &opened),
            name: file
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned(),
            at: Timestamp::now(),
        });
        if let Some(mark) = mark.as_ref().filter(|_| !self.args.again) {
            report.taken_before = self.ledger.taken(&mark.digest).map_err(ledger::failure)?;
            if report.taken_before.is_some() {
                bar.borrow().finish_and_clear();
                return Ok(());
            }
        }
        let mut rejects = Rejects::new(&self.state);
        let taken = take(
            Taking {
                ledger: &mut self.ledger,
                scrubber: &self.scrubber,
                careful: &self.careful,
                latest: self.latest,
                file,
                mark,
                passed,
                looker,
            },
            opened,
            &mut rejects,
            report,
        );
        bar.borrow().finish_and_clear();
        taken?;
        if report.error.is_none() {
            report.rejects = rejects
                .keep(file, &digest.unwrap_or_default())
                .map_err(|e| Failure::file("keep the rejected rows in", &self.state, &e))?;
        }
        Ok(())
    }

    /// The digest of the file and of everything that decides what its rows become.
    fn key(&self, file: &Path, digest: &[u8], opened: &Opened<'_>) -> Vec<u8> {
        let mut hash = Sha256::new();
        let stem = file.file_stem().unwrap_or_default().to_string_lossy();
        let numbered = opened.map.is_some_and(Map::numbers_rows);
        let times = opened.times.rule();
        for part in [
            env!("CARGO_PKG_VERSION"),
            opened.map.map_or(&*times, Map::text),
            self.args.encoding.map_or("", Encoding::name),
            self.scrubber.serial().unwrap_or_default(),
            if numbered { &stem } else { "" },
        ] {
            hash.update((part.len() as u64).to_le_bytes());
            hash.update(part);
        }
        hash.update(digest);
        hash.finalize().to_vec()
    }

    fn bar(&self, file: &Path, length: u64, passed: &Arc<AtomicU64>) -> ProgressBar {
        if !self.session.shows_progress() {
            return ProgressBar::hidden();
        }
        let passed = Arc::clone(passed);
        let rate = move |state: &ProgressState, out: &mut dyn std::fmt::Write| {
            let rows = passed.load(Ordering::Relaxed);
            let seconds = state.elapsed().as_secs().max(1);
            let _ = write!(out, "{}", rows / seconds);
        };
        let style =
            ProgressStyle::with_template("{msg} {wide_bar} {percent}%  {rate} rows/s  {eta} left")
                .unwrap_or_else(|_| ProgressStyle::default_bar())
                .with_key("rate", rate);
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        ProgressBar::new(length)
            .with_style(style)
            .with_message(crate::base::escape::terminal_line(&name))
    }
}

struct Taking<'a, 'k> {
    ledger: &'a mut SqliteLedger,
    scrubber: &'a Scrubber,
    careful: &'a Careful,
    latest: Latest,
    file: &'a Path,
    mark: Option<FileMark>,
    passed: Arc<AtomicU64>,
    looker: Option<&'a mut Looker<'k>>,
}

fn take(
    taking: Taking<'_, '_>,
    opened: Opened<'_>,
    rejects: &mut Rejects,
    report: &mut FileReport,
) -> Result<(), Failure> {
    let file = taking.file;
    let rows = match input::rows(file, opened.form, opened.map, opened.times, opened.text) {
        Ok((rows, _)) => rows,
        Err(error) => {
            report.fail(unreadable(file, &error), Some(error));
            return Ok(());
        }
    };
    let mut feed = Feed {
        rows,
        piece: VecDeque::new(),
        scrubber: taking.scrubber,
        rejects,
        report,
        passed: taking.passed,
        careful: taking.careful,
        latest: taking.latest,
        looker: taking.looker,
        ended_by: None,
    };
    let imported = match &taking.mark {
        Some(mark) => taking.ledger.import_file(mark, &mut feed),
        None => taking.ledger.import(&mut feed),
    };
    let ended_by = feed.ended_by.take();
    match (imported, ended_by) {
        (Ok(imported), _) => report.imported = imported,
        (Err(StoreError::Stopped(_)), Some(Ended::Broken(error))) => {
            report.fail(unreadable(file, &error), Some(error));
        }
        (Err(StoreError::Stopped(_)), Some(Ended::Asked)) => {
            report.nothing_taken();
            return Err(Failure::new(format!(
                "stopped by Ctrl-C: nothing of `{}` is in, the files before it are",
                file.display()
            )));
        }
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
