//! CSV to records, through a [`Map`]: one ticket on each row below the header.
//!
//! A row that is no ticket becomes a [`Reject`]; a header that does not fit the map, or bytes that
//! are no text, end the reading. One row is held at a time.

use super::fields::{self, Fault};
use super::map::{IdFrom, Map, Named};
use super::record::{RawTicket, Try};
use super::row::{ReadError, Reject, Row, without_mark};
use crate::base::ids::{ArticleId, TicketId};
use crate::base::problem::{Place, Problem};
use csv::{ByteRecord, StringRecord};
use jiff::Timestamp;
use jiff::civil::{Date, DateTime, Time};
use jiff::fmt::strtime;
use std::collections::BTreeMap;
use std::io::Read;
use std::path::PathBuf;

/// The rows of a CSV file.
pub struct CsvRows<R> {
    input: csv::Reader<R>,
    file: PathBuf,
    map: Map,
    columns: BTreeMap<&'static str, usize>,
    id: Option<usize>,
    width: usize,
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
        let mut input = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(input);
        let mut bytes = ByteRecord::new();
        if !input.read_byte_record(&mut bytes).map_err(disk)? {
            return Err(ReadError::NoHeader);
        }
        // The reader takes a UTF-8 mark off by itself; one of UTF-16 it leaves.
        without_mark(bytes.get(0).unwrap_or_default())?;
        let header = text(&bytes, 1)?;
        let names: Vec<&str> = header.iter().map(str::trim).collect();
        one_column(&names, delimiter)?;
        let (columns, id) = fit(map, &names)?;
        Ok(Self {
            input,
            file: file.into(),
            map: map.clone(),
            columns,
            id,
            width: names.len(),
            row: 0,
            ended: false,
        })
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
        let line = line_of(&bytes);
        let record = text(&bytes, line)?;
        let row = self.ticket(&record);
        Ok(Some(match row {
            Ok(ticket) => Row::Ticket(Box::new(ticket)),
            Err(fault) => self.rejected(fault, line, &record),
        }))
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

/// The fields of one row by name.
struct Cells<'a, R> {
    rows: &'a CsvRows<R>,
    record: &'a StringRecord,
}

impl<R> Cells<'_, R> {
    fn text(&self, field: &str) -> Option<String> {
        let found = match self.rows.columns.get(field) {
            Some(at) => {
                let cell = self.record.get(*at).unwrap_or_default();
                self.rows.map.value(field, cell.trim())
            }
            None => self.rows.map.constant.get(field)?,
        };
        Some(found.to_owned()).filter(|text| !text.is_empty())
    }

    fn row_id(&self) -> Result<String, Fault> {
        let Some(at) = self.rows.id else {
            let source = self.rows.map.constant.get("source").cloned();
            let stem = || {
                self.rows
                    .file
                    .file_stem()
                    .map(|s| s.to_string_lossy().into_owned())
            };
            let name = source.or_else(stem).unwrap_or_default();
            return fields::id("id", &format!("{name}-{}", self.rows.row));
        };
        let cell = self.record.get(at).unwrap_or_default().trim();
        if cell.is_empty() {
            return Err(Fault::missing("id"));
        }
        fields::id("id", cell)
    }

    fn id(&self, field: &str) -> Result<Option<String>, Fault> {
        self.text(field).map(|t| fields::id(field, &t)).transpose()
    }

    fn time(&self, field: &str) -> Result<Option<Timestamp>, Fault> {
        self.text(field)
            .map(|t| time(&self.rows.map, field, &t))
            .transpose()
    }

    fn codes(&self) -> Vec<String> {
        self.text("codes")
            .unwrap_or_default()
            .split([',', ' ', ';'])
            .map(str::trim)
            .filter(|code| !code.is_empty())
            .map(str::to_owned)
            .collect()
    }

    fn one_try(&self) -> Result<Option<Try>, Fault> {
        let Some(fix) = self.id("fix")? else {
            return Ok(None);
        };
        let result = self.text("result").ok_or_else(|| {
            Fault::new(
                "missing-field",
                "",
                "`fix` is filled, but `result` is empty",
            )
        })?;
        Ok(Some(Try {
            fix,
            result: fields::result(&result).map_err(|f| self.unmapped(f, "result", &result))?,
            minutes: self.text("minutes").map(|t| number(&t)).transpose()?,
        }))
    }

    /// A value the map does not name: the edit of the map that would.
    fn unmapped(&self, fault: Fault, field: &str, found: &str) -> Fault {
        let help = format!(
            "add `\"{}\" = \"…\"` under `[values.{field}]` in the map",
            fields::cut(found)
        );
        fault.help(Some(help))
    }
}

fn number(text: &str) -> Result<f64, Fault> {
    // A decimal comma, as spreadsheets of half of Europe write it.
    let value = text.replacen(',', ".", 1).parse().map_err(|_| {
        let message = format!(
            "expected a number in `minutes`, but found `{}`",
            fields::cut(text)
        );
        Fault::new("bad-minutes", "minutes", message)
    })?;
    fields::minutes(value)
}

/// Reads a date by the map: its patterns in order, or ISO forms; its zone where the date has none.
fn time(map: &Map, field: &str, text: &str) -> Result<Timestamp, Fault> {
    let found = if map.dates.is_empty() {
        iso(map, text)
    } else {
        map.dates
            .iter()
            .find_map(|pattern| by_pattern(map, pattern, text))
    };
    found.ok_or_else(|| {
        let expected = if map.dates.is_empty() {
            "a date such as `2026-03-02 09:14`".to_owned()
        } else {
            format!("a date written as `{}`", map.dates.join("` or `"))
        };
        let message = format!(
            "expected {expected} in `{field}`, but found `{}`",
            fields::cut(text)
        );
        let help = "add its pattern to `dates` in the map".to_owned();
        Fault::new("bad-time", field, message).help(Some(help))
    })
}

fn iso(map: &Map, text: &str) -> Option<Timestamp> {
    if let Ok(stamp) = text.parse() {
        return Some(stamp);
    }
    let civil = text.parse::<DateTime>().or_else(|_| {
        text.parse::<Date>()
            .map(|d| d.to_datetime(Time::midnight()))
    });
    map.zone.to_timestamp(civil.ok()?).ok()
}

fn by_pattern(map: &Map, pattern: &str, text: &str) -> Option<Timestamp> {
    let parts = strtime::parse(pattern, text).ok()?;
    if let Ok(stamp) = parts.to_timestamp() {
        return Some(stamp);
    }
    let civil = parts
        .to_datetime()
        .or_else(|_| parts.to_date().map(|d| d.to_datetime(Time::midnight())));
    map.zone.to_timestamp(civil.ok()?).ok()
}

type Fitted = (BTreeMap<&'static str, usize>, Option<usize>);

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
        .filter_map(|(field, named)| Some((*field, find(named)?)))
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

fn line_of(record: &ByteRecord) -> usize {
    record
        .position()
        .map_or(0, |p| usize::try_from(p.line()).unwrap_or(usize::MAX))
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
mod tests {
    use super::*;

    const MAP: &str = r#"zone = "Europe/Berlin"
dates = ["%d.%m.%Y %H:%M", "%d.%m.%Y"]
id = { column = "Number" }
[columns]
closed = "Closed at"
said = "Subject"
outcome = "Status"
codes = "Codes"
fix = "Action"
result = "Worked"
minutes = "Min"
[values.outcome]
"Done" = "resolved"
[values.result]
"y" = "resolved"
"n" = "no-change"
"#;
    const HEADER: &str = "Number,Closed at,Subject,Status,Codes,Action,Worked,Min\n";

    fn rows(body: &str) -> Vec<Row> {
        let map = Map::parse("map.toml", MAP).unwrap();
        let text = format!("{HEADER}{body}");
        let rows = CsvRows::open("a.csv", text.as_bytes(), &map, b',').unwrap();
        rows.map(Result::unwrap).collect()
    }

    #[test]
    fn a_row_becomes_a_ticket() {
        let body = "7,02.03.2026 10:41,\"trips, only\nin rain\",Done,\"K31, K32\",reseal-gland,y,\"12,5\"\n\n ,,,,,,,\n8,2.3.2026,x,,,,,\n";
        let rows = rows(body);
        assert_eq!(rows.len(), 2);
        let Row::Ticket(ticket) = &rows[0] else {
            panic!("{rows:?}")
        };
        let json = serde_json::to_string(ticket).unwrap();
        assert_eq!(
            json,
            r#"{"id":"7","closed":"2026-03-02T09:41:00Z","said":"trips, only\nin rain","codes":["K31","K32"],"tries":[{"fix":"reseal-gland","result":"resolved","minutes":12.5}],"outcome":"resolved"}"#
        );
        let Row::Ticket(ticket) = &rows[1] else {
            panic!("{rows:?}")
        };
        assert_eq!(ticket.closed.to_string(), "2026-03-01T23:00:00Z");
    }

    #[test]
    fn every_fault_is_told_in_words() {
        for (row, message, help) in [
            (
                "7,02.03.2026,x\n",
                "the row has 3 fields, but the header has 8",
                "look for a delimiter or an open quote in one of its fields",
            ),
            (",02.03.2026,x,,,,,\n", "`id` is missing", ""),
            ("7,,x,,,,,\n", "`closed` is missing", ""),
            (
                "7,2026-03-02,x,,,,,\n",
                "expected a date written as `%d.%m.%Y %H:%M` or `%d.%m.%Y` in `closed`, but found `2026-03-02`",
                "add its pattern to `dates` in the map",
            ),
            (
                "7,02.03.2026,,,,,,\n",
                "both `said` and `notes` are missing, one of them is needed",
                "",
            ),
            (
                "7,02.03.2026,x,Closed,,,,\n",
                "expected `resolved`, `handed-on` or `dropped` in `outcome`, but found `Closed`",
                "add `\"Closed\" = \"…\"` under `[values.outcome]` in the map",
            ),
            (
                "7,02.03.2026,x,,,a,,\n",
                "`fix` is filled, but `result` is empty",
                "",
            ),
            (
                "7,02.03.2026,x,,,a,maybe,\n",
                "expected `resolved`, `no-change` or `not-possible` in `result`, but found `maybe`",
                "add `\"maybe\" = \"…\"` under `[values.result]` in the map",
            ),
            (
                "7,02.03.2026,x,,,a,y,ten\n",
                "expected a number in `minutes`, but found `ten`",
                "",
            ),
        ] {
            let rows = rows(&format!("1,02.03.2026,\"a\nb\",,,,,\n{row}"));
            let Some(Row::Rejected(reject)) = rows.last() else {
                panic!("{row}: {rows:?}")
            };
            assert_eq!(reject.line, 4, "{row}");
            assert_eq!(reject.problem.message, message);
            assert_eq!(reject.problem.help.as_deref().unwrap_or_default(), help);
        }
    }

    #[test]
    fn a_header_that_does_not_fit_says_why() {
        let map = Map::parse("map.toml", MAP).unwrap();
        let open = |bytes: &[u8]| {
            CsvRows::open("a.csv", bytes, &map, b',')
                .map(|_| ())
                .unwrap_err()
        };
        let error = open(b"Number;Closed at;Subject\n");
        assert_eq!(
            error.to_string(),
            "the header is one column, `Number;Closed at;Subject`, so the delimiter is not `,`"
        );
        assert_eq!(
            error.help().as_deref(),
            Some("add `delimiter = \";\"` to the map")
        );
        assert!(matches!(open(b""), ReadError::NoHeader));
        assert!(matches!(open(b"\xff\xfeN\0"), ReadError::Utf16));
        assert!(matches!(
            open(b"Gr\xfc\xdfe\n"),
            ReadError::NotUtf8 { line: 1 }
        ));
        let ReadError::Map(problems) = open(HEADER.replace("Closed at", "Closed").as_bytes())
        else {
            panic!("no map problem");
        };
        assert_eq!(problems[0].message, "the file has no column `Closed at`");
        assert_eq!(
            problems[0].help.as_deref(),
            Some("did you mean `Closed` or `Codes`?")
        );
        assert_eq!((problems[0].place.line, problems[0].place.column), (5, 10));
    }

    #[test]
    fn bytes_that_are_no_text_are_told_with_their_line() {
        let map = Map::parse("map.toml", MAP).unwrap();
        let mut bytes = HEADER.as_bytes().to_vec();
        bytes.extend(b"7,02.03.2026,\"a\nb\",\xfc,,,,\n");
        let mut rows = CsvRows::open("a.csv", &bytes[..], &map, b',').unwrap();
        assert!(matches!(
            rows.next(),
            Some(Err(ReadError::NotUtf8 { line: 3 }))
        ));
        assert!(rows.next().is_none());
    }
}
