//! One walk through the Markdown: headings, list items, paragraphs, links and pictures, each with
//! its bytes.

use crate::articles::source::Spot;
use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};
use std::ops::Range;

/// What the walk found, in the order of the text; all bytes are of the whole file.
#[derive(Clone, Debug, Default)]
pub(super) struct Body {
    pub(super) headings: Vec<Heading>,
    pub(super) items: Vec<Item>,
    pub(super) paragraphs: Vec<Spot<String>>,
    pub(super) links: Vec<Spot<String>>,
    pub(super) pictures: Vec<Spot<Image>>,
}

/// A heading outside of lists and quotes.
#[derive(Clone, Debug)]
pub(super) struct Heading {
    pub(super) level: u8,
    pub(super) text: String,
    pub(super) at: Range<usize>,
    pub(super) has_attributes: bool,
    pub(super) link: Option<Link>,
}

/// A link in a heading.
#[derive(Clone, Debug)]
pub(super) struct Link {
    pub(super) url: String,
    pub(super) text: String,
    pub(super) at: Range<usize>,
}

/// An item of a list that stands on its own.
#[derive(Clone, Debug)]
pub(super) struct Item {
    pub(super) at: Range<usize>,
    pub(super) numbered: bool,
    /// Lines parted by one line feed, paragraphs by two.
    pub(super) text: String,
    /// Where a line `Done when:` begins inside it.
    pub(super) done_when: Option<usize>,
}

/// A picture.
#[derive(Clone, Debug, Default)]
pub(super) struct Image {
    pub(super) url: String,
    pub(super) alt: String,
}

/// The words that open the paragraph saying how one knows that a fix is done.
pub(super) const DONE_WHEN: &str = "done when:";

/// Whether a line begins with [`DONE_WHEN`], in any case.
pub(super) fn opens_done_when(line: &str) -> bool {
    line.trim_start()
        .get(..DONE_WHEN.len())
        .is_some_and(|start| start.eq_ignore_ascii_case(DONE_WHEN))
}

/// The Markdown that articles are written in.
pub(super) fn options() -> Options {
    Options::ENABLE_HEADING_ATTRIBUTES | Options::ENABLE_TABLES
}

/// Walks the text from byte `from` on.
pub(super) fn walk(text: &str, from: usize) -> Body {
    let mut walker = Walker {
        from,
        ..Walker::default()
    };
    for (event, at) in Parser::new_ext(&text[from..], options()).into_offset_iter() {
        walker.event(event, at.start + from..at.end + from);
    }
    walker.body
}

#[derive(Default)]
struct Walker {
    from: usize,
    body: Body,
    /// Open lists and quotes around the present event.
    depth: usize,
    lists: Vec<bool>,
    heading: Option<Heading>,
    item: Option<Item>,
    paragraph: Option<Spot<String>>,
    images: Vec<Spot<Image>>,
    in_heading_link: bool,
}

impl Walker {
    fn event(&mut self, event: Event<'_>, at: Range<usize>) {
        debug_assert!(at.start >= self.from);
        match event {
            Event::Start(tag) => self.start(tag, at),
            Event::End(tag) => self.end(tag),
            Event::Text(text) | Event::Code(text) => self.text(&text, at.start),
            Event::SoftBreak | Event::HardBreak => self.text("\n", at.start),
            _ => {}
        }
    }

    fn start(&mut self, tag: Tag<'_>, at: Range<usize>) {
        match tag {
            Tag::Heading {
                level,
                id,
                classes,
                attrs,
            } if self.depth == 0 => {
                self.heading = Some(Heading {
                    level: number(level),
                    text: String::new(),
                    has_attributes: id.is_some() || !classes.is_empty() || !attrs.is_empty(),
                    link: None,
                    at,
                });
            }
            Tag::Paragraph if self.depth == 0 => {
                self.paragraph = Some(Spot::new(String::new(), at));
            }
            Tag::Item if self.depth == 1 && self.lists.len() == 1 => {
                self.item = Some(Item {
                    at,
                    numbered: self.lists[0],
                    text: String::new(),
                    done_when: None,
                });
            }
            Tag::List(first) => {
                self.depth += 1;
                self.lists.push(first.is_some());
            }
            Tag::BlockQuote(_) => self.depth += 1,
            Tag::Link { dest_url, .. } => self.open_link(dest_url.into_string(), at),
            Tag::Image { dest_url, .. } => {
                let image = Image {
                    url: dest_url.into_string(),
                    alt: String::new(),
                };
                self.images.push(Spot::new(image, at));
            }
            _ => {}
        }
    }

    fn open_link(&mut self, url: String, at: Range<usize>) {
        match &mut self.heading {
            Some(heading) if heading.link.is_none() => {
                heading.link = Some(Link {
                    url,
                    text: String::new(),
                    at,
                });
                self.in_heading_link = true;
            }
            _ => self.body.links.push(Spot::new(url, at)),
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Heading(_) => self.body.headings.extend(self.heading.take()),
            TagEnd::Paragraph => {
                if let Some(item) = &mut self.item {
                    item.text.push_str("\n\n");
                }
                self.body.paragraphs.extend(self.paragraph.take());
            }
            TagEnd::Item => {
                if self.lists.len() == 1 && self.depth == 1 {
                    self.body.items.extend(self.item.take());
                } else if let Some(item) = &mut self.item {
                    item.text.push_str("\n\n");
                }
            }
            TagEnd::List(_) => {
                self.depth = self.depth.saturating_sub(1);
                self.lists.pop();
            }
            TagEnd::BlockQuote(_) => self.depth = self.depth.saturating_sub(1),
            TagEnd::Link => self.in_heading_link = false,
            TagEnd::Image => {
                if let Some(mut image) = self.images.pop() {
                    image.value.alt = one_line(&image.value.alt);
                    self.body.pictures.push(image);
                }
            }
            TagEnd::CodeBlock | TagEnd::TableCell => self.text("\n", 0),
            _ => {}
        }
    }

    fn text(&mut self, text: &str, at: usize) {
        for image in &mut self.images {
            image.value.alt.push_str(text);
        }
        if let Some(heading) = &mut self.heading {
            heading.text.push_str(text);
            if self.in_heading_link
                && let Some(link) = &mut heading.link
            {
                link.text.push_str(text);
            }
        }
        if let Some(paragraph) = &mut self.paragraph {
            paragraph.value.push_str(text);
        }
        if let Some(item) = &mut self.item {
            let fresh = item.text.is_empty() || item.text.ends_with('\n');
            if fresh && item.done_when.is_none() && opens_done_when(text) {
                item.done_when = Some(at);
            }
            item.text.push_str(text);
        }
    }
}

/// The words a reader sees, one piece for each paragraph, list item, heading or table cell.
pub(in crate::articles) fn pieces(markdown: &str) -> Vec<String> {
    let mut pieces = vec![String::new()];
    for event in Parser::new_ext(markdown, options()) {
        let (piece, last) = match &event {
            Event::Text(text) | Event::Code(text) => (&**text, false),
            Event::SoftBreak | Event::HardBreak => (" ", false),
            Event::Start(tag) => ("", !is_inline(tag)),
            _ => continue,
        };
        if last {
            pieces.push(String::new());
        }
        if let Some(open) = pieces.last_mut() {
            open.push_str(piece);
        }
    }
    pieces.retain(|p| !p.trim().is_empty());
    pieces
}

fn is_inline(tag: &Tag<'_>) -> bool {
    matches!(
        tag,
        Tag::Emphasis | Tag::Strong | Tag::Strikethrough | Tag::Link { .. } | Tag::Image { .. }
    )
}

fn number(level: HeadingLevel) -> u8 {
    match level {
        HeadingLevel::H1 => 1,
        HeadingLevel::H2 => 2,
        HeadingLevel::H3 => 3,
        HeadingLevel::H4 => 4,
        HeadingLevel::H5 => 5,
        HeadingLevel::H6 => 6,
    }
}

/// The text on one line with single spaces.
pub(super) fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
