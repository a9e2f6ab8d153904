//! Texts as sets of short runs of letters, which survive typing errors, endings and run-together
//! words better than whole words do.
//!
//! Whole words and pairs of words beside them brought nothing on the open work orders.

use crate::base::text::fold;
use std::collections::BTreeSet;
use std::ops::RangeInclusive;

/// Shortest and longest run.
pub const LENGTHS: RangeInclusive<usize> = 2..=5;

/// The words of a text, in order: folded; a `/` or an apostrophe between two letters or digits
/// deleted (`l/h` is `lh`, `won't` is `wont`); every run of digits one `0`; everything else that
/// is no letter parts words. Words joined by spaces give themselves again.
#[must_use]
pub fn words(text: &str) -> Vec<String> {
    let folded: Vec<char> = fold(text).chars().collect();
    let is_word = |at: Option<&char>| at.is_some_and(|c| c.is_alphanumeric());
    let mut words = vec![String::new()];
    let mut in_number = false;
    for (i, &c) in folded.iter().enumerate() {
        let joins = matches!(c, '/' | '\'' | '’')
            && i > 0
            && is_word(folded.get(i - 1))
            && is_word(folded.get(i + 1));
        if joins {
            continue;
        }
        if !c.is_alphanumeric() {
            in_number = false;
            words.push(String::new());
        } else if let Some(word) = words.last_mut() {
            if !c.is_numeric() {
                word.push(c);
            } else if !in_number {
                word.push('0');
            }
            in_number = c.is_numeric();
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

/// Hands over the runs of one word with a space at either end, so that beginnings and ends are runs
/// of their own. A run that comes twice is handed over twice.
pub fn each_gram<'a>(word: &str, spaced: &'a mut String, mut take: impl FnMut(&'a str)) {
    spaced.clear();
    spaced.extend([" ", word, " "]);
    let spaced: &'a str = spaced;
    let starts: Vec<usize> = spaced
        .char_indices()
        .map(|(at, _)| at)
        .chain([spaced.len()])
        .collect();
    for length in LENGTHS {
        for ends in starts.windows(length + 1) {
            take(&spaced[ends[0]..ends[length]]);
        }
    }
}

/// The runs of one word, each once.
#[must_use]
pub fn grams_of_word(word: &str) -> BTreeSet<String> {
    let mut grams = BTreeSet::new();
    each_gram(word, &mut String::new(), |gram| {
        grams.insert(gram.to_owned());
    });
    grams
}

/// The runs of a text, each once, in order of their bytes.
#[must_use]
pub fn grams(text: &str) -> BTreeSet<String> {
    words(text).iter().flat_map(|w| grams_of_word(w)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_become_plain_words() {
        for (text, plain) in [
            ("Replace L/H pump", "replace lh pump"),
            ("A/C not cold", "ac not cold"),
            ("WON'T start, won’t charge", "wont start wont charge"),
            ("R/H #2 12V-battery's", "rh 0 0v batterys"),
            ("2/3 a / b", "0 a b"),
            ("a/b/c a//b 'x'", "abc a b x"),
            ("Gerät 169.254 m²", "gerat 0 0 m0"),
            ("Straße ﬁre", "strasse fire"),
            ("zzz\u{0} 🙂", "zzz"),
            ("", ""),
        ] {
            assert_eq!(words(text).join(" "), plain, "{text}");
            assert_eq!(words(plain).join(" "), plain, "twice: {text}");
        }
    }

    #[test]
    fn grams_stay_within_words_and_come_once() {
        let found: Vec<String> = grams("a/c 12 a/c").into_iter().collect();
        let expected = [" 0", " 0 ", " a", " ac", " ac ", "0 ", "ac", "ac ", "c "];
        assert_eq!(found, expected);
        assert_eq!(
            grams("é é").into_iter().collect::<Vec<_>>(),
            [" e", " e ", "e "]
        );
        let long = grams("abcdef");
        assert!(long.contains(" abcd") && long.contains("cdef ") && !long.contains(" abcde"));
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_its_own_plain_form_the_second_time(text in "\\PC{0,80}") {
            let once = words(&text).join(" ");
            proptest::prop_assert_eq!(words(&once).join(" "), once);
        }
    }
}
