//! Markdown text to [`Article`].
//!
//! The steps: [`front`](super::front) reads the YAML, `content` walks the Markdown once,
//! `headings` says which headings open a block, `attributes` reads `{#id key=value}`,
//! `blocks` builds checks and fixes. Whatever is wrong becomes a [`Finding`]; the rest of the
//! file is read all the same.

mod attributes;
mod blocks;
mod content;
mod headings;
mod links;
mod steps;
mod values;

pub use attributes::Attribute;
pub(super) use content::pieces;
pub(super) use links::is_outside;
pub(super) use links::resolve;
pub use links::{Target, target};

use super::finding::{Drops, Finding};
use super::front::{self, Front};
use super::model::{Article, Danger, Picture};
use super::source::{Source, Spot};
use crate::base::ids::ArticleId;
use crate::base::problem::Problem;
use std::ops::Range;

/// What opens with a heading of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// `## Check: …`
    Check,
    /// `## Fix: …`
    Fix,
    /// `## Do now`
    DoNow,
}

/// One block of the file, as lint needs it for places.
#[derive(Clone, Debug)]
pub struct Block {
    /// What it is.
    pub kind: Kind,
    /// Line of its heading, from 1; [`Drops::Block`] names it.
    pub line: usize,
    /// The bytes of heading and content.
    pub at: Range<usize>,
    /// The bytes of the heading.
    pub heading: Range<usize>,
    /// The short id.
    pub id: Option<Spot<String>>,
    /// Its attributes.
    pub attributes: Vec<Attribute>,
    /// Where it points, for a block written elsewhere.
    pub link: Option<Spot<Target>>,
}

impl Block {
    /// An attribute by its key.
    #[must_use]
    pub fn attribute(&self, key: &str) -> Option<&Attribute> {
        self.attributes.iter().find(|a| a.key == key)
    }

    /// The bytes of an attribute, or of the heading where it is missing.
    #[must_use]
    pub fn place_of(&self, key: &str) -> Range<usize> {
        self.attribute(key)
            .map_or_else(|| self.heading.clone(), |a| a.at.clone())
    }
}

/// One file, taken apart.
#[derive(Clone, Debug)]
pub struct Parsed {
    /// Its name and text.
    pub source: Source,
    /// The article as far as it could be read.
    pub article: Article,
    /// Its front matter with places.
    pub front: Front,
    /// Its blocks with places, in the order of their lines.
    pub blocks: Vec<Block>,
    /// The steps of `## Do now`.
    pub do_now: Vec<String>,
    /// Links in the text, headings of blocks excepted.
    pub links: Vec<Spot<String>>,
    /// The bytes of each of the article's pictures, in their order.
    pub picture_places: Vec<Range<usize>>,
    /// What is wrong already.
    pub findings: Vec<Finding>,
}

impl Parsed {
    /// What a problem at this byte keeps from use: the block it stands in, else the article.
    #[must_use]
    pub fn drops_at(&self, at: usize) -> Drops {
        let after = self.blocks.partition_point(|b| b.at.start <= at);
        match after.checked_sub(1).and_then(|i| self.blocks.get(i)) {
            Some(b) if b.kind != Kind::DoNow && b.at.contains(&at) => Drops::Block(b.line),
            _ => Drops::Article,
        }
    }

    /// The block that a line belongs to.
    #[must_use]
    pub fn block_around(&self, line: usize) -> Option<&Block> {
        let after = self.blocks.partition_point(|b| b.line <= line);
        self.blocks.get(after.checked_sub(1)?)
    }

    /// The block whose heading stands in this line.
    #[must_use]
    pub fn block_at(&self, line: usize) -> Option<&Block> {
        let at = self.blocks.binary_search_by_key(&line, |b| b.line).ok()?;
        self.blocks.get(at)
    }
}

/// Reads an article; nothing where the file holds none.
#[must_use]
pub fn article(path: &str, text: &str, first_role: &str) -> (Option<Article>, Vec<Problem>) {
    let parsed = parse(path, text, first_role);
    let holds_one = parsed.front.readable && parsed.front.id.is_some();
    let problems = parsed.findings.into_iter().map(|f| f.problem).collect();
    (holds_one.then_some(parsed.article), problems)
}

/// Takes a file apart. `path` is relative to the knowledge base, with `/` between folders;
/// `first_role` is who does a check that names nobody.
#[must_use]
pub fn parse(path: &str, text: &str, first_role: &str) -> Parsed {
    let source = Source::new(path, text);
    let mut findings = Vec::new();
    if text
        .trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}')
        .is_empty()
    {
        findings.push(empty(&source));
        return bare(source, findings);
    }
    let parts = front::split(text);
    let front = front::read(&source, &parts, &mut findings);
    let body = content::walk(text, parts.body);
    let openings = headings::openings(&source, &body, &mut findings);
    let intro_end = openings.first().map_or(text.len(), |o| o.at.start);
    let intro = text[parts.body.min(intro_end)..intro_end]
        .replace("\r\n", "\n")
        .trim()
        .to_owned();
    if intro.is_empty() && openings.is_empty() && front.readable {
        findings.push(empty(&source));
    }
    let id = ArticleId::new(front.id.as_ref().map_or(stem(path), |id| &id.value));
    let built = blocks::build(&source, &body, openings, &id, first_role, &mut findings);
    let article = Article {
        id,
        was: front.was.iter().map(|w| ArticleId::new(&w.value)).collect(),
        title: front
            .title
            .as_ref()
            .map(|t| t.value.trim().to_owned())
            .unwrap_or_default(),
        area: area(path).to_owned(),
        path: path.to_owned(),
        devices: values(&front.devices),
        firmware: front.firmware.clone(),
        symptoms: values(&front.symptoms),
        codes: values(&front.codes),
        signs: front
            .signs
            .iter()
            .map(|(n, s)| (n.value.clone(), s.value.clone()))
            .collect(),
        owner: front.owner.as_ref().map(|o| o.value.clone()),
        reviewed: front.reviewed.as_ref().map(|r| r.value),
        state: front.state,
        danger: front.danger.as_ref().map(|_| Danger {
            stop_words: values(&front.stop_words),
            harmless: values(&front.harmless),
            do_now: built.do_now.clone(),
        }),
        intro,
        checks: built.checks,
        fixes: built.fixes,
        pictures: pictures(path, &source, &body),
    };
    Parsed {
        article,
        front,
        blocks: built.blocks,
        do_now: built.do_now,
        links: body.links,
        picture_places: body.pictures.iter().map(|p| p.at.clone()).collect(),
        findings,
        source,
    }
}

fn values(spots: &[Spot<String>]) -> Vec<String> {
    spots.iter().map(|s| s.value.clone()).collect()
}

fn pictures(path: &str, source: &Source, body: &content::Body) -> Vec<Picture> {
    body.pictures
        .iter()
        .map(|p| Picture {
            path: resolve(path, &p.value.url).unwrap_or_else(|| p.value.url.clone()),
            alt: p.value.alt.clone(),
            line: source.line_of(p.at.start),
        })
        .collect()
}

fn empty(source: &Source) -> Finding {
    Finding::article(source.error("empty-article", 0..0, "the article is empty"))
        .help(Some("write it, or delete the file".to_owned()))
}

/// The file's name without `.md`.
pub(super) fn stem(path: &str) -> &str {
    let name = path.rsplit('/').next().unwrap_or(path);
    name.strip_suffix(".md").unwrap_or(name)
}

/// The folders below `articles/`.
fn area(path: &str) -> &str {
    let path = path.strip_prefix("articles/").unwrap_or(path);
    path.rsplit_once('/').map_or("", |(area, _)| area)
}

/// A stand-in for a file that holds no article at all.
pub(super) fn bare(source: Source, findings: Vec<Finding>) -> Parsed {
    let article = Article {
        id: ArticleId::new(stem(&source.file)),
        was: Vec::new(),
        title: String::new(),
        area: area(&source.file).to_owned(),
        path: source.file.clone(),
        devices: Vec::new(),
        firmware: None,
        symptoms: Vec::new(),
        codes: Vec::new(),
        signs: std::collections::BTreeMap::new(),
        owner: None,
        reviewed: None,
        state: super::model::State::Live,
        danger: None,
        intro: String::new(),
        checks: Vec::new(),
        fixes: Vec::new(),
        pictures: Vec::new(),
    };
    Parsed {
        article,
        front: Front::default(),
        blocks: Vec::new(),
        do_now: Vec::new(),
        links: Vec::new(),
        picture_places: Vec::new(),
        findings,
        source,
    }
}

#[cfg(test)]
mod tests;
