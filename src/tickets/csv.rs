//! CSV to records, through a [`Map`]: one ticket on each row below the header.
//!
//! A row that is no ticket becomes a [`Reject`]; a header that does not fit the map, or bytes that
//! are no text, end the reading. One row is held at a time.

use super::fields::{self, Fault};
use super::map::{IdFrom, Map, Named};
use super::newlines::Newlines;
use super::record::RawTicket;
use super::row::{ReadError, Reject, Row, without_mark};
use crate::base::ids::{ArticleId, TicketId};
use crate::base::problem::{Place, Problem};
use csv::{ByteRecord, StringRecord};
use std::collections::BTreeMap;
use std::io::Read;
use std::path::PathBuf;

pub(super) mod cells;
mod delimiter;

use cells::Cells;
pub use delimiter::delimiter_of;

/// The rows of a CSV file.
pub struct CsvRows<R> {
    input: csv::Reader<Newlines<R>>,
    file: PathBuf,
    map: Map,
    columns: BTreeMap<&'static str, Vec<usize>>,
    id: Option<usize>,
    width: usize,
    names: Vec<String>,
    row: u64,
    ended: bool,
}

impl<R> std::fmt::Debug for CsvRows<R> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("CsvRows")
            .field("file", &self.file)
            .finish_non_exhaustive()
    }
}

impl CsvRows<()> {
    /// The cells of a table as they stand, below its header.
    pub fn raw<R: Read>(input: R, delimiter: u8) -> Result<Cellular<R>, ReadError> {
        let (input, header) = headed(input, delimiter)?;
        Ok(Cellular { input, header })
    }
}

/// The cells of a table, row by row, without a map.
pub struct Cellular<R> {
    input: csv::Reader<Newlines<R>>,
    header: Vec<String>,
}

impl<R> std::fmt::Debug for Cellular<R> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Cellular").finish_non_exhaustive()
    }
}

impl<R: Read> Cellular<R> {
    /// The headings.
    pub fn header(&self) -> &[String] {
        &self.header
    }

    /// The next row's cells; bytes that are no text become `�`.
    pub fn next_cells(&mut self) -> Result<Option<StringRecord>, ReadError> {
        let mut bytes = ByteRecord::new();
        let read = self.input.read_byte_record(&mut bytes).map_err(disk)?;
        Ok(read.then(|| StringRecord::from_byte_record_lossy(bytes)))
    }
}

/// A reader of a table that stands behind its header, and the header.
fn headed<R: Read>(
    input: R,
    delimiter: u8,
) -> Result<(csv::Reader<Newlines<R>>, Vec<String>), ReadError> {
    let mut input = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(Newlines::new(input));
    let mut bytes = ByteRecord::new();
    if !input.read_byte_record(&mut bytes).map_err(disk)? {
        return Err(ReadError::NoHeader);
    }
    // The reader takes a UTF-8 mark off by itself; one of UTF-16 it leaves.
    without_mark(bytes.get(0).unwrap_or_default())?;
    // A line for spreadsheets that names the delimiter stands before the header.
    let sep = |first: &[u8]| first.to_ascii_lowercase().starts_with(b"sep=");
    if bytes.len() <= 2 && bytes.get(0).is_some_and(sep) {
        input.read_byte_record(&mut bytes).map_err(disk)?;
    }
    let header = text(&bytes, 1)?;
    let names: Vec<String> = header.iter().map(|name| name.trim().to_owned()).collect();
    Ok((input, names))
}

impl<R: Read> CsvRows<R> {
    /// Reads the header of `input`, which problems call `file`, and fits the map to it.
    ///
    /// `delimiter` is used where the map names none.
    pub fn open(
        file: impl Into<PathBuf>,
        input: R,
        map: &Map,
        delimiter: u8,
    ) -> Result<Self, ReadError> {
        let delimiter = map.delimiter.unwrap_or(delimiter);
        let (input, header) = headed(input, delimiter)?;
        let names: Vec<&str> = header.iter().map(String::as_str).collect();
        one_column(&names, delimiter)?;
        let (columns, id) = fit(map, &names)?;
        Ok(Self {
            input,
            file: file.into(),
            map: map.clone(),
            columns,
            id,
            width: names.len(),
            names: header,
            row: 0,
            ended: false,
        })
    }

    /// The names of the columns that the map makes no use of.
    pub fn unused(&self) -> impl Iterator<Item = &str> {
        let used =
            |at: &usize| self.id == Some(*at) || self.columns.values().any(|fed| fed.contains(at));
        let names = self.names.iter().enumerate();
        names
            .filter(move |(at, _)| !used(at))
            .map(|(_, name)| name.as_str())
    }

    fn next_row(&mut self) -> Result<Option<Row>, ReadError> {
        let mut bytes = ByteRecord::new();
        loop {
            if !self.input.read_byte_record(&mut bytes).map_err(disk)? {
                return Ok(None);
            }
            // A row of blanks only, as spreadsheets leave below the last one, is no row.
            if bytes.iter().any(|field| !field.trim_ascii().is_empty()) {
                break;
            }
        }
        self.row += 1;
        let line = self.line_of(&bytes);
        let record = text(&bytes, line)?;
        let row = self.ticket(&record);
        Ok(Some(match row {
            Ok(ticket) => Row::Ticket(Box::new(ticket)),
            Err(fault) => self.rejected(fault, line, &record),
        }))
    }

    /// The line a row starts in. The reader's own count is of where it stood before, which blank
    /// lines and the second half of a Windows line end put off; so we count back from its end.
    fn line_of(&self, row: &ByteRecord) -> usize {
        let end = self.input.position();
        let source = self.input.get_ref();
        let breaks = row.iter().flatten().filter(|b| **b == b'\n').count();
        let line_after = usize::try_from(end.line()).unwrap_or(usize::MAX);
        let at_end = end.byte() == source.given();
        let last = row.iter().next_back().unwrap_or_default();
        // A row ends in a line feed, but at the end of the file without one, or in an open quote.
        let open_end = at_end
            && (!source.ends_with(b"\n") || last.ends_with(b"\n") && !source.ends_with(b"\"\n"));
        line_after.saturating_sub(breaks + usize::from(!open_end))
    }

    fn rejected(&self, fault: Fault, line: usize, record: &StringRecord) -> Row {
        let text = joined(record);
        let mut problem = Problem::error(fault.rule, Place::line(&self.file, line), fault.message);
        problem.help = fault.help;
        problem.excerpt = Some(text.clone());
        Row::Rejected(Box::new(Reject {
            line,
            problem,
            text,
        }))
    }

    fn ticket(&self, record: &StringRecord) -> Result<RawTicket, Fault> {
        if record.len() != self.width {
            let message = format!(
                "the row has {} fields, but the header has {}",
                record.len(),
                self.width
            );
            let help = "look for a delimiter or an open quote in one of its fields".to_owned();
            return Err(Fault::new("ragged-row", "", message).help(Some(help)));
        }
        let of = Cells { rows: self, record };
        let ticket = RawTicket {
            id: TicketId::new(&of.row_id()?),
            reference: of.id("ref")?,
            follows: of.id("follows")?.map(|id| TicketId::new(&id)),
            opened: of.time("opened")?,
            closed: of.time("closed")?.ok_or_else(|| Fault::missing("closed"))?,
            device: of.text("device"),
            firmware: of.text("firmware"),
            channel: of.text("channel"),
            said: of.text("said"),
            codes: of.codes(),
            signs: BTreeMap::new(),
            seen: BTreeMap::new(),
            article: of.id("article")?.map(|id| ArticleId::new(&id)),
            tries: of.one_try()?.into_iter().collect(),
            outcome: of
                .text("outcome")
                .map(|t| fields::outcome(&t).map_err(|f| of.unmapped(f, "outcome", &t)))
                .transpose()?,
            reopened: of.time("reopened")?,
            not_danger: Vec::new(),
            source: of.text("source"),
            notes: of.text("notes"),
            read: None,
        };
        fields::check(&ticket)?;
        Ok(ticket)
    }
}

impl<R: Read> Iterator for CsvRows<R> {
    type Item = Result<Row, ReadError>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.ended {
            return None;
        }
        let row = self.next_row();
        self.ended = !matches!(row, Ok(Some(_)));
        row.transpose()
    }
}

type Fitted = (BTreeMap<&'static str, Vec<usize>>, Option<usize>);

/// Finds the map's columns in the header.
fn fit(map: &Map, names: &[&str]) -> Result<Fitted, ReadError> {
    let mut problems = Vec::new();
    let mut find = |named: &Named| {
        let at = names.iter().position(|name| *name == named.name.trim());
        if at.is_none() {
            problems.push(map.no_such_column(named, names));
        }
        at
    };
    let id = match &map.id {
        IdFrom::Column(named) => find(named),
        IdFrom::Row => None,
    };
    let columns = map
        .columns
        .iter()
        .map(|(field, named)| (*field, named.iter().filter_map(&mut find).collect()))
        .collect();
    if problems.is_empty() {
        Ok((columns, id))
    } else {
        problems.sort_by(|a, b| a.place.cmp(&b.place));
        Err(ReadError::Map(problems))
    }
}

/// A header of one column that holds another delimiter was read with the wrong one.
fn one_column(names: &[&str], used: u8) -> Result<(), ReadError> {
    let [only] = names else { return Ok(()) };
    for (other, seen) in [('\t', "\\t"), (';', ";"), ('|', "|"), (',', ",")] {
        if only.contains(other) {
            return Err(ReadError::Delimiter {
                header: fields::cut(only),
                used: char::from(used).escape_default().to_string(),
                seen,
            });
        }
    }
    Ok(())
}

fn text(record: &ByteRecord, line: usize) -> Result<StringRecord, ReadError> {
    StringRecord::from_byte_record(record.clone()).map_err(|error| {
        // The bad field may stand some lines below the start of its row.
        let before = record.iter().take(error.utf8_error().field()).flatten();
        let breaks = before.filter(|byte| **byte == b'\n').count();
        ReadError::NotUtf8 {
            line: line + breaks,
        }
    })
}

/// The row as CSV again, for people to look at.
fn joined(record: &StringRecord) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let written = writer.write_record(record).is_ok();
    let bytes = writer.into_inner().unwrap_or_default();
    if !written {
        return String::new();
    }
    String::from_utf8_lossy(&bytes).trim_end().to_owned()
}

fn disk(error: csv::Error) -> ReadError {
    match error.into_kind() {
        csv::ErrorKind::Io(error) => ReadError::Io(error),
        other => ReadError::Io(std::io::Error::other(format!("{other:?}"))),
    }
}

#[cfg(test)]
mod tests;
