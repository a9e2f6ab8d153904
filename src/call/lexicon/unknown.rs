//! What has the shape of a name and is none: `K99` where codes go to `K45`. Words stay words.

use super::{DENIALS, FILLERS, LampWords, Lexicon};
use crate::base::codes::spelled;
use crate::base::text::split;

/// Colours that a lamp may be said to have, of these articles or not.
const COLOURS: &[&str] = &[
    "red",
    "green",
    "blue",
    "amber",
    "white",
    "orange",
    "yellow",
    "purple",
    "violet",
    "pink",
    "cyan",
    "magenta",
    "turquoise",
];

/// Words behind "for" that name nobody.
const NOBODY: &[&str] = &[
    "ages", "days", "ever", "example", "free", "hours", "instance", "minutes", "months", "nothing",
    "now", "seconds", "sure", "weeks", "years",
];

impl Lexicon {
    /// Names in a line that are none of these articles', each with what is wrong.
    #[must_use]
    pub fn unknown(&self, line: &str) -> Vec<String> {
        let mut found: Vec<String> = self.unknown_codes(line).collect();
        found.extend(self.unknown_devices(line));
        let parts = line.split([',', ';']).map(split);
        found.extend(parts.filter_map(|part| self.unknown_state(&part)));
        found.extend(self.unknown_role(&split(line)));
        let mut seen = std::collections::BTreeSet::new();
        found.retain(|one| seen.insert(one.clone()));
        found
    }

    /// The letters of a known code with as many digits.
    fn unknown_codes(&self, line: &str) -> impl Iterator<Item = String> {
        let like = |word: &str| {
            let shape = shape(word);
            shape.is_some() && self.codes.keys().any(|code| self::shape(code) == shape)
        };
        let words = spelled(line).into_iter().map(|word| word.to_lowercase());
        let unknown = words.filter(move |word| like(word) && !self.codes.contains_key(word));
        unknown.map(|word| format!("{} is no code of these articles", word.to_uppercase()))
    }

    /// The word of a known device behind which another number stands: `post-99`. "post 3" may be how
    /// the site counts its posts.
    fn unknown_devices(&self, line: &str) -> impl Iterator<Item = String> {
        let is_device = |word: &str| self.devices.iter().any(|(_, id)| id == word);
        let like = |word: &str| {
            let kind = numbered(word);
            kind.is_some() && self.devices.iter().any(|(_, id)| numbered(id) == kind)
        };
        let around = |c: char| !c.is_alphanumeric();
        let words = line
            .split_whitespace()
            .map(move |w| w.trim_matches(around).to_lowercase());
        let unknown = words.filter(move |word| like(word) && !is_device(word));
        unknown.map(|word| format!("{word} is no device of these articles"))
    }

    /// An indicator and what looks like a state, but is none of its own.
    fn unknown_state(&self, part: &[String]) -> Option<String> {
        if !self.signs(part).is_empty() {
            return None;
        }
        let begin = part
            .iter()
            .position(|word| !FILLERS.contains(&word.as_str()))?;
        let lamp = self
            .lamps
            .iter()
            .find(|lamp| part[begin..].starts_with(&lamp.words))?;
        let state: Vec<&str> = part[begin + lamp.words.len()..]
            .iter()
            .map(String::as_str)
            .filter(|word| !FILLERS.contains(word))
            .collect();
        let like = |word: &&str| COLOURS.contains(word) || self.lamps.iter().any(|l| l.has(word));
        if !(1..=2).contains(&state.len())
            || !state.iter().all(like)
            || state.iter().any(|word| DENIALS.contains(word))
        {
            return None;
        }
        let known: Vec<&str> = lamp.states.iter().map(|(_, name)| name.as_str()).collect();
        Some(format!(
            "{} is no state of {}: {}",
            state.join(" "),
            lamp.name,
            known.join(", ")
        ))
    }

    /// A line that is `for` and somebody who is no role.
    fn unknown_role(&self, line: &[String]) -> Option<String> {
        let [first, who] = line else {
            return None;
        };
        let is_role = self.roles.iter().any(|role| split(role) == [who.clone()]);
        (first == "for" && !is_role && !NOBODY.contains(&who.as_str()))
            .then(|| format!("{who} is no role here: {}", self.roles.join(", ")))
    }
}

impl LampWords {
    /// Whether the word stands in one of its states.
    fn has(&self, word: &str) -> bool {
        self.states
            .iter()
            .any(|(words, _)| words.iter().any(|w| w == word))
    }
}

/// The letters of something like a code, and how many digits follow.
fn shape(word: &str) -> Option<(String, usize)> {
    let digits = word.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let letters = &word[..word.len() - digits.len()];
    let is_code =
        !letters.is_empty() && !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
    is_code.then(|| (letters.to_lowercase(), digits.len()))
}

/// What stands before the number of something like `post-22`.
fn numbered(word: &str) -> Option<&str> {
    let (kind, number) = word.rsplit_once('-')?;
    let is = !kind.is_empty() && !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit());
    is.then_some(kind)
}
