//! How much of two texts is the same, word for word.
//!
//! A text is the set of its runs of three words (shingles); two texts are compared by the part of all
//! their shingles that both have (Jaccard's coefficient; Broder 1997, "On the resemblance and
//! containment of documents"). Counted exactly: the articles of a desk are few enough, and sharing a
//! rare shingle says at once which pairs to look at.

use rustc_hash::FxHashMap;

/// Words in a shingle.
pub const LENGTH: usize = 3;

/// The shingles of each text, each once and as a number that is the same in all texts, ascending. A
/// shorter text is one shingle.
#[must_use]
pub fn numbered(texts: impl IntoIterator<Item = Vec<String>>) -> Vec<Vec<u32>> {
    let mut words: FxHashMap<String, u32> = FxHashMap::default();
    let mut shingles: FxHashMap<[u32; LENGTH], u32> = FxHashMap::default();
    let mut number = |text: Vec<String>| {
        let mut run: Vec<u32> = Vec::with_capacity(text.len());
        for word in text {
            let next = size(words.len());
            run.push(*words.entry(word).or_insert(next));
        }
        let mut numbers: Vec<u32> = Vec::with_capacity(run.len());
        for window in run.windows(LENGTH.min(run.len()).max(1)) {
            // No word has the number that fills a shorter one up.
            let mut shingle = [u32::MAX; LENGTH];
            shingle[..window.len()].copy_from_slice(window);
            let next = size(shingles.len());
            numbers.push(*shingles.entry(shingle).or_insert(next));
        }
        numbers.sort_unstable();
        numbers.dedup();
        numbers.shrink_to_fit();
        numbers
    };
    texts.into_iter().map(&mut number).collect()
}

/// Words and shingles of a desk's articles are far fewer than 2³².
fn size(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

/// The part of all members of two sets that both have; 0 where neither has any.
#[must_use]
pub fn share_of_both(both: usize, sizes: (usize, usize)) -> f64 {
    let any = sizes.0 + sizes.1 - both;
    if any == 0 {
        0.0
    } else {
        both as f64 / any as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Invented texts; the coefficients are exact set arithmetic, worked out with a short script.
    #[test]
    fn coefficients_of_invented_texts() {
        let texts = [
            "printer offline after update restart spooler",
            "printer offline after update restart the spooler",
            "after update printer offline restart spooler",
            "two words",
            "two words",
            "",
        ];
        let words = |text: &&str| text.split_whitespace().map(str::to_owned).collect();
        let sets = numbered(texts.iter().map(words));
        let sizes: Vec<usize> = sets.iter().map(Vec::len).collect();
        assert_eq!(sizes, [4, 5, 4, 1, 1, 0]);
        let alike = |a: &[u32], b: &[u32]| {
            let both = a.iter().filter(|shingle| b.contains(shingle)).count();
            share_of_both(both, (a.len(), b.len()))
        };
        for (a, b, expected) in [
            (0, 1, 0.5),
            (0, 2, 0.0),
            (0, 0, 1.0),
            (3, 4, 1.0),
            (5, 5, 0.0),
        ] {
            assert!((alike(&sets[a], &sets[b]) - expected).abs() < 1e-12);
        }
    }
}
