//! Markdown of articles to HTML that can do nothing: raw HTML is shown as text, links lead to http, https,
//! mailto or inside the sheet, pictures come from the knowledge base alone.

use ammonia::{Builder, UrlRelative};
use pulldown_cmark::{CowStr, Event, Options, Parser, Tag, TagEnd, html as write};
use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

/// What may stay.
const TAGS: &[&str] = &[
    "p",
    "br",
    "hr",
    "em",
    "strong",
    "del",
    "code",
    "pre",
    "blockquote",
    "ul",
    "ol",
    "li",
    "a",
    "img",
    "table",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
    "h3",
    "h4",
    "h5",
    "h6",
];

static CLEANER: LazyLock<Builder<'static>> = LazyLock::new(|| {
    let mut builder = Builder::empty();
    builder
        .tags(TAGS.iter().copied().collect())
        .tag_attributes(HashMap::from([
            ("a", HashSet::from(["href"])),
            ("img", HashSet::from(["src", "alt"])),
            ("ol", HashSet::from(["start"])),
        ]))
        .url_schemes(HashSet::from(["http", "https", "mailto"]))
        .url_relative(UrlRelative::PassThrough)
        .link_rel(Some("noopener noreferrer"));
    builder
});

/// The HTML of a text that stands in the article at `path`, relative to the knowledge base.
#[must_use]
pub(super) fn html(markdown: &str, path: &str) -> String {
    let options = Options::ENABLE_TABLES | Options::ENABLE_HEADING_ATTRIBUTES;
    let events = Parser::new_ext(markdown, options).map(|event| safe(event, path));
    let mut out = String::with_capacity(markdown.len() * 2);
    write::push_html(&mut out, events);
    CLEANER.clean(&out).to_string()
}

fn safe<'a>(event: Event<'a>, path: &str) -> Event<'a> {
    match event {
        Event::Html(text) | Event::InlineHtml(text) => Event::Text(text),
        // Blocks of raw HTML become paragraphs of text.
        Event::Start(Tag::HtmlBlock) => Event::Start(Tag::Paragraph),
        Event::End(TagEnd::HtmlBlock) => Event::End(TagEnd::Paragraph),
        // A text's own headings stand below the title of its block.
        Event::Start(Tag::Heading { level, .. }) => Event::Start(Tag::Heading {
            level: lower(level),
            id: None,
            classes: Vec::new(),
            attrs: Vec::new(),
        }),
        Event::End(TagEnd::Heading(level)) => Event::End(TagEnd::Heading(lower(level))),
        Event::Start(Tag::Link {
            link_type,
            dest_url,
            id,
            ..
        }) => Event::Start(Tag::Link {
            link_type,
            dest_url: link(&dest_url, path).into(),
            title: CowStr::Borrowed(""),
            id,
        }),
        Event::Start(Tag::Image {
            link_type,
            dest_url,
            id,
            ..
        }) => Event::Start(Tag::Image {
            link_type,
            dest_url: picture(&dest_url, path).into(),
            title: CowStr::Borrowed(""),
            id,
        }),
        other => other,
    }
}

fn lower(level: pulldown_cmark::HeadingLevel) -> pulldown_cmark::HeadingLevel {
    use pulldown_cmark::HeadingLevel::{H3, H4, H5, H6};
    match level as usize {
        1 => H3,
        2 => H4,
        3 => H5,
        _ => H6,
    }
}

fn has_scheme(address: &str) -> bool {
    let end = address.find([':', '/', '?', '#']);
    end.is_some_and(|at| address[at..].starts_with(':')) || address.starts_with("//")
}

/// A link between articles becomes one between their pages; the rest is left to the cleaner.
fn link(address: &str, path: &str) -> String {
    if has_scheme(address) {
        return address.to_owned();
    }
    let (file, block) = match address.split_once('#') {
        Some((file, block)) => (file, format!("#{block}")),
        None => (address, String::new()),
    };
    if file.is_empty() {
        return block;
    }
    let Some(id) = file.strip_suffix(".md") else {
        return picture(address, path);
    };
    let id = id.rsplit('/').next().unwrap_or_default();
    format!("/articles/{id}{block}")
}

/// The page's address of a picture beside the article.
fn picture(address: &str, path: &str) -> String {
    if has_scheme(address) {
        // Nothing is fetched from elsewhere.
        return String::new();
    }
    let mut folders: Vec<&str> = path.split('/').collect();
    folders.pop();
    for part in address.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                folders.pop();
            }
            name => folders.push(name),
        }
    }
    format!("/pictures/{}", folders.join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PATH: &str = "articles/power/lamp.md";

    #[test]
    fn links_and_pictures_stay_inside_or_lead_to_the_web() {
        for (markdown, html_of_it) in [
            (
                "![front](img/a.svg)",
                "<p><img src=\"/pictures/articles/power/img/a.svg\" alt=\"front\"></p>\n",
            ),
            (
                "![x](../../../../etc/passwd)",
                "<p><img src=\"/pictures/etc/passwd\" alt=\"x\"></p>\n",
            ),
            (
                "[on](../network/restart.md#once)",
                "<p><a href=\"/articles/restart#once\" rel=\"noopener noreferrer\">on</a></p>\n",
            ),
            (
                "[m](mailto:desk@example.org)",
                "<p><a href=\"mailto:desk@example.org\" rel=\"noopener noreferrer\">m</a></p>\n",
            ),
            (
                "[w](https://example.org/a)",
                "<p><a href=\"https://example.org/a\" rel=\"noopener noreferrer\">w</a></p>\n",
            ),
            (
                "[d](data:text/html,x)",
                "<p><a rel=\"noopener noreferrer\">d</a></p>\n",
            ),
            (
                "![p](https://example.org/a.png)",
                "<p><img src=\"\" alt=\"p\"></p>\n",
            ),
        ] {
            assert_eq!(html(markdown, PATH), html_of_it, "{markdown}");
        }
    }

    #[test]
    fn nothing_hostile_is_left() {
        for markdown in [
            "<script>alert(1)</script>",
            "a <img src=x onerror=alert(1)> b",
            "[x](javascript:alert(1))",
            "[x](JaVaScRiPt:alert(1))",
            "[x](java\tscript:alert(1))",
            "[x](&#106;avascript:alert(1))",
            "<svg onload=alert(1)><a xlink:href=\"javascript:alert(1)\">x</a></svg>",
            "<iframe src=//example.org></iframe>",
            "[x](vbscript:x)",
            "<style>body{display:none}</style>",
            "## Title {onclick=alert(1) #id .class}",
            "<a href=\"https://example.org\" target=_blank>raw</a>",
        ] {
            let made = html(markdown, PATH);
            let lower = made.to_lowercase();
            for bad in [
                "<script",
                "<img src=x",
                "<svg",
                "<iframe",
                "<style",
                "<a href=\"https://example.org\" target",
            ] {
                assert!(!lower.contains(bad), "{bad} in {made} of {markdown}");
            }
            // What stands between tags is text, whatever it says.
            let tags = lower.split('<').skip(1).filter_map(|t| t.split('>').next());
            for tag in tags {
                for bad in ["javascript", "vbscript", "onclick", "onload", "onerror"] {
                    assert!(!tag.contains(bad), "{bad} in {made} of {markdown}");
                }
            }
        }
        assert!(html("<b>bold</b>", PATH).contains("&lt;b&gt;"));
    }
}
