//! YAML as a tree that keeps the bytes of every key and value.
//!
//! Reading straight into a struct would stop at the first wrong type; a tree lets [`super::front`]
//! report everything that is wrong in one go. Scalars keep their spelling: `firmware: 2.10` stays
//! `2.10`.

use super::source::Spot;
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_saphyr::{DuplicateKeyPolicy, Location, Spanned};
use std::fmt;
use std::ops::Range;

/// A value with its place in the YAML text.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Node {
    Null,
    /// Text, number or truth value, as spelt.
    Scalar(String),
    List(Vec<Spot<Self>>),
    Map(Vec<(Spot<String>, Spot<Self>)>),
}

impl Node {
    /// What it is, in words.
    pub(super) fn sort(&self) -> &'static str {
        match self {
            Self::Null => "nothing",
            Self::Scalar(_) => "one value",
            Self::List(_) => "a list",
            Self::Map(_) => "a table of names and values",
        }
    }
}

/// A key and its value.
pub(super) type Pair = (Spot<String>, Spot<Node>);

/// What stopped the reading: words and place.
pub(super) type Broken = Spot<String>;

/// Reads the entries of a YAML mapping.
pub(super) fn read(yaml: &str) -> Result<Vec<Pair>, Broken> {
    if yaml
        .lines()
        .all(|l| l.trim().is_empty() || l.trim_start().starts_with('#'))
    {
        return Ok(Vec::new());
    }
    let options = serde_saphyr::options! {
        duplicate_keys: DuplicateKeyPolicy::PassThrough,
        with_snippet: false,
    };
    let raw: Spanned<Raw> =
        serde_saphyr::from_str_with_options(yaml, options).map_err(|error| {
            let at = error.location().map_or(0..0, |l| bytes(yaml, l));
            Spot::new(words(&error), at)
        })?;
    match settle(yaml, raw) {
        Spot {
            value: Node::Map(entries),
            ..
        } => Ok(entries),
        Spot {
            value: Node::Null, ..
        } => Ok(Vec::new()),
        other => Err(Spot::new(
            format!(
                "expected lines such as `id: my-article`, but found {}",
                other.value.sort()
            ),
            other.at,
        )),
    }
}

/// The message alone: the reader's own place and excerpt are left to our renderer.
fn words(error: &serde_saphyr::Error) -> String {
    let text = error.without_snippet().to_string();
    let text = text.lines().next().unwrap_or("unreadable").to_owned();
    let text = match text.rfind(" at line ") {
        Some(cut) => text[..cut].to_owned(),
        None => text,
    };
    let text = text.strip_prefix("error: ").unwrap_or(&text);
    text.trim_end_matches('.').to_owned()
}

fn bytes(yaml: &str, location: Location) -> Range<usize> {
    let span = location.span();
    let at = |n: Option<u64>| n.and_then(|n| usize::try_from(n).ok());
    if let (Some(start), Some(len)) = (at(span.byte_offset()), at(span.byte_len())) {
        let start = start.min(yaml.len());
        return start..start.saturating_add(len).min(yaml.len());
    }
    let line = usize::try_from(location.line()).unwrap_or(1).max(1);
    let column = usize::try_from(location.column()).unwrap_or(1).max(1);
    let start: usize = yaml
        .split_inclusive('\n')
        .take(line - 1)
        .map(str::len)
        .sum();
    let inside = yaml[start..]
        .char_indices()
        .nth(column - 1)
        .map_or(0, |(i, _)| i);
    start + inside..start + inside
}

enum Raw {
    Null,
    Scalar(String),
    Spelt,
    List(Vec<Spanned<Self>>),
    Map(Vec<(Spanned<String>, Spanned<Self>)>),
}

fn settle(yaml: &str, raw: Spanned<Raw>) -> Spot<Node> {
    let at = bytes(yaml, raw.referenced);
    let node = match raw.value {
        Raw::Null => Node::Null,
        Raw::Scalar(text) => Node::Scalar(text),
        Raw::Spelt => Node::Scalar(yaml.get(at.clone()).unwrap_or_default().trim().to_owned()),
        Raw::List(items) => Node::List(items.into_iter().map(|i| settle(yaml, i)).collect()),
        Raw::Map(entries) => Node::Map(
            entries
                .into_iter()
                .map(|(key, value)| {
                    let at = bytes(yaml, key.referenced);
                    (Spot::new(key.value, at), settle(yaml, value))
                })
                .collect(),
        ),
    };
    Spot::new(node, at)
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Reader)
    }
}

struct Reader;

impl<'de> Visitor<'de> for Reader {
    type Value = Raw;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value, a list or a table")
    }

    fn visit_unit<E>(self) -> Result<Raw, E> {
        Ok(Raw::Null)
    }
    fn visit_none<E>(self) -> Result<Raw, E> {
        Ok(Raw::Null)
    }
    fn visit_some<D: Deserializer<'de>>(self, inner: D) -> Result<Raw, D::Error> {
        Raw::deserialize(inner)
    }
    fn visit_bool<E>(self, _: bool) -> Result<Raw, E> {
        Ok(Raw::Spelt)
    }
    fn visit_i64<E>(self, _: i64) -> Result<Raw, E> {
        Ok(Raw::Spelt)
    }
    fn visit_u64<E>(self, _: u64) -> Result<Raw, E> {
        Ok(Raw::Spelt)
    }
    fn visit_i128<E>(self, _: i128) -> Result<Raw, E> {
        Ok(Raw::Spelt)
    }
    fn visit_u128<E>(self, _: u128) -> Result<Raw, E> {
        Ok(Raw::Spelt)
    }
    fn visit_f64<E>(self, _: f64) -> Result<Raw, E> {
        Ok(Raw::Spelt)
    }
    fn visit_str<E>(self, text: &str) -> Result<Raw, E> {
        Ok(Raw::Scalar(text.to_owned()))
    }
    fn visit_string<E>(self, text: String) -> Result<Raw, E> {
        Ok(Raw::Scalar(text))
    }
    fn visit_bytes<E>(self, _: &[u8]) -> Result<Raw, E> {
        Ok(Raw::Spelt)
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Raw, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = list.next_element()? {
            items.push(item);
        }
        Ok(Raw::List(items))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Raw, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = map.next_entry()? {
            entries.push(entry);
        }
        Ok(Raw::Map(entries))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slice(yaml: &str, at: &Range<usize>) -> String {
        yaml[at.clone()].to_owned()
    }

    #[test]
    fn keys_and_values_keep_their_bytes_and_their_spelling() {
        let yaml =
            "id: größe-x\nfirmware: 2.10\nlive: yes\ncodes: [K31, 031]\nsigns: { a: b }\nnone:\n";
        let entries = read(yaml).unwrap();
        let (key, value) = &entries[0];
        assert_eq!(slice(yaml, &key.at), "id");
        assert_eq!(slice(yaml, &value.at), "größe-x");
        assert_eq!(entries[1].1.value, Node::Scalar("2.10".to_owned()));
        assert_eq!(entries[2].1.value, Node::Scalar("yes".to_owned()));
        let Node::List(codes) = &entries[3].1.value else {
            panic!()
        };
        assert_eq!(codes[1].value, Node::Scalar("031".to_owned()));
        assert_eq!(slice(yaml, &codes[1].at), "031");
        let Node::Map(signs) = &entries[4].1.value else {
            panic!()
        };
        assert_eq!(slice(yaml, &signs[0].1.at), "b");
        assert_eq!(entries[5].1.value, Node::Null);
    }

    #[test]
    fn what_is_no_yaml_says_where() {
        for yaml in [
            "a: [1, 2\nb: 3\n",
            "a: b: c\n",
            "\t- x\n",
            "just words\n",
            "- a\n",
        ] {
            let broken = read(yaml).unwrap_err();
            assert!(!broken.value.is_empty(), "{yaml}");
        }
        assert!(read("# nothing\n").unwrap().is_empty());
    }
}
