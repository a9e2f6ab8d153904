//! Markdown to plain blocks, and plain blocks to lines of a terminal.
//!
//! Emphasis and raw HTML are dropped, code keeps its backticks, links to the web show their
//! address, pictures become `[picture: words]`. Everything is escaped when it becomes lines, so
//! an article cannot move the cursor.

use super::table;
use crate::base::escape;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use serde::Serialize;

/// How deep lists and quotes are kept inside each other; deeper ones are shown flat, so that a
/// hostile file cannot exhaust the stack.
const DEEPEST: usize = 12;

/// One block of text without any markup.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "block", rename_all = "lowercase")]
pub enum Block {
    /// A heading.
    Heading {
        /// 1 for the largest.
        level: u8,
        /// Its words.
        text: String,
    },
    /// A paragraph; a line feed is a break the author asked for.
    Paragraph {
        /// Its words.
        text: String,
    },
    /// A list.
    List {
        /// The first number; none for dots.
        #[serde(skip_serializing_if = "Option::is_none")]
        first: Option<u64>,
        /// Its items.
        items: Vec<Vec<Self>>,
    },
    /// Lines shown as they are.
    Code {
        /// The lines.
        text: String,
    },
    /// A quotation.
    Quote {
        /// What is quoted.
        blocks: Vec<Self>,
    },
    /// A table.
    Table {
        /// Names of the columns.
        head: Vec<String>,
        /// The cells.
        rows: Vec<Vec<String>>,
    },
    /// A line across.
    Rule,
}

/// The blocks of a Markdown text.
#[must_use]
pub fn blocks(markdown: &str) -> Vec<Block> {
    let options = Options::ENABLE_TABLES | Options::ENABLE_HEADING_ATTRIBUTES;
    let mut builder = Builder::default();
    for event in Parser::new_ext(markdown, options) {
        builder.event(event);
    }
    builder.flush();
    while let Some(open) = builder.open.pop() {
        builder.close(open);
    }
    builder.root
}

/// The text of a Markdown document as lines of at most `width` columns; no final line feed.
#[must_use]
pub fn text(markdown: &str, width: usize) -> String {
    lines(&blocks(markdown), width).join("\n")
}

enum Open {
    Quote(Vec<Block>),
    List(Option<u64>, Vec<Vec<Block>>),
    Item(Vec<Block>),
    /// Deeper than [`DEEPEST`]: shown as part of what is around it.
    Flat,
}

#[derive(Default)]
struct Builder {
    root: Vec<Block>,
    open: Vec<Open>,
    inline: String,
    heading: Option<u8>,
    code: Option<String>,
    links: Vec<(String, usize)>,
    row: Vec<String>,
    head: Vec<String>,
    rows: Vec<Vec<String>>,
    in_table: bool,
}

impl Builder {
    fn event(&mut self, event: Event<'_>) {
        match event {
            Event::Start(tag) => self.start(tag),
            Event::End(tag) => self.end(tag),
            Event::Text(text) => match &mut self.code {
                Some(code) => code.push_str(&text),
                None => self.inline.push_str(&text),
            },
            Event::Code(text) => {
                self.inline.push('`');
                self.inline.push_str(&text);
                self.inline.push('`');
            }
            Event::SoftBreak => self.inline.push(' '),
            Event::HardBreak => self.inline.push('\n'),
            Event::Rule => {
                self.flush();
                self.push(Block::Rule);
            }
            _ => {}
        }
    }

    fn start(&mut self, tag: Tag<'_>) {
        match tag {
            Tag::Paragraph => self.flush(),
            Tag::Heading { level, .. } => {
                self.flush();
                self.heading = Some(level as u8);
            }
            Tag::BlockQuote(_) => self.open(Open::Quote(Vec::new())),
            Tag::List(first) => self.open(Open::List(first, Vec::new())),
            Tag::Item => self.open(Open::Item(Vec::new())),
            Tag::CodeBlock(_) => {
                self.flush();
                self.code = Some(String::new());
            }
            Tag::Table(_) => {
                self.flush();
                self.in_table = true;
            }
            Tag::Link { dest_url, .. } => {
                self.links.push((dest_url.into_string(), self.inline.len()));
            }
            Tag::Image { .. } => self.inline.push_str("[picture: "),
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Paragraph | TagEnd::Heading(_) => self.flush(),
            TagEnd::BlockQuote(_) | TagEnd::List(_) | TagEnd::Item => {
                self.flush();
                if let Some(open) = self.open.pop() {
                    self.close(open);
                }
            }
            TagEnd::CodeBlock => {
                if let Some(code) = self.code.take() {
                    let text = code.trim_end_matches('\n').to_owned();
                    self.push(Block::Code { text });
                }
            }
            TagEnd::TableCell => self.row.push(words(&std::mem::take(&mut self.inline))),
            TagEnd::TableHead => self.head = std::mem::take(&mut self.row),
            TagEnd::TableRow => self.rows.push(std::mem::take(&mut self.row)),
            TagEnd::Table => {
                self.in_table = false;
                let (head, rows) = (
                    std::mem::take(&mut self.head),
                    std::mem::take(&mut self.rows),
                );
                self.push(Block::Table { head, rows });
            }
            TagEnd::Link => self.end_link(),
            TagEnd::Image => {
                if self.inline.ends_with(": ") {
                    self.inline.truncate(self.inline.len() - 2);
                }
                self.inline.push(']');
            }
            _ => {}
        }
    }

    fn end_link(&mut self) {
        let Some((url, from)) = self.links.pop() else {
            return;
        };
        let shown = self.inline.get(from..).unwrap_or_default();
        let web = url.starts_with("https://") || url.starts_with("http://");
        if web && shown != url {
            self.inline.push_str(&format!(" ({url})"));
        }
    }

    fn open(&mut self, open: Open) {
        self.flush();
        let flat = self.open.len() >= DEEPEST;
        self.open.push(if flat { Open::Flat } else { open });
    }

    fn close(&mut self, open: Open) {
        match open {
            Open::Quote(blocks) => self.push(Block::Quote { blocks }),
            Open::List(first, items) => self.push(Block::List { first, items }),
            Open::Item(blocks) => match self.open.last_mut() {
                Some(Open::List(_, items)) => items.push(blocks),
                _ => blocks.into_iter().for_each(|b| self.push(b)),
            },
            Open::Flat => {}
        }
    }

    fn push(&mut self, block: Block) {
        for open in self.open.iter_mut().rev() {
            match open {
                Open::Quote(blocks) | Open::Item(blocks) => return blocks.push(block),
                Open::List(_, items) => return items.push(vec![block]),
                Open::Flat => {}
            }
        }
        self.root.push(block);
    }

    fn flush(&mut self) {
        if self.in_table {
            return;
        }
        let heading = self.heading.take();
        let text = words(&std::mem::take(&mut self.inline));
        if text.is_empty() {
            return;
        }
        self.push(match heading {
            Some(level) => Block::Heading { level, text },
            None => Block::Paragraph { text },
        });
    }
}

/// Single spaces; line feeds stay.
fn words(text: &str) -> String {
    let lines: Vec<String> = text
        .split('\n')
        .map(|line| line.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect();
    lines.join("\n").trim().to_owned()
}

/// Blocks as lines of at most `width` columns, an empty line between blocks.
#[must_use]
pub fn lines(blocks: &[Block], width: usize) -> Vec<String> {
    let width = width.max(10);
    let mut out: Vec<String> = Vec::new();
    for block in blocks {
        if !out.is_empty() {
            out.push(String::new());
        }
        out.extend(block_lines(block, width));
    }
    out
}

fn block_lines(block: &Block, width: usize) -> Vec<String> {
    match block {
        Block::Heading { text, .. } => wrap(text, width),
        Block::Paragraph { text } => wrap(text, width),
        Block::Code { text } => {
            let text = escape::terminal(text).replace('\t', "    ");
            text.lines()
                .map(|line| format!("    {line}").trim_end().to_owned())
                .collect()
        }
        Block::Quote { blocks } => indented(lines(blocks, width.saturating_sub(2)), "| ", "| "),
        Block::List { first, items } => list_lines(*first, items, width),
        Block::Table { head, rows } => {
            let clean = |row: &Vec<String>| -> Vec<String> {
                row.iter().map(|c| escape::terminal_line(c)).collect()
            };
            let rows: Vec<Vec<String>> = rows.iter().map(clean).collect();
            table::lines(&clean(head), &rows, width)
        }
        Block::Rule => vec!["-".repeat(width.min(40))],
    }
}

fn list_lines(first: Option<u64>, items: &[Vec<Block>], width: usize) -> Vec<String> {
    // A list is loose, with empty lines between its items, where an item has two paragraphs.
    let is_long = |item: &[Block]| {
        let paragraphs = item.iter().filter(|b| !matches!(b, Block::List { .. }));
        paragraphs.count() > 1
    };
    let loose = items.iter().any(|item| is_long(item));
    let count = u64::try_from(items.len()).unwrap_or(u64::MAX);
    let last = first.map_or(0, |first| first.saturating_add(count.saturating_sub(1)));
    let indent = first.map_or(2, |_| format!("{last}. ").len());
    let mut out = Vec::new();
    for (item, at) in items.iter().zip(0_u64..) {
        let mark = match first {
            Some(first) => format!("{:<indent$}", format!("{}.", first.saturating_add(at))),
            None => "- ".to_owned(),
        };
        if loose && !out.is_empty() {
            out.push(String::new());
        }
        let inner = width.saturating_sub(indent);
        let inside = if loose {
            lines(item, inner)
        } else {
            item.iter()
                .flat_map(|b| block_lines(b, inner.max(10)))
                .collect()
        };
        let inside = if inside.is_empty() {
            vec![String::new()]
        } else {
            inside
        };
        out.extend(indented(inside, &mark, &" ".repeat(indent)));
    }
    out
}

/// Lines with one thing before the first and another before the rest.
#[must_use]
pub fn indented(lines: Vec<String>, first: &str, rest: &str) -> Vec<String> {
    lines
        .into_iter()
        .enumerate()
        .map(|(at, line)| {
            let before = if at == 0 { first } else { rest };
            format!("{before}{line}").trim_end().to_owned()
        })
        .collect()
}

/// Escaped text as lines of at most `width` columns.
#[must_use]
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let text = escape::terminal(text).replace('\t', " ");
    text.split('\n')
        .flat_map(|line| textwrap::wrap(line, options(width.max(10))))
        .map(|line| line.into_owned())
        .collect()
}

/// Lines break at spaces alone, so that an id such as `controller-restart` stays in one piece.
pub(super) fn options<'a>(width: usize) -> textwrap::Options<'a> {
    textwrap::Options::new(width)
        .word_separator(textwrap::WordSeparator::AsciiSpace)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
}

#[cfg(test)]
mod tests {
    use super::*;
    use unicode_width::UnicodeWidthStr;

    #[test]
    fn markdown_becomes_plain_lines() {
        let markdown = "Some *long* **text** with `code` and a [link](https://example.org/x), [inside](a.md)\nand ![the panel](img/p.svg) ![](img/q.svg).\n\n### Why\n\n9. nine\n10. ten\n    - inner\n\n> quoted\n> words\n\n```\nas  is\n```\n\n| A | B |\n|---|---|\n| 1 | two |\n\n---\n\n- loose\n\n  second\n- item<br>\n";
        insta::assert_snapshot!(text(markdown, 40));
    }

    #[test]
    fn nothing_moves_the_terminal_and_deep_nesting_is_flat() {
        assert!(!text("a\u{1b}[2Jb\u{202e}", 40).contains(['\u{1b}', '\u{202e}']));
        let deep = format!("{}x", "> ".repeat(5000));
        assert!(text(&deep, 80).contains('x'));
        let deep: String = (0..300)
            .map(|i| format!("{}- x\n", "  ".repeat(i)))
            .collect();
        assert_eq!(text(&deep, 80).matches('x').count(), 300);
    }

    proptest::proptest! {
        #[test]
        fn any_markdown_is_rendered(markdown in "[-#*>|`\\[\\]()!0-9. \\na-z<&]{0,300}", width in 1usize..100) {
            let _ = text(&markdown, width);
        }

        #[test]
        fn paragraphs_stay_within_the_width(markdown in "[a-zäß漢 \\n]{0,300}", width in 20usize..90) {
            for line in text(&markdown, width).lines() {
                // Indented code is shown as it is.
                proptest::prop_assert!(line.width() <= width || line.starts_with("    "), "{}", line);
            }
        }
    }
}
