//! The names of a knowledge base as people type them: folded words, to be found in a line.

mod unknown;

use crate::articles::{Catalog, Settings};
use crate::base::codes::spelled;
use crate::base::ids::CheckId;
use crate::base::text::split;
use std::collections::{BTreeMap, BTreeSet};

/// Words that may stand around a name without meaning anything.
const FILLERS: &[&str] = &[
    "a", "an", "the", "it", "its", "is", "s", "are", "was", "shows", "show", "showing", "says",
    "on", "with", "code", "lamp", "light", "led", "blinks", "blinking", "flashes", "flashing",
    "device", "now", "and", "they", "that",
];

/// Words that turn the words behind them into their opposite.
const DENIALS: &[&str] = &[
    "no", "not", "never", "isnt", "isn", "t", "nor", "without", "kein", "keine", "nicht", "sin",
];

/// Names, prepared once.
#[derive(Clone, Debug, Default)]
pub struct Lexicon {
    devices: Vec<(Vec<String>, String)>,
    codes: BTreeMap<String, String>,
    lamps: Vec<LampWords>,
    /// Roles in order.
    pub roles: Vec<String>,
    checks: BTreeMap<String, Vec<CheckId>>,
}

#[derive(Clone, Debug)]
struct LampWords {
    name: String,
    words: Vec<String>,
    /// States with their words, longest first.
    states: Vec<(Vec<String>, String)>,
}

/// An indicator with its state, found in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sign {
    /// The indicator.
    pub lamp: String,
    /// Its state.
    pub state: String,
    /// Whether the words say nothing else.
    pub alone: bool,
}

impl Lexicon {
    /// Prepares the names of a knowledge base.
    #[must_use]
    pub fn new(settings: &Settings, catalog: &Catalog) -> Self {
        let mut devices = Vec::new();
        for (id, device) in &settings.devices {
            devices.push((split(id), id.clone()));
            devices.push((split(&device.title), id.clone()));
        }
        let of_articles = catalog.articles.values().flat_map(|a| &a.codes);
        let codes = settings
            .devices
            .values()
            .flat_map(|d| &d.codes)
            .chain(of_articles)
            .map(|code| (code.to_lowercase(), code.clone()))
            .collect();
        let lamps = settings
            .signs()
            .into_iter()
            .map(|(name, states)| LampWords {
                name: name.to_owned(),
                words: split(name),
                states: longest_first(states),
            })
            .collect();
        let mut checks: BTreeMap<String, Vec<CheckId>> = BTreeMap::new();
        for id in catalog.checks.keys() {
            let names = [id.as_str(), id.short()];
            for name in names {
                checks
                    .entry(split(name).join(" "))
                    .or_default()
                    .push(id.clone());
            }
        }
        Self {
            devices,
            codes,
            lamps,
            roles: settings.roles.clone(),
            checks,
        }
    }

    /// The device that these words name, and nothing else.
    #[must_use]
    pub fn device(&self, words: &[String]) -> Option<&str> {
        let bare = without_fillers(words);
        let same = |name: &[String]| {
            *name == *words || name.iter().eq(bare.iter().copied()) || without_fillers(name) == bare
        };
        let found = self
            .devices
            .iter()
            .find(|(name, _)| !bare.is_empty() && same(name))?;
        Some(&found.1)
    }

    /// The fault codes among some words.
    #[must_use]
    pub fn codes(&self, text: &str) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        for word in spelled(text) {
            if let Some(code) = self.codes.get(&word.to_lowercase())
                && !found.contains(code)
            {
                found.push(code.clone());
            }
        }
        found
    }

    /// Whether these words are fault codes and nothing else.
    #[must_use]
    pub fn only_codes(&self, words: &[String]) -> bool {
        let bare = without_fillers(words);
        let mut left = bare.as_slice();
        while let [word, rest @ ..] = left {
            left = match rest {
                _ if self.codes.contains_key(*word) => rest,
                [next, rest @ ..] if self.codes.contains_key(&format!("{word}{next}")) => rest,
                _ => return false,
            };
        }
        !bare.is_empty()
    }

    /// The indicators and states in some words: the indicator's name, then its state with at most
    /// two words between, none of them a denial.
    #[must_use]
    pub fn signs(&self, words: &[String]) -> Vec<Sign> {
        let mut taken = vec![false; words.len()];
        let mut found: Vec<Sign> = Vec::new();
        for lamp in &self.lamps {
            for at in 0..words.len() {
                if !words[at..].starts_with(&lamp.words)
                    || found.iter().any(|s| s.lamp == lamp.name)
                {
                    continue;
                }
                if at > 0 && DENIALS.contains(&words[at - 1].as_str()) {
                    continue;
                }
                let behind = at + lamp.words.len();
                if let Some((state, end)) = lamp.state_at(words, behind) {
                    taken[at..end].fill(true);
                    found.push(Sign {
                        lamp: lamp.name.clone(),
                        state,
                        alone: false,
                    });
                }
            }
        }
        let alone = words
            .iter()
            .zip(&taken)
            .all(|(word, taken)| *taken || FILLERS.contains(&word.as_str()));
        found.iter_mut().for_each(|sign| sign.alone = alone);
        found
    }

    /// The checks of a name, in full or the part behind `#`, with the words after it.
    #[must_use]
    pub fn check<'w>(&self, words: &'w [String]) -> Option<(&[CheckId], &'w [String])> {
        (1..words.len()).rev().find_map(|end| {
            let name = words[..end].join(" ");
            Some((self.checks.get(&name)?.as_slice(), &words[end..]))
        })
    }

    /// Every name, for completion.
    #[must_use]
    pub fn names(&self) -> BTreeSet<String> {
        let lamps = self.lamps.iter().flat_map(|lamp| {
            let of = |state: &String| format!("{} {}", lamp.name, state);
            lamp.states.iter().map(move |(_, state)| of(state))
        });
        let devices = self.devices.iter().map(|(_, id)| id.clone());
        let roles = self.roles.iter().map(|role| format!("for {role}"));
        lamps
            .chain(devices)
            .chain(self.codes.values().cloned())
            .chain(roles)
            .collect()
    }
}

impl LampWords {
    /// The state behind an indicator's name, and where its words end.
    fn state_at(&self, words: &[String], behind: usize) -> Option<(String, usize)> {
        for skipped in 0..=2 {
            let at = behind + skipped;
            if at > words.len() {
                return None;
            }
            let between = &words[behind..at];
            if between.iter().any(|w| DENIALS.contains(&w.as_str())) {
                return None;
            }
            let begins = |state: &[String]| {
                let here = words.get(at..at + state.len())?;
                // "slow red" is "red slow".
                let same = here == state || (state.len() == 2 && here.iter().rev().eq(state));
                same.then_some(at + state.len())
            };
            for (state, name) in &self.states {
                if let Some(end) = begins(state) {
                    return Some((name.clone(), end));
                }
            }
        }
        None
    }
}

fn longest_first(states: Vec<&str>) -> Vec<(Vec<String>, String)> {
    let mut states: Vec<(Vec<String>, String)> = states
        .into_iter()
        .map(|state| (split(state), state.to_owned()))
        .collect();
    states.sort_by(|a, b| b.0.len().cmp(&a.0.len()).then_with(|| a.1.cmp(&b.1)));
    states
}

/// The words that mean something.
#[must_use]
pub fn without_fillers(words: &[String]) -> Vec<&str> {
    words
        .iter()
        .map(String::as_str)
        .filter(|word| !FILLERS.contains(word))
        .collect()
}
