//! A table as it was looked at: what its columns hold, as far as that tells which is which.

use std::collections::{BTreeSet, HashSet};

/// How many values of a column are kept to look at.
const SAMPLE: usize = 2000;

/// A column with more values than that has no table of values.
const FEW: usize = 60;

/// How many values tell whether a column repeats itself.
const COUNTED: usize = 200_000;

/// One column of a table.
#[derive(Clone, Debug, Default)]
pub struct Column {
    /// Its heading.
    pub name: String,
    /// The first filled values, trimmed.
    pub(super) sample: Vec<String>,
    /// All values, as long as they are few.
    pub(super) distinct: BTreeSet<String>,
    pub(super) many: bool,
    pub(super) repeats: bool,
    seen: HashSet<String>,
    pub(super) filled: u64,
}

impl Column {
    /// A column without values.
    #[must_use]
    pub fn new(name: &str) -> Self {
        Self {
            name: name.trim().to_owned(),
            ..Self::default()
        }
    }

    /// Takes the next row's value.
    pub fn add(&mut self, value: &str) {
        let value = value.trim();
        if value.is_empty() {
            return;
        }
        self.filled += 1;
        if self.sample.len() < SAMPLE {
            self.sample.push(value.to_owned());
        }
        if !self.many && !self.distinct.contains(value) {
            self.distinct.insert(value.to_owned());
            self.many = self.distinct.len() > FEW;
        }
        if !self.repeats && self.seen.len() < COUNTED && value.len() <= 40 {
            self.repeats = !self.seen.insert(value.to_owned());
        }
    }

    /// The mean number of words of a value.
    pub(super) fn words(&self) -> f64 {
        let words: usize = self
            .sample
            .iter()
            .map(|v| v.split_whitespace().count())
            .sum();
        words as f64 / self.sample.len().max(1) as f64
    }

    pub(super) fn share(&self, holds: impl Fn(&str) -> bool) -> f64 {
        let held = self.sample.iter().filter(|v| holds(v)).count();
        held as f64 / self.sample.len().max(1) as f64
    }
}

/// A table as it was looked at.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    /// Its columns.
    pub columns: Vec<Column>,
    /// How many rows it has.
    pub rows: u64,
    /// What parts its columns.
    pub delimiter: u8,
    /// The name of its encoding, where it is not UTF-8.
    pub encoding: Option<&'static str>,
    /// Opening and closing times as they stand in the first rows, for every pair of columns.
    pub(super) firsts: Vec<Vec<String>>,
}

impl Sheet {
    /// A table with these headings.
    #[must_use]
    pub fn new<'a>(names: impl IntoIterator<Item = &'a str>, delimiter: u8) -> Self {
        Self {
            columns: names.into_iter().map(Column::new).collect(),
            delimiter,
            ..Self::default()
        }
    }

    /// Takes the next row.
    pub fn add<'a>(&mut self, cells: impl IntoIterator<Item = &'a str>) {
        self.rows += 1;
        let cells: Vec<&str> = cells.into_iter().collect();
        for (column, cell) in self.columns.iter_mut().zip(&cells) {
            column.add(cell);
        }
        if self.firsts.len() < SAMPLE {
            let first = cells.iter().map(|cell| cell.trim().to_owned()).collect();
            self.firsts.push(first);
        }
    }
}
