//! The one renderer of problems: text with the line and a caret, or JSON.

use super::{Failure, Session};
use crate::articles::folder::FolderError;
use crate::base::escape;
use crate::base::problem::{Grade, Place, Problem};
use annotate_snippets::{AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet};
use std::io::Write;
use std::ops::Range;

/// Columns of the text form.
const WIDTH: usize = 80;

/// How many letters are underlined at most.
const UNDERLINED: usize = 60;

/// Prints problems on standard output: text, or with `--json` one array.
///
/// # Errors
/// Where standard output cannot be written.
pub fn print(session: &Session, problems: &[Problem]) -> Result<(), Failure> {
    if session.json {
        return session.print_json(problems);
    }
    let mut out = session.out();
    for problem in problems {
        writeln!(out, "{}\n", text(problem, true))?;
    }
    Ok(())
}

/// One problem as text, with or without colours.
#[must_use]
pub fn text(problem: &Problem, coloured: bool) -> String {
    let renderer = if coloured {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let level = match problem.grade {
        Grade::Error => Level::ERROR,
        Grade::Note => Level::NOTE,
    };
    let head = format!("{}[{}]: ", word(problem.grade), problem.rule).len();
    let title = level
        .primary_title(wrapped(&problem.message, head))
        .id(problem.rule);
    let file = escape::terminal_line(&problem.place.file.to_string_lossy().replace('\\', "/"));
    let excerpt = problem.excerpt.as_deref().map(escape::terminal_line);
    let mut group = match &excerpt {
        Some(line) if problem.place.line > 0 => Group::with_title(title).element(
            Snippet::source(line.as_str())
                .line_start(problem.place.line)
                .path(file)
                .annotation(AnnotationKind::Primary.span(underlined(line, &problem.place))),
        ),
        _ => Group::with_title(title).element(origin(file, &problem.place)),
    };
    if let Some(help) = &problem.help {
        // The line "  = help: " stands before the words.
        let message = Level::HELP.message(wrapped(help, 14));
        group = group.element(Element::Message(message));
    }
    renderer.term_width(WIDTH).render(&[group])
}

fn word(grade: Grade) -> &'static str {
    match grade {
        Grade::Error => "error",
        Grade::Note => "note",
    }
}

fn origin<'a>(file: String, place: &Place) -> Origin<'a> {
    let origin = Origin::path(file);
    match (place.line, place.column) {
        (0, _) => origin,
        (line, 0) => origin.line(line),
        (line, column) => origin.line(line).char_column(column),
    }
}

/// Words on lines of at most [`WIDTH`] columns, of which `head` are taken; the renderer indents
/// what follows a line feed.
fn wrapped(words: &str, head: usize) -> String {
    let words = escape::terminal_line(words);
    textwrap::wrap(&words, WIDTH.saturating_sub(head).max(20)).join("\n")
}

/// The bytes to underline: the first of those of the place, or of all but the indent where it names none.
fn underlined(line: &str, place: &Place) -> Range<usize> {
    let whole = whole(line, place);
    // The renderer cuts a long line beside what is underlined, never within it.
    let shown = line[whole.clone()].char_indices().nth(UNDERLINED);
    whole.start..shown.map_or(whole.end, |(at, _)| whole.start + at)
}

/// All the bytes that the place means.
fn whole(line: &str, place: &Place) -> Range<usize> {
    let byte = |column: usize| {
        line.char_indices()
            .nth(column)
            .map_or(line.len(), |(at, _)| at)
    };
    if place.column == 0 {
        return line.len() - line.trim_start().len()..line.trim_end().len();
    }
    let start = byte(place.column - 1);
    start..byte(place.column - 1 + place.width.max(1)).max(start)
}

impl From<FolderError> for Failure {
    fn from(error: FolderError) -> Self {
        let failure = match &error {
            FolderError::NoSettings { .. } => Self::new(error.to_string()),
            FolderError::Unreadable { source, .. } => Self::because(error.to_string(), source),
        };
        failure.hint("name the folder of a knowledge base with `--kb DIR`")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(line: usize, column: usize, width: usize) -> Place {
        Place {
            file: "articles/a.md".into(),
            line,
            column,
            width,
        }
    }

    #[test]
    fn a_problem_shows_its_line_and_a_caret() {
        let problem = Problem::error(
            "unknown-device",
            place(5, 11, 5),
            "`kb.toml` has no device `post7`",
        )
        .help("did you mean `post-7`?")
        .excerpt_of("\n\n\n\ndevices: [post7]\n");
        insta::assert_snapshot!(text(&problem, false));
    }

    #[test]
    fn long_words_wrap_and_a_file_as_a_whole_has_no_line() {
        let problem = Problem::note("too-large", place(0, 0, 0), "word ".repeat(30).trim())
            .help("help ".repeat(30).trim());
        let text = text(&problem, false);
        assert!(text.lines().all(|l| l.chars().count() <= WIDTH), "{text}");
        insta::assert_snapshot!(text);
    }

    #[test]
    fn a_long_line_is_cut_to_the_width_wherever_it_is_underlined() {
        let line = "## Fix: Let the controller lead the post ".repeat(5);
        for (at, column, width) in [
            (7, 1, 200),
            (74, 0, 0),
            (1234, 30, 120),
            (9, 150, 40),
            (9, 3, 1),
        ] {
            let mut problem = Problem::note("x", place(at, column, width), "message");
            problem.excerpt = Some(line.clone());
            let text = text(&problem, false);
            assert!(text.lines().all(|l| l.chars().count() <= WIDTH), "{text}");
        }
    }

    #[test]
    fn foreign_text_cannot_move_the_terminal() {
        let problem = Problem::error("x", place(1, 2, 90), "bad \u{1b}[31m name")
            .excerpt_of("a\u{1b}[2J\u{202e}b zwölf");
        let text = text(&problem, false);
        assert!(
            !text.contains('\u{1b}') && !text.contains('\u{202e}'),
            "{text}"
        );
    }

    #[test]
    fn any_place_is_rendered() {
        for (line, column, width) in [(1, 0, 0), (1, 1, 0), (1, 99, 99), (9, 1, 1)] {
            let problem =
                Problem::error("x", place(line, column, width), "message").excerpt_of("ab");
            assert!(text(&problem, true).contains("message"));
        }
    }
}
