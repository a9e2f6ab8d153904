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

    /// Writes whole numbers of either sign: 0, -1, 1, -2, 2 as 0, 1, 2, 3, 4.
    pub(super) fn signed(&mut self, numbers: impl IntoIterator<Item = i64>) -> At {
        self.numbers(numbers.into_iter().map(|n| {
            let twice = n.unsigned_abs() * 2;
            if n < 0 { twice - 1 } else { twice }
        }))
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
/// The bytes hold four lists: for each word in the order of `words` in how many texts that did not go
/// in it stands, and in how many that did; for each place where it stands the step from the text
/// before less one; for each place how often it stands there less one. Like beside like packs best.
#[derive(Debug, Serialize)]
pub(super) struct Postings {
    name: &'static str,
    /// Texts of the whole knowledge base.
    texts: usize,
    /// Terms of all of them.
    terms: u64,
    /// Terms of each text that went in.
    lengths: Vec<u64>,
    /// The words, see [`front_coded`].
    words: String,
    at: At,
}

/// Most letters that a word may take from the one before: one of `A` to `Z` says how many.
const MOST_SHARED: usize = 25;

/// Sorted words, parted by line feeds; each begins with a letter that says how many letters it has in
/// common with the one before (`A` for none), and these are left out. Only plain ASCII letters are.
pub(super) fn front_coded<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let mut lines = Vec::new();
    let mut before = "";
    for word in words {
        let pairs = before.bytes().zip(word.bytes());
        let same = pairs.take_while(|(a, b)| a == b && a.is_ascii());
        let shared = same.take(MOST_SHARED).count();
        let letter = char::from(b'A' + u8::try_from(shared).unwrap_or(0));
        lines.push(format!("{letter}{}", &word[shared..]));
        before = word;
    }
    lines.join("\n")
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
    let (mut others, mut ours) = (Vec::new(), Vec::new());
    let (mut steps, mut repeats) = (Vec::new(), Vec::new());
    for (word, places) in &held {
        others.push(df[word] - places.len() as u64);
        ours.push(places.len() as u64);
        let mut next = 0;
        for (text, times) in places {
            steps.push(text - next);
            repeats.push(u64::from(*times) - 1);
            next = text + 1;
        }
    }
    let length = |bag: &BTreeMap<String, u32>| bag.values().map(|n| u64::from(*n)).sum();
    Postings {
        name: name(family),
        texts: texts.len(),
        terms: texts.iter().map(length).sum(),
        lengths: went_in.iter().map(|text| length(&texts[*text])).collect(),
        words: front_coded(held.keys().copied()),
        at: blob.numbers([others, ours, steps, repeats].into_iter().flatten()),
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
        assert_eq!(found.words, "Agreen\nAlamp");
        // green stands in no other text and in one of ours, lamp in one other and in two of ours.
        assert_eq!(blob.bytes(), [0, 1, 1, 2, 1, 0, 0, 0, 1, 0]);
    }

    #[test]
    fn a_word_is_written_by_what_is_new_in_it() {
        let words = ["car", "card", "care", "gerät", "geräte", "über", "überall"];
        assert_eq!(
            front_coded(words),
            "Acar\nDd\nDe\nAgerät\nDäte\nAüber\nAüberall"
        );
        let mut blob = Blob::default();
        blob.signed([0, -1, 1, -64, 64]);
        assert_eq!(blob.bytes(), [0, 1, 2, 127, 128, 1]);
    }
}
