//! Text analysis, the one place: folding, splitting, this desk's words, stemming.
//!
//! Indexing, asking and note reading all go through [`Analyzer`], so that a word means the same
//! everywhere. The steps, in order:
//!
//! 1. fold: Unicode NFKD, marks dropped, lower case, `ß` to `ss`;
//! 2. split into runs of letters and digits; a point or a hyphen between two digits stays inside
//!    (`169.254.3.7`, `3.0.1`), every other character parts words;
//! 3. rewrite by `words.toml`: the longest phrase first, phrases under `[apart]` kept as they are;
//! 4. stem each word that is all letters (Porter 1980, as carried by `rust-stemmers`).

use rust_stemmers::{Algorithm, Stemmer};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, HashMap};
use unicode_normalization::UnicodeNormalization;

/// The three tables of `words.toml`.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Words {
    /// Any of these means the first: name to its synonyms.
    pub same: BTreeMap<String, Vec<String>>,
    /// Abbreviations: short form to long form.
    pub short: BTreeMap<String, String>,
    /// Words never merged with any of these.
    pub apart: BTreeMap<String, Vec<String>>,
    /// Words that phrases name together, as `<name>`.
    pub groups: BTreeMap<String, Vec<String>>,
}

impl Words {
    /// Whether `[apart]` parts two words.
    #[must_use]
    pub fn parted(&self, a: &str, b: &str) -> bool {
        kept_apart(self, a, b)
    }
}

/// Turns text into terms.
pub struct Analyzer {
    stemmer: Stemmer,
    phrases: HashMap<String, Vec<Rewrite>>,
    tables: Words,
}

struct Rewrite {
    rest: Vec<String>,
    into: Vec<String>,
}

impl std::fmt::Debug for Analyzer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Analyzer")
            .field("phrases", &self.phrases.len())
            .finish()
    }
}

impl Default for Analyzer {
    fn default() -> Self {
        Self::new(&Words::default())
    }
}

impl Analyzer {
    /// Prepares the tables.
    #[must_use]
    pub fn new(words: &Words) -> Self {
        let mut phrases: HashMap<String, Vec<Rewrite>> = HashMap::new();
        let mut add = |from: &str, into: &str| {
            let mut from = split(from);
            let into = split(into);
            if from.is_empty() || into.is_empty() || from == into {
                return;
            }
            let first = from.remove(0);
            phrases
                .entry(first)
                .or_default()
                .push(Rewrite { rest: from, into });
        };
        for (name, synonyms) in &words.same {
            for synonym in synonyms.iter().filter(|s| !kept_apart(words, name, s)) {
                add(synonym, name);
            }
        }
        for (short, long) in &words.short {
            if !kept_apart(words, short, long) {
                add(short, long);
            }
        }
        for rewrites in phrases.values_mut() {
            rewrites.sort_by(|a, b| {
                b.rest
                    .len()
                    .cmp(&a.rest.len())
                    .then_with(|| a.rest.cmp(&b.rest))
            });
        }
        Self {
            stemmer: Stemmer::create(Algorithm::English),
            phrases,
            tables: words.clone(),
        }
    }

    /// The tables it was made from.
    #[must_use]
    pub fn tables(&self) -> &Words {
        &self.tables
    }

    /// The terms of a text, in order, stemmed.
    #[must_use]
    pub fn terms(&self, text: &str) -> Vec<String> {
        self.words(text)
            .iter()
            .map(|word| self.stem(word))
            .collect()
    }

    /// The words of a text, in order, folded and rewritten but not stemmed.
    #[must_use]
    pub fn words(&self, text: &str) -> Vec<String> {
        let plain = split(text);
        if self.phrases.is_empty() {
            return plain;
        }
        let mut out = Vec::with_capacity(plain.len());
        let mut at = 0;
        while at < plain.len() {
            match self.rewrite_at(&plain, at) {
                Some(rewrite) => {
                    out.extend(rewrite.into.iter().cloned());
                    at += 1 + rewrite.rest.len();
                }
                None => {
                    out.push(plain[at].clone());
                    at += 1;
                }
            }
        }
        out
    }

    fn rewrite_at(&self, plain: &[String], at: usize) -> Option<&Rewrite> {
        let after = &plain[at + 1..];
        self.phrases
            .get(&plain[at])?
            .iter()
            .find(|rewrite| after.starts_with(&rewrite.rest))
    }

    /// The stem of one folded word; words with digits are their own stem.
    #[must_use]
    pub fn stem(&self, word: &str) -> String {
        if word.chars().all(char::is_alphabetic) {
            self.stemmer.stem(word).into_owned()
        } else {
            word.to_owned()
        }
    }
}

fn kept_apart(words: &Words, a: &str, b: &str) -> bool {
    let lists = |from: &str, to: &str| {
        words
            .apart
            .get(from)
            .is_some_and(|list| list.iter().any(|word| word == to))
    };
    lists(a, b) || lists(b, a)
}

/// Folds case, accents and compatibility forms.
#[must_use]
pub fn fold(text: &str) -> String {
    text.nfkd()
        .filter(|c| !unicode_normalization::char::is_combining_mark(*c))
        .flat_map(char::to_lowercase)
        .flat_map(|c| if c == 'ß' { ['s', 's'] } else { [c, '\0'] })
        .filter(|c| *c != '\0')
        .collect()
}

/// Folds and splits into words; see the module's step 2.
#[must_use]
pub fn split(text: &str) -> Vec<String> {
    let folded: Vec<char> = fold(text).chars().collect();
    let mut words = Vec::new();
    let mut word = String::new();
    for (i, &c) in folded.iter().enumerate() {
        let inside = c.is_alphanumeric()
            || (matches!(c, '.' | '-')
                && i > 0
                && folded[i - 1].is_ascii_digit()
                && folded.get(i + 1).is_some_and(char::is_ascii_digit));
        if inside {
            word.push(c);
        } else if !word.is_empty() {
            words.push(std::mem::take(&mut word));
        }
    }
    if !word.is_empty() {
        words.push(word);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words() -> Words {
        Words {
            same: [(
                "backend".to_owned(),
                vec!["ws link".to_owned(), "backend link".to_owned()],
            )]
            .into(),
            short: [
                ("cp".to_owned(), "control pilot".to_owned()),
                ("fi".to_owned(), "rcd".to_owned()),
            ]
            .into(),
            apart: [("fi".to_owned(), vec!["rcd".to_owned()])].into(),
            ..Words::default()
        }
    }

    #[test]
    fn text_is_folded_split_rewritten_and_stemmed() {
        let analyzer = Analyzer::new(&words());
        for (text, terms) in [
            ("Trips, tripping TRIPPED", vec!["trip", "trip", "trip"]),
            ("the WS-Link is down", vec!["the", "backend", "is", "down"]),
            ("CP lost", vec!["control", "pilot", "lost"]),
            ("FI tripped", vec!["fi", "trip"]),
            ("Gerät öffnet Straße", vec!["gerat", "offnet", "strass"]),
            ("169.254.3.7 on 3.0.1.", vec!["169.254.3.7", "on", "3.0.1"]),
            ("K31 ﬁre 🙂", vec!["k31", "fire"]),
            ("", vec![]),
        ] {
            assert_eq!(analyzer.terms(text), terms, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_gives_terms_without_separators(text in "\\PC{0,200}") {
            for term in Analyzer::default().terms(&text) {
                assert!(!term.is_empty() && !term.contains(char::is_whitespace));
            }
        }
    }
}
