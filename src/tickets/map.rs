//! The map of a CSV export: which column feeds which field, how dates and values are written.
//!
//! ```toml
//! zone = "Europe/Berlin"              # of times that name none
//! dates = ["%d.%m.%Y %H:%M"]          # tried in order, then ISO forms
//! delimiter = ";"                     # told from the file unless said here
//! encoding = "windows-1252"           # told from the file unless said here
//! id = { column = "Number" }          # or { row = true }
//! [columns]
//! closed = "Closed at"
//! said = ["Subject", "Description"]   # several columns, joined
//! [values.outcome]
//! "Done" = "resolved"
//! [constant]
//! source = "north"
//! ```
//!
//! This file reads the map alone; whether its columns exist is known once the header is read.

use super::encoding::Encoding;
use super::times::Times;
use crate::base::problem::{Place, Problem, did_you_mean};
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::PathBuf;
use toml::de::DeTable;

mod reader;

use reader::Reader;

/// The fields a column or a constant may feed; `fix`, `result` and `minutes` make one try.
pub(super) const FIELDS: &[&str] = &[
    "ref", "follows", "opened", "closed", "device", "firmware", "channel", "said", "codes",
    "article", "fix", "result", "minutes", "outcome", "reopened", "source", "notes",
];

/// The fields that several columns may feed together.
const JOINED: &[&str] = &["said", "notes", "opened", "closed", "reopened", "codes"];

const KEYS: &[&str] = &[
    "zone",
    "dates",
    "delimiter",
    "encoding",
    "id",
    "columns",
    "values",
    "constant",
];

/// How a CSV export is read.
#[derive(Clone, Debug)]
pub struct Map {
    file: PathBuf,
    text: String,
    pub(super) times: Times,
    pub(super) delimiter: Option<u8>,
    encoding: Option<Encoding>,
    pub(super) id: IdFrom,
    pub(super) columns: BTreeMap<&'static str, Vec<Named>>,
    pub(super) values: BTreeMap<&'static str, BTreeMap<String, String>>,
    pub(super) constant: BTreeMap<&'static str, String>,
}

/// Where a ticket's id comes from.
#[derive(Clone, Debug)]
pub(super) enum IdFrom {
    /// A column.
    Column(Named),
    /// The number of the row, after the name of the source.
    Row,
}

/// A column's name and where the map says it.
#[derive(Clone, Debug)]
pub(super) struct Named {
    pub(super) name: String,
    pub(super) span: Range<usize>,
}

impl Map {
    /// Reads a map; `file` is what problems call it.
    pub fn parse(file: impl Into<PathBuf>, text: &str) -> Result<Self, Vec<Problem>> {
        let file = file.into();
        let mut reader = Reader {
            file: &file,
            text,
            problems: Vec::new(),
        };
        let table = match DeTable::parse(text) {
            Ok(table) => table,
            Err(error) => {
                let span = error.span().unwrap_or(0..0);
                reader.add("bad-toml", span, error.message().to_owned(), None);
                return Err(reader.problems);
            }
        };
        let map = reader.map(table.get_ref());
        match map {
            Some(map) if reader.problems.is_empty() => Ok(map),
            _ => Err(reader.problems),
        }
    }

    /// The encoding it says the table is in.
    #[must_use]
    pub fn encoding(&self) -> Option<Encoding> {
        self.encoding
    }

    /// How times are written.
    #[must_use]
    pub fn times(&self) -> &Times {
        &self.times
    }

    /// The delimiter it says the table has.
    #[must_use]
    pub fn delimiter(&self) -> Option<u8> {
        self.delimiter
    }

    /// Whether ids are made of the file's name and the number of the row.
    #[must_use]
    pub fn numbers_rows(&self) -> bool {
        matches!(self.id, IdFrom::Row)
    }

    /// Its own text: a file read through another map is read differently.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The fields it feeds from no column and no constant.
    pub fn empty_fields(&self) -> impl Iterator<Item = &'static str> {
        let fed =
            |field: &str| self.columns.contains_key(field) || self.constant.contains_key(field);
        FIELDS.iter().copied().filter(move |field| !fed(field))
    }

    /// A problem at a column the map names and the header has not.
    pub(super) fn no_such_column(&self, named: &Named, header: &[&str]) -> Problem {
        let list: Vec<String> = header.iter().map(|h| format!("`{h}`")).collect();
        let help = did_you_mean(&named.name, header.iter().copied())
            .unwrap_or_else(|| format!("the columns are {}", list.join(", ")));
        let place = Place::of_span(&self.file, &self.text, named.span.clone());
        let message = format!("the file has no column `{}`", named.name);
        Problem::error("unknown-column", place, message)
            .help(help)
            .excerpt_of(&self.text)
    }

    /// What the map makes of a value of a field.
    pub(super) fn value<'a>(&'a self, field: &str, found: &'a str) -> &'a str {
        self.values
            .get(field)
            .and_then(|values| values.get(found))
            .map_or(found, String::as_str)
    }
}

#[cfg(test)]
mod tests;
