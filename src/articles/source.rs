//! One source file in memory: its name, its text, and where its lines begin.
//!
//! Reading a place costs a binary search instead of a walk through the text, so that a large file
//! with many problems stays quick.

use crate::base::problem::{Place, Problem};
use std::ops::Range;
use std::sync::Arc;

/// A file's name and text.
#[derive(Clone, Debug)]
pub struct Source {
    /// The file, relative to the knowledge base, with `/` between folders.
    pub file: String,
    /// Its whole text.
    pub text: Arc<str>,
    starts: Vec<usize>,
}

/// A value and the bytes it was read from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spot<T> {
    /// The value.
    pub value: T,
    /// Where it stands in the text, in bytes.
    pub at: Range<usize>,
}

impl<T> Spot<T> {
    /// Puts a value and its bytes together.
    pub fn new(value: T, at: Range<usize>) -> Self {
        Self { value, at }
    }
}

impl Source {
    /// Remembers where the lines begin.
    pub fn new(file: impl Into<String>, text: impl Into<Arc<str>>) -> Self {
        let text = text.into();
        let starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(at, _)| at + 1))
            .collect();
        Self {
            file: file.into(),
            text,
            starts,
        }
    }

    /// The line of a byte, from 1.
    #[must_use]
    pub fn line_of(&self, at: usize) -> usize {
        self.starts.partition_point(|start| *start <= at).max(1)
    }

    /// The byte where a byte's line begins.
    #[must_use]
    pub fn line_start(&self, at: usize) -> usize {
        self.starts[self.line_of(at) - 1]
    }

    /// A line's text without its end; empty where there is no such line.
    #[must_use]
    pub fn line(&self, line: usize) -> &str {
        let Some(start) = line.checked_sub(1).and_then(|i| self.starts.get(i)) else {
            return "";
        };
        let end = self.starts.get(line).copied().unwrap_or(self.text.len());
        self.text[*start..end].trim_end_matches(['\n', '\r'])
    }

    /// The place of a byte range; a range over several lines is cut to its first.
    #[must_use]
    pub fn place(&self, at: Range<usize>) -> Place {
        let start = floor_char(&self.text, at.start);
        let end = floor_char(&self.text, at.end).max(start);
        let line = self.line_of(start);
        let line_start = self.line_start(start);
        let line_end = (line_start + self.line(line).len()).max(start);
        Place {
            file: self.file.clone().into(),
            line,
            column: self.text[line_start..start].chars().count() + 1,
            width: self.text[start..end.min(line_end)].chars().count(),
        }
    }

    /// An error at a byte range, with its line.
    #[must_use]
    pub fn error(
        &self,
        rule: &'static str,
        at: Range<usize>,
        message: impl Into<String>,
    ) -> Problem {
        self.with_line(Problem::error(rule, self.place(at), message))
    }

    /// A note at a byte range, with its line.
    #[must_use]
    pub fn note(
        &self,
        rule: &'static str,
        at: Range<usize>,
        message: impl Into<String>,
    ) -> Problem {
        self.with_line(Problem::note(rule, self.place(at), message))
    }

    fn with_line(&self, mut problem: Problem) -> Problem {
        problem.excerpt = Some(self.line(problem.place.line).to_owned());
        problem
    }
}

fn floor_char(text: &str, mut at: usize) -> usize {
    at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_agrees_with_the_plain_way_of_counting() {
        let text = "first\r\nzwölf points\n\nlast";
        let source = Source::new("a.md", text);
        for start in 0..=text.len() {
            for end in start..=text.len() {
                let plain = Place::of_span("a.md", text, start..end);
                let quick = source.place(start..end);
                assert_eq!((plain.line, plain.column), (quick.line, quick.column));
            }
        }
        assert_eq!(source.line(2), "zwölf points");
        assert_eq!(source.line(9), "");
    }
}
