//! Lines of 80 columns.

use crate::base::escape::terminal_line;
use unicode_width::UnicodeWidthStr as _;

/// Columns of a terminal.
pub(super) const WIDTH: usize = 80;

/// Lines put together.
pub(super) struct Out(pub(super) String);

impl Out {
    /// A line as it is.
    pub(super) fn line(&mut self, text: &str) {
        self.0.push_str(text);
        self.0.push('\n');
    }

    /// A text after `first`, wrapped below where it began.
    pub(super) fn wrapped(&mut self, first: &str, text: &str) {
        let indent = " ".repeat(first.width());
        let options = textwrap::Options::new(WIDTH)
            .initial_indent(first)
            .subsequent_indent(&indent)
            .word_splitter(textwrap::WordSplitter::NoHyphenation);
        for line in textwrap::wrap(&unbroken(&terminal_line(text)), options) {
            self.line(&line.replace('\u{a0}', " "));
        }
    }

    /// Items in one sentence; nothing where there are none.
    pub(super) fn listed(&mut self, first: &str, items: &[String]) {
        if !items.is_empty() {
            self.wrapped(
                first,
                &format!("{}.", items.join("; ").trim_end_matches(['.', ';'])),
            );
        }
    }

    /// Items below each other, from 1.
    pub(super) fn numbered(&mut self, items: &[String]) {
        for (at, item) in items.iter().enumerate() {
            self.wrapped(&format!("{:>3}. ", at + 1), item);
        }
    }
}

/// What is to be typed, between backticks, stays on one line.
fn unbroken(text: &str) -> String {
    let parts = text.split('`').enumerate();
    let parts: Vec<String> = parts
        .map(|(at, part)| {
            if at % 2 == 1 {
                part.replace(' ', "\u{a0}")
            } else {
                part.to_owned()
            }
        })
        .collect();
    parts.join("`")
}

/// How long ago, in words.
pub(super) fn ago(minutes: i64) -> String {
    match minutes {
        i64::MIN..=0 => "just now".to_owned(),
        1..=119 => format!("{minutes} min ago"),
        120..=2879 => format!("{} hours ago", minutes / 60),
        _ => format!("{} days ago", minutes / 1440),
    }
}
