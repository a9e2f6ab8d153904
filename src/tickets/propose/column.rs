//! A table as it was looked at, column by column.

use super::dates;
use std::collections::{BTreeSet, HashSet};

/// How many values of a column are kept to look at.
const SAMPLE: usize = 2000;

/// A column with more values than that has no table of values.
const FEW: usize = 60;

/// How many values tell whether a column repeats itself.
const COUNTED: usize = 200_000;

/// Longer values are no ids.
const LONGEST_COUNTED: usize = 40;

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
    /// How many values stood in an earlier row.
    pub(super) doubled: u64,
    /// The first of these.
    pub(super) doubles: Option<String>,
    seen: HashSet<String>,
    pub(super) filled: u64,
    rows: u64,
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
        self.rows += 1;
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
        if value.len() > LONGEST_COUNTED {
            return;
        }
        if self.seen.contains(value) {
            self.doubled += 1;
            self.doubles.get_or_insert_with(|| value.to_owned());
        } else if self.seen.len() < COUNTED {
            self.seen.insert(value.to_owned());
        }
    }

    /// In how many rows it is empty.
    pub(super) fn empty(&self) -> u64 {
        self.rows - self.filled
    }

    /// Whether its values can be the numbers of cases: short, with digits, hardly one twice, hardly
    /// a row without. One doubled row among hundreds does not make an id any less of one.
    pub(super) fn counts_cases(&self) -> bool {
        let number = |v: &str| {
            let one = v.len() <= 30 && !v.contains([' ', '@', ',']) && !v.starts_with('+');
            one && v.contains(|c: char| c.is_ascii_digit())
        };
        self.filled > 0
            && self.doubled * 20 <= self.filled
            && self.empty() * 10 <= self.rows
            && self.share(number) > 0.95
            && !dates::is_dates(&self.sample)
    }

    /// Whether people wrote sentences into it.
    pub(super) fn is_free_text(&self) -> bool {
        let written = |v: &str| v.chars().any(char::is_alphabetic);
        let varied = self.many || self.distinct.len() as u64 * 3 > self.filled;
        varied && self.words() > 2.5 && self.share(written) > 0.8 && !dates::is_dates(&self.sample)
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

    /// Takes the next row. In one with more or fewer cells than the header nobody knows which cell
    /// belongs where, so nothing is learned from it, nor from a blank one.
    pub fn add<'a>(&mut self, cells: impl IntoIterator<Item = &'a str>) {
        self.rows += 1;
        let cells: Vec<&str> = cells.into_iter().collect();
        let blank = cells.iter().all(|cell| cell.trim().is_empty());
        if blank || cells.len() != self.columns.len() {
            return;
        }
        for (column, cell) in self.columns.iter_mut().zip(&cells) {
            column.add(cell);
        }
        if self.firsts.len() < SAMPLE {
            let first = cells.iter().map(|cell| cell.trim().to_owned()).collect();
            self.firsts.push(first);
        }
    }
}
