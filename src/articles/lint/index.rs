//! Who is called what: articles by id and path, blocks by full id, and their old names.

use crate::articles::parse::{Kind, Parsed};
use std::collections::BTreeMap;

/// A check or fix and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct BlockAt {
    pub(super) file: usize,
    pub(super) kind: Kind,
    /// Line of its heading.
    pub(super) line: usize,
    pub(super) id: String,
}

/// All names. Of doubles the first in the order of files counts.
#[derive(Clone, Debug, Default)]
pub(super) struct Index {
    pub(super) articles: BTreeMap<String, usize>,
    pub(super) paths: BTreeMap<String, usize>,
    pub(super) blocks: BTreeMap<String, BlockAt>,
    old_articles: BTreeMap<String, usize>,
    old_blocks: BTreeMap<String, String>,
}

impl Index {
    pub(super) fn new(parsed: &[Parsed]) -> Self {
        let mut index = Self::default();
        for (file, one) in parsed.iter().enumerate() {
            let article = &one.article;
            index.paths.insert(one.source.file.clone(), file);
            let first = *index.articles.entry(article.id.to_string()).or_insert(file);
            if first != file {
                continue;
            }
            for old in &article.was {
                index.old_articles.entry(old.to_string()).or_insert(file);
            }
            for check in article.checks.iter().filter_map(|e| e.own()) {
                index.block(file, Kind::Check, check.work.line, check.id.as_str());
                index.old(check.was.iter().map(|w| w.as_str()), check.id.as_str());
            }
            for fix in article.fixes.iter().filter_map(|e| e.own()) {
                index.block(file, Kind::Fix, fix.work.line, fix.id.as_str());
                index.old(fix.was.iter().map(|w| w.as_str()), fix.id.as_str());
            }
        }
        index
    }

    fn block(&mut self, file: usize, kind: Kind, line: usize, id: &str) {
        let at = BlockAt {
            file,
            kind,
            line,
            id: id.to_owned(),
        };
        match self.blocks.get(id) {
            Some(known) if known.file == file && known.line <= line => {}
            _ => {
                self.blocks.insert(id.to_owned(), at);
            }
        }
    }

    fn old<'a>(&mut self, old: impl Iterator<Item = &'a str>, now: &str) {
        for old in old {
            self.old_blocks
                .entry(old.to_owned())
                .or_insert_with(|| now.to_owned());
        }
    }

    /// A block by its full id, today's or an old one.
    pub(super) fn find<'a>(&'a self, parsed: &[Parsed], id: &str) -> Option<&'a BlockAt> {
        if let Some(block) = self.blocks.get(id) {
            return Some(block);
        }
        if let Some(now) = self.old_blocks.get(id) {
            return self.blocks.get(now);
        }
        let (article, short) = id.split_once('#')?;
        let file = *self.old_articles.get(article)?;
        let moved = format!("{}#{short}", parsed[file].article.id);
        self.blocks
            .get(&moved)
            .or_else(|| self.blocks.get(self.old_blocks.get(&moved)?))
    }

    /// Full ids of all blocks, for "did you mean".
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.blocks.keys().map(String::as_str)
    }
}
