//! One export file as scrubbed tickets: by its name's ending, with progress, digest and rejects.

use super::rejects::Rejects;
use super::report::FileReport;
use crate::base::problem::Problem;
use crate::tickets::csv::CsvRows;
use crate::tickets::jsonl::JsonLines;
use crate::tickets::map::Map;
use crate::tickets::row::{ReadError, Reject, Row};
use crate::tickets::store::Stop;
use crate::tickets::{Scrubber, Ticket};
use sha2::{Digest, Sha256};
use std::cell::RefCell;
use std::fs::File;
use std::io::{self, BufReader, Read};
use std::path::Path;
use std::rc::Rc;

/// How many rejected rows are shown for each file; all are kept in the rejects.
const SHOWN: usize = 5;

/// How a file's rows are written.
pub(super) enum Format<'a> {
    JsonLines,
    Csv { map: &'a Map, delimiter: u8 },
}

/// Why a file's format is not known.
#[derive(Debug)]
pub(super) enum Unclear {
    /// A table without a map.
    NoMap,
    /// An ending nobody knows.
    Ending,
}

/// The format by the ending of a file's name.
pub(super) fn format_of<'a>(file: &Path, map: Option<&'a Map>) -> Result<Format<'a>, Unclear> {
    let ending = file.extension().map(|e| e.to_string_lossy().to_lowercase());
    let delimiter = match ending.as_deref() {
        Some("jsonl" | "ndjson" | "json") => return Ok(Format::JsonLines),
        Some("csv" | "txt") => b',',
        Some("tsv" | "tab") => b'\t',
        _ => return Err(Unclear::Ending),
    };
    let map = map.ok_or(Unclear::NoMap)?;
    Ok(Format::Csv { map, delimiter })
}

type Rows = Box<dyn Iterator<Item = Result<Row, ReadError>>>;

/// Opens the rows of a file; `read` sees every byte.
pub(super) fn rows(
    file: &Path,
    format: &Format<'_>,
    read: impl Read + 'static,
) -> Result<Rows, ReadError> {
    Ok(match format {
        Format::JsonLines => Box::new(JsonLines::new(file, BufReader::new(read))),
        Format::Csv { map, delimiter } => Box::new(CsvRows::open(file, read, map, *delimiter)?),
    })
}

/// The digest of all bytes read so far.
pub(super) type Shared = Rc<RefCell<Sha256>>;

/// A file whose bytes are counted for progress and digested as they pass.
pub(super) struct Passing {
    file: indicatif::ProgressBarIter<File>,
    digest: Shared,
}

impl Passing {
    pub(super) fn new(file: indicatif::ProgressBarIter<File>) -> (Self, Shared) {
        let digest = Shared::default();
        let shared = Rc::clone(&digest);
        (Self { file, digest }, shared)
    }
}

impl Read for Passing {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.file.read(buffer)?;
        self.digest.borrow_mut().update(&buffer[..read]);
        Ok(read)
    }
}

/// The tickets of one file on their way into the ledger; rejected rows turn off to the rejects.
pub(super) struct Feed<'a> {
    pub(super) rows: Rows,
    pub(super) scrubber: &'a Scrubber,
    pub(super) rejects: &'a mut Rejects,
    pub(super) report: &'a mut FileReport,
    /// What ended the file early.
    pub(super) ended_by: Option<ReadError>,
}

impl Iterator for Feed<'_> {
    type Item = Result<Ticket, Stop>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            match self.rows.next()? {
                Ok(Row::Ticket(raw)) => {
                    self.report.read += 1;
                    let (ticket, removed) = self.scrubber.ticket(*raw);
                    self.report.removed += removed;
                    return Some(Ok(ticket));
                }
                Ok(Row::Rejected(reject)) => {
                    self.report.read += 1;
                    if let Err(stop) = self.reject(*reject) {
                        return Some(Err(stop));
                    }
                }
                Err(error) => {
                    let stop = Stop(error.to_string());
                    self.ended_by = Some(error);
                    return Some(Err(stop));
                }
            }
        }
    }
}

impl Feed<'_> {
    fn reject(&mut self, reject: Reject) -> Result<(), Stop> {
        self.report.rejected += 1;
        let problem = scrubbed(self.scrubber, reject.problem);
        let text = self.scrubber.line(&reject.text);
        self.rejects
            .add(reject.line, &problem, &text)
            .map_err(|e| Stop(format!("the rejected rows cannot be written: {e}")))?;
        if self.report.problems.len() < SHOWN {
            self.report.problems.push(problem);
        }
        Ok(())
    }
}

/// The problem without personal data: it quotes the row.
fn scrubbed(scrubber: &Scrubber, mut problem: Problem) -> Problem {
    problem.message = scrubber.text(&problem.message);
    problem.help = problem.help.map(|help| scrubber.text(&help));
    if let Some(excerpt) = problem.excerpt.take() {
        let clean = if excerpt.contains('\\') {
            scrubber.line(&excerpt)
        } else {
            scrubber.text(&excerpt)
        };
        // Where something was taken out, the column no longer points at the same place.
        if clean != excerpt {
            (problem.place.column, problem.place.width) = (0, 0);
        }
        problem.excerpt = Some(clean);
    }
    problem
}
