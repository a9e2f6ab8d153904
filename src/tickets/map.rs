//! The map of a CSV export: which column feeds which field, how dates and values are written.
//!
//! ```toml
//! zone = "Europe/Berlin"              # of dates that carry none
//! dates = ["%d.%m.%Y %H:%M"]          # tried in order; without any: ISO dates
//! delimiter = ";"                     # a comma unless said otherwise
//! id = { column = "Number" }          # or { row = true }
//! [columns]
//! closed = "Closed at"
//! said = "Subject"
//! [values.outcome]
//! "Done" = "resolved"
//! [constant]
//! source = "north"
//! ```
//!
//! This file reads the map alone; whether its columns exist is known once the header is read.

use crate::base::problem::{Place, Problem, did_you_mean};
use jiff::fmt::strtime;
use jiff::tz::TimeZone;
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::{Path, PathBuf};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The fields a column or a constant may feed; `fix`, `result` and `minutes` make one try.
pub(super) const FIELDS: &[&str] = &[
    "ref", "follows", "opened", "closed", "device", "firmware", "channel", "said", "codes",
    "article", "fix", "result", "minutes", "outcome", "reopened", "source", "notes",
];

const KEYS: &[&str] = &[
    "zone",
    "dates",
    "delimiter",
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
    pub(super) zone: TimeZone,
    pub(super) dates: Vec<String>,
    pub(super) delimiter: Option<u8>,
    pub(super) id: IdFrom,
    pub(super) columns: BTreeMap<&'static str, Named>,
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

struct Reader<'a> {
    file: &'a Path,
    text: &'a str,
    problems: Vec<Problem>,
}

type Value<'i> = Spanned<DeValue<'i>>;

impl Reader<'_> {
    fn add(
        &mut self,
        rule: &'static str,
        span: Range<usize>,
        message: String,
        help: Option<String>,
    ) {
        let place = Place::of_span(self.file, self.text, span);
        let mut problem = Problem::error(rule, place, message).excerpt_of(self.text);
        problem.help = help;
        self.problems.push(problem);
    }

    fn map(&mut self, table: &DeTable<'_>) -> Option<Map> {
        for key in table.keys() {
            if !KEYS.contains(&key.get_ref().as_ref()) {
                self.unknown(key, KEYS);
            }
        }
        let dates = table.get("dates").map_or_else(Vec::new, |v| self.dates(v));
        let zone = self.zone(table.get("zone"), &dates);
        let delimiter = table.get("delimiter").and_then(|v| self.delimiter(v));
        let id = self.id(table.get("id"));
        let columns = self.columns(table.get("columns"));
        let values = self.values(table.get("values"));
        let constant = self.fields(table.get("constant"), "constant");
        self.whole(&columns, &constant);
        Some(Map {
            file: self.file.to_owned(),
            text: self.text.to_owned(),
            zone: zone?,
            dates,
            delimiter,
            id: id?,
            columns,
            values,
            constant: constant.into_iter().map(|(k, v)| (k, v.name)).collect(),
        })
    }

    fn unknown(&mut self, key: &Spanned<std::borrow::Cow<'_, str>>, known: &[&str]) {
        let name = key.get_ref().as_ref();
        let help = match name {
            "id" => Some("write `id = { column = \"…\" }` above `[columns]`".to_owned()),
            _ => did_you_mean(name, known.iter().copied())
                .or_else(|| Some(format!("known are `{}`", known.join("`, `")))),
        };
        self.add(
            "unknown-key",
            key.span(),
            format!("unknown key `{name}`"),
            help,
        );
    }

    fn text_of(&mut self, key: &str, value: &Value<'_>) -> Option<String> {
        let text = value.get_ref().as_str().map(str::to_owned);
        if text.is_none() {
            let found = value.get_ref().type_str();
            let message = format!("expected text in `{key}`, but found {found}");
            self.add("wrong-kind", value.span(), message, None);
        }
        text
    }

    fn table_of<'v, 'i>(&mut self, key: &str, value: &'v Value<'i>) -> Option<&'v DeTable<'i>> {
        let table = value.get_ref().as_table();
        if table.is_none() {
            let found = value.get_ref().type_str();
            let message = format!("expected a table in `{key}`, but found {found}");
            self.add("wrong-kind", value.span(), message, None);
        }
        table
    }

    fn zone(&mut self, value: Option<&Value<'_>>, dates: &[String]) -> Option<TimeZone> {
        let Some(value) = value else {
            let all_have_one = dates.iter().all(|d| d.contains("%z") || d.contains("%:z"));
            if all_have_one && !dates.is_empty() {
                return Some(TimeZone::UTC);
            }
            let help = Some("add `zone = \"Europe/Berlin\"`, or `zone = \"UTC\"`".to_owned());
            self.add("missing-zone", 0..0, "`zone` is missing".to_owned(), help);
            return None;
        };
        let name = self.text_of("zone", value)?;
        match TimeZone::get(&name) {
            Ok(zone) => Some(zone),
            Err(_) => {
                let message =
                    format!("expected a time zone such as `Europe/Berlin`, but found `{name}`");
                self.add("unknown-zone", value.span(), message, None);
                None
            }
        }
    }

    fn dates(&mut self, value: &Value<'_>) -> Vec<String> {
        let Some(items) = value.get_ref().as_array() else {
            let message = "expected a list such as `[\"%d.%m.%Y %H:%M\"]` in `dates`".to_owned();
            self.add("wrong-kind", value.span(), message, None);
            return Vec::new();
        };
        let mut dates = Vec::new();
        for item in items.iter() {
            let Some(pattern) = self.text_of("dates", item) else {
                continue;
            };
            let example = jiff::Timestamp::UNIX_EPOCH.to_zoned_datetime(TimeZone::UTC);
            if strtime::format(&pattern, &example).is_err() || !pattern.contains('%') {
                let message = format!(
                    "expected a pattern such as `%d.%m.%Y %H:%M` in `dates`, but found `{pattern}`"
                );
                self.add("bad-pattern", item.span(), message, None);
            }
            dates.push(pattern);
        }
        dates
    }

    fn delimiter(&mut self, value: &Value<'_>) -> Option<u8> {
        let text = self.text_of("delimiter", value)?;
        match text.as_bytes() {
            [one] if one.is_ascii() && !b"\"\r\n".contains(one) => Some(*one),
            _ => {
                let message = format!(
                    "expected one character such as `;` in `delimiter`, but found `{text}`"
                );
                self.add("bad-delimiter", value.span(), message, None);
                None
            }
        }
    }

    fn id(&mut self, value: Option<&Value<'_>>) -> Option<IdFrom> {
        let help = Some("write `id = { column = \"Number\" }` or `id = { row = true }`".to_owned());
        let Some(value) = value else {
            self.add("missing-id", 0..0, "`id` is missing".to_owned(), help);
            return None;
        };
        let table = value.get_ref().as_table();
        let column = table.and_then(|t| t.get("column"));
        let row = table.and_then(|t| t.get("row"));
        match (column, row, table.map(|t| t.len())) {
            (Some(column), None, Some(1)) => {
                let name = self.text_of("column", column)?;
                Some(IdFrom::Column(Named {
                    name,
                    span: column.span(),
                }))
            }
            (None, Some(row), Some(1)) if row.get_ref().as_bool() == Some(true) => {
                Some(IdFrom::Row)
            }
            _ => {
                let message = "expected a column or the row in `id`".to_owned();
                self.add("bad-id", value.span(), message, help);
                None
            }
        }
    }

    fn columns(&mut self, value: Option<&Value<'_>>) -> BTreeMap<&'static str, Named> {
        let columns = self.fields(value, "columns");
        if value.is_none() {
            let help = Some("add `[columns]` with `closed = \"…\"` and `said = \"…\"`".to_owned());
            self.add(
                "missing-columns",
                0..0,
                "`[columns]` is missing".to_owned(),
                help,
            );
        }
        columns
    }

    /// A table whose keys are fields and whose values are texts.
    fn fields(&mut self, value: Option<&Value<'_>>, name: &str) -> BTreeMap<&'static str, Named> {
        let mut fields = BTreeMap::new();
        let Some(table) = value.and_then(|v| self.table_of(name, v)) else {
            return fields;
        };
        for (key, value) in table.iter() {
            let Some(field) = FIELDS.iter().find(|f| **f == key.get_ref().as_ref()) else {
                self.unknown(key, FIELDS);
                continue;
            };
            if let Some(text) = self.text_of(field, value) {
                let span = value.span();
                fields.insert(*field, Named { name: text, span });
            }
        }
        fields
    }

    fn values(
        &mut self,
        value: Option<&Value<'_>>,
    ) -> BTreeMap<&'static str, BTreeMap<String, String>> {
        let mut all = BTreeMap::new();
        let Some(table) = value.and_then(|v| self.table_of("values", v)) else {
            return all;
        };
        for (key, value) in table.iter() {
            let Some(field) = FIELDS.iter().find(|f| **f == key.get_ref().as_ref()) else {
                self.unknown(key, FIELDS);
                continue;
            };
            let Some(pairs) = self.table_of(field, value) else {
                continue;
            };
            let mut values = BTreeMap::new();
            for (from, to) in pairs.iter() {
                if let Some(to_text) = self.text_of(field, to) {
                    self.check_value(field, &to_text, to.span());
                    values.insert(from.get_ref().to_string(), to_text);
                }
            }
            all.insert(*field, values);
        }
        all
    }

    /// A value the map writes itself is checked once, here, rather than in every row.
    fn check_value(&mut self, field: &str, text: &str, span: Range<usize>) {
        let fault = match field {
            "outcome" if !text.is_empty() => super::fields::outcome(text).err(),
            "result" if !text.is_empty() => super::fields::result(text).err(),
            _ => None,
        };
        if let Some(fault) = fault {
            self.add(fault.rule, span, fault.message, fault.help);
        }
    }

    /// What must hold between the parts.
    fn whole(
        &mut self,
        columns: &BTreeMap<&'static str, Named>,
        constant: &BTreeMap<&'static str, Named>,
    ) {
        for (field, named) in constant {
            self.check_value(field, &named.name, named.span.clone());
            if columns.contains_key(field) {
                let message = format!("`{field}` has a column and a constant, one is enough");
                self.add("twice", named.span.clone(), message, None);
            }
        }
        let has = |field: &str| columns.contains_key(field) || constant.contains_key(field);
        let mut missing = Vec::new();
        if !columns.is_empty() {
            if !has("closed") {
                missing.push("`closed` has no column");
            }
            if !has("said") && !has("notes") {
                missing.push("neither `said` nor `notes` has a column, one is needed");
            }
            if has("fix") && !has("result") {
                missing.push("`fix` has a column, so `result` needs one or a constant");
            }
            if (has("result") || has("minutes")) && !has("fix") {
                missing.push("`result` and `minutes` need a column for `fix`");
            }
        }
        for message in missing {
            self.add("missing-column", 0..0, message.to_owned(), None);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: &str = r#"zone = "Europe/Berlin"
dates = ["%d.%m.%Y %H:%M"]
id = { column = "Number" }
[columns]
closed = "Closed at"
said = "Subject"
[values.outcome]
"Done" = "resolved"
[constant]
source = "north"
"#;

    #[test]
    fn a_good_map_is_read() {
        let map = Map::parse("map.toml", GOOD).unwrap();
        assert_eq!(map.columns["said"].name, "Subject");
        assert_eq!(map.value("outcome", "Done"), "resolved");
        assert_eq!(map.value("outcome", "Open"), "Open");
        assert_eq!(map.constant["source"], "north");
    }

    #[test]
    fn every_fault_has_its_place() {
        for (from, to, told) in [
            ("zone = \"Europe/Berlin\"\n", "", "1:1 `zone` is missing"),
            (
                "Europe/Berlin",
                "Berlin",
                "1:8 expected a time zone such as `Europe/Berlin`, but found `Berlin`",
            ),
            (
                "%d.%m.%Y %H:%M",
                "%d.%m.%Y %!",
                "2:10 expected a pattern such as `%d.%m.%Y %H:%M` in `dates`, but found `%d.%m.%Y %!`",
            ),
            ("id = { column = \"Number\" }\n", "", "1:1 `id` is missing"),
            (
                "{ column = \"Number\" }",
                "{ row = 3 }",
                "3:6 expected a column or the row in `id`",
            ),
            ("closed =", "close =", "5:1 unknown key `close`"),
            ("closed =", "reopened =", "1:1 `closed` has no column"),
            (
                "said =",
                "device =",
                "1:1 neither `said` nor `notes` has a column, one is needed",
            ),
            (
                "said =",
                "fix = \"F\"\nsaid =",
                "1:1 `fix` has a column, so `result` needs one or a constant",
            ),
            (
                "said =",
                "result = \"R\"\nsaid =",
                "1:1 `result` and `minutes` need a column for `fix`",
            ),
            (
                "\"resolved\"",
                "\"solved\"",
                "8:10 expected `resolved`, `handed-on` or `dropped` in `outcome`, but found `solved`",
            ),
            (
                "source =",
                "said =",
                "10:8 `said` has a column and a constant, one is enough",
            ),
            (
                "\"Subject\"",
                "7",
                "6:8 expected text in `said`, but found integer",
            ),
            ("[constant]", "[constants]", "9:2 unknown key `constants`"),
            ("[columns]", "[columns", "4:9 unclosed table, expected `]`"),
            (
                "id =",
                "delimiter = \"tab\"\nid =",
                "3:13 expected one character such as `;` in `delimiter`, but found `tab`",
            ),
        ] {
            let text = GOOD.replace(from, to);
            let problems = Map::parse("map.toml", &text).unwrap_err();
            let all: Vec<String> = problems
                .iter()
                .map(|p| format!("{}:{} {}", p.place.line, p.place.column, p.message))
                .collect();
            assert!(
                all.iter().any(|line| line == told),
                "no {told:?} in {all:?}"
            );
        }
    }
}
