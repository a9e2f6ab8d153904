//! The attributes of a heading: `{#id key=value key=one,two}`.

use super::content::Heading;
use crate::articles::source::{Source, Spot};
use std::ops::Range;

/// One `key=value`, its value split at commas.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attribute {
    /// The key.
    pub key: String,
    /// The values, in order; empty where there is no `=`.
    pub values: Vec<Spot<String>>,
    /// The bytes of key and value.
    pub at: Range<usize>,
}

/// The id and the attributes of a heading.
///
/// `pulldown-cmark` decides whether there is a block of attributes; the places are found by taking
/// the block apart once more, because its events carry none.
pub(super) fn read(source: &Source, heading: &Heading) -> (Option<Spot<String>>, Vec<Attribute>) {
    let (mut id, mut attributes) = (None, Vec::new());
    let raw = &source.text[heading.at.clone()];
    let (Some(open), Some(close)) = (raw.rfind('{'), raw.rfind('}')) else {
        return (id, attributes);
    };
    if !heading.has_attributes || close < open {
        return (id, attributes);
    }
    let base = heading.at.start + open + 1;
    for (start, token) in tokens(&raw[open + 1..close]) {
        let at = base + start..base + start + token.len();
        if let Some(name) = token.strip_prefix('#') {
            id = Some(Spot::new(name.to_owned(), at.start + 1..at.end));
        } else {
            let (key, values) = match token.split_once('=') {
                Some((key, value)) => (key, split(value, at.start + key.len() + 1)),
                None => (token, Vec::new()),
            };
            attributes.push(Attribute {
                key: key.to_owned(),
                values,
                at,
            });
        }
    }
    (id, attributes)
}

fn tokens(block: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut at = 0;
    block
        .split(|c: char| c.is_ascii_whitespace())
        .filter_map(move |token| {
            let start = at;
            at += token.len() + 1;
            (!token.is_empty()).then_some((start, token))
        })
}

fn split(value: &str, base: usize) -> Vec<Spot<String>> {
    let mut at = base;
    value
        .split(',')
        .map(|part| {
            let start = at;
            at += part.len() + 1;
            Spot::new(part.to_owned(), start..start + part.len())
        })
        .collect()
}
