//! Empty answers for the tests of this room.

use super::{About, Answer, Basis, FixLine};

impl FixLine {
    /// A fix of which nothing is known.
    pub(crate) fn for_test() -> Self {
        Self {
            rank: 1,
            id: "a#f".to_owned(),
            title: "Do it".to_owned(),
            kind: "do".to_owned(),
            chance: 0.5,
            low: 0.5,
            high: 0.5,
            basis: Basis::Tickets,
            resolved: 0,
            tries: 0,
            inferred: 0,
            raw_low: 0.0,
            raw_high: 1.0,
            cases: 0,
            minutes: 1.0,
            who: "caller".to_owned(),
            allowed: true,
            hazards: Vec::new(),
            cautions: Vec::new(),
            after: Vec::new(),
            articles: Vec::new(),
            why: None,
        }
    }
}

impl Answer {
    /// An empty answer.
    pub(crate) fn for_test() -> Self {
        Self {
            kb: About {
                name: String::new(),
                fingerprint: String::new(),
                as_of: String::new(),
                evidence_to: None,
            },
            danger: Vec::new(),
            ask_first: Vec::new(),
            hardly_known: None,
            articles: Vec::new(),
            fixes: Vec::new(),
            next_check: None,
            stop: None,
            unlisted: 0.1,
            similar: Vec::new(),
        }
    }
}
