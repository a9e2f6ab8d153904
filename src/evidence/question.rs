//! What is known of a case in hand before anything is tried: words, device, codes, signs.

use super::cases::Case;
use super::texts::{GRAMS, grams};
use crate::articles::firmware::Version;
use crate::articles::{Article, Catalog};
use crate::base::codes::spelled;
use crate::base::ids::ArticleId;
use crate::base::negation::Clauses;
use crate::base::spelling::{Vocabulary, Weighted, weigh};
use crate::base::text::Analyzer;
use std::collections::{BTreeMap, BTreeSet};

/// What was said and shown, as typed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Said {
    /// The caller's words.
    pub words: String,
    /// The device, by its id.
    pub device: Option<String>,
    /// Its firmware.
    pub firmware: Option<String>,
    /// Fault codes shown.
    pub codes: Vec<String>,
    /// Indicators and their states.
    pub signs: BTreeMap<String, String>,
    /// Articles one of whose checks was answered.
    pub about: BTreeSet<ArticleId>,
}

impl Said {
    /// What was said and shown in a closed case, before anything was tried.
    #[must_use]
    pub fn of(case: &Case) -> Self {
        Self {
            words: case.said.clone(),
            device: case.device.as_deref().map(str::to_owned),
            firmware: case.firmware.as_deref().map(str::to_owned),
            codes: case.codes.clone(),
            signs: case.signs.iter().cloned().collect(),
            about: BTreeSet::new(),
        }
    }

    /// Whether there is nothing to go by.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.words.trim().is_empty()
            && self.codes.is_empty()
            && self.signs.is_empty()
            && self.about.is_empty()
    }

    /// Whether an article is about another device or firmware.
    #[must_use]
    pub fn excludes(&self, article: &Article) -> bool {
        let other_device = self
            .device
            .as_ref()
            .is_some_and(|d| !article.devices.is_empty() && !article.devices.contains(d));
        let version = self.firmware.as_deref().and_then(Version::read);
        other_device
            || article
                .firmware
                .as_ref()
                .is_some_and(|r| r.excludes(version.as_ref()))
    }
}

/// The words of a question as weighted terms and grams.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Terms {
    /// Terms of the vocabulary with their weights.
    pub words: Weighted,
    /// Character grams, each once, in order.
    pub grams: Vec<String>,
    /// The text itself, as learned words read it.
    pub text: String,
}

impl Terms {
    /// Analyses a text; at most [`MOST_WORDS`] words are read.
    #[must_use]
    pub fn of(text: &str, analyzer: &Analyzer, known: &Vocabulary) -> Self {
        Self::of_words(&first_words(text, analyzer), text, analyzer, known)
    }

    fn of_words(words: &[String], text: &str, analyzer: &Analyzer, known: &Vocabulary) -> Self {
        let terms: Vec<String> = words.iter().map(|w| analyzer.stem(w)).collect();
        let folded = words.join(" ");
        let mut grams = grams(&folded, GRAMS);
        grams.sort_unstable();
        grams.dedup();
        Self {
            words: weigh(&terms, known),
            grams,
            text: text.to_owned(),
        }
    }
}

/// Words of a question beyond this many are ignored: nobody says more in one breath, and time must
/// stay bounded.
pub const MOST_WORDS: usize = 400;

/// A question ready for scoring: all words, and those that were not denied. Danger articles are
/// compared with the latter alone, so that "no burning smell" does not speak for fire.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Question {
    /// What was said and shown.
    pub said: Said,
    /// All words.
    pub all: Terms,
    /// Words that were not denied.
    pub affirmed: Terms,
}

impl Question {
    /// Analyses what was said. Codes typed among the words count as codes.
    #[must_use]
    pub fn new(said: Said, catalog: &Catalog, analyzer: &Analyzer, known: &Vocabulary) -> Self {
        let clauses = Clauses::read(&said.words);
        let left = clauses.deny().then(|| clauses.affirmed());
        Self::analysed(said, left.as_deref(), (catalog, analyzer, known))
    }

    /// The same with other words for the dangers: see [`super::danger::Alarms::left`].
    #[must_use]
    pub fn with_danger_words(
        said: Said,
        left: &str,
        catalog: &Catalog,
        analyzer: &Analyzer,
        known: &Vocabulary,
    ) -> Self {
        Self::analysed(said, Some(left), (catalog, analyzer, known))
    }

    /// `left` are the words that were not denied, where they are not all.
    fn analysed(
        mut said: Said,
        left: Option<&str>,
        (catalog, analyzer, known): (&Catalog, &Analyzer, &Vocabulary),
    ) -> Self {
        for code in codes_among(&said.words, catalog) {
            if !said.codes.contains(&code) {
                said.codes.push(code);
            }
        }
        let words = first_words(&said.words, analyzer);
        let all = Terms::of_words(&words, &said.words, analyzer, known);
        let affirmed = match left {
            None => all.clone(),
            Some(left) => {
                let left_words = first_words(left, analyzer);
                if left_words == words {
                    // Mostly nothing is denied or harmless.
                    Terms {
                        text: left.to_owned(),
                        ..all.clone()
                    }
                } else {
                    Terms::of_words(&left_words, left, analyzer, known)
                }
            }
        };
        Self {
            said,
            all,
            affirmed,
        }
    }
}

/// The codes of articles that stand among the words, as the articles write them, in the words' order.
fn codes_among(words: &str, catalog: &Catalog) -> Vec<String> {
    let asked: Vec<String> = spelled(words)
        .iter()
        .map(|w| w.to_ascii_lowercase())
        .collect();
    let mut shown: BTreeMap<&str, Option<&String>> =
        asked.iter().map(|word| (word.as_str(), None)).collect();
    // Once over the articles, not once for each word: there may be ten thousand.
    for code in catalog.articles.values().flat_map(|a| &a.codes) {
        if let Some(shown) = shown.get_mut(code.to_ascii_lowercase().as_str()) {
            shown.get_or_insert(code);
        }
    }
    asked
        .iter()
        .filter_map(|word| shown[word.as_str()].cloned())
        .collect()
}

fn first_words(text: &str, analyzer: &Analyzer) -> Vec<String> {
    let mut words = analyzer.words(text);
    words.truncate(MOST_WORDS);
    words
}
