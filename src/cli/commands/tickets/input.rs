//! The rows of an export as scrubbed tickets: read in pieces, scrubbed on all cores, in order.

use super::latest::Latest;
use super::rejects::Rejects;
use super::report::FileReport;
use super::source::Text;
use crate::base::problem::Problem;
use crate::cli::stop::Careful;
use crate::evidence::unknown_names::Looker;
use crate::tickets::csv::{CsvRows, delimiter_of};
use crate::tickets::json_list::JsonList;
use crate::tickets::jsonl::JsonLines;
use crate::tickets::map::Map;
use crate::tickets::row::{ReadError, Reject, Row};
use crate::tickets::scrub::Removed;
use crate::tickets::store::Stop;
use crate::tickets::times::Times;
use crate::tickets::{Scrubber, Ticket};
use rayon::prelude::*;
use std::collections::VecDeque;
use std::io::BufReader;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// How many rejected rows are shown for each file; all are kept in the rejects.
const SHOWN: usize = 5;

/// How many rows are scrubbed at a time.
const PIECE: usize = 1024;

/// About how many bytes of text are scrubbed at a time; a piece ends where it is reached.
const PIECE_BYTES: usize = 8 << 20;

/// How a file's rows are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// One JSON object on each line.
    JsonLines,
    /// One JSON list of objects.
    JsonList,
    /// A table, with what parts its columns.
    Table(u8),
}

/// What the ending of a file's name says of its form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ending {
    /// JSON, lines or a list.
    Json,
    /// A table.
    Table,
}

/// What the ending of a file's name says, `.gz` aside.
pub(super) fn ending_of(file: &Path) -> Option<Ending> {
    let name = file.file_name()?.to_string_lossy().to_lowercase();
    let name = name.strip_suffix(".gz").unwrap_or(&name);
    let (_, ending) = name.rsplit_once('.')?;
    match ending {
        "jsonl" | "ndjson" | "json" => Some(Ending::Json),
        "csv" | "txt" | "tsv" | "tab" => Some(Ending::Table),
        _ => None,
    }
}

/// The form of a file, by the ending of its name and how its text begins.
pub(super) fn form_of(ending: Ending, start: &str, map: Option<&Map>) -> Form {
    let first = start.trim_start_matches('\u{feff}').trim_start();
    match ending {
        Ending::Json if first.starts_with('[') => Form::JsonList,
        Ending::Json => Form::JsonLines,
        Ending::Table => Form::Table(
            map.and_then(Map::delimiter)
                .unwrap_or_else(|| delimiter_of(start)),
        ),
    }
}

pub(super) type Rows = Box<dyn Iterator<Item = Result<Row, ReadError>> + Send>;

/// The rows of a file, and the columns that no field is fed from. `times` is for a file without a map.
pub(super) fn rows(
    file: &Path,
    form: Form,
    map: Option<&Map>,
    times: &Times,
    text: Text,
) -> Result<(Rows, Vec<String>), ReadError> {
    Ok(match (form, map) {
        (Form::Table(delimiter), Some(map)) => {
            let rows = CsvRows::open(file, text.all, map, delimiter)?;
            let unused = rows.unused().map(str::to_owned).collect();
            (Box::new(rows), unused)
        }
        (Form::JsonList, _) => (
            Box::new(JsonList::new(file, BufReader::new(text.all)).with_times(times.clone())),
            Vec::new(),
        ),
        _ => (
            Box::new(JsonLines::new(file, BufReader::new(text.all)).with_times(times.clone())),
            Vec::new(),
        ),
    })
}

/// A row without personal data.
pub(super) enum Clean {
    /// A ticket, and what was taken out of it.
    Ticket(Box<Ticket>, Removed),
    /// A row that is none.
    Rejected(Box<Reject>),
    /// What ended the reading.
    Broken(ReadError),
}

/// Scrubs one row.
pub(super) fn clean(scrubber: &Scrubber, row: Result<Row, ReadError>) -> Clean {
    match row {
        Ok(Row::Ticket(raw)) => {
            let (ticket, removed) = scrubber.ticket(*raw);
            Clean::Ticket(Box::new(ticket), removed)
        }
        Ok(Row::Rejected(mut reject)) => {
            reject.text = scrubber.line(&reject.text);
            reject.problem = scrubbed(scrubber, reject.problem);
            Clean::Rejected(reject)
        }
        Err(error) => Clean::Broken(error),
    }
}

/// The tickets of one file on their way into the ledger; rejected rows turn off to the rejects.
pub(super) struct Feed<'a, 'k> {
    pub(super) rows: Rows,
    pub(super) piece: VecDeque<Clean>,
    pub(super) scrubber: &'a Scrubber,
    pub(super) rejects: &'a mut Rejects,
    pub(super) report: &'a mut FileReport,
    /// How many rows were read, for the progress line.
    pub(super) passed: Arc<AtomicU64>,
    pub(super) careful: &'a Careful,
    pub(super) latest: Latest,
    /// Looks for names that the knowledge base does not have, where there is one.
    pub(super) looker: Option<&'a mut Looker<'k>>,
    /// What ended the file early.
    pub(super) ended_by: Option<Ended>,
}

/// Why a file was not read to its end.
#[derive(Debug)]
pub(super) enum Ended {
    /// It cannot be read.
    Broken(ReadError),
    /// Somebody pressed Ctrl-C.
    Asked,
}

impl Iterator for Feed<'_, '_> {
    type Item = Result<Ticket, Stop>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            if self.careful.asked() {
                self.ended_by = Some(Ended::Asked);
                return Some(Err(Stop("stopped by Ctrl-C".to_owned())));
            }
            if self.piece.is_empty() {
                self.next_piece();
            }
            match self.piece.pop_front()? {
                Clean::Ticket(ticket, removed) => {
                    self.report.read += 1;
                    self.report.removed += removed;
                    if self.latest.is_before(ticket.closed) {
                        self.report.future += 1;
                        let first = (self.report.read, ticket.id.to_string(), ticket.closed);
                        self.report.first_future.get_or_insert(first);
                    }
                    if let Some(looker) = &mut self.looker {
                        looker.sees(&ticket);
                    }
                    return Some(Ok(*ticket));
                }
                Clean::Rejected(reject) => {
                    self.report.read += 1;
                    if let Err(stop) = self.reject(&reject) {
                        return Some(Err(stop));
                    }
                }
                Clean::Broken(error) => {
                    let stop = Stop(error.to_string());
                    self.ended_by = Some(Ended::Broken(error));
                    return Some(Err(stop));
                }
            }
        }
    }
}

impl Feed<'_, '_> {
    fn next_piece(&mut self) {
        let mut bytes = 0;
        let mut piece = Vec::with_capacity(PIECE);
        while piece.len() < PIECE && bytes < PIECE_BYTES {
            let Some(row) = self.rows.next() else { break };
            bytes += size_of_row(&row);
            piece.push(row);
        }
        self.passed.fetch_add(piece.len() as u64, Ordering::Relaxed);
        let scrubber = self.scrubber;
        let cleaned: Vec<Clean> = piece
            .into_par_iter()
            .map(|row| clean(scrubber, row))
            .collect();
        self.piece.extend(cleaned);
    }

    fn reject(&mut self, reject: &Reject) -> Result<(), Stop> {
        self.report.rejected += 1;
        self.rejects
            .add(reject.line, &reject.problem, &reject.text)
            .map_err(|e| Stop(format!("the rejected rows cannot be written: {e}")))?;
        if self.report.problems.len() < SHOWN {
            self.report.problems.push(reject.problem.clone());
        }
        Ok(())
    }
}

fn size_of_row(row: &Result<Row, ReadError>) -> usize {
    match row {
        Ok(Row::Ticket(ticket)) => {
            let texts = [&ticket.said, &ticket.notes];
            texts.into_iter().flatten().map(String::len).sum()
        }
        Ok(Row::Rejected(reject)) => reject.text.len(),
        Err(_) => 0,
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
