//! Answers: clauses that deny the clauses before them.

use super::Gap;
use super::lists::{
    AN, ASKS, BARE, CLOSE, ENDED, FEARING, FIRST_PERSON, LIGHT, SAID, SEEKING, THE, TURNED, WHETHER,
};
use super::scope::{SHORT, Text};
use std::ops::Range;

impl Text<'_> {
    /// A clause that is only an answer denies what it answers, and the list before it.
    pub(super) fn answer(&mut self, c: usize, at: usize, spoken: bool) {
        // "he says it smells. I don't": what another one said stands.
        let own = self.is_any(self.clauses[c].start..at, FIRST_PERSON);
        let mut before = c;
        while before > 0 && before == c && self.only_answer(before - 1) {
            before -= 1;
        }
        let mut first = true;
        while before > 0 {
            let gap = self.gaps[self.clauses[before].start];
            let question = self.clauses[before - 1].clone();
            // "stimmt | aber nicht"
            if spoken && first && gap <= Gap::Comma && self.says_nothing(&question) {
                before -= 1;
                continue;
            }
            let sought = self.sought(&question) || (!own && self.is_any(question.clone(), SAID));
            let strong = spoken
                || self.is_any(question.clone(), SEEKING)
                || self.is(at, &["none", "nil", "negative", "fehlanzeige", "n", "neg"]);
            let bare = self.is(at, BARE) && !self.is(at + 1, &["one"]);
            let asked = sought || self.is(question.start, ASKS);
            let answered = match gap {
                Gap::Question | Gap::Colon | Gap::Dash | Gap::Slash => true,
                Gap::Comma | Gap::Space => strong || (bare && question.len() <= SHORT),
                // "pins look melted. No, nobody was here": such a no goes on.
                Gap::Stop if bare && !spoken && self.goes_on(c) => self.is(question.start, ASKS),
                Gap::Stop => (bare || spoken) && (asked || question.len() <= 2),
            };
            let listed = matches!(gap, Gap::Comma | Gap::Slash) && question.len() <= SHORT;
            // "has the smoke stopped? no"
            if !(if first { answered } else { listed }) || self.ended(&question) {
                return;
            }
            self.deny(question, at);
            if sought {
                return;
            }
            before -= 1;
            first = self.only_answer(before);
        }
    }

    fn goes_on(&self, c: usize) -> bool {
        self.gaps[self.clauses[c].end] == Gap::Comma
    }

    fn only_answer(&self, c: usize) -> bool {
        let clause = self.clauses[c].clone();
        clause.len() == 1 && self.is(clause.start, CLOSE)
    }

    fn says_nothing(&self, clause: &Range<usize>) -> bool {
        clause.clone().all(|i| self.is(i, LIGHT))
    }

    /// Whether a clause tells what somebody asked, looked for or feared.
    fn sought(&self, clause: &Range<usize>) -> bool {
        [SEEKING, FEARING, WHETHER]
            .iter()
            .any(|list| self.is_any(clause.clone(), list))
    }

    /// Whether a clause tells that something is over: to deny that is to say that it goes on.
    fn ended(&self, clause: &Range<usize>) -> bool {
        self.is_any(clause.clone(), ENDED)
    }

    /// "I feared it was burning but I went down and it isn't."
    pub(super) fn feared_before(&mut self, c: usize, by: usize) {
        let start = self.clauses[c].start;
        if c == 0 || self.gaps[start] > Gap::Comma {
            return;
        }
        let before = self.clauses[c - 1].clone();
        let said = self.is_any(before.clone(), SAID);
        if (said || self.sought(&before)) && !self.ended(&before) {
            self.deny(before, by);
        }
    }

    /// "I thought I smelled burning, turned out it was the oven", "she said it sparked, but it's only
    /// the lamp": what was feared was not so.
    pub(super) fn turned_out(&mut self, c: usize) {
        let clause = self.clauses[c].clone();
        let feared = c > 0 && {
            let before = self.clauses[c - 1].clone();
            self.is_any(before.clone(), FEARING) || self.is_any(before, SAID)
        };
        if !feared || self.gaps[clause.start] > Gap::Comma {
            return;
        }
        let only = self.says_nothing(&clause)
            && self.is_any(
                clause.clone(),
                &["its", "s", "is", "was", "war", "ist", "era", "es"],
            )
            && self.is(clause.end, &["only", "just", "nur", "bloss", "solo"])
            && (self.is(clause.end + 1, THE) || self.is(clause.end + 1, AN));
        let turned = clause.clone().take(3).find(|i| self.is(*i, TURNED));
        if let Some(by) = turned.or(only.then_some(clause.end)) {
            self.deny(self.clauses[c - 1].clone(), by);
        }
    }
}
