//! How far a denial reaches.

use super::Gap;
use super::lists::{
    DENY, ENDS, EXCLUDING, GOES_ON, LEXICAL, MODAL, OR, PERCEIVE, SAYING, SE_ASKS, SUBJECT, UNDENY,
    WORKING,
};
use crate::base::common::is_common;
use std::ops::Range;

/// How many words a denial reaches, common ones not counted; "or" renews it.
const REACH: usize = 7;
/// How many words an item of a list has at most.
const ITEM: usize = 5;
/// How many words a clause has at most that a bare "no" answers without a question mark.
pub(super) const SHORT: usize = 4;

/// Whether a single word denies what follows it.
pub(super) fn denies(word: &str) -> bool {
    DENY.contains(&word) || MODAL.contains(&word)
}

/// For each word the places of the words that deny it.
pub(super) fn mark(words: &[String], gaps: &[Gap], clauses: &[Range<usize>]) -> Vec<Vec<usize>> {
    let mut text = Text {
        words,
        gaps,
        clauses,
        by: vec![Vec::new(); words.len()],
    };
    for (c, clause) in clauses.iter().enumerate() {
        for at in clause.clone() {
            text.forward(c, at);
            text.backward(c, at);
        }
        text.turned_out(c);
    }
    text.by
}

pub(super) struct Text<'a> {
    pub(super) words: &'a [String],
    pub(super) gaps: &'a [Gap],
    pub(super) clauses: &'a [Range<usize>],
    by: Vec<Vec<usize>>,
}

impl Text<'_> {
    pub(super) fn is(&self, at: usize, list: &[&str]) -> bool {
        self.words
            .get(at)
            .is_some_and(|w| list.contains(&w.as_str()))
    }

    pub(super) fn is_any(&self, mut range: Range<usize>, list: &[&str]) -> bool {
        range.any(|i| self.is(i, list))
    }

    pub(super) fn deny(&mut self, range: Range<usize>, by: usize) {
        for at in range {
            if at != by && !self.by[at].contains(&by) {
                self.by[at].push(by);
            }
        }
    }

    /// How many words a denial at this place has; none where there is none.
    pub(super) fn denial(&self, at: usize, end: usize) -> Option<usize> {
        let lexical = LEXICAL.iter().find(|phrase| {
            at + phrase.len() <= end && phrase.iter().zip(&self.words[at..]).all(|(a, b)| a == b)
        });
        if let Some(phrase) = lexical {
            // "can't rule out", "nicht auszuschliessen": denying a denial denies nothing.
            let before = at.saturating_sub(2)..at;
            let twice = before.into_iter().any(|i| denies(&self.words[i]));
            return (!twice).then_some(phrase.len());
        }
        if !denies(&self.words[at]) {
            return None;
        }
        // "no 3 is burning" names a number.
        let number = self.words[at] == "no"
            && at + 1 < end
            && self.words[at + 1].starts_with(|c: char| c.is_ascii_digit());
        let double = at + 1 < end
            && self.is(at + 1, &["without", "ohne", "sin"])
            && !self.is(at, &["without", "ohne", "sin"]);
        let doubled =
            at > 0 && self.is(at, &["without", "ohne", "sin"]) && denies(&self.words[at - 1]);
        let or_not =
            at > 0 && self.is(at, &["not", "no", "nicht"]) && self.is(at - 1, OR) && at + 1 == end;
        (!number && !double && !doubled && !or_not).then_some(1)
    }

    /// Whether what follows the denial tells that nothing is denied.
    pub(super) fn undone(&self, at: usize, from: usize, end: usize) -> bool {
        if from >= end {
            return false;
        }
        if self.is(from, &["se"]) {
            return self.is(from + 1, SE_ASKS) && from + 1 < end;
        }
        let filler = [
            "a", "the", "really", "very", "so", "quite", "that", "one", "in", "any",
        ];
        let next = if self.is(from, &filler) {
            from + 1
        } else {
            from
        };
        let more = ["more", "mehr", "mas", "so"];
        let told = if self.is(from, &more) {
            self.is(at, &["no", "nicht", "not"]) && !self.is(from, &["so"])
        } else {
            self.is(from, UNDENY) || (next < end && self.is(next, UNDENY) && !self.is(next, &more))
        };
        // "never seen sparks before" has seen them now.
        let before = (from..end)
            .any(|i| self.is(i, &["before", "bisher", "zuvor", "antes"]) && i + 1 == end);
        // "isn't that smoke?" asks.
        let asks = self.gaps[end] == Gap::Question
            && self.clause_start(at)
            && self.is(
                at,
                &[
                    "isnt", "arent", "wasnt", "doesnt", "dont", "didnt", "shouldnt",
                ],
            );
        // "no podemos descartar humo", "haven't ruled out smoke"
        let open = self.is_any(from..(from + 3).min(end), EXCLUDING);
        told || before || asks || open
    }

    fn clause_start(&self, at: usize) -> bool {
        self.clauses.binary_search_by_key(&at, |c| c.start).is_ok()
    }

    fn forward(&mut self, c: usize, at: usize) {
        let clause = self.clauses[c].clone();
        let Some(length) = self.denial(at, clause.end) else {
            return;
        };
        let from = at + length;
        if self.undone(at, from, clause.end) {
            return;
        }
        let failing = (from..(from + 2).min(clause.end)).find(|i| self.is(*i, WORKING));
        if let Some(word) = failing {
            self.deny(from..word + 1, at);
            return;
        }
        if self.is(at, MODAL) && !self.is(from, PERCEIVE) {
            self.deny(from..(from + 1).min(clause.end), at);
            return;
        }
        let end = self.reach(from, clause.end);
        self.deny(from..end, at);
        if end == clause.end {
            self.along_list(c, at);
        }
    }

    /// Where a denial that begins before `from` ends.
    fn reach(&self, from: usize, end: usize) -> usize {
        let mut left = REACH;
        for at in from..end {
            if self.is(at, OR) {
                left = REACH;
            } else if left == 0 {
                return at;
            } else if !is_common(&self.words[at]) {
                left -= 1;
            }
            // "lädt nicht und qualmt": the denial stands behind what it denies.
            if at == from && self.is(at, GOES_ON) && !self.is(at, OR) {
                return at;
            }
            if self.is(at, ENDS) && at > from {
                // "isn't hot and smelly": one word that closes the clause belongs to the list.
                let pair = self.is(at, GOES_ON) && at - from <= 2 && at + 2 == end;
                return if pair { end } else { at };
            }
            if self.is(at, SUBJECT) && at > from && !self.is(at - 1, SAYING) {
                return at;
            }
        }
        end
    }

    /// "denies smoke, sparks or heat": over commas, where the list ends in "or" or its items are
    /// single words.
    fn along_list(&mut self, c: usize, by: usize) {
        let mut next = c + 1;
        let mut items = Vec::new();
        while next < self.clauses.len() && items.len() < 6 {
            let clause = self.clauses[next].clone();
            let parted = matches!(self.gaps[clause.start], Gap::Comma | Gap::Slash);
            if !parted || clause.len() > ITEM || self.holds_denial(&clause) {
                break;
            }
            let last = if denies(&self.words[by]) { OR } else { GOES_ON };
            let or = clause.clone().any(|i| self.is(i, last));
            items.push(clause);
            if or {
                let end = items.len();
                for (i, item) in items.iter().enumerate() {
                    let whole = i + 1 < end || !denies(&self.words[by]);
                    let reach = if whole {
                        item.end
                    } else {
                        self.reach(item.start, item.end)
                    };
                    self.deny(item.start..reach, by);
                }
                return;
            }
            next += 1;
        }
        for item in items.into_iter().take_while(|item| item.len() == 1) {
            if self.is(item.start, &["yes", "ja", "si", "y"]) {
                return;
            }
            self.deny(item, by);
        }
    }

    fn holds_denial(&self, clause: &Range<usize>) -> bool {
        clause
            .clone()
            .any(|i| self.denial(i, clause.end).is_some() || self.is(i, &["n"]))
    }
}
