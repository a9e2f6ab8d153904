//! Whether what was said stops the telephone.
//!
//! A danger article's stop-words are phrases (see [`crate::base::phrases`]). First its harmless
//! phrases are taken out of the text ("smoke detector"). Where a stop phrase then stands with no
//! word of it denied the danger stands; where it stands only denied ("no burning smell") it is to
//! be asked.

use crate::articles::Catalog;
use crate::base::ids::ArticleId;
use crate::base::negation::Clauses;
use crate::base::phrases::{Book, Found, Phrase};
use crate::base::text::Analyzer;
use std::collections::BTreeMap;

/// A danger whose chance reaches this stops the call.
pub const STOPS_AT: f64 = 0.10;

/// Why a danger article speaks up.
#[derive(Clone, Debug, PartialEq)]
pub enum Alarm {
    /// A stop phrase was said, in these words.
    Said(String),
    /// A stop phrase was said and denied: ask.
    Denied(String),
    /// Its chance reached [`STOPS_AT`].
    Likely(f64),
}

/// The stop phrases of all danger articles, analysed once.
#[derive(Clone, Debug, Default)]
pub struct StopWords {
    book: Book,
    articles: Vec<Listening>,
}

/// What one article listens for.
#[derive(Clone, Debug)]
struct Listening {
    id: ArticleId,
    stop: Vec<Phrase>,
    harmless: Vec<Phrase>,
}

impl StopWords {
    /// Analyses the phrases. A phrase that cannot be read is left out: lint names it.
    #[must_use]
    pub fn new(catalog: &Catalog, analyzer: &Analyzer) -> Self {
        let mut all = Self::default();
        for article in catalog.dangers() {
            let Some(danger) = &article.danger else {
                continue;
            };
            let mut read = |list: &[String]| -> Vec<Phrase> {
                list.iter()
                    .filter_map(|text| all.book.phrase(text, analyzer).ok())
                    .collect()
            };
            let (stop, harmless) = (read(&danger.stop_words), read(&danger.harmless));
            all.articles.push(Listening {
                id: article.id.clone(),
                stop,
                harmless,
            });
        }
        all
    }

    /// The stop phrases in a text, by danger article: said beats denied.
    #[must_use]
    pub fn find(&self, text: &str, analyzer: &Analyzer) -> BTreeMap<ArticleId, Alarm> {
        let clauses = Clauses::read(text);
        let reading = self.book.read(&clauses, analyzer);
        let mut alarms = BTreeMap::new();
        for article in &self.articles {
            let mut taken = vec![false; clauses.words.len()];
            for phrase in &article.harmless {
                reading.take(phrase, &mut taken);
            }
            for phrase in &article.stop {
                match reading.find(phrase, &taken) {
                    Found::Nowhere => {}
                    Found::Said(words) => {
                        alarms.insert(article.id.clone(), Alarm::Said(words));
                        break;
                    }
                    Found::Denied(words) => {
                        alarms
                            .entry(article.id.clone())
                            .or_insert(Alarm::Denied(words));
                    }
                }
            }
        }
        alarms
    }
}
