//! TOML with places: takes tables apart, says at which key something is wrong, and goes on.

use super::source::Source;
use crate::base::problem::{Problem, did_you_mean};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A value with its bytes.
pub(super) type Value<'i> = Spanned<DeValue<'i>>;

/// Collects problems while a file is taken apart.
pub(super) struct Reader<'a> {
    pub(super) source: &'a Source,
    pub(super) problems: Vec<Problem>,
}

impl<'a> Reader<'a> {
    /// Parses the text; a syntax error is a problem, and what can be read is read.
    pub(super) fn open(source: &'a Source) -> (Self, DeTable<'a>) {
        let mut reader = Self {
            source,
            problems: Vec::new(),
        };
        let (table, errors) = DeTable::parse_recoverable(&source.text);
        for error in errors {
            let at = error.span().unwrap_or(0..0);
            let message = error.message().lines().collect::<Vec<_>>().join(", ");
            reader.error("toml", at, message);
        }
        (reader, table.into_inner())
    }

    pub(super) fn error(&mut self, rule: &'static str, at: Range<usize>, message: String) {
        self.problems.push(self.source.error(rule, at, message));
    }

    pub(super) fn error_with_help(
        &mut self,
        rule: &'static str,
        at: Range<usize>,
        message: String,
        help: Option<String>,
    ) {
        let mut problem = self.source.error(rule, at, message);
        problem.help = help;
        self.problems.push(problem);
    }

    /// Reports every key that is not known here.
    pub(super) fn only(&mut self, table: &DeTable<'_>, known: &[&str], place: &str) {
        for (key, _) in table {
            let name = key.get_ref().as_ref();
            if !known.contains(&name) {
                let help = did_you_mean(name, known.iter().copied())
                    .unwrap_or_else(|| format!("known here: {}", known.join(", ")));
                let message = format!("{place} has no key `{name}`");
                let problem = self.source.error("unknown-key", key.span(), message);
                let problem = problem.slip(name, known.iter().copied());
                self.problems.push(problem.help(help));
            }
        }
    }

    fn wrong_type(&mut self, key: &str, wanted: &str, value: &Value<'_>) {
        let found = sort(value.get_ref());
        let message = format!("`{key}` should be {wanted}, but is {found}");
        self.error("wrong-type", value.span(), message);
    }

    pub(super) fn text(&mut self, key: &str, value: &Value<'_>) -> Option<String> {
        let text = value.get_ref().as_str().map(str::to_owned);
        if text.is_none() {
            self.wrong_type(key, "text in quotes", value);
        }
        text
    }

    pub(super) fn truth(&mut self, key: &str, value: &Value<'_>) -> Option<bool> {
        let truth = value.get_ref().as_bool();
        if truth.is_none() {
            self.wrong_type(key, "true or false", value);
        }
        truth
    }

    /// A number at or above `least`.
    pub(super) fn number(&mut self, key: &str, value: &Value<'_>, least: f64) -> Option<f64> {
        let number = number(value.get_ref());
        match number {
            None => self.wrong_type(key, "a number", value),
            Some(n) if n >= least => return Some(n),
            Some(n) => {
                let message = format!("`{key}` should be at least {least}, but is {n}");
                self.error("out-of-range", value.span(), message);
            }
        }
        None
    }

    /// Texts of a list, each with its place.
    pub(super) fn texts(&mut self, key: &str, value: &Value<'_>) -> Vec<(String, Range<usize>)> {
        let Some(list) = value.get_ref().as_array() else {
            self.wrong_type(key, "a list such as `[\"one\", \"two\"]`", value);
            return Vec::new();
        };
        let items: Vec<_> = list.iter().collect();
        items
            .into_iter()
            .filter_map(|item| Some((self.text(key, item)?, item.span())))
            .collect()
    }

    /// Texts of a list, doubles reported and left out.
    pub(super) fn set(&mut self, key: &str, value: &Value<'_>) -> Vec<String> {
        let mut set: Vec<String> = Vec::new();
        for (text, at) in self.texts(key, value) {
            if set.contains(&text) {
                self.error(
                    "double-value",
                    at,
                    format!("`{text}` stands twice in `{key}`"),
                );
            } else {
                set.push(text);
            }
        }
        set
    }

    pub(super) fn table<'t, 'i>(
        &mut self,
        key: &str,
        value: &'t Value<'i>,
    ) -> Option<&'t DeTable<'i>> {
        let table = value.get_ref().as_table();
        if table.is_none() {
            self.wrong_type(key, "a table", value);
        }
        table
    }

    /// A list of any values.
    pub(super) fn list<'t, 'i>(&mut self, key: &str, value: &'t Value<'i>) -> Vec<&'t Value<'i>> {
        match value.get_ref().as_array() {
            Some(list) => list.iter().collect(),
            None => {
                self.wrong_type(key, "a list", value);
                Vec::new()
            }
        }
    }
}

/// A whole or broken number.
pub(super) fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(n) => {
            let whole = i64::from_str_radix(n.as_str(), n.radix()).ok()?;
            whole.to_string().parse().ok()
        }
        DeValue::Float(n) => n.as_str().parse().ok().filter(|n: &f64| n.is_finite()),
        _ => None,
    }
}

fn sort(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "a truth value",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
