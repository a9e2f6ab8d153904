//! Rows of a table as they stand: which lines belong to one row, and where a quote was left open.
//!
//! A cell in quotes may hold line feeds, so a row may have many lines, and a quote that is never
//! closed takes in the rows behind it up to the next quote, wherever that stands. Each line that
//! begins within quotes is therefore looked at alone. Where such lines read as rows of their own and
//! the row as a whole is not in order, the quote was left open: the lines before the first of them
//! are one faulty row, and reading goes on there. A row in order is believed, unless each of its
//! lines behind the first is a row.
//!
//! The cells are parted by the crate `csv`; only where quotes begin and end is followed here, by its
//! rules (RFC 4180, section 2; a quote within a bare cell is text).

use super::super::jsonl::LONGEST_LINE;
use super::super::newlines::Newlines;
use csv::ByteRecord;
use csv_core::ReadRecordResult;
use std::collections::VecDeque;
use std::io::{self, BufRead, BufReader, Read};

/// After so many lines within one quote that are rows of their own, its end is not looked for.
const ROWS_ARE_ENOUGH: usize = 20;

/// A line of fewer cells than this has as many as the header by chance.
const TELLING_WIDTH: usize = 3;

/// Reads a table's lines and joins them to rows.
pub(super) struct Records<R> {
    input: BufReader<Newlines<R>>,
    delimiter: u8,
    splitter: Splitter,
    width: usize,
    /// Lines that were looked at and belong to a later row.
    ahead: VecDeque<Vec<u8>>,
    /// How many lines were taken.
    taken: usize,
}

/// One row.
#[derive(Debug)]
pub(super) struct Record {
    /// The line it begins in, counted from 1.
    pub(super) line: usize,
    /// All of it, without the last line feed.
    pub(super) text: Vec<u8>,
    /// Its cells; meaningless where a quote was left open.
    pub(super) cells: ByteRecord,
    /// The quote that was left open.
    pub(super) open: Option<LeftOpen>,
    /// The first quote that is closed in the midst of its cell.
    pub(super) torn: Option<Quote>,
}

/// A quote that was left open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct LeftOpen {
    pub(super) quote: Quote,
    pub(super) told_by: ToldBy,
}

/// What told that a quote was left open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ToldBy {
    /// This line, counted from 1, is a row of its own.
    Row(usize),
    /// The file ended.
    End,
    /// The row grew longer than any.
    Length,
}

/// Where a quote opens a cell.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Quote {
    /// Its line, counted from the row's first as 0.
    pub(super) line: usize,
    /// The bytes before it in its line.
    pub(super) before: usize,
    /// Its cell, counted from 0.
    pub(super) cell: usize,
}

/// What a line looks like by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Looks {
    /// Any text.
    Text,
    /// It has as many cells as the header.
    Wide,
    /// A row, or the beginning of one.
    Row,
}

/// A line that begins within quotes.
struct Within {
    quote: Quote,
    looks: Looks,
}

/// Why no more lines were joined.
enum Ended {
    Closed,
    File,
    Length,
    Rows,
}

impl<R: Read> Records<R> {
    pub(super) fn new(input: R, delimiter: u8) -> Self {
        Self {
            input: BufReader::new(Newlines::new(input)),
            delimiter,
            splitter: Splitter::new(delimiter),
            width: 0,
            ahead: VecDeque::new(),
            taken: 0,
        }
    }

    /// How many cells a row has: from now on lines are looked at alone.
    pub(super) fn set_width(&mut self, width: usize) {
        self.width = width;
    }

    /// The next row that is not blank. `is_row` says whether cells are a row's; with `true`, whether
    /// all but the last of them begin one.
    pub(super) fn next(
        &mut self,
        is_row: &dyn Fn(&ByteRecord, bool) -> bool,
    ) -> io::Result<Option<Record>> {
        loop {
            let line = self.taken + 1;
            let Some(first) = self.line()? else {
                return Ok(None);
            };
            let record = self.from(line, first, is_row)?;
            // A row of blanks only, as spreadsheets leave below the last one, is no row.
            let mut cells = record.cells.iter();
            if record.open.is_some() || cells.any(|cell| !cell.trim_ascii().is_empty()) {
                return Ok(Some(record));
            }
        }
    }

    fn from(
        &mut self,
        line: usize,
        first: Vec<u8>,
        is_row: &dyn Fn(&ByteRecord, bool) -> bool,
    ) -> io::Result<Record> {
        let mut walk = Walk::new(self.delimiter);
        walk.over(&first);
        let mut size = first.len();
        let mut lines = vec![first];
        let mut within: Vec<Within> = Vec::new();
        let mut rows = 0;
        let ended = loop {
            let Some(quote) = walk.open() else {
                break Ended::Closed;
            };
            if size > LONGEST_LINE {
                break Ended::Length;
            }
            if rows == ROWS_ARE_ENOUGH {
                break Ended::Rows;
            }
            let Some(next) = self.line()? else {
                break Ended::File;
            };
            let looks = self.looks(&next, is_row);
            rows = if looks == Looks::Row { rows + 1 } else { 0 };
            within.push(Within { quote, looks });
            walk.over(&next);
            size += next.len() + 1;
            lines.push(next);
        };
        let text = lines.join(&b'\n');
        let cells = self.splitter.cells(&text);
        if matches!(ended, Ended::Closed) && self.is_whole(&cells, walk.apart, &within) {
            return Ok(Record {
                line,
                text,
                cells,
                open: None,
                torn: walk.torn,
            });
        }
        let row = within.iter().position(|line| line.looks != Looks::Text);
        let open = match row {
            Some(at) => LeftOpen {
                quote: within[at].quote,
                told_by: ToldBy::Row(line + 1 + at),
            },
            None => LeftOpen {
                quote: walk.quote,
                told_by: match ended {
                    Ended::Length => ToldBy::Length,
                    Ended::Closed | Ended::File | Ended::Rows => ToldBy::End,
                },
            },
        };
        let own = row.map_or(lines.len(), |at| at + 1);
        for later in lines.drain(own..).rev() {
            self.taken -= 1;
            self.ahead.push_front(later);
        }
        Ok(Record {
            line,
            text: lines.join(&b'\n'),
            cells,
            open: Some(open),
            torn: None,
        })
    }

    /// Whether lines that the quotes join are one row.
    ///
    /// `apart`: a cell of several lines has text behind its closing quote.
    fn is_whole(&self, cells: &ByteRecord, apart: bool, within: &[Within]) -> bool {
        if within.is_empty() {
            return true;
        }
        let any = |looks: Looks| within.iter().any(|line| line.looks == looks);
        if apart || cells.len() != self.width {
            return !(any(Looks::Row) || apart && any(Looks::Wide));
        }
        // Behind a first cell of many lines stands a whole row, and still it is one.
        let row = |line: &Within| line.looks == Looks::Row && line.quote.cell > 0;
        !within.iter().all(row)
    }

    fn looks(&mut self, line: &[u8], is_row: &dyn Fn(&ByteRecord, bool) -> bool) -> Looks {
        if self.width == 0 {
            return Looks::Text;
        }
        let mut walk = Walk::new(self.delimiter);
        walk.over(line);
        let open = walk.open().is_some();
        let cells = self.splitter.cells(line);
        let wide = cells.len() == self.width;
        if (wide || open && cells.len() < self.width) && is_row(&cells, open) {
            Looks::Row
        } else if wide && !open && self.width >= TELLING_WIDTH {
            Looks::Wide
        } else {
            Looks::Text
        }
    }

    /// The next line without its line feed.
    fn line(&mut self) -> io::Result<Option<Vec<u8>>> {
        let line = match self.ahead.pop_front() {
            Some(line) => line,
            None => {
                let mut line = Vec::new();
                if self.input.read_until(b'\n', &mut line)? == 0 {
                    return Ok(None);
                }
                if line.ends_with(b"\n") {
                    line.pop();
                }
                // The mark of UTF-8 stands before the first quote.
                if self.taken == 0 && line.starts_with(b"\xef\xbb\xbf") {
                    line.drain(..3);
                }
                line
            }
        };
        self.taken += 1;
        Ok(Some(line))
    }
}

/// Parts rows into cells.
struct Splitter {
    core: csv_core::Reader,
    /// The cells, one behind the other, and where each ends.
    out: Vec<u8>,
    ends: Vec<usize>,
}

impl Splitter {
    fn new(delimiter: u8) -> Self {
        Self {
            core: csv_core::ReaderBuilder::new().delimiter(delimiter).build(),
            out: Vec::new(),
            ends: Vec::new(),
        }
    }

    /// The cells of one row; none of an empty text.
    fn cells(&mut self, text: &[u8]) -> ByteRecord {
        // Cells are never longer than what they are read from, and never more than its bytes and one.
        // With room for one more nothing is ever full.
        self.out.resize(self.out.len().max(text.len() + 1), 0);
        self.ends.resize(self.ends.len().max(text.len() + 2), 0);
        self.core.reset();
        let (out, ends) = (&mut self.out, &mut self.ends);
        let (result, _, mut written, mut count) = self.core.read_record(text, out, ends);
        if result == ReadRecordResult::InputEmpty {
            // That no input is left ends the last cell.
            let (out, ends) = (&mut out[written..], &mut ends[count..]);
            let (_, _, more, cells) = self.core.read_record(&[], out, ends);
            written += more;
            count += cells;
        }
        let mut record = ByteRecord::with_capacity(written, count);
        let mut start = 0;
        for end in &self.ends[..count] {
            record.push_field(&self.out[start..*end]);
            start = *end;
        }
        record
    }
}

/// Where in a cell the reading is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum At {
    Start,
    Bare,
    Quoted,
    /// Behind a quote that closes, or is the first of two that mean one.
    Closing,
}

/// Follows the quotes of a row, line by line.
struct Walk {
    delimiter: u8,
    at: At,
    line: usize,
    cell: usize,
    /// The last quote that opened a cell.
    quote: Quote,
    /// The first quote with text behind the one that closes it.
    torn: Option<Quote>,
    /// Whether a cell of several lines is one of these.
    apart: bool,
}

impl Walk {
    fn new(delimiter: u8) -> Self {
        Self {
            delimiter,
            at: At::Start,
            line: 0,
            cell: 0,
            quote: Quote::default(),
            torn: None,
            apart: false,
        }
    }

    fn over(&mut self, line: &[u8]) {
        for (before, byte) in line.iter().enumerate() {
            self.at = match (self.at, *byte) {
                (At::Start, b'"') => {
                    self.quote = Quote {
                        line: self.line,
                        before,
                        cell: self.cell,
                    };
                    At::Quoted
                }
                (At::Quoted, b'"') => At::Closing,
                (At::Quoted, _) | (At::Closing, b'"') => At::Quoted,
                (_, byte) if byte == self.delimiter => {
                    self.cell += 1;
                    At::Start
                }
                (At::Closing, _) => {
                    self.torn.get_or_insert(self.quote);
                    self.apart |= self.quote.line < self.line;
                    At::Bare
                }
                (At::Start | At::Bare, _) => At::Bare,
            };
        }
        self.line += 1;
    }

    /// The quote that is open at the end of the line.
    fn open(&self) -> Option<Quote> {
        (self.at == At::Quoted).then_some(self.quote)
    }
}
