//! What an import did, as a table for people or JSON for machines.

use super::table::{self, Column};
use super::{Exit, Failure, Session};
use crate::base::escape;
use crate::base::problem::Problem;
use crate::cli::problem;
use crate::tickets::row::ReadError;
use crate::tickets::scrub::Removed;
use crate::tickets::store::{Imported, TakenFile};
use crate::view::numbers::counted;
use crate::view::taken_out::taken_out;
use serde_json::json;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};

/// What became of one file; `read` is always the sum of what was taken and what was rejected.
#[derive(Debug)]
pub(super) struct FileReport {
    pub(super) file: PathBuf,
    pub(super) read: u64,
    pub(super) imported: Imported,
    pub(super) rejected: u64,
    pub(super) removed: Removed,
    /// Encoding, delimiter and the like, in words; empty where the file was not opened.
    pub(super) read_as: String,
    /// When the same file was taken before; then nothing of it was read.
    pub(super) taken_before: Option<TakenFile>,
    /// How many tickets are closed in the future.
    pub(super) future: u64,
    /// The first of these: its row among all that were read, its id, its time.
    pub(super) first_future: Option<(u64, String, jiff::Timestamp)>,
    /// The first rejected rows.
    pub(super) problems: Vec<Problem>,
    /// Where all rejected rows are kept.
    pub(super) rejects: Option<PathBuf>,
    /// Why the file as a whole could not be read.
    pub(super) error: Option<Failure>,
}

impl FileReport {
    /// Whether the ledger changed by this file.
    pub(super) fn changed_anything(&self) -> bool {
        self.imported.new + self.imported.changed > 0
    }

    pub(super) fn new(file: &Path) -> Self {
        Self {
            file: file.to_owned(),
            read: 0,
            imported: Imported::default(),
            rejected: 0,
            removed: Removed::default(),
            read_as: String::new(),
            taken_before: None,
            future: 0,
            first_future: None,
            problems: Vec::new(),
            rejects: None,
            error: None,
        }
    }

    /// Nothing of the file was taken.
    pub(super) fn nothing_taken(&mut self) {
        *self = Self::new(&self.file);
    }

    /// The file could not be read, so nothing of it was taken.
    pub(super) fn fail(&mut self, failure: Failure, error: Option<ReadError>) {
        self.nothing_taken();
        self.error = Some(failure);
        if let Some(ReadError::Map(problems)) = error {
            self.problems = problems;
        }
    }
}

/// The exit code of a whole import.
pub(super) fn exit(reports: &[FileReport]) -> Exit {
    if reports.iter().any(|r| r.error.is_some()) {
        Exit::Error
    } else {
        Exit::findings_if(reports.iter().any(|r| r.rejected > 0))
    }
}

/// Prints the report.
pub(super) fn show(
    session: &Session,
    reports: &[FileReport],
    revision: u64,
) -> Result<(), Failure> {
    let mut out = session.out();
    if session.json {
        let files: Vec<_> = reports.iter().map(as_json).collect();
        writeln!(out, "{}", json!({"files": files, "revision": revision}))?;
    } else {
        write!(out, "{}", text(session, reports))?;
    }
    for failure in reports.iter().filter_map(|r| r.error.as_ref()) {
        session.show_failure(failure);
    }
    Ok(())
}

fn as_json(report: &FileReport) -> serde_json::Value {
    json!({
        "file": report.file,
        "read": report.read,
        "new": report.imported.new,
        "changed": report.imported.changed,
        "unchanged": report.imported.unchanged,
        "left_out": report.imported.left_out,
        "rejected": report.rejected,
        "rejects": report.rejects,
        "removed": report.removed,
        "read_as": report.read_as,
        "taken_before": report.taken_before.as_ref().map(|taken| taken.at),
        "in_future": report.future,
        "problems": report.problems,
        "error": report.error.as_ref().map(|failure| json!({
            "message": failure.message, "causes": failure.causes, "hints": failure.hints,
        })),
    })
}

fn text(session: &Session, reports: &[FileReport]) -> String {
    let mut out = counts(session, reports);
    let mut removed = Removed::default();
    let lines: Vec<String> = reports.iter().filter_map(|r| how(session, r)).collect();
    if !lines.is_empty() {
        let _ = writeln!(out, "\n{}", lines.join("\n"));
    }
    for report in reports {
        removed += report.removed;
        for line in [future(report), nothing_kept(report)].into_iter().flatten() {
            let _ = writeln!(out, "\n{}", textwrap::fill(&line, 80));
        }
        for problem in &report.problems {
            let _ = writeln!(out, "\n{}", problem::text(&narrow(problem), true));
        }
        let shown = report.problems.len() as u64;
        if report.rejected > shown {
            let _ = writeln!(out, "\n… and {} more.", report.rejected - shown);
        }
        if let Some(path) = &report.rejects {
            let path = session.short(path).display();
            let _ = writeln!(out, "\nAll rejected rows and their reasons: {path}");
        }
    }
    if removed.total() > 0 {
        let _ = writeln!(out, "\nTaken out: {}.", taken_out(&removed));
    }
    out
}

/// Tickets that are closed in the future are kept, but somebody should look.
fn future(report: &FileReport) -> Option<String> {
    let (row, id, closed) = report.first_future.as_ref()?;
    let (tickets, are) = match report.future {
        1 => ("1 ticket".to_owned(), "is"),
        many => (counted(many, "ticket"), "are"),
    };
    let id = escape::terminal_line(id);
    Some(format!(
        "WARNING: {tickets} {are} closed in the future; the first, `{id}` in row {row}, at {closed}. \
         Look at the dates of the export, or at how the map reads them."
    ))
}

/// A file that gave nothing is read again the next time, and said again.
fn nothing_kept(report: &FileReport) -> Option<String> {
    let nothing = report.rejected > 0 && report.imported.kept() == 0;
    nothing.then(|| {
        "Nothing of it was kept, so it is not remembered as taken: the next import reads it again."
            .to_owned()
    })
}

/// One line on how a file was read, or why it was not.
fn how(session: &Session, report: &FileReport) -> Option<String> {
    let name = session.short(&report.file).display().to_string();
    let name = escape::terminal_line(&name);
    if let Some(taken) = &report.taken_before {
        let day = jiff::tz::TimeZone::UTC.to_datetime(taken.at).date();
        let renamed = report.file.file_name().is_some_and(|f| *f != *taken.name);
        let as_name = if renamed {
            format!(" as {}", escape::terminal_line(&taken.name))
        } else {
            String::new()
        };
        return Some(format!(
            "{name}: taken on {day}{as_name}, passed over (`--again` reads it)"
        ));
    }
    let left_out = report.imported.left_out;
    let mut line = format!("{name}: {}", report.read_as);
    if left_out > 0 {
        let tickets = counted(left_out, "ticket");
        let _ = write!(line, "; {tickets} removed before, left out");
    }
    (!report.read_as.is_empty() && report.error.is_none()).then_some(line)
}

fn counts(session: &Session, reports: &[FileReport]) -> String {
    const NAMES: [&str; 6] = ["file", "read", "new", "changed", "unchanged", "rejected"];
    let mut rows: Vec<Vec<String>> = vec![NAMES.iter().map(|n| (*n).to_owned()).collect()];
    let line = |name: String, r: [u64; 5]| {
        let mut row = vec![name];
        row.extend(r.iter().map(u64::to_string));
        row
    };
    let mut sum = [0; 5];
    for report in reports {
        let numbers = [
            report.read,
            report.imported.new,
            report.imported.changed,
            report.imported.unchanged,
            report.rejected,
        ];
        let name = session.short(&report.file).display().to_string();
        for (total, number) in sum.iter_mut().zip(numbers) {
            *total += number;
        }
        let mut row = line(escape::terminal_line(&name), numbers);
        if report.error.is_some() || report.taken_before.is_some() {
            row[1..].fill("–".to_owned());
        }
        rows.push(row);
    }
    if reports.len() > 1 {
        rows.push(line("together".to_owned(), sum));
    }
    let mut columns = vec![Column::left(32)];
    columns.extend([Column::right(10); 5]);
    table::aligned(&columns, &rows)
}

/// Rows are long. Where no column is named their start will do; elsewhere the renderer cuts.
fn narrow(problem: &Problem) -> Problem {
    const EXCERPT: usize = 66;
    let mut narrow = problem.clone();
    if narrow.place.column == 0 {
        let escaped = narrow.excerpt.as_deref().map(escape::terminal_line);
        narrow.excerpt = escaped.map(|line| table::cut(&line, EXCERPT));
    }
    narrow
}
