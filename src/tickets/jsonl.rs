//! JSON Lines to records: one ticket on each line.
//!
//! A line that is no ticket becomes a [`Reject`]; only what makes the rest of the file unreadable
//! (bytes that are no text, the disk) ends the reading. One line is held at a time.

mod was_read;

use super::fields::{self, Fault};
use super::record::{RawTicket, Try};
use super::row::{ReadError, Reject, Row, without_mark};
use super::times::Times;
use crate::base::ids::{ArticleId, TicketId};
use crate::base::problem::{Place, Problem};
use serde_json::{Map, Value};
use std::collections::BTreeMap;
use std::io::{BufRead, Read};
use std::path::{Path, PathBuf};

/// Longest line read as a ticket; longer ones are rejected and not kept.
pub(super) const LONGEST_LINE: usize = 4 << 20;

/// The rows of a JSON Lines file.
#[derive(Debug)]
pub struct JsonLines<R> {
    input: R,
    file: PathBuf,
    line: usize,
    ended: bool,
    times: Times,
}

impl<R: BufRead> JsonLines<R> {
    /// Reads `input`, which problems call `file`.
    pub fn new(file: impl Into<PathBuf>, input: R) -> Self {
        Self {
            input,
            file: file.into(),
            line: 0,
            ended: false,
            times: Times::default(),
        }
    }

    /// Reads times by this rule; without it each has to name its zone.
    #[must_use]
    pub fn with_times(mut self, times: Times) -> Self {
        self.times = times;
        self
    }

    fn next_row(&mut self) -> Result<Option<Row>, ReadError> {
        let mut bytes = Vec::new();
        loop {
            bytes.clear();
            let limit = LONGEST_LINE as u64 + 1;
            let read = (&mut self.input)
                .take(limit)
                .read_until(b'\n', &mut bytes)?;
            if read == 0 {
                return Ok(None);
            }
            self.line += 1;
            if read > LONGEST_LINE && bytes.last() != Some(&b'\n') {
                self.skip_line()?;
                return Ok(Some(self.too_long()));
            }
            let content = if self.line == 1 {
                without_mark(&bytes)?
            } else {
                &bytes
            };
            let text = std::str::from_utf8(content)
                .map_err(|_| ReadError::NotUtf8 { line: self.line })?
                .trim_end_matches(['\n', '\r']);
            if text.trim().is_empty() {
                continue;
            }
            return Ok(Some(row(&self.file, self.line, text, &self.times)));
        }
    }

    fn skip_line(&mut self) -> Result<(), ReadError> {
        loop {
            let buffer = self.input.fill_buf()?;
            if buffer.is_empty() {
                return Ok(());
            }
            let end = buffer.iter().position(|b| *b == b'\n');
            let length = end.map_or(buffer.len(), |at| at + 1);
            self.input.consume(length);
            if end.is_some() {
                return Ok(());
            }
        }
    }

    fn too_long(&self) -> Row {
        too_long(&self.file, self.line)
    }
}

impl<R: BufRead> Iterator for JsonLines<R> {
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

/// A ticket that is not kept, whose text is longer than any.
pub(super) fn too_long(file: &Path, line: usize) -> Row {
    let place = Place::line(file, line);
    let message = "the line is longer than 4 MiB, too long for one ticket";
    Row::Rejected(Box::new(Reject {
        line,
        problem: Problem::error("line-too-long", place, message),
        text: String::new(),
    }))
}

/// One line as a record or a reject.
pub(super) fn row(file: &Path, line: usize, text: &str, times: &Times) -> Row {
    match parse(text, times) {
        Ok(ticket) => Row::Ticket(Box::new(ticket)),
        Err(fault) => {
            let mut place = Place::line(file, line);
            if let Some((column, width)) = find_key(text, &fault.field) {
                (place.column, place.width) = (column, width);
            }
            let mut problem = Problem::error(fault.rule, place, fault.message);
            problem.help = fault.help;
            problem.excerpt = Some(text.to_owned());
            Row::Rejected(Box::new(Reject {
                line,
                problem,
                text: text.to_owned(),
            }))
        }
    }
}

/// Where a key stands in its line, in characters counted from 1.
fn find_key(text: &str, key: &str) -> Option<(usize, usize)> {
    if key.is_empty() {
        return None;
    }
    let quoted = format!("\"{key}\"");
    let at = text.find(&quoted)?;
    Some((text[..at].chars().count() + 1, quoted.chars().count()))
}

fn parse(text: &str, times: &Times) -> Result<RawTicket, Fault> {
    match serde_json::from_str(text) {
        Ok(Value::Object(object)) => ticket(&object, times),
        Ok(other) => {
            let message = format!(
                "expected one ticket such as `{{\"id\":\"T-10482\",…}}`, but found {}",
                kind(&other)
            );
            Err(Fault::new("not-a-ticket", "", message))
        }
        Err(error) if error.is_eof() => Err(Fault::new(
            "bad-json",
            "",
            "the line ends before the ticket does, expected one whole ticket on one line",
        )),
        Err(error) => {
            let full = error.to_string();
            let what = full.split(" at line ").next().unwrap_or(&full);
            let message = format!(
                "no valid JSON at byte {} of the line: {what}",
                error.column()
            );
            Err(Fault::new("bad-json", "", message))
        }
    }
}

pub(super) fn ticket(object: &Map<String, Value>, times: &Times) -> Result<RawTicket, Fault> {
    for key in object.keys() {
        if !fields::KEYS.contains(&key.as_str()) {
            let fault = Fault::unknown_key(key, fields::KEYS);
            let help = fault.help.clone().unwrap_or_else(own_keys);
            return Err(fault.help(Some(help)));
        }
    }
    let of = Keys(object);
    let ticket = RawTicket {
        id: TicketId::new(&of.id("id")?.ok_or_else(|| Fault::missing("id"))?),
        reference: of.id("ref")?,
        follows: of.id("follows")?.map(|id| TicketId::new(&id)),
        opened: of.time("opened", times)?,
        closed: of
            .time("closed", times)?
            .ok_or_else(|| Fault::missing("closed"))?,
        device: of.text("device")?,
        firmware: of.text("firmware")?,
        channel: of.text("channel")?,
        said: of.text("said")?,
        codes: of.list("codes")?,
        signs: of.pairs("signs")?,
        seen: of.pairs("seen")?,
        article: of.id("article")?.map(|id| ArticleId::new(&id)),
        tries: of.tries()?,
        outcome: of
            .text("outcome")?
            .map(|t| fields::outcome(&t))
            .transpose()?,
        reopened: of.time("reopened", times)?,
        not_danger: of
            .list("not_danger")?
            .iter()
            .map(|id| ArticleId::new(id))
            .collect(),
        source: of.text("source")?,
        notes: of.text("notes")?,
        read: of.get("read").map(was_read::parsed).transpose()?,
    };
    fields::check(&ticket)?;
    Ok(ticket)
}

/// The keys of one object, read one by one; `null` and blank text count as absent.
struct Keys<'a>(&'a Map<String, Value>);

impl Keys<'_> {
    fn get(&self, key: &str) -> Option<&Value> {
        self.0.get(key).filter(|value| !value.is_null())
    }

    fn text(&self, key: &str) -> Result<Option<String>, Fault> {
        match self.get(key) {
            None => Ok(None),
            Some(Value::String(text)) => Ok(Some(text.clone()).filter(|t| !t.trim().is_empty())),
            Some(other) => Err(wrong_kind(key, "text", other)),
        }
    }

    /// Ids may also be whole numbers: many systems number their tickets.
    fn id(&self, key: &str) -> Result<Option<String>, Fault> {
        let text = match self.get(key) {
            Some(Value::Number(number)) if !number.is_f64() => Some(number.to_string()),
            _ => self.text(key)?,
        };
        text.map(|t| fields::id(key, &t)).transpose()
    }

    fn time(&self, key: &str, times: &Times) -> Result<Option<jiff::Timestamp>, Fault> {
        let text = match self.get(key) {
            Some(other) if !other.is_string() => {
                return times.read(key, &other.to_string()).map(Some);
            }
            _ => self.text(key)?,
        };
        text.map(|t| times.read(key, &t)).transpose()
    }

    fn list(&self, key: &str) -> Result<Vec<String>, Fault> {
        match self.get(key) {
            None => Ok(Vec::new()),
            Some(Value::Array(items)) => items
                .iter()
                .map(|item| match item {
                    Value::String(text) => Ok(text.clone()),
                    other => Err(wrong_kind(
                        key,
                        "a list of texts such as `[\"K31\"]`",
                        other,
                    )),
                })
                .collect(),
            Some(other) => Err(wrong_kind(
                key,
                "a list of texts such as `[\"K31\"]`",
                other,
            )),
        }
    }

    fn pairs(&self, key: &str) -> Result<BTreeMap<String, String>, Fault> {
        const EXPECTED: &str = "names with texts such as `{\"status-lamp\":\"red-slow\"}`";
        match self.get(key) {
            None => Ok(BTreeMap::new()),
            Some(Value::Object(pairs)) => pairs
                .iter()
                .map(|(name, value)| match value {
                    Value::String(text) => Ok((name.clone(), text.clone())),
                    other => Err(wrong_kind(key, EXPECTED, other)),
                })
                .collect(),
            Some(other) => Err(wrong_kind(key, EXPECTED, other)),
        }
    }

    fn tries(&self) -> Result<Vec<Try>, Fault> {
        const EXPECTED: &str =
            "a list such as `[{\"fix\":\"reseal-gland\",\"result\":\"resolved\"}]`";
        match self.get("tries") {
            None => Ok(Vec::new()),
            Some(Value::Array(items)) => items
                .iter()
                .map(|item| match item {
                    Value::Object(object) => one_try(object),
                    other => Err(wrong_kind("tries", EXPECTED, other)),
                })
                .collect(),
            Some(other) => Err(wrong_kind("tries", EXPECTED, other)),
        }
    }
}

/// What to do with JSON of another system, whose keys no map translates.
fn own_keys() -> String {
    let keys = fields::KEYS.join("`, `");
    format!(
        "JSON is read without a map, so its keys must be `{keys}`; what has others goes in as a table: \
         export CSV, and `fixtally tickets map FILE.csv --save NAME` proposes the map"
    )
}

fn one_try(object: &Map<String, Value>) -> Result<Try, Fault> {
    for key in object.keys() {
        if !fields::TRY_KEYS.contains(&key.as_str()) {
            return Err(Fault::unknown_key(key, fields::TRY_KEYS));
        }
    }
    let of = Keys(object);
    let missing = |key: &str| {
        Fault::new(
            "missing-field",
            "tries",
            format!("`{key}` is missing in a try"),
        )
    };
    Ok(Try {
        fix: of.id("fix")?.ok_or_else(|| missing("fix"))?,
        result: fields::result(&of.text("result")?.ok_or_else(|| missing("result"))?)?,
        minutes: match of.get("minutes") {
            None => None,
            Some(value) => Some(fields::minutes(
                value
                    .as_f64()
                    .ok_or_else(|| wrong_kind("minutes", "a number", value))?,
            )?),
        },
    })
}

fn wrong_kind(key: &str, expected: &str, found: &Value) -> Fault {
    let message = format!("expected {expected} in `{key}`, but found {}", kind(found));
    Fault::new("wrong-kind", key, message)
}

fn kind(value: &Value) -> String {
    match value {
        Value::Null => "nothing".to_owned(),
        Value::Bool(_) | Value::Number(_) => format!("`{value}`"),
        Value::String(text) => format!("the text `{}`", fields::cut(text)),
        Value::Array(_) => "a list".to_owned(),
        Value::Object(_) => "an object".to_owned(),
    }
}

#[cfg(test)]
mod tests;
