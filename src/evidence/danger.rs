//! Whether what was said stops the telephone.
//!
//! A danger article's stop-words are phrases (see [`crate::base::phrases`]). First its harmless
//! phrases are taken out of the text ("smoke detector"). Where a stop phrase then stands with no
//! word of it denied the danger stands; where it stands only denied ("no burning smell") it is to
//! be asked.
//!
//! Where sayings taught an [`Ear`], it hears beside the phrases: a phrase in a text that does not sound
//! like a danger is only asked about, unless a statement says it and nothing else ("breaker trips, there
//! is smoke"); and a text that does, without any phrase, stops the call at the likeliest danger.

use super::ear::{Ear, Sound};
use crate::articles::{Article, Catalog};
use crate::base::common::is_common;
use crate::base::ids::ArticleId;
use crate::base::negation::{Clauses, is_denial};
use crate::base::phrases::{Book, Found, Phrase};
use crate::base::spelling::Vocabulary;
use crate::base::text::{Analyzer, split};
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// A danger whose chance reaches this stops the call.
pub const STOPS_AT: f64 = 0.10;

/// How many words of its own must be said before a danger's chance alone may stop the call.
pub const HEARD_FROM: usize = 4;

/// A word in the titles or symptoms of so many articles without danger is no word of a danger's own.
const USUAL_FROM: usize = 4;

/// A shorter word tells nothing of whether a text is in a known language.
const TELLING_FROM: usize = 3;

/// How many telling words a text must have to be called strange: one may be a name.
const STRANGE_FROM: usize = 2;

/// A text is strange where at most one in so many of its telling words is known.
const STRANGE_SHARE: usize = 5;

/// Why a danger article speaks up.
#[derive(Clone, Debug, PartialEq)]
pub enum Alarm {
    /// A stop phrase was said, in these words.
    Said(String),
    /// A stop phrase was said and denied, or in a text that does not sound like a danger: ask.
    Denied(String),
    /// No phrase was said, and it sounds like a danger with this chance.
    Sounds(f64),
    /// Its chance reached [`STOPS_AT`].
    Likely(f64),
    /// Somebody made sure of it.
    Confirmed,
}

/// The stop phrases of all danger articles, analysed once.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct StopWords {
    book: Book,
    articles: Vec<Listening>,
    /// What was learned from sayings.
    pub ear: Option<Ear>,
}

/// What one article listens for.
#[derive(Clone, Debug, Serialize, Deserialize)]
struct Listening {
    id: ArticleId,
    stop: Vec<Phrase>,
    harmless: Vec<Phrase>,
    /// The terms of its title and symptoms, common and usual words left out.
    own: BTreeSet<String>,
}

/// What the words of a question say of the dangers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Alarms {
    /// Stop phrases by danger article.
    pub alarms: BTreeMap<ArticleId, Alarm>,
    /// Danger articles of which at least [`HEARD_FROM`] words of their own were said and not denied.
    /// How common a danger is, or a stray word, must not stop every vague question.
    pub heard: BTreeSet<ArticleId>,
    /// The words that are neither denied nor part of a harmless phrase: what the chance of a
    /// danger is to be drawn from.
    pub left: String,
    /// The chance that it is a danger, where no phrase was heard at all and it sounds like one.
    pub sounds: Option<f64>,
    /// Hardly a word of it is known to articles or tickets: another language, perhaps.
    pub strange: bool,
}

impl Alarms {
    /// Takes in what other words say: said beats denied.
    pub fn join(&mut self, other: Self) {
        for (id, alarm) in other.alarms {
            let known = self.alarms.get(&id);
            if !matches!((known, &alarm), (Some(_), Alarm::Denied(_))) {
                self.alarms.insert(id, alarm);
            }
        }
        self.heard.extend(other.heard);
        self.sounds = match (self.sounds, other.sounds) {
            (Some(one), Some(other)) => Some(one.max(other)),
            (one, other) => one.or(other),
        };
    }

    /// Takes in how the same text sounds.
    fn listen(&mut self, sound: Sound) {
        match sound {
            Sound::Danger(chance) => self.sounds = self.alarms.is_empty().then_some(chance),
            Sound::Harmless => self.heard.clear(),
            Sound::Unclear => {}
        }
    }
}

impl StopWords {
    /// Analyses the phrases. A phrase that cannot be read is left out: lint names it.
    #[must_use]
    pub fn new(catalog: &Catalog, analyzer: &Analyzer, ear: Option<Ear>) -> Self {
        let mut all = Self {
            ear,
            ..Self::default()
        };
        let usual = usual_terms(catalog, analyzer);
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
                own: own_terms(article, analyzer)
                    .difference(&usual)
                    .cloned()
                    .collect(),
            });
        }
        all
    }

    /// The terms of a danger article that count as heard when said: those of its title and symptoms
    /// that are neither common nor usual.
    pub fn own_words(&self, id: &ArticleId) -> impl Iterator<Item = &str> {
        let listening = self.articles.iter().find(|article| article.id == *id);
        listening
            .into_iter()
            .flat_map(|article| article.own.iter().map(String::as_str))
    }

    /// The stop phrases in a text, by danger article: said beats denied.
    #[must_use]
    pub fn find(&self, text: &str, analyzer: &Analyzer, known: &Vocabulary) -> Alarms {
        let clauses = Clauses::read(text);
        let reading = self.book.read(&clauses, analyzer, known);
        let mut found = Alarms::default();
        let mut harmless = vec![false; clauses.words.len()];
        let mut terms = Terms::default();
        let alarms = &mut found.alarms;
        let sound = self.sound(text, &clauses);
        let is_fact = |chosen: &[usize]| sound != Sound::Harmless || clauses.states_only(chosen);
        for article in &self.articles {
            let mut taken = vec![false; clauses.words.len()];
            for phrase in &article.harmless {
                reading.take(phrase, &mut taken);
            }
            for (any, taken) in harmless.iter_mut().zip(&taken) {
                *any |= taken;
            }
            if article.heard(terms.left(&clauses, &taken, analyzer)) {
                found.heard.insert(article.id.clone());
            }
            for phrase in &article.stop {
                match reading.find_fact(phrase, &taken, &is_fact) {
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
        found.left = left(&clauses, &harmless);
        found.listen(sound);
        found.strange = self.is_strange(&clauses, analyzer, known);
        found
    }

    /// How a text sounds. What is denied beside it is no reason to doubt what is said: "smells burnt,
    /// but no smoke".
    fn sound(&self, text: &str, clauses: &Clauses) -> Sound {
        let Some(ear) = &self.ear else {
            return Sound::Unclear;
        };
        let doubted = || ear.hear(&left(clauses, &vec![false; clauses.words.len()]));
        match ear.hear(text) {
            Sound::Harmless if clauses.deny() && doubted() != Sound::Harmless => Sound::Unclear,
            other => other,
        }
    }

    /// Whether hardly a word that tells anything is known to articles or tickets.
    fn is_strange(&self, clauses: &Clauses, analyzer: &Analyzer, known: &Vocabulary) -> bool {
        let tells = |word: &&String| {
            word.chars().count() >= TELLING_FROM
                && word.chars().all(char::is_alphabetic)
                && !is_common(word)
                && !is_denial(word)
        };
        let words: Vec<&String> = clauses.words.iter().filter(tells).collect();
        let heard = words
            .iter()
            .filter(|w| known.knows(&analyzer.stem(w)))
            .count();
        words.len() >= STRANGE_FROM && heard * STRANGE_SHARE <= words.len()
    }
}

impl Listening {
    /// Terms are compared with their own: synonyms of `words.toml` are read as the article's are.
    fn heard(&self, said: &BTreeSet<String>) -> bool {
        said.intersection(&self.own).count() >= HEARD_FROM
    }
}

/// The terms of a text without what harmless phrases take out and what is denied; analysed anew only
/// where another article takes out other words, which is seldom.
#[derive(Default)]
struct Terms {
    taken: Option<Vec<bool>>,
    terms: BTreeSet<String>,
}

impl Terms {
    fn left(
        &mut self,
        clauses: &Clauses,
        taken: &[bool],
        analyzer: &Analyzer,
    ) -> &BTreeSet<String> {
        if self.taken.as_deref() != Some(taken) {
            let said = left(clauses, taken);
            self.terms = analyzer.terms(&said).into_iter().collect();
            self.taken = Some(taken.to_vec());
        }
        &self.terms
    }
}

/// The words of a text that are neither taken nor denied.
fn left(clauses: &Clauses, taken: &[bool]) -> String {
    let words = clauses.words.iter().zip(taken).zip(&clauses.denied_by);
    let said: Vec<&str> = words
        .filter(|((_, taken), by)| !**taken && by.is_empty())
        .map(|((word, _), _)| word.as_str())
        .collect();
    said.join(" ")
}

/// Terms of so many articles without danger that they tell nothing: "car", "charging".
fn usual_terms(catalog: &Catalog, analyzer: &Analyzer) -> BTreeSet<String> {
    let mut articles: BTreeMap<String, usize> = BTreeMap::new();
    for article in catalog.articles.values().filter(|a| a.danger.is_none()) {
        for term in own_terms(article, analyzer) {
            *articles.entry(term).or_default() += 1;
        }
    }
    articles.retain(|_, n| *n >= USUAL_FROM);
    articles.into_keys().collect()
}

fn own_terms(article: &Article, analyzer: &Analyzer) -> BTreeSet<String> {
    article
        .symptoms
        .iter()
        .chain([&article.title])
        .flat_map(|text| split(text))
        .filter(|word| !is_common(word))
        .flat_map(|word| analyzer.terms(&word))
        .collect()
}
