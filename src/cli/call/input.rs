//! Where the lines of a call come from: a person at a terminal, or a pipe.

use rustyline::completion::Completer;
use rustyline::error::ReadlineError;
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::history::MemHistory;
use rustyline::validate::Validator;
use rustyline::{CompletionType, Config, Context, Editor, Helper};
use std::collections::BTreeSet;
use std::io::{self, BufRead, IsTerminal, Read};

/// Longest line that is read, in bytes; what is beyond is left out.
const LONGEST: u64 = 64 << 10;

/// What came in.
#[derive(Debug, PartialEq, Eq)]
pub(in crate::cli) enum Input {
    /// A line.
    Line(String),
    /// Ctrl-C: the line is thrown away.
    Interrupted,
    /// The end.
    End,
}

/// A source of lines.
pub(in crate::cli) enum Lines {
    /// With editing, history and completion.
    Edited(Box<Editor<Names, MemHistory>>),
    /// As they come.
    Plain(io::BufReader<io::Stdin>),
}

impl Lines {
    /// Edited lines where a person sits at a terminal, else plain ones.
    pub(in crate::cli) fn open(names: BTreeSet<String>) -> Self {
        let terminal = io::stdin().is_terminal() && io::stdout().is_terminal();
        if terminal && let Some(editor) = editor(names) {
            return Self::Edited(Box::new(editor));
        }
        Self::Plain(io::BufReader::new(io::stdin()))
    }

    /// Whether a person sees a prompt.
    pub(in crate::cli) fn prompts(&self) -> bool {
        matches!(self, Self::Edited(_))
    }

    /// The next line. Lines that were pasted together are one.
    pub(in crate::cli) fn next(&mut self) -> io::Result<Input> {
        match self {
            Self::Edited(editor) => match editor.readline("> ") {
                Ok(line) => Ok(Input::Line(bounded(line))),
                Err(ReadlineError::Interrupted) => Ok(Input::Interrupted),
                Err(ReadlineError::Io(error)) => Err(error),
                Err(_) => Ok(Input::End),
            },
            Self::Plain(input) => plain(input),
        }
    }
}

fn editor(names: BTreeSet<String>) -> Option<Editor<Names, MemHistory>> {
    let config = Config::builder()
        .completion_type(CompletionType::List)
        .auto_add_history(true)
        .build();
    let history = MemHistory::with_config(&config);
    let mut editor = Editor::with_history(config, history).ok()?;
    editor.set_helper(Some(Names(names)));
    Some(editor)
}

fn plain(input: &mut impl BufRead) -> io::Result<Input> {
    let mut bytes = Vec::new();
    if input.take(LONGEST).read_until(b'\n', &mut bytes)? == 0 {
        return Ok(Input::End);
    }
    if bytes.last() != Some(&b'\n') {
        skip_line(input)?;
    }
    let line = String::from_utf8_lossy(&bytes);
    Ok(Input::Line(line.trim_end_matches(['\n', '\r']).to_owned()))
}

fn skip_line(input: &mut impl BufRead) -> io::Result<()> {
    loop {
        let buffer = input.fill_buf()?;
        let end = buffer.iter().position(|byte| *byte == b'\n');
        let used = end.map_or(buffer.len(), |at| at + 1);
        let over = buffer.is_empty() || end.is_some();
        input.consume(used);
        if over {
            return Ok(());
        }
    }
}

fn bounded(mut line: String) -> String {
    let most = usize::try_from(LONGEST).unwrap_or(usize::MAX);
    if line.len() > most {
        let end = (0..=most).rev().find(|at| line.is_char_boundary(*at));
        line.truncate(end.unwrap_or(0));
    }
    line
}

/// Completes names of the knowledge base.
pub(in crate::cli) struct Names(BTreeSet<String>);

impl Completer for Names {
    type Candidate = String;

    fn complete(
        &self,
        line: &str,
        pos: usize,
        _: &Context<'_>,
    ) -> rustyline::Result<(usize, Vec<String>)> {
        Ok(self.completions(&line[..pos]))
    }
}

impl Names {
    /// Where the word before the cursor begins, and the names that begin with what is typed: first
    /// the whole part since the last comma, else the last word.
    fn completions(&self, typed: &str) -> (usize, Vec<String>) {
        let part = typed.rfind([',', ';']).map_or(0, |at| at + 1);
        let part = typed.len() - typed[part..].trim_start().len();
        let word = typed.rfind(char::is_whitespace).map_or(0, |at| at + 1);
        for start in [part, word] {
            let begun = typed[start..].to_lowercase();
            let found: Vec<String> = self
                .0
                .iter()
                .filter(|name| !begun.is_empty() && name.to_lowercase().starts_with(&begun))
                .cloned()
                .collect();
            if !found.is_empty() {
                return (start, found);
            }
        }
        (typed.len(), Vec::new())
    }
}

impl Hinter for Names {
    type Hint = String;
}
impl Highlighter for Names {}
impl Validator for Names {}
impl Helper for Names {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_complete_the_part_or_the_word() {
        let names = ["K31", "post-22", "status-lamp red-slow"].map(str::to_owned);
        let names = Names(names.into());
        for (typed, start, found) in [
            ("k3", 0, vec!["K31"]),
            ("trips, sta", 7, vec!["status-lamp red-slow"]),
            ("it is a po", 8, vec!["post-22"]),
            ("zebra", 5, vec![]),
            ("", 0, vec![]),
            ("ärger mit k", 11, vec!["K31"]),
        ] {
            assert_eq!(
                names.completions(typed),
                (start, found.into_iter().map(str::to_owned).collect()),
                "{typed}"
            );
        }
    }

    #[test]
    fn plain_lines_are_bounded_and_need_not_be_text() {
        let long = "x".repeat(100_000);
        let mut input = io::Cursor::new([long.as_bytes(), b"\nnext\xff\r\n\nlast"].concat());
        let Input::Line(first) = plain(&mut input).unwrap() else {
            panic!("a line was expected")
        };
        assert_eq!(first.len(), 64 << 10);
        for expected in ["next\u{fffd}", "", "last"] {
            assert_eq!(plain(&mut input).unwrap(), Input::Line(expected.to_owned()));
        }
        assert_eq!(plain(&mut input).unwrap(), Input::End);
    }
}
