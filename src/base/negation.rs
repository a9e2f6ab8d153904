//! What a sentence denies: "no smoke", "kein Rauch", "smoke: none".
//!
//! A text is cut into clauses at punctuation and at words of contrast; a denying word reaches over
//! the few words behind it in its clause (after Chapman et al. 2001, who found such a window enough
//! for clinical notes; the width here is ours), or over the whole clause before it where it closes
//! the clause.

use super::text::{fold, split};
use std::ops::Range;

/// Words that deny what follows, folded: English, German, Spanish.
const DENY: &[&str] = &[
    "no",
    "not",
    "none",
    "without",
    "never",
    "neither",
    "nor",
    "nothing",
    "nobody",
    "isn",
    "aren",
    "wasn",
    "weren",
    "doesn",
    "didn",
    "don",
    "haven",
    "hasn",
    "hadn",
    "isnt",
    "arent",
    "wasnt",
    "werent",
    "doesnt",
    "didnt",
    "dont",
    "havent",
    "hasnt",
    "hadnt",
    "cannot",
    "cant",
    "zero",
    "nil",
    "neg",
    "nope",
    "denies",
    "denied",
    "kein",
    "keine",
    "keinen",
    "keinem",
    "keiner",
    "keinerlei",
    "nicht",
    "nichts",
    "niemand",
    "nie",
    "ohne",
    "weder",
    "noch",
    "nein",
    "sin",
    "nada",
    "nadie",
    "ningun",
    "ninguna",
    "ninguno",
    "tampoco",
    "nunca",
    "ni",
    "free",
    "ruled",
];

/// Words that close a clause and deny what stands before: "smoke: none", "tingling negative".
const DENY_AFTER: &[&str] = &[
    "no",
    "none",
    "negative",
    "nein",
    "nope",
    "nil",
    "absent",
    "keine",
    "keiner",
    "keins",
    "nada",
    "ninguno",
    "ninguna",
    "denied",
    "ruled",
    "excluded",
    "nicht",
    "fehlanzeige",
];

/// Words that begin a clause of their own.
const CONTRAST: &[&str] = &[
    "but", "however", "although", "though", "yet", "except", "just", "only", "aber", "sondern",
    "jedoch", "pero", "sino", "because", "then", "now",
];

/// "nothing but smoke", "not only a tingle": a denial followed by one of these denies nothing.
const UNDENY: &[&str] = &["only", "but", "just", "nur"];

/// How many words a denial reaches.
const REACH: usize = 7;

/// A text in folded words, with the ranges of words that one clause holds and which words are
/// denied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clauses {
    /// Folded words in order.
    pub words: Vec<String>,
    /// Clauses as ranges of words; together they cover all words.
    pub clauses: Vec<Range<usize>>,
    /// For each word whether it is denied.
    pub denied: Vec<bool>,
}

impl Clauses {
    /// Cuts and reads a text.
    #[must_use]
    pub fn read(text: &str) -> Self {
        let mut words: Vec<String> = Vec::new();
        let mut ends: Vec<usize> = Vec::new();
        for piece in pieces(&fold(text)) {
            let mut first = true;
            for word in split(piece) {
                if CONTRAST.contains(&word.as_str())
                    && !first
                    && !words.last().is_some_and(|w| denies(w))
                {
                    ends.push(words.len());
                }
                first = false;
                words.push(word);
            }
            ends.push(words.len());
        }
        let mut clauses = Vec::new();
        let mut from = 0;
        for end in ends {
            if end > from {
                clauses.push(from..end);
                from = end;
            }
        }
        let denied = mark(&words, &clauses);
        Self {
            words,
            clauses,
            denied,
        }
    }

    /// The words that are not denied, clause by clause, denying words left out.
    #[must_use]
    pub fn affirmed(&self) -> String {
        let kept: Vec<&str> = self
            .words
            .iter()
            .zip(&self.denied)
            .filter(|(word, denied)| !**denied && !denies(word))
            .map(|(word, _)| word.as_str())
            .collect();
        kept.join(" ")
    }
}

fn denies(word: &str) -> bool {
    DENY.contains(&word)
}

/// Cuts at punctuation; a point or a hyphen cuts only before a space, so not inside numbers.
fn pieces(text: &str) -> impl Iterator<Item = &str> {
    const CUTS: [char; 12] = ['\n', ';', '!', '?', ',', '(', ')', '/', '–', '—', '|', '+'];
    text.split(CUTS)
        .flat_map(|piece| piece.split(". "))
        .flat_map(|piece| piece.split(" - "))
}

fn mark(words: &[String], clauses: &[Range<usize>]) -> Vec<bool> {
    let mut denied = vec![false; words.len()];
    for (c, clause) in clauses.iter().enumerate() {
        let mut at = clause.start;
        while at < clause.end {
            let undone = words
                .get(at + 1)
                .is_some_and(|w| at + 1 < clause.end && UNDENY.contains(&w.as_str()));
            if denies(&words[at]) && !undone && !fails(words, at) {
                let end = (at + 1 + REACH).min(clause.end);
                denied[at + 1..end].fill(true);
            }
            at += 1;
        }
        let last = clause.end - 1;
        if DENY_AFTER.contains(&words[last].as_str()) {
            // "smoke? none": the answer is a clause of its own and denies the question before it.
            let from = if clause.len() == 1 && c > 0 {
                clauses[c - 1].start
            } else {
                clause.start
            };
            denied[from..last].fill(true);
        }
    }
    denied
}

/// "not charging", "won't connect" tell of a failure and deny only the next word: verbs of working
/// behind the denial narrow its reach to themselves.
fn fails(words: &[String], at: usize) -> bool {
    const WORKING: &[&str] = &[
        "work",
        "working",
        "works",
        "charging",
        "charge",
        "charges",
        "connect",
        "connecting",
        "start",
        "starting",
        "online",
        "load",
        "respond",
        "responding",
        "sure",
        "know",
        "safe",
        "touch",
        "funktioniert",
        "ladt",
        "carga",
        "funciona",
        "good",
        "normal",
        "ok",
        "matter",
        "idea",
        "wonder",
        "longer",
        "more",
    ];
    words
        .get(at + 1)
        .is_some_and(|w| WORKING.contains(&w.as_str()))
        || (words.get(at + 1).is_some_and(|w| w == "t")
            && words
                .get(at + 2)
                .is_some_and(|w| WORKING.contains(&w.as_str())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_denied_is_marked() {
        for (text, affirmed) in [
            ("no smoke, red lamp", "red lamp"),
            ("smoke: none", ""),
            ("smoke? none", ""),
            (
                "there isn't any burning smell but it trips",
                "there but it trips",
            ),
            (
                "not charging and it smells burnt",
                "charging and it smells burnt",
            ),
            ("kein Rauch, aber rot", "aber rot"),
            ("nothing but smoke", "but smoke"),
            ("sin humo", ""),
        ] {
            let clauses = Clauses::read(text);
            assert_eq!(clauses.affirmed(), affirmed, "{text} {clauses:?}");
        }
    }
}
