//! What changed between two texts, word by word (Myers 1986, as the crate `similar` has it).

use serde::Serialize;
use similar::{ChangeTag, TextDiff};

/// A run of words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Piece {
    /// Whether it is in both, in the old text alone, or in the new one alone.
    pub change: Change,
    /// The words, with the white space between them.
    pub text: String,
}

/// Where a run of words stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Change {
    /// In both texts.
    Same,
    /// In the old text alone.
    Gone,
    /// In the new text alone.
    New,
}

/// Old against new, in the order of reading; empty where nothing changed.
#[must_use]
pub fn pieces(old: &str, new: &str) -> Vec<Piece> {
    if old == new {
        return Vec::new();
    }
    let mut pieces: Vec<Piece> = Vec::new();
    for part in TextDiff::from_words(old, new).iter_all_changes() {
        let change = match part.tag() {
            ChangeTag::Equal => Change::Same,
            ChangeTag::Delete => Change::Gone,
            ChangeTag::Insert => Change::New,
        };
        match pieces.last_mut() {
            Some(last) if last.change == change => last.text += part.value(),
            _ => pieces.push(Piece {
                change,
                text: part.value().to_owned(),
            }),
        }
    }
    pieces
}

/// Words kept around a change.
const AROUND: usize = 4;

/// The changes in one line, `[-gone-]` and `{+new+}`, with a few words around them.
#[must_use]
pub fn marked(pieces: &[Piece]) -> String {
    let last = pieces.len().saturating_sub(1);
    let mut out = String::new();
    for (at, piece) in pieces.iter().enumerate() {
        let words: Vec<&str> = piece.text.split_whitespace().collect();
        let text = match piece.change {
            Change::Gone if words.is_empty() => continue,
            Change::New if words.is_empty() => continue,
            Change::Gone => format!("[-{}-]", words.join(" ")),
            Change::New => format!("{{+{}+}}", words.join(" ")),
            Change::Same => shortened(&words, at > 0, at < last),
        };
        if !text.is_empty() {
            out += &text;
            out.push(' ');
        }
    }
    out.trim_end().to_owned()
}

/// Words between two changes, or before the first, or after the last.
fn shortened(words: &[&str], after: bool, before: bool) -> String {
    let kept = AROUND * (usize::from(after) + usize::from(before));
    if words.len() <= kept {
        return words.join(" ");
    }
    let head = if after { &words[..AROUND] } else { &[] };
    let tail = if before {
        &words[words.len() - AROUND..]
    } else {
        &[]
    };
    let both = [head.join(" "), "…".to_owned(), tail.join(" ")];
    both.join(" ").trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn changes_are_marked_among_the_words_around_them() {
        for (old, new, expected) in [
            ("same", "same", ""),
            ("turn it on", "turn it off", "turn it [-on-] {+off+}"),
            (
                "one two three four five six",
                "one two three four five six seven",
                "… three four five six {+seven+}",
            ),
            (
                "isolate first, then open",
                "then open",
                "[-isolate first,-] then open",
            ),
        ] {
            assert_eq!(marked(&pieces(old, new)), expected, "{old} / {new}");
        }
    }

    proptest! {
        #[test]
        fn each_side_can_be_read_back(old in "[a-c ]{0,40}", new in "[a-c ]{0,40}") {
            let pieces = pieces(&old, &new);
            let side = |gone: Change| -> String {
                let kept = pieces.iter().filter(|p| p.change != gone);
                kept.map(|p| p.text.as_str()).collect()
            };
            if old != new {
                prop_assert_eq!(side(Change::New), old);
                prop_assert_eq!(side(Change::Gone), new);
            }
        }
    }
}
