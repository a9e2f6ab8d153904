//! From TOML to a [`Map`], part by part, each fault with its place.

use super::{FIELDS, IdFrom, JOINED, KEYS, Map, Named};
use crate::base::problem::{Place, Problem, did_you_mean};
use crate::tickets::encoding::Encoding;
use crate::tickets::fields;
use crate::tickets::times::Times;
use jiff::fmt::strtime;
use jiff::tz::TimeZone;
use std::collections::BTreeMap;
use std::ops::Range;
use std::path::Path;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The span of what is not there: the problem is the file's as a whole.
const MISSING: Range<usize> = usize::MAX..usize::MAX;

/// Reads one map and gathers what is wrong with it.
pub(super) struct Reader<'a> {
    pub(super) file: &'a Path,
    pub(super) text: &'a str,
    pub(super) problems: Vec<Problem>,
}

type Value<'i> = Spanned<DeValue<'i>>;

impl Reader<'_> {
    pub(super) fn add(
        &mut self,
        rule: &'static str,
        span: Range<usize>,
        message: String,
        help: Option<String>,
    ) {
        let place = if span == MISSING {
            Place::file(self.file)
        } else {
            Place::of_span(self.file, self.text, span)
        };
        let mut problem = Problem::error(rule, place, message).excerpt_of(self.text);
        problem.help = help;
        self.problems.push(problem);
    }

    pub(super) fn map(&mut self, table: &DeTable<'_>) -> Option<Map> {
        for key in table.keys() {
            if !KEYS.contains(&key.get_ref().as_ref()) {
                self.unknown(key, KEYS);
            }
        }
        let dates = table.get("dates").map_or_else(Vec::new, |v| self.dates(v));
        let zone = self.zone(table.get("zone"), &dates);
        let delimiter = table.get("delimiter").and_then(|v| self.delimiter(v));
        let encoding = table.get("encoding").and_then(|v| self.encoding(v));
        let id = self.id(table.get("id"));
        let columns = self.columns(table.get("columns"));
        let values = self.values(table.get("values"));
        let constant = self.fields(table.get("constant"), "constant", |reader, field, value| {
            reader.named(field, value)
        });
        if table.contains_key("columns") {
            self.whole(&columns, &constant);
        }
        Some(Map {
            file: self.file.to_owned(),
            text: self.text.to_owned(),
            times: Times::by(zone?, dates),
            delimiter,
            encoding,
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
            self.add(
                "missing-zone",
                MISSING,
                "`zone` is missing".to_owned(),
                help,
            );
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
            self.add("missing-id", MISSING, "`id` is missing".to_owned(), help);
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

    fn encoding(&mut self, value: &Value<'_>) -> Option<Encoding> {
        let name = self.text_of("encoding", value)?;
        let known = Encoding::named(&name);
        if known.is_none() {
            let message =
                format!("expected an encoding such as `windows-1252`, but found `{name}`");
            let help = Some("leave `encoding` out: it is told from the file".to_owned());
            self.add("unknown-encoding", value.span(), message, help);
        }
        known
    }

    fn columns(&mut self, value: Option<&Value<'_>>) -> BTreeMap<&'static str, Vec<Named>> {
        let columns = self.fields(value, "columns", Self::column_names);
        if value.is_none() {
            let help = Some("add `[columns]` with `closed = \"…\"` and `said = \"…\"`".to_owned());
            self.add(
                "missing-columns",
                MISSING,
                "`[columns]` is missing".to_owned(),
                help,
            );
        }
        columns
    }

    /// The column that feeds a field, or a list of them where they may be joined.
    fn column_names(&mut self, field: &'static str, value: &Value<'_>) -> Option<Vec<Named>> {
        let items = value.get_ref().as_array();
        let Some(items) = items.filter(|items| !items.is_empty() && JOINED.contains(&field)) else {
            return Some(vec![self.named(field, value)?]);
        };
        items.iter().map(|item| self.named(field, item)).collect()
    }

    fn named(&mut self, field: &str, value: &Value<'_>) -> Option<Named> {
        let span = value.span();
        self.text_of(field, value).map(|name| Named { name, span })
    }

    /// A table whose keys are fields.
    fn fields<T>(
        &mut self,
        value: Option<&Value<'_>>,
        name: &str,
        read: impl Fn(&mut Self, &'static str, &Value<'_>) -> Option<T>,
    ) -> BTreeMap<&'static str, T> {
        let mut fields = BTreeMap::new();
        let Some(table) = value.and_then(|v| self.table_of(name, v)) else {
            return fields;
        };
        for (key, value) in table.iter() {
            let Some(field) = FIELDS.iter().find(|f| **f == key.get_ref().as_ref()) else {
                self.unknown(key, FIELDS);
                continue;
            };
            if let Some(read) = read(self, field, value) {
                fields.insert(*field, read);
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
            "outcome" if !text.is_empty() => fields::outcome(text).err(),
            "result" if !text.is_empty() => fields::result(text).err(),
            _ => None,
        };
        if let Some(fault) = fault {
            self.add(fault.rule, span, fault.message, fault.help);
        }
    }

    /// What must hold between the parts.
    fn whole(
        &mut self,
        columns: &BTreeMap<&'static str, Vec<Named>>,
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
        for message in missing {
            self.add("missing-column", MISSING, message.to_owned(), None);
        }
    }
}
