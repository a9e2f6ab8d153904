//! The cells of one row, read as the fields the map makes of them.

use super::table::Table;
use crate::tickets::fields::{self, Fault};
use crate::tickets::record::Try;
use csv::StringRecord;
use jiff::Timestamp;

/// The fields of one row by name.
pub(super) struct Cells<'a> {
    table: &'a Table,
    record: &'a StringRecord,
    /// The number of the row.
    number: u64,
}

impl<'a> Cells<'a> {
    pub(super) fn new(table: &'a Table, record: &'a StringRecord, number: u64) -> Self {
        Self {
            table,
            record,
            number,
        }
    }

    pub(super) fn text(&self, field: &str) -> Option<String> {
        let value = |at: &usize| {
            let cell = self.record.get(*at).unwrap_or_default();
            self.table.map.value(field, cell.trim())
        };
        let found = match self.table.columns.get(field).map(Vec::as_slice) {
            Some([one]) => value(one).to_owned(),
            Some(several) => {
                let filled: Vec<&str> = several
                    .iter()
                    .map(value)
                    .filter(|text| !text.is_empty())
                    .collect();
                filled.join(joint(field))
            }
            None => self.table.map.constant.get(field)?.clone(),
        };
        Some(found).filter(|text| !text.is_empty())
    }

    pub(super) fn row_id(&self) -> Result<String, Fault> {
        let Some(at) = self.table.id else {
            let source = self.table.map.constant.get("source").cloned();
            let stem = || {
                self.table
                    .file
                    .file_stem()
                    .map(|s| s.to_string_lossy().into_owned())
            };
            let name = source.or_else(stem).unwrap_or_default();
            return fields::id("id", &format!("{name}-{}", self.number));
        };
        let cell = self.record.get(at).unwrap_or_default().trim();
        if cell.is_empty() {
            return Err(Fault::missing("id"));
        }
        fields::id("id", cell)
    }

    pub(super) fn id(&self, field: &str) -> Result<Option<String>, Fault> {
        self.text(field).map(|t| fields::id(field, &t)).transpose()
    }

    pub(super) fn time(&self, field: &str) -> Result<Option<Timestamp>, Fault> {
        self.text(field)
            .map(|t| self.table.map.times.read(field, &t))
            .transpose()
    }

    pub(super) fn codes(&self) -> Vec<String> {
        self.text("codes")
            .unwrap_or_default()
            .split([',', ' ', ';'])
            .map(str::trim)
            .filter(|code| !code.is_empty())
            .map(str::to_owned)
            .collect()
    }

    pub(super) fn one_try(&self) -> Result<Option<Try>, Fault> {
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
    pub(super) fn unmapped(&self, fault: Fault, field: &str, found: &str) -> Fault {
        let help = format!(
            "add `\"{}\" = \"…\"` under `[values.{field}]` in the map",
            fields::cut(found)
        );
        fault.help(Some(help))
    }
}

/// What stands between the cells of several columns that feed one field.
fn joint(field: &str) -> &'static str {
    match field {
        "said" | "notes" => "\n",
        _ => " ",
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
