//! A problem is data: where, what was expected, what was found, what to do.
//!
//! Lint, import and every reader of files yield problems; `cli::problem` alone turns them into
//! text with an excerpt and a caret, or into JSON.

use serde::Serialize;
use std::path::PathBuf;

/// How bad a problem is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// The article, fix or row is not used until this is mended.
    Error,
    /// It is used; somebody should look.
    Note,
}

/// Where a problem was found.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Place {
    /// The file, relative to the knowledge base where it lies inside.
    pub file: PathBuf,
    /// Line, counted from 1; 0 means the file as a whole.
    pub line: usize,
    /// Column in characters, counted from 1; 0 where the line as a whole is meant.
    pub column: usize,
    /// How many characters the caret underlines; 0 means one.
    pub width: usize,
}

impl Place {
    /// The file as a whole.
    pub fn file(file: impl Into<PathBuf>) -> Self {
        Self {
            file: file.into(),
            ..Self::default()
        }
    }

    /// A line as a whole.
    pub fn line(file: impl Into<PathBuf>, line: usize) -> Self {
        Self {
            file: file.into(),
            line,
            ..Self::default()
        }
    }

    /// The place of a byte range of a text.
    ///
    /// A range past the end is cut to the end, a range over several lines to its first line.
    pub fn of_span(file: impl Into<PathBuf>, text: &str, span: std::ops::Range<usize>) -> Self {
        let start = floor_char(text, span.start);
        let end = floor_char(text, span.end).max(start);
        let line_start = text[..start].rfind('\n').map_or(0, |i| i + 1);
        let line_end = text[start..].find('\n').map_or(text.len(), |i| start + i);
        Self {
            file: file.into(),
            line: text[..start].matches('\n').count() + 1,
            column: text[line_start..start].chars().count() + 1,
            width: text[start..end.min(line_end).max(start)].chars().count(),
        }
    }
}

fn floor_char(text: &str, mut at: usize) -> usize {
    at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// One thing that is wrong, with everything needed to tell a person.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// The rule's short name, such as `unknown-device`; stable, so that scripts can count by it.
    pub rule: &'static str,
    /// How bad it is.
    pub grade: Grade,
    /// Where it was found.
    pub place: Place,
    /// What was found and what was expected, lower case, no full stop.
    pub message: String,
    /// The exact edit or command that puts it right, where there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub help: Option<String>,
    /// What may stand in the place instead, where only one thing can have been meant.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mend: Option<String>,
    /// The line it stands in, for the excerpt.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub excerpt: Option<String>,
}

impl Problem {
    /// A problem that keeps its article, fix or row from use.
    pub fn error(rule: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self::new(rule, Grade::Error, place, message)
    }

    /// A problem that somebody should look at.
    pub fn note(rule: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self::new(rule, Grade::Note, place, message)
    }

    fn new(rule: &'static str, grade: Grade, place: Place, message: impl Into<String>) -> Self {
        Self {
            rule,
            grade,
            place,
            message: message.into(),
            help: None,
            mend: None,
            excerpt: None,
        }
    }

    /// Adds what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Lets [`slip_of`] offer what the place should hold. Only for names whose meaning hurts
    /// nobody: who may do a work and what endangers him is decided by a person.
    #[must_use]
    pub fn slip<'a>(mut self, found: &str, known: impl IntoIterator<Item = &'a str>) -> Self {
        self.mend = slip_of(found, known).map(str::to_owned);
        self
    }

    /// Adds the line of `text` that the place names.
    #[must_use]
    pub fn excerpt_of(mut self, text: &str) -> Self {
        if self.place.line > 0 {
            self.excerpt = text.lines().nth(self.place.line - 1).map(str::to_owned);
        }
        self
    }
}

/// The known names closest to `found`, nearest first, at most three.
///
/// The bar of 0.7 Jaro-Winkler was chosen by trying 0.6 to 0.85 on misspelt device and sign
/// names: below it unrelated names appear.
pub fn nearest<'a>(found: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    const BAR: f64 = 0.7;
    let mut scored: Vec<(f64, &str)> = known
        .into_iter()
        .map(|name| (strsim::jaro_winkler(found, name), name))
        .filter(|(score, _)| *score >= BAR)
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(b.1)));
    scored.truncate(3);
    scored.into_iter().map(|(_, name)| name).collect()
}

/// The one known name that `found` is a slip of the pen for: at most two letters dropped, added,
/// changed or exchanged, and no other name as near.
pub fn slip_of<'a>(found: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    const MOST_SLIPS: usize = 2;
    let mut near: Vec<(usize, &str)> = known
        .into_iter()
        .map(|name| (strsim::damerau_levenshtein(found, name), name))
        .filter(|(slips, name)| *slips <= MOST_SLIPS && *slips * 2 < name.chars().count())
        .collect();
    near.sort_unstable();
    near.dedup();
    match near[..] {
        [(_, only)] => Some(only),
        [(first, name), (second, _), ..] if first < second => Some(name),
        _ => None,
    }
}

/// "did you mean `a` or `b`?", or nothing where no name is near.
pub fn did_you_mean<'a>(found: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let near = nearest(found, known);
    if near.is_empty() {
        return None;
    }
    let quoted: Vec<String> = near.iter().map(|name| format!("`{name}`")).collect();
    Some(format!("did you mean {}?", quoted.join(" or ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_becomes_line_column_and_width_in_characters() {
        let text = "first\nzwölf points\n";
        let at = text.find("points").unwrap();
        let place = Place::of_span("a.md", text, at..at + 6);
        assert_eq!((place.line, place.column, place.width), (2, 7, 6));
        let beyond = Place::of_span("a.md", text, 900..901);
        assert_eq!((beyond.line, beyond.column, beyond.width), (3, 1, 0));
    }

    #[test]
    fn near_names_are_offered_and_far_ones_are_not() {
        let known = ["post-7", "post-22", "sc-2"];
        assert_eq!(
            did_you_mean("post7", known).as_deref(),
            Some("did you mean `post-7` or `post-22`?")
        );
        assert_eq!(did_you_mean("zebra", known), None);
    }

    #[test]
    fn a_slip_has_one_name_that_can_have_been_meant() {
        let known = ["post-7", "post-22", "sc-2"];
        for (found, meant) in [
            ("post7", Some("post-7")),
            ("psot-22", Some("post-22")),
            ("post-2", None),
            ("sc", None),
            ("", None),
            ("zebra", None),
        ] {
            assert_eq!(slip_of(found, known), meant, "{found}");
        }
    }
}
