//! A page as lines of a terminal.

use super::{Page, Piece};
use crate::articles::model::State;
use crate::base::escape;
use crate::view::markdown::{indented, lines, wrap};
use anstyle::{AnsiColor, Color, Style};

const BOLD: Style = Style::new().bold();
const WARN: Style = Style::new()
    .bold()
    .fg_color(Some(Color::Ansi(AnsiColor::Red)));

/// The page in at most `width` columns, with colours; the printing side takes them out where they
/// are not wanted. Ends with a line feed.
#[must_use]
pub fn text(page: &Page, width: usize) -> String {
    let mut out = Out {
        lines: Vec::new(),
        width,
    };
    out.head(page);
    if page.single {
        out.pieces(page);
    } else {
        out.whole(page);
    }
    out.gap();
    out.words(page.footer);
    out.lines.join("\n") + "\n"
}

struct Out {
    lines: Vec<String>,
    width: usize,
}

impl Out {
    fn gap(&mut self) {
        if self.lines.last().is_some_and(|l| !l.is_empty()) {
            self.lines.push(String::new());
        }
    }

    fn words(&mut self, text: &str) {
        self.lines.extend(wrap(text, self.width));
    }

    /// Facts in a row, parted by points; none of them is broken over two lines.
    fn facts(&mut self, facts: &[String]) {
        let whole: Vec<String> = facts.iter().map(|f| f.replace(' ', "\u{a0}")).collect();
        let lines = wrap(&whole.join(" · "), self.width);
        self.lines
            .extend(lines.iter().map(|l| l.replace('\u{a0}', " ")));
    }

    fn styled(&mut self, style: Style, text: &str) {
        let lines = wrap(text, self.width);
        self.lines
            .extend(lines.into_iter().map(|l| format!("{style}{l}{style:#}")));
    }

    fn list(&mut self, title: &str, items: impl IntoIterator<Item = String>) {
        let mut items = items.into_iter().peekable();
        if items.peek().is_none() {
            return;
        }
        self.gap();
        self.styled(BOLD, title);
        for item in items {
            self.hanging("- ", &item);
        }
    }

    fn hanging(&mut self, first: &str, text: &str) {
        let rest = " ".repeat(first.len());
        let inside = wrap(text, self.width.saturating_sub(first.len()));
        self.lines.extend(indented(inside, first, &rest));
    }

    fn numbered(&mut self, steps: &[String]) {
        let indent = steps.len().to_string().len() + 2;
        for (at, step) in steps.iter().enumerate() {
            let mark = format!("{:<indent$}", format!("{}.", at + 1));
            self.hanging(&mark, step);
        }
    }

    fn head(&mut self, page: &Page) {
        self.styled(BOLD, &page.title);
        let devices = if page.devices.is_empty() {
            "all devices".to_owned()
        } else {
            page.devices.join(", ")
        };
        let mut facts = vec![page.id.clone(), state(page.state).to_owned(), devices];
        facts.extend(page.firmware.as_ref().map(|f| format!("firmware {f}")));
        facts.push(match &page.reviewed {
            Some(date) => format!("reviewed {date}"),
            None => "never reviewed".to_owned(),
        });
        facts.extend(page.owner.as_ref().map(|o| format!("owner {o}")));
        self.facts(&facts);
        if let Some(asked) = &page.asked {
            self.words(&format!("`{asked}` is an old name for this."));
        }
        match page.state {
            State::Live if page.errors => self.styled(
                WARN,
                "NOT SERVED: this article has errors; `fixtally lint` says which.",
            ),
            State::Live => {}
            State::Draft => self.styled(WARN, "DRAFT: this article is not served anywhere yet."),
            State::Withdrawn => {
                self.styled(
                    WARN,
                    "WITHDRAWN: this article is no longer served anywhere.",
                );
            }
        }
    }

    fn whole(&mut self, page: &Page) {
        if !page.do_now.is_empty() {
            self.gap();
            self.styled(WARN, "DANGER. Do now:");
            self.numbered(&page.do_now);
        }
        if !page.text.is_empty() {
            self.gap();
            let text = lines(&page.text, self.width);
            self.lines.extend(text);
        }
        self.list(
            "Callers say",
            page.symptoms.iter().map(|s| escape::terminal_line(s)),
        );
        let codes = page.codes.iter().map(|c| format!("code {c}"));
        let signs = page
            .signs
            .iter()
            .map(|s| format!("{}: {}", s.name, s.state));
        self.list("The device shows", codes.chain(signs));
        self.pieces(page);
    }

    fn pieces(&mut self, page: &Page) {
        for check in &page.checks {
            self.piece("Check", check);
        }
        for fix in &page.fixes {
            self.piece("Fix", fix);
        }
    }

    fn piece(&mut self, sort: &str, piece: &Piece) {
        self.gap();
        self.styled(BOLD, &format!("{sort}: {}", piece.title));
        if let Some(why) = &piece.left_out {
            self.words(&piece.id);
            self.styled(WARN, &format!("Not shown: {why}."));
            return;
        }
        let mut facts = vec![piece.id.clone(), minutes(piece.minutes)];
        if !piece.who.is_empty() {
            facts.push(piece.who.clone());
        }
        if !piece.hazards.is_empty() {
            facts.push(format!("hazards: {}", piece.hazards.join(", ")));
        }
        facts.extend(piece.kind.as_ref().map(|k| format!("kind {k}")));
        facts.extend(piece.from.as_ref().map(|from| format!("from {from}")));
        self.facts(&facts);
        for caution in &piece.cautions {
            self.styled(WARN, &format!("CAUTION: {caution}"));
        }
        for before in &piece.after_words {
            self.hanging("First: ", before);
        }
        if !piece.expect.is_empty() {
            self.hanging("Speaks for it: ", &piece.expect.join("; "));
        }
        if !piece.answers.is_empty() {
            self.hanging("Answers: ", &piece.answers.join(", "));
        }
        if !piece.text.is_empty() {
            self.gap();
            let text = lines(&piece.text, self.width);
            self.lines.extend(text);
        }
    }
}

fn state(state: State) -> &'static str {
    match state {
        State::Draft => "draft",
        State::Live => "live",
        State::Withdrawn => "withdrawn",
    }
}

/// Minutes as a person writes them: `20 min`, `1.5 min`.
#[must_use]
fn minutes(minutes: f64) -> String {
    format!("{} min", (minutes * 10.0).round() / 10.0)
}
