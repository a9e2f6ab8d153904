//! One article of two that say the same.
//!
//! The article that is kept stays as its author wrote it; what only the other has is added: symptoms,
//! codes, devices, and its own checks and fixes, at the end. `was` names the other article and its
//! blocks, so that all evidence follows. Which of two like fixes goes and what the text says is for a
//! person: the result is a proposal.

use crate::articles::Article;
use std::collections::BTreeSet;

/// The merged file.
///
/// # Errors
/// In words, where one of them cannot be merged.
pub fn merge(keep: (&Article, &str), other: (&Article, &str)) -> Result<String, String> {
    let (kept, kept_text) = keep;
    let (gone, gone_text) = other;
    if kept.id == gone.id {
        return Err("an article cannot be merged with itself".to_owned());
    }
    for article in [kept, gone] {
        if article.danger.is_some() {
            return Err(format!(
                "`{}` stops the telephone; merge it by hand",
                article.id
            ));
        }
    }
    let (front, body) = split(kept_text).ok_or_else(|| no_front(kept))?;
    let (_, other_body) = split(gone_text).ok_or_else(|| no_front(gone))?;
    let mut out = String::from("---\n");
    out += &front_of(kept, gone, front);
    out += "---\n";
    out += body.trim_end();
    out += "\n";
    let own: BTreeSet<&str> = shorts(kept).collect();
    let itself = format!("{}.md#", kept.id);
    for block in blocks(other_body) {
        // What the other article only borrowed from the kept one is there already.
        let head = block.lines().next().unwrap_or("");
        if head.contains("](") && head.contains(&itself) {
            continue;
        }
        out += "\n";
        let block = moved(&block, gone, &own);
        out += &if kept.area == gone.area {
            block
        } else {
            from_area(&block, &gone.area)
        };
    }
    Ok(out)
}

fn no_front(article: &Article) -> String {
    format!("`{}` has no front matter", article.path)
}

/// Front matter and body.
fn split(text: &str) -> Option<(&str, &str)> {
    let rest = text.trim_start_matches('\u{feff}').strip_prefix("---")?;
    let rest = rest.trim_start_matches('\r').strip_prefix('\n')?;
    let end = rest.find("\n---")?;
    let body = &rest[end + 4..];
    let body = body.find('\n').map_or("", |at| &body[at + 1..]);
    Some((&rest[..=end], body))
}

/// The kept front matter with the lists that grow replaced.
fn front_of(kept: &Article, gone: &Article, front: &str) -> String {
    let mut out = String::new();
    let mut skip = false;
    for line in front.lines() {
        let key = line.split(':').next().unwrap_or("");
        let top = !line.starts_with([' ', '-', '\t', '#']) && line.contains(':');
        if top {
            skip = ["was", "symptoms", "codes", "devices"].contains(&key);
        }
        if !skip {
            out += line;
            out.push('\n');
        }
    }
    let mut list = |key: &str, values: Vec<String>| {
        if !values.is_empty() {
            out += &format!("{key}:\n");
            for value in values {
                out += &format!("  - {}\n", serde_json::Value::from(value));
            }
        }
    };
    let ids = kept.was.iter().chain([&gone.id]).chain(&gone.was);
    list("was", ids.map(ToString::to_string).collect());
    list("symptoms", united(&kept.symptoms, &gone.symptoms));
    list("codes", united(&kept.codes, &gone.codes));
    // No list means all devices.
    if !(kept.devices.is_empty() || gone.devices.is_empty()) {
        list("devices", united(&kept.devices, &gone.devices));
    }
    out
}

fn united(first: &[String], second: &[String]) -> Vec<String> {
    let more = second.iter().filter(|value| !first.contains(value));
    first.iter().chain(more).cloned().collect()
}

fn shorts(article: &Article) -> impl Iterator<Item = &str> {
    let checks = article.checks.iter().filter_map(|entry| entry.own());
    let fixes = article.fixes.iter().filter_map(|entry| entry.own());
    checks
        .map(|check| check.id.short())
        .chain(fixes.map(|fix| fix.id.short()))
}

/// The blocks of a body, each with its heading.
fn blocks(body: &str) -> Vec<String> {
    let mut blocks: Vec<String> = Vec::new();
    for line in body.lines() {
        if line.starts_with("## ") {
            blocks.push(String::new());
        }
        if let Some(last) = blocks.last_mut() {
            last.push_str(line);
            last.push('\n');
        }
    }
    for block in &mut blocks {
        block.truncate(block.trim_end().len());
        block.push('\n');
    }
    blocks
}

/// A block whose links were written in another folder beside this one's.
fn from_area(block: &str, area: &str) -> String {
    let mut out = String::new();
    for (at, part) in block.split("](").enumerate() {
        if at > 0 {
            out += "](";
            let elsewhere = part.starts_with(['#', '/', '.']) || part.contains("://");
            if !elsewhere {
                out += &format!("../{area}/");
            }
        }
        out += part;
    }
    out
}

/// A block under its new article: an id the kept article has gets the old article's name before it.
fn moved(block: &str, gone: &Article, own: &BTreeSet<&str>) -> String {
    let (head, rest) = block.split_once('\n').unwrap_or((block, ""));
    let Some(start) = head.find("{#") else {
        return block.to_owned();
    };
    let id = &head[start + 2..];
    let id: String = id
        .chars()
        .take_while(|c| !c.is_whitespace() && *c != '}')
        .collect();
    let new = if own.contains(id.as_str()) {
        format!("{}-{id}", gone.id)
    } else {
        id.clone()
    };
    let marked = format!("{{#{new} was={}#{id}", gone.id);
    let head = head.replacen(&format!("{{#{id}"), &marked, 1);
    format!("{head}\n{rest}")
}
