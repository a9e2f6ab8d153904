//! Rules about names that stand twice.

use super::{Context, Found};
use crate::articles::finding::Finding;
use crate::articles::parse::{Block, Kind, Parsed};
use std::collections::BTreeMap;

pub(super) fn ids(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in context.parsed.iter().enumerate() {
        articles(context, file, parsed, found);
        blocks(file, parsed, found);
    }
}

fn articles(context: &Context<'_>, file: usize, parsed: &Parsed, found: &mut Found) {
    let Some(id) = &parsed.front.id else { return };
    let Some(first) = context.index.articles.get(&id.value) else {
        return;
    };
    if *first != file {
        let other = &context.parsed[*first].source.file;
        let problem = parsed.source.error(
            "double-id",
            id.at.clone(),
            format!("`{}` is the id of `{other}` already", id.value),
        );
        found.add(file, Finding::article(problem));
    }
}

fn blocks(file: usize, parsed: &Parsed, found: &mut Found) {
    let mut seen: BTreeMap<&str, &Block> = BTreeMap::new();
    for block in parsed.blocks.iter().filter(|b| b.kind != Kind::DoNow) {
        let name = match (&block.link, &block.id) {
            (Some(link), _) => link.value.anchor.as_deref().map(|a| (a, link.at.clone())),
            (None, Some(id)) => Some((id.value.as_str(), id.at.clone())),
            (None, None) => None,
        };
        let Some((name, at)) = name else { continue };
        match seen.get(name) {
            Some(first) => {
                let problem = parsed.source.error(
                    "double-id",
                    at,
                    format!("`{name}` stands in line {} already", first.line),
                );
                found.add(file, Finding::block(block.line, problem));
            }
            None => {
                seen.insert(name, block);
            }
        }
    }
}

pub(super) fn old_ids(context: &Context<'_>, found: &mut Found) {
    let mut articles: BTreeMap<&str, usize> = BTreeMap::new();
    for (file, parsed) in context.parsed.iter().enumerate() {
        for old in &parsed.front.was {
            let taken = if context.index.articles.contains_key(&old.value) {
                Some("is an article's id today".to_owned())
            } else {
                articles
                    .get(old.value.as_str())
                    .filter(|first| **first != file)
                    .map(|first| format!("is an old id of `{}`", context.parsed[*first].article.id))
            };
            articles.entry(&old.value).or_insert(file);
            if let Some(taken) = taken {
                let message = format!("`{}` cannot be an old id here: it {taken}", old.value);
                let problem = parsed.source.error("old-id", old.at.clone(), message);
                found.add(file, Finding::article(problem));
            }
        }
    }
    old_block_ids(context, found);
}

fn old_block_ids(context: &Context<'_>, found: &mut Found) {
    let mut olds: BTreeMap<String, String> = BTreeMap::new();
    for (file, parsed) in context.parsed.iter().enumerate() {
        let checks = parsed.article.checks.iter().filter_map(|e| e.own());
        let fixes = parsed.article.fixes.iter().filter_map(|e| e.own());
        let mut all: Vec<(usize, &str, &str)> = Vec::new();
        for check in checks {
            all.extend(
                check
                    .was
                    .iter()
                    .map(|w| (check.work.line, check.id.as_str(), w.as_str())),
            );
        }
        for fix in fixes {
            all.extend(
                fix.was
                    .iter()
                    .map(|w| (fix.work.line, fix.id.as_str(), w.as_str())),
            );
        }
        all.sort_unstable();
        for (line, id, old) in all {
            let taken = if context.index.blocks.contains_key(old) {
                Some("is in use today".to_owned())
            } else {
                olds.get(old)
                    .map(|other| format!("is an old id of `{other}`"))
            };
            olds.entry(old.to_owned()).or_insert_with(|| id.to_owned());
            let (Some(taken), Some(block)) = (taken, parsed.block_at(line)) else {
                continue;
            };
            let message = format!("`{old}` cannot be an old id here: it {taken}");
            let problem = parsed
                .source
                .error("old-id", block.place_of("was"), message);
            found.add(file, Finding::block(line, problem));
        }
    }
}
