//! How much of two texts is the same, word for word.
//!
//! A text is the set of its runs of three words (shingles); two texts are compared by the part of all
//! their shingles that both have (Jaccard's coefficient; Broder 1997, "On the resemblance and
//! containment of documents"). Counted exactly: the articles of a desk are few enough, and sharing a
//! rare shingle says at once which pairs to look at.

use std::collections::BTreeSet;

/// Words in a shingle.
pub const LENGTH: usize = 3;

/// The shingles of words, each once; a shorter text is one shingle.
#[must_use]
pub fn shingles(words: &[String]) -> BTreeSet<String> {
    if words.is_empty() {
        return BTreeSet::new();
    }
    let length = LENGTH.min(words.len());
    words.windows(length).map(|run| run.join(" ")).collect()
}

/// The part of all shingles that both have; 0 where neither has any.
#[must_use]
pub fn alike(a: &BTreeSet<String>, b: &BTreeSet<String>) -> f64 {
    let both = a.intersection(b).count();
    let any = a.len() + b.len() - both;
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
        let set = |text: &str| {
            let words: Vec<String> = text.split(' ').map(str::to_owned).collect();
            shingles(&words)
        };
        let a = set("printer offline after update restart spooler");
        let b = set("printer offline after update restart the spooler");
        let c = set("after update printer offline restart spooler");
        assert_eq!((a.len(), b.len(), c.len()), (4, 5, 4));
        assert!((alike(&a, &b) - 0.5_f64).abs() < 1e-12);
        assert!((alike(&a, &c) - 0.0_f64).abs() < 1e-12);
        assert!((alike(&a, &a) - 1.0_f64).abs() < 1e-12);
        assert!((alike(&set("two words"), &set("two words")) - 1.0_f64).abs() < 1e-12);
        assert!((alike(&shingles(&[]), &shingles(&[])) - 0.0_f64).abs() < 1e-12);
    }
}
