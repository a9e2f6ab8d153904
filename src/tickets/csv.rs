//! CSV to records, through a [`Map`]: one ticket on each row below the header.
//!
//! A row that is no ticket becomes a [`Reject`]; a header that does not fit the map, or bytes that
//! are no text, end the reading. One row is held at a time, and where a quote was left open a few
//! lines behind it.

use super::fields;
use super::map::Map;
use super::row::{ReadError, Reject, Row, without_mark};
use crate::base::problem::{Place, Problem};
use csv::StringRecord;
use seen::Seen;
use std::io::Read;
use std::path::PathBuf;

mod cells;
mod delimiter;
mod records;
mod seen;
mod table;

pub use delimiter::delimiter_of;
use records::{LeftOpen, Quote, Record, Records, ToldBy};
use table::Table;

/// The rows of a CSV file.
pub struct CsvRows<R> {
    records: Records<R>,
    table: Table,
    /// The ids of the rows so far.
    seen: Seen,
    row: u64,
    ended: bool,
}

impl<R> std::fmt::Debug for CsvRows<R> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("CsvRows")
            .field("file", &self.table.file)
            .finish_non_exhaustive()
    }
}

impl CsvRows<()> {
    /// The cells of a table as they stand, below its header.
    pub fn raw<R: Read>(input: R, delimiter: u8) -> Result<Cellular<R>, ReadError> {
        let (records, header) = headed(input, delimiter)?;
        Ok(Cellular { records, header })
    }
}

/// The cells of a table, row by row, without a map.
pub struct Cellular<R> {
    records: Records<R>,
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

    /// The next row's cells; bytes that are no text become `�`. A row with a quote left open is
    /// passed over: what its cells are cannot be told.
    pub fn next_cells(&mut self) -> Result<Option<StringRecord>, ReadError> {
        loop {
            let Some(record) = self.records.next(&|_, _| false)? else {
                return Ok(None);
            };
            if record.open.is_none() {
                return Ok(Some(StringRecord::from_byte_record_lossy(record.cells)));
            }
        }
    }
}

/// A reader of a table that stands behind its header, and the header.
fn headed<R: Read>(input: R, delimiter: u8) -> Result<(Records<R>, Vec<String>), ReadError> {
    let mut records = Records::new(input, delimiter);
    let mut first = records.next(&|_, _| false)?.ok_or(ReadError::NoHeader)?;
    without_mark(&first.text)?;
    // A line for spreadsheets that names the delimiter stands before the header.
    let sep = |first: &[u8]| first.to_ascii_lowercase().starts_with(b"sep=");
    if first.cells.len() <= 2 && first.cells.get(0).is_some_and(sep) {
        first = records.next(&|_, _| false)?.ok_or(ReadError::NoHeader)?;
    }
    checked(&first)?;
    if let Some(LeftOpen { quote, .. }) = first.open {
        let column = 1 + String::from_utf8_lossy(&line_of(&first, quote.line)[..quote.before])
            .chars()
            .count();
        return Err(ReadError::OpenHeader { column });
    }
    let names: Vec<String> = first
        .cells
        .iter()
        .map(|name| String::from_utf8_lossy(name).trim().to_owned())
        .collect();
    records.set_width(names.len());
    Ok((records, names))
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
        let (records, header) = headed(input, delimiter)?;
        one_column(&header, delimiter)?;
        Ok(Self {
            records,
            table: Table::new(file.into(), map, header)?,
            seen: Seen::default(),
            row: 0,
            ended: false,
        })
    }

    /// The names of the columns that the map makes no use of.
    pub fn unused(&self) -> impl Iterator<Item = &str> {
        let Table {
            columns, id, names, ..
        } = &self.table;
        let used = |at: &usize| *id == Some(*at) || columns.values().any(|fed| fed.contains(at));
        let names = names.iter().enumerate();
        names
            .filter(move |(at, _)| !used(at))
            .map(|(_, name)| name.as_str())
    }

    fn next_row(&mut self) -> Result<Option<Row>, ReadError> {
        let table = &self.table;
        let Some(record) = self
            .records
            .next(&|cells, open| table.is_row(cells, open))?
        else {
            return Ok(None);
        };
        self.row += 1;
        checked(&record)?;
        if let Some(open) = record.open {
            return Ok(Some(left_open(table, &record, open)));
        }
        if record.cells.len() != table.names.len() {
            return Ok(Some(ragged(table, &record)));
        }
        let cells = StringRecord::from_byte_record_lossy(record.cells.clone());
        let ticket = table.ticket(&cells, self.row).and_then(|ticket| {
            // Rows that are numbered have ids of their own.
            if table.id.is_some() {
                self.seen
                    .once(ticket.id.as_str(), record.line, &record.cells)?;
            }
            Ok(ticket)
        });
        Ok(Some(match ticket {
            Ok(ticket) => Row::Ticket(Box::new(ticket)),
            Err(fault) => {
                let place = Place::line(&table.file, record.line);
                let mut problem = Problem::error(fault.rule, place, fault.message);
                problem.help = fault.help;
                rejected(&record, problem, None)
            }
        }))
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

/// A header of one column that holds another delimiter was read with the wrong one.
fn one_column(names: &[String], used: u8) -> Result<(), ReadError> {
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

/// Refuses bytes that are no text.
fn checked(record: &Record) -> Result<(), ReadError> {
    let Err(error) = std::str::from_utf8(&record.text) else {
        return Ok(());
    };
    // The bad byte may stand some lines below the start of its row.
    let before = record.text.iter().take(error.valid_up_to());
    Err(ReadError::NotUtf8 {
        line: record.line + before.filter(|byte| **byte == b'\n').count(),
    })
}

/// One line of a row, counted from 0.
fn line_of(record: &Record, line: usize) -> &[u8] {
    let mut lines = record.text.split(|byte| *byte == b'\n');
    lines.nth(line).unwrap_or_default()
}

/// A row that is no ticket; `line` is shown of it, or all.
fn rejected(record: &Record, mut problem: Problem, line: Option<String>) -> Row {
    let text = String::from_utf8_lossy(&record.text).into_owned();
    problem.excerpt = Some(line.unwrap_or_else(|| text.clone()));
    Row::Rejected(Box::new(Reject {
        line: record.line,
        problem,
        text,
    }))
}

/// The place of a quote, and its line.
fn place_of(table: &Table, record: &Record, quote: Quote) -> (Place, String) {
    let line = String::from_utf8_lossy(line_of(record, quote.line)).into_owned();
    let before = line.get(..quote.before).unwrap_or_default();
    let mut place = Place::line(&table.file, record.line + quote.line);
    place.column = before.chars().count() + 1;
    (place, line)
}

/// A row with more or fewer fields than the header.
fn ragged(table: &Table, record: &Record) -> Row {
    let message = format!(
        "the row has {} fields, but the header has {}",
        record.cells.len(),
        table.names.len()
    );
    let problem = |place, help: String| Problem::error("ragged-row", place, &*message).help(help);
    let Some(quote) = record.torn else {
        let help = "look for a delimiter in one of its fields";
        let place = Place::line(&table.file, record.line);
        return rejected(record, problem(place, help.to_owned()), None);
    };
    let (place, line) = place_of(table, record, quote);
    let help = format!(
        "close the quote that opens in column {} at the end of its field, and write quotes within the field twice",
        place.column
    );
    rejected(record, problem(place, help), Some(line))
}

/// A row whose end cannot be told, for a quote in it was left open.
fn left_open(table: &Table, record: &Record, open: LeftOpen) -> Row {
    let (place, line) = place_of(table, record, open.quote);
    let name = table.names.get(open.quote.cell);
    let cell = name.map_or("a field".to_owned(), |name| {
        format!("`{}`", fields::cut(name))
    });
    // The column is said in words too: where personal data are taken out, no caret can show it.
    let opens = format!("the quote that opens {cell} in column {}", place.column);
    let message = match open.told_by {
        ToldBy::Row(line) => format!("{opens} is not closed before the next row, in line {line}"),
        ToldBy::End => format!("{opens} is not closed before the file ends"),
        ToldBy::Length => format!("{opens} is not closed within 4 MiB, too long for one ticket"),
    };
    let help = "close it, or write it twice where it belongs to the text";
    let problem = Problem::error("open-quote", place, message).help(help);
    rejected(record, problem, Some(line))
}

#[cfg(test)]
mod tests;
