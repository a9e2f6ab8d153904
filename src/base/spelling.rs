//! From the words a person typed to weighted terms of the known vocabulary.
//!
//! A term the vocabulary knows stands for itself. One it does not know is taken for a slip: its
//! nearest known terms stand in, and the last word, which may be half typed, also stands for the
//! terms it begins.

use std::collections::BTreeMap;

/// Weight of a term one slip away (an edit, or two letters exchanged). Chosen by trying 0.5 to 0.9.
const ONE_SLIP: f64 = 0.7;
/// Weight of a term two slips away.
const TWO_SLIPS: f64 = 0.5;
/// Weight of a term that the last word begins.
const BEGUN: f64 = 0.7;
/// Shortest word in which one slip is believed: shorter ones have too many neighbours.
const ONE_SLIP_FROM: usize = 4;
/// Shortest word in which two slips are believed.
const TWO_SLIPS_FROM: usize = 8;
/// Shortest beginning that is completed.
const BEGUN_FROM: usize = 3;
/// How many known terms may stand in for one.
const STAND_INS: usize = 3;

/// The known terms, sorted, with what makes the search for near ones fast.
#[derive(Clone, Debug, Default)]
pub struct Vocabulary {
    terms: Vec<String>,
    masks: Vec<u64>,
}

impl Vocabulary {
    /// Sorts and keeps each term once.
    #[must_use]
    pub fn new(mut terms: Vec<String>) -> Self {
        terms.sort_unstable();
        terms.dedup();
        let masks = terms.iter().map(|t| mask(t)).collect();
        Self { terms, masks }
    }

    /// The terms in order.
    #[must_use]
    pub fn terms(&self) -> &[String] {
        &self.terms
    }

    /// Whether the term is known.
    #[must_use]
    pub fn knows(&self, term: &str) -> bool {
        self.terms
            .binary_search_by(|t| t.as_str().cmp(term))
            .is_ok()
    }

    /// The known terms at the smallest distance from an unknown one, with that distance: one slip,
    /// else two in a long word; at most three, alphabetically.
    #[must_use]
    pub fn near(&self, term: &str) -> (usize, Vec<&str>) {
        let letters: Vec<char> = term.chars().collect();
        if letters.len() < ONE_SLIP_FROM || term.chars().any(|c| c.is_ascii_digit()) {
            return (0, Vec::new());
        }
        let most = if letters.len() < TWO_SLIPS_FROM { 1 } else { 2 };
        let own = mask(term);
        let mut best = most;
        let mut found: Vec<(usize, &str)> = Vec::new();
        for (known, mask) in self.terms.iter().zip(&self.masks) {
            // An edit changes at most two letters of the set, so distant sets need no look.
            if (mask ^ own).count_ones() as usize > 2 * best {
                continue;
            }
            if let Some(slips) = slips_within(&letters, known, best) {
                best = slips;
                found.push((slips, known));
            }
        }
        found.retain(|(slips, _)| *slips == best);
        (
            best,
            found
                .into_iter()
                .map(|(_, term)| term)
                .take(STAND_INS)
                .collect(),
        )
    }

    /// The shortest known terms that this one begins, at most three.
    #[must_use]
    pub fn begun_by(&self, start: &str) -> Vec<&str> {
        if start.chars().count() < BEGUN_FROM {
            return Vec::new();
        }
        let from = self.terms.partition_point(|t| t.as_str() < start);
        let mut found: Vec<&str> = self.terms[from..]
            .iter()
            .map(String::as_str)
            .take_while(|t| t.starts_with(start))
            .collect();
        found.sort_by_key(|t| t.chars().count());
        found.truncate(STAND_INS);
        found
    }
}

/// Bit set of the letters of a term: a to z have a bit each, all others share 38.
fn mask(term: &str) -> u64 {
    term.chars().fold(0, |mask, c| {
        let bit = if c.is_ascii_lowercase() {
            c as u32 - 'a' as u32
        } else {
            26 + c as u32 % 38
        };
        mask | 1 << bit
    })
}

/// Whether two words are one slip apart: an edit, or two neighbours exchanged.
#[must_use]
pub fn one_slip(a: &str, b: &str) -> bool {
    let letters: Vec<char> = a.chars().collect();
    let far = letters.len().abs_diff(b.chars().count());
    far <= 1 && (mask(a) ^ mask(b)).count_ones() <= 2 && slips_within(&letters, b, 1) == Some(1)
}

/// The number of slips between two words where it is at most `most`: insertions, deletions,
/// replacements and exchanges of neighbours (Damerau 1964, the restricted form).
fn slips_within(a: &[char], b: &str, most: usize) -> Option<usize> {
    let b: Vec<char> = b.chars().collect();
    if a.len().abs_diff(b.len()) > most || b.len() < ONE_SLIP_FROM - 1 {
        return None;
    }
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let same = usize::from(a[i - 1] != b[j - 1]);
            row[j] = (last[j] + 1).min(row[j - 1] + 1).min(last[j - 1] + same);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(before[j - 2] + 1);
            }
        }
        if row.iter().all(|d| *d > most) {
            return None;
        }
        before = std::mem::replace(&mut last, row);
    }
    (last[b.len()] <= most).then_some(last[b.len()])
}

/// The terms of a question, each once with its weight, in alphabetical order.
pub type Weighted = BTreeMap<String, f64>;

/// Weighs the terms of a question against the vocabulary.
///
/// A term that stands in for several words keeps the largest weight. Repetition adds nothing: a
/// caller who says a word twice does not mean it twice as much.
#[must_use]
pub fn weigh(terms: &[String], known: &Vocabulary) -> Weighted {
    let mut weighted = Weighted::new();
    let mut put = |term: &str, weight: f64| {
        let slot = weighted.entry(term.to_owned()).or_insert(0.0);
        *slot = slot.max(weight);
    };
    for (i, term) in terms.iter().enumerate() {
        if known.knows(term) {
            put(term, 1.0);
            continue;
        }
        let begun = if i + 1 == terms.len() {
            known.begun_by(term)
        } else {
            Vec::new()
        };
        for word in &begun {
            put(word, BEGUN / count(begun.len()));
        }
        if begun.is_empty() {
            let (slips, near) = known.near(term);
            let weight = if slips == 1 { ONE_SLIP } else { TWO_SLIPS };
            for word in &near {
                put(word, weight / count(near.len()));
            }
        }
    }
    weighted
}

#[allow(clippy::cast_precision_loss, reason = "at most three stand-ins")]
fn count(n: usize) -> f64 {
    n as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known() -> Vocabulary {
        Vocabulary::new(
            [
                "breaker", "meter", "metal", "charge", "charger", "rcd", "trip",
            ]
            .map(str::to_owned)
            .into(),
        )
    }

    #[test]
    fn slips_are_counted_as_damerau_does() {
        for (a, b, slips) in [
            ("meter", "meter", 0),
            ("metre", "meter", 1),
            ("breker", "breaker", 1),
            ("mtr", "meter", 2),
        ] {
            let letters: Vec<char> = a.chars().collect();
            assert_eq!(slips_within(&letters, b, 2), Some(slips), "{a} {b}");
        }
        let letters: Vec<char> = "zebra".chars().collect();
        assert_eq!(slips_within(&letters, "meter", 2), None);
    }

    #[test]
    fn unknown_words_are_taken_for_their_nearest_neighbours() {
        let weigh = |words: &[&str]| {
            let words: Vec<String> = words.iter().map(|w| (*w).to_owned()).collect();
            weigh(&words, &known()).into_iter().collect::<Vec<_>>()
        };
        assert_eq!(
            weigh(&["rcd", "trip"]),
            [("rcd".to_owned(), 1.0), ("trip".to_owned(), 1.0)]
        );
        assert_eq!(
            weigh(&["braeker", "trip"]),
            [("breaker".to_owned(), 0.7), ("trip".to_owned(), 1.0)]
        );
        assert_eq!(weigh(&["rcb", "trip"]), [("trip".to_owned(), 1.0)]);
        assert_eq!(
            weigh(&["cha"]),
            [("charge".to_owned(), 0.35), ("charger".to_owned(), 0.35)]
        );
    }
}
