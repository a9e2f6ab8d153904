//! Numbers written small: whole ones seven bits at a time, low bits first (LEB128), a text's number
//! as the step from the one before.

use crate::evidence::texts::Family;
use serde::Serialize;
use std::collections::BTreeMap;

/// Bytes that the content's JSON points into.
#[derive(Debug, Default)]
pub(super) struct Blob {
    bytes: Vec<u8>,
}

/// Where something stands in the bytes: from, to.
pub(super) type At = (usize, usize);

impl Blob {
    pub(super) fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Writes whole numbers.
    pub(super) fn numbers(&mut self, numbers: impl IntoIterator<Item = u64>) -> At {
        let from = self.bytes.len();
        for mut left in numbers {
            loop {
                let low = u8::try_from(left & 127).unwrap_or(127);
                left >>= 7;
                self.bytes.push(if left > 0 { low | 128 } else { low });
                if left == 0 {
                    break;
                }
            }
        }
        (from, self.bytes.len())
    }

    /// Writes 64-bit floats, little-endian.
    pub(super) fn doubles(&mut self, numbers: &[f64]) -> At {
        let from = self.bytes.len();
        self.bytes
            .extend(numbers.iter().flat_map(|n| n.to_le_bytes()));
        (from, self.bytes.len())
    }

    /// Writes 32-bit floats, little-endian.
    pub(super) fn singles(&mut self, numbers: &[f32]) -> At {
        let from = self.bytes.len();
        self.bytes
            .extend(numbers.iter().flat_map(|n| n.to_le_bytes()));
        (from, self.bytes.len())
    }
}

/// The texts of one family.
///
/// For each word in the order of `words`, the bytes hold: in how many texts of the whole knowledge
/// base it stands, in how many of those that went in, and for each of these the step from the text
/// before less one, and how often it stands there.
#[derive(Debug, Serialize)]
pub(super) struct Postings {
    name: &'static str,
    /// Texts of the whole knowledge base.
    texts: usize,
    /// Terms of all of them.
    terms: u64,
    /// Terms of each text that went in.
    lengths: Vec<u64>,
    /// The words, parted by line feeds.
    words: String,
    at: At,
}

/// Writes a family; `went_in` are the numbers of the texts that went in, ascending.
pub(super) fn postings(
    family: Family,
    texts: &[BTreeMap<String, u32>],
    went_in: &[usize],
    blob: &mut Blob,
) -> Postings {
    let mut df: BTreeMap<&str, u64> = BTreeMap::new();
    let mut held: BTreeMap<&str, Vec<(u64, u32)>> = BTreeMap::new();
    for word in texts.iter().flat_map(BTreeMap::keys) {
        *df.entry(word).or_default() += 1;
    }
    for (text, number) in went_in.iter().zip(0_u64..) {
        for (word, times) in &texts[*text] {
            held.entry(word).or_default().push((number, *times));
        }
    }
    let mut numbers = Vec::new();
    for (word, places) in &held {
        numbers.extend([df[word], places.len() as u64]);
        let mut next = 0;
        for (text, times) in places {
            numbers.extend([text - next, u64::from(*times)]);
            next = text + 1;
        }
    }
    let length = |bag: &BTreeMap<String, u32>| bag.values().map(|n| u64::from(*n)).sum();
    Postings {
        name: name(family),
        texts: texts.len(),
        terms: texts.iter().map(length).sum(),
        lengths: went_in.iter().map(|text| length(&texts[*text])).collect(),
        words: held.keys().copied().collect::<Vec<_>>().join("\n"),
        at: blob.numbers(numbers),
    }
}

fn name(family: Family) -> &'static str {
    match family {
        Family::Own => "own",
        Family::Fix => "fix",
        Family::Pair => "pair",
        Family::Callers => "callers",
        Family::Kind => "kind",
        Family::CallersGrams => "callersGrams",
        Family::KindGrams => "kindGrams",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_numbers_are_written_as_the_wikipedia_article_on_leb128_shows() {
        let mut blob = Blob::default();
        // 624485 is its example; the others follow from the definition.
        assert_eq!(blob.numbers([624_485, 0, 127, 128]), (0, 7));
        assert_eq!(blob.bytes(), [0xe5, 0x8e, 0x26, 0, 127, 0x80, 1]);
    }

    #[test]
    fn a_smaller_pack_keeps_the_counts_of_the_whole_knowledge_base() {
        let bag =
            |words: &[(&str, u32)]| words.iter().map(|(w, n)| ((*w).to_owned(), *n)).collect();
        let texts: Vec<BTreeMap<String, u32>> = vec![
            bag(&[("lamp", 2)]),
            bag(&[("lamp", 1), ("red", 3)]),
            bag(&[("green", 1), ("lamp", 1)]),
        ];
        let mut blob = Blob::default();
        let found = postings(Family::Own, &texts, &[0, 2], &mut blob);
        assert_eq!((found.texts, found.terms), (3, 8));
        assert_eq!(found.lengths, [2, 2]);
        assert_eq!(found.words, "green\nlamp");
        // green: in one text, one went in, the second, once; lamp: in three, two went in.
        assert_eq!(blob.bytes(), [1, 1, 1, 1, 3, 2, 0, 2, 0, 1]);
    }
}
