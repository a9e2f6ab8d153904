//! One JSON list to records: `[{…}, {…}]`, on as many lines as it likes.
//!
//! The list is cut into its items by brackets and quotes, and each item is read as a line of JSON
//! Lines is; so one broken item is one reject, and one item is held at a time.

use super::jsonl::{LONGEST_LINE, row, too_long};
use super::row::{ReadError, Reject, Row, without_mark};
use super::times::Times;
use crate::base::problem::{Place, Problem};
use std::io::BufRead;
use std::path::PathBuf;

/// The items of a JSON list.
#[derive(Debug)]
pub struct JsonList<R> {
    input: R,
    file: PathBuf,
    line: usize,
    state: State,
    times: Times,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum State {
    Begin,
    Items,
    /// After the closing bracket.
    After,
    Ended,
}

/// Where in an item the reading is.
#[derive(Default)]
struct Depth {
    open: usize,
    quoted: bool,
    escaped: bool,
}

impl Depth {
    /// Whether the item ends before this byte.
    fn ends_at(&mut self, byte: u8) -> bool {
        if self.quoted {
            match byte {
                _ if self.escaped => self.escaped = false,
                b'\\' => self.escaped = true,
                b'"' => self.quoted = false,
                _ => {}
            }
            return false;
        }
        match byte {
            b'"' => self.quoted = true,
            b'{' | b'[' => self.open += 1,
            b'}' | b']' if self.open > 0 => self.open -= 1,
            b',' | b']' if self.open == 0 => return true,
            _ => {}
        }
        false
    }
}

impl<R: BufRead> JsonList<R> {
    /// Reads `input`, which problems call `file`.
    pub fn new(file: impl Into<PathBuf>, input: R) -> Self {
        Self {
            input,
            file: file.into(),
            line: 1,
            state: State::Begin,
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
        if self.state == State::Begin {
            let start = without_mark(self.input.fill_buf()?)?.len();
            let mark = self.input.fill_buf()?.len() - start;
            self.input.consume(mark);
            if self.skip_blank(b"")? != Some(b'[') {
                return Ok(self.end_with("no-list", "expected a JSON list, `[{…}, {…}]`"));
            }
            self.input.consume(1);
            self.state = State::Items;
        }
        if self.state == State::After {
            return Ok(match self.skip_blank(b"")? {
                None => self.end(),
                Some(_) => self.end_with("after-list", "more stands behind the end of the list"),
            });
        }
        match self.skip_blank(b",")? {
            None => Ok(self.end_with("list-not-closed", "the file ends before the list does")),
            Some(b']') => {
                self.input.consume(1);
                self.state = State::After;
                self.next_row()
            }
            Some(_) => self.item().map(Some),
        }
    }

    /// One item, up to the comma or the bracket behind it.
    fn item(&mut self) -> Result<Row, ReadError> {
        let begun = self.line;
        let mut depth = Depth::default();
        let mut bytes = Vec::new();
        let mut length = 0;
        loop {
            let piece = self.input.fill_buf()?;
            if piece.is_empty() {
                break;
            }
            let end = piece.iter().position(|byte| depth.ends_at(*byte));
            let piece = &piece[..end.unwrap_or(piece.len())];
            self.line += piece.iter().filter(|byte| **byte == b'\n').count();
            length += piece.len();
            // What is too long is not kept.
            if length <= LONGEST_LINE {
                bytes.extend(piece);
            }
            let used = piece.len();
            self.input.consume(used);
            if end.is_some() {
                break;
            }
        }
        if length > LONGEST_LINE {
            return Ok(too_long(&self.file, begun));
        }
        let text = std::str::from_utf8(&bytes).map_err(|_| ReadError::NotUtf8 { line: begun })?;
        Ok(row(&self.file, begun, text.trim(), &self.times))
    }

    /// The first byte that is neither blank nor one of `also`; it is not taken.
    fn skip_blank(&mut self, also: &[u8]) -> Result<Option<u8>, ReadError> {
        loop {
            let piece = self.input.fill_buf()?;
            let Some(first) = piece.first().copied() else {
                return Ok(None);
            };
            if !first.is_ascii_whitespace() && !also.contains(&first) {
                return Ok(Some(first));
            }
            self.line += usize::from(first == b'\n');
            self.input.consume(1);
        }
    }

    fn end(&mut self) -> Option<Row> {
        self.state = State::Ended;
        None
    }

    /// The list is no list to its end: one reject says so, and what was read stays.
    fn end_with(&mut self, rule: &'static str, message: &str) -> Option<Row> {
        self.state = State::Ended;
        Some(Row::Rejected(Box::new(Reject {
            line: self.line,
            problem: Problem::error(rule, Place::line(&self.file, self.line), message),
            text: String::new(),
        })))
    }
}

impl<R: BufRead> Iterator for JsonList<R> {
    type Item = Result<Row, ReadError>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.state == State::Ended {
            return None;
        }
        let row = self.next_row();
        if row.is_err() {
            self.state = State::Ended;
        }
        row.transpose()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tickets::jsonl::JsonLines;
    use proptest::prelude::*;

    const T: &str = r#""closed":"2026-03-02T09:41:00Z""#;

    /// The ids of the tickets, and line and rule of the rejects.
    fn read(text: &str) -> String {
        let rows = JsonList::new("a.json", text.as_bytes());
        let shown: Vec<String> = rows
            .map(|row| match row.unwrap() {
                Row::Ticket(ticket) => ticket.id.to_string(),
                Row::Rejected(reject) => format!("{}:{}", reject.line, reject.problem.rule),
            })
            .collect();
        shown.join(" ")
    }

    #[test]
    fn items_are_tickets_whatever_their_lines() {
        let one = |id: &str, said: &str| format!("{{\"id\":\"{id}\",{T},\"said\":\"{said}\"}}");
        let (a, b) = (one("a", "x, ] } \\\" ["), one("b", "y"));
        for (text, expected) in [
            (format!("[{a},{b}]"), "a b"),
            (format!("\u{feff}[\n  {a}\n,\n  {b}\n]\n"), "a b"),
            (format!("[{a},{b},]"), "a b"),
            ("[]".to_owned(), ""),
            (format!("[{a} {b}]"), "1:bad-json"),
            (format!("[{a},\n7,\n{b}]"), "a 2:not-a-ticket b"),
            (
                format!("[{a},\n{{\"id\":\"c\"}},{b}]"),
                "a 2:missing-field b",
            ),
            (format!("[{a},\n{b}"), "a b 2:list-not-closed"),
            (
                format!("[{a},\n{{\"id\":\""),
                "a 2:bad-json 2:list-not-closed",
            ),
            (format!("[{a}]\n[{b}]"), "a 2:after-list"),
            ("x".to_owned(), "1:no-list"),
            (String::new(), "1:no-list"),
        ] {
            assert_eq!(read(&text), expected, "{text}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn a_list_reads_as_its_lines_do(
            texts in proptest::collection::vec("[\\[\\]{}\",\\\\a ]{1,8}", 0..6),
            pretty in any::<bool>(),
        ) {
            let values: Vec<serde_json::Value> = texts
                .iter()
                .enumerate()
                .map(|(n, said)| serde_json::json!({"id": n, "closed": "2026-03-02T09:41:00Z", "said": said}))
                .collect();
            let lines: Vec<String> = values.iter().map(ToString::to_string).collect();
            let list = if pretty {
                serde_json::to_string_pretty(&values).unwrap()
            } else {
                serde_json::to_string(&values).unwrap()
            };
            let tickets = |rows: Vec<Result<Row, ReadError>>| -> Vec<_> {
                rows.into_iter()
                    .map(|row| match row.unwrap() {
                        Row::Ticket(ticket) => Some(*ticket),
                        Row::Rejected(_) => None,
                    })
                    .collect()
            };
            let of_lines = tickets(JsonLines::new("a", lines.join("\n").as_bytes()).collect());
            let of_list = tickets(JsonList::new("a", list.as_bytes()).collect());
            prop_assert_eq!(of_list, of_lines);
        }
    }
}
