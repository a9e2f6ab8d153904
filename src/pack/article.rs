//! How an article looks in the page and on paper: HTML from the plain values that every face draws.
//!
//! Cautions stand before the steps they belong to. A fix or check that several articles share is
//! written out once and linked from the others. Everything is escaped here: no markup of an article
//! becomes markup of the page.

use super::choice::{Chosen, Wish};
use crate::articles::model::{Entry, Picture, Work};
use crate::articles::{Article, Catalog, Settings};
use crate::base::escape::html;
use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::call::steps::may_do;
use crate::view::markdown::Block;
use crate::view::show::{self, Page, Piece, Shelf};
use base64::{Engine, engine::general_purpose::STANDARD};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// The pictures that go in: bytes by path.
pub type Pictures = BTreeMap<String, Vec<u8>>;

/// What articles are drawn from.
#[derive(Clone, Copy)]
pub struct Drawing<'a> {
    /// What `kb.toml` says.
    pub settings: &'a Settings,
    /// The articles in force.
    pub catalog: &'a Catalog,
    /// What went in.
    pub chosen: &'a Chosen,
    /// For whom.
    pub wish: &'a Wish,
    /// Pictures.
    pub pictures: &'a Pictures,
}

/// The HTML of all chosen articles, area by area, by title.
#[must_use]
pub fn articles(drawing: &Drawing<'_>) -> String {
    let list: Vec<Article> = drawing.catalog.articles.values().cloned().collect();
    let left_out = unserved(&list, drawing.catalog);
    let shelf = Shelf {
        articles: &list,
        settings: drawing.settings,
        left_out: &left_out,
    };
    let mut written = BTreeSet::new();
    let mut out = String::new();
    for id in in_order(drawing) {
        if let Ok(page) = show::page(&shelf, id.as_str()) {
            let article = &drawing.catalog.articles[id];
            draw(&mut out, &page, article, drawing, &mut written);
        }
    }
    out
}

/// The chosen articles as they are read: dangers first, then by area and title.
pub(super) fn in_order<'a>(drawing: &Drawing<'a>) -> Vec<&'a ArticleId> {
    let mut ids: Vec<&ArticleId> = drawing.chosen.articles.iter().collect();
    ids.sort_by_key(|id| {
        let article = &drawing.catalog.articles[*id];
        (article.danger.is_none(), &article.area, &article.title)
    });
    ids
}

/// Full ids of blocks that are written but not served.
fn unserved(articles: &[Article], catalog: &Catalog) -> BTreeSet<String> {
    let fixes = articles.iter().flat_map(|a| &a.fixes);
    let checks = articles.iter().flat_map(|a| &a.checks);
    let fixes = fixes
        .filter_map(Entry::own)
        .filter(|f| !catalog.fixes.contains_key(&f.id))
        .map(|f| f.id.to_string());
    let checks = checks
        .filter_map(Entry::own)
        .filter(|c| !catalog.checks.contains_key(&c.id))
        .map(|c| c.id.to_string());
    fixes.chain(checks).collect()
}

/// The id of an element: `#` parts article and block in an address, so here two hyphens do.
#[must_use]
pub fn anchor(id: &str) -> String {
    id.replace('#', "--")
}

fn draw(
    out: &mut String,
    page: &Page,
    article: &Article,
    drawing: &Drawing<'_>,
    written: &mut BTreeSet<String>,
) {
    let danger = article.danger.is_some();
    let class = if danger { "article danger" } else { "article" };
    let _ = write!(
        out,
        "<article class=\"{class}\" id=\"{id}\" data-id=\"{id}\">\n<h2>{title}</h2>\n",
        id = html(&page.id),
        title = html(&page.title),
    );
    paragraph(out, "facts", &facts_of(page));
    if danger {
        out.push_str("<h3>Do now</h3>\n<ol class=\"now\">\n");
        for step in &page.do_now {
            let _ = writeln!(out, "<li>{}</li>", html(step));
        }
        out.push_str("</ol>\n");
    }
    let figures = Figures { article, drawing };
    figures.blocks(out, &page.text);
    if !page.symptoms.is_empty() {
        out.push_str("<h3>How people say it</h3>\n<ul class=\"said\">\n");
        for symptom in &page.symptoms {
            let _ = writeln!(out, "<li>{}</li>", html(symptom));
        }
        out.push_str("</ul>\n");
    }
    for piece in &page.checks {
        let id = CheckId::new(&piece.id);
        if drawing.chosen.checks.binary_search(&id).is_ok() {
            figures.piece(out, "check", piece, written);
        }
    }
    for piece in &page.fixes {
        let id = FixId::new(&piece.id);
        if drawing.chosen.fixes.binary_search(&id).is_ok() {
            figures.piece(out, "fix", piece, written);
        }
    }
    out.push_str("</article>\n");
}

fn facts_of(page: &Page) -> String {
    let mut facts = Vec::new();
    if !page.devices.is_empty() {
        facts.push(page.devices.join(", "));
    }
    if let Some(firmware) = &page.firmware {
        facts.push(format!("firmware {firmware}"));
    }
    if !page.codes.is_empty() {
        facts.push(format!("code {}", page.codes.join(", ")));
    }
    for sign in &page.signs {
        facts.push(format!("{} {}", sign.name, sign.state));
    }
    if let Some(reviewed) = &page.reviewed {
        facts.push(format!("reviewed {reviewed}"));
    }
    facts.join(" · ")
}

fn paragraph(out: &mut String, class: &str, text: &str) {
    if !text.is_empty() {
        let _ = writeln!(out, "<p class=\"{class}\">{}</p>", html(text));
    }
}

/// Draws the text of one article with its pictures.
struct Figures<'a> {
    article: &'a Article,
    drawing: &'a Drawing<'a>,
}

impl Figures<'_> {
    fn piece(&self, out: &mut String, class: &str, piece: &Piece, written: &mut BTreeSet<String>) {
        let home = piece.from.as_ref().map(|home| ArticleId::new(home));
        let chosen = &self.drawing.chosen.articles;
        let elsewhere = home.filter(|home| chosen.binary_search(home).is_ok());
        let what = if class == "check" { "Check" } else { "Fix" };
        if elsewhere.is_some() || !written.insert(piece.id.clone()) {
            let article = elsewhere.and_then(|home| self.drawing.catalog.articles.get(&home));
            let place = article.map_or_else(
                || "written above".to_owned(),
                |article| format!("written in \"{}\"", article.title),
            );
            let _ = writeln!(
                out,
                "<p class=\"see\">{what}: <a href=\"#{}\">{}</a>, {}</p>",
                html(&anchor(&piece.id)),
                html(&piece.title),
                html(&place),
            );
            return;
        }
        let _ = write!(
            out,
            "<section class=\"{class}\" id=\"{}\" data-id=\"{}\">\n<h3>{what}: {}</h3>\n",
            html(&anchor(&piece.id)),
            html(&piece.id),
            html(&piece.title),
        );
        let mut facts = vec![format!("{:.0} min", piece.minutes), piece.who.clone()];
        if !piece.answers.is_empty() {
            facts.push(piece.answers.join(" / "));
        }
        paragraph(out, "facts", &facts.join(" · "));
        for caution in &piece.cautions {
            let _ = writeln!(
                out,
                "<p class=\"caution\"><strong>Caution.</strong> {}</p>",
                html(caution)
            );
        }
        if !piece.after_words.is_empty() {
            let before = piece.after_words.join("; ");
            paragraph(out, "before", &format!("First: {before}"));
        }
        let work = Work {
            who: piece.who.clone(),
            hazards: piece.hazards.clone(),
            ..Work::default()
        };
        let role = self.drawing.wish.role.as_deref();
        if may_do(&work, role, self.drawing.settings) {
            out.push_str("<div class=\"work\">\n");
            self.blocks(out, &piece.text);
            out.push_str("</div>\n");
        } else {
            let who = &piece.who;
            let text = format!("Work for: {who}. Its steps are not in this pack.");
            paragraph(out, "not-yours", &text);
        }
        out.push_str("</section>\n");
    }

    fn blocks(&self, out: &mut String, blocks: &[Block]) {
        for block in blocks {
            self.block(out, block);
        }
    }

    fn block(&self, out: &mut String, block: &Block) {
        match block {
            Block::Heading { text, .. } => {
                let _ = writeln!(out, "<h4>{}</h4>", self.words(text));
            }
            Block::Paragraph { text } => {
                let _ = writeln!(out, "<p>{}</p>", self.words(text));
            }
            Block::List { first, items } => {
                out.push_str(if first.is_some() { "<ol>\n" } else { "<ul>\n" });
                for item in items {
                    out.push_str("<li>");
                    match item.as_slice() {
                        [Block::Paragraph { text }] => out.push_str(&self.words(text)),
                        item => self.blocks(out, item),
                    }
                    out.push_str("</li>\n");
                }
                out.push_str(if first.is_some() {
                    "</ol>\n"
                } else {
                    "</ul>\n"
                });
            }
            Block::Code { text } => {
                let _ = writeln!(out, "<pre>{}</pre>", html(text));
            }
            Block::Quote { blocks } => {
                out.push_str("<blockquote>\n");
                self.blocks(out, blocks);
                out.push_str("</blockquote>\n");
            }
            Block::Table { head, rows } => self.table(out, head, rows),
            Block::Rule => out.push_str("<hr>\n"),
        }
    }

    fn table(&self, out: &mut String, head: &[String], rows: &[Vec<String>]) {
        // A region that scrolls must be reached by keyboard and have a name.
        out.push_str("<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"table\"><table>\n<thead><tr>");
        for cell in head {
            let _ = write!(out, "<th scope=\"col\">{}</th>", self.words(cell));
        }
        out.push_str("</tr></thead>\n<tbody>\n");
        for row in rows {
            out.push_str("<tr>");
            for cell in row {
                let _ = write!(out, "<td>{}</td>", self.words(cell));
            }
            out.push_str("</tr>\n");
        }
        out.push_str("</tbody></table></div>\n");
    }

    /// Words with line breaks; code between backticks; a picture where its words stand.
    fn words(&self, text: &str) -> String {
        let mut safe = html(text).replace('\n', "<br>");
        for picture in &self.article.pictures {
            let words = if picture.alt.is_empty() {
                "[picture]".to_owned()
            } else {
                format!("[picture: {}]", html(&picture.alt))
            };
            if let (Some(image), true) = (self.image(picture), safe.contains(&words)) {
                safe = safe.replacen(&words, &image, 1);
            }
        }
        code(&safe)
    }

    fn image(&self, picture: &Picture) -> Option<String> {
        let bytes = self.drawing.pictures.get(&picture.path)?;
        let ending = picture.path.rsplit('.').next()?.to_lowercase();
        let kind = match ending.as_str() {
            "png" => "image/png",
            "jpg" | "jpeg" => "image/jpeg",
            "webp" => "image/webp",
            // Drawn as an image: scripts and references of an SVG stay dead.
            "svg" => "image/svg+xml",
            _ => return None,
        };
        Some(format!(
            "<img src=\"data:{kind};base64,{}\" alt=\"{}\">",
            STANDARD.encode(bytes),
            html(&picture.alt)
        ))
    }
}

/// Turns pairs of backticks into code.
fn code(safe: &str) -> String {
    let parts: Vec<&str> = safe.split('`').collect();
    let mut out = String::with_capacity(safe.len());
    for (i, part) in parts.iter().enumerate() {
        let closed = i + 1 < parts.len();
        match (i % 2, closed) {
            (1, true) => {
                let _ = write!(out, "<code>{part}</code>");
            }
            (1, false) => {
                out.push('`');
                out.push_str(part);
            }
            _ => out.push_str(part),
        }
    }
    out
}
