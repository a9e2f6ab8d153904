//! Denials that close what stands before them.

use super::Gap;
use super::lists::{
    ANY, AUXILIARY, BARE, CLOSE, ENDS, EXCLUDED, FINDING, FORMS, FORMS_OF, FRONTED, GOES_ON, HERE,
    LIGHT, NOBODY, OR, PRONOUN, REPLY, STATES, SUMMARY, THE, WORKING,
};
use super::scope::{SHORT, Text, denies};
use std::ops::Range;

impl Text<'_> {
    /// A denial that closes its clause: "smoke none", "there aren't any", "raucht nicht".
    pub(super) fn backward(&mut self, c: usize, at: usize) {
        let clause = self.clauses[c].clone();
        let word_free =
            self.is(at, &["free"]) && at > clause.start && !self.is(at + 1, &["of", "from", "to"]);
        if word_free {
            self.deny(at - 1..at, at);
            return;
        }
        // "einen Schlag hat niemand bekommen"
        let fronted =
            at > clause.start && self.is(at, &["niemand", "nadie"]) && self.is(at - 1, AUXILIARY);
        let strong = self.is(at, CLOSE) || fronted;
        if !strong && self.denial(at, clause.end).is_none() {
            return;
        }
        if self.is(at - usize::from(at > clause.start), OR) && self.is(at, &["not", "no", "nicht"])
        {
            return;
        }
        // "230 V gegen N" names the neutral.
        if self.is(at, &["n"])
            && at > clause.start
            && self.is(
                at - 1,
                &[
                    "gegen", "to", "against", "und", "and", "zu", "auf", "l1", "l2", "l3",
                ],
            )
        {
            return;
        }
        // "can't exclude", "nicht auszuschliessen"
        let before = at.saturating_sub(2).max(clause.start)..at;
        if self.is(at, EXCLUDED) && before.into_iter().any(|i| denies(&self.words[i])) {
            return;
        }
        let replies = at == clause.start
            && self.gaps[at] == Gap::Question
            && self.is(at, BARE)
            && !self.undone(at, at + 1, clause.end);
        if replies {
            self.answer(c, at, false);
            return;
        }
        let summary = self.summary(at, clause.end);
        if !summary && !self.closes(at, strong, &clause) {
            self.answers_in_between(&clause, at);
            return;
        }
        let light = (clause.start..at)
            .rev()
            .take_while(|i| self.is(*i, LIGHT) || (*i == clause.start && self.is(*i, BARE)))
            .count();
        let subject = at - light;
        if subject == clause.start {
            let spoken = light > 0 || summary || self.speaks(at, clause.end);
            self.answer(c, at, spoken);
            return;
        }
        if summary {
            self.deny(clause.start..at, at);
            self.answer(c, at, true);
            return;
        }
        let before = at - 1;
        if self.is(before, WORKING)
            || self.is(before, &["weiss", "know", "se"])
            || self.nothing_done(at)
        {
            return;
        }
        if (subject..at).any(|i| self.is(i, PRONOUN)) {
            self.deny(clause.start..subject, at);
            self.feared_before(c, at);
        } else if strong && !self.unnoticed(&clause, at) {
            let from = self.statement_start(&clause, at);
            self.deny(from..at, at);
        }
    }

    /// "none of that", "nothing of the kind": all that was named before is denied.
    fn summary(&self, at: usize, end: usize) -> bool {
        let of = at + 1;
        self.is(at, &["none", "nothing", "nichts", "nada"])
            && self.is(of, &["of", "davon", "dergleichen", "de"])
            && (of + 1..end).all(|i| self.is(i, SUMMARY))
            && (of + 1 < end || self.is(of, &["davon", "dergleichen"]))
    }

    /// Whether a clause that begins with its denial is a whole statement: "none had", "not one had
    /// seen it", "not true". "Nobody is here" tells of something else.
    fn speaks(&self, at: usize, end: usize) -> bool {
        let someone = self.nobody(at) && self.is_any(at + 1..end, AUXILIARY);
        let untrue = self.is(at, &["not", "no", "nicht"])
            && self.is_any(
                at + 1..end,
                &["true", "case", "correct", "verdad", "cierto", "wahr"],
            );
        (someone && !self.is_any(at + 1..end, HERE)) || untrue
    }

    fn nobody(&self, at: usize) -> bool {
        self.is(at, NOBODY) || (self.is(at, &["no", "not"]) && self.is(at + 1, &["one", "body"]))
    }

    /// Whether nothing but filling words stand between a denial and the end of its statement.
    fn closes(&self, at: usize, strong: bool, clause: &Range<usize>) -> bool {
        let passive = self.is(at, EXCLUDED) && self.is(at + 1, &["by", "von", "por"]);
        if passive {
            return true;
        }
        let end = (at + 1..clause.end)
            .find(|i| strong && self.is(*i, ENDS))
            .unwrap_or(clause.end);
        let first = at == clause.start || (clause.start..at).all(|i| self.is(i, GOES_ON));
        let someone = first && self.nobody(at);
        let reply = first && self.gaps[clause.start] == Gap::Question;
        let fronted = strong && self.fronts(clause.start, at);
        let filling = |i: usize| {
            self.is(i, FORMS)
                || self.is(i, FINDING)
                || (someone && (self.is(i, LIGHT) || self.is(i, FRONTED)))
                || (reply && self.is(i, REPLY))
                || (fronted && self.is(i, FRONTED))
                || (self.is(i, FORMS_OF) && self.is(i - 1, &["of", "like", "davon", "de"]))
        };
        let any = |i: usize| self.is(i, ANY);
        let finding = !someone && !reply && (at + 1..end).any(|i| self.is(i, FINDING));
        (at + 1..end).all(filling) && (!finding || (at + 1..end).any(any))
    }

    /// "den Rauch hat keiner bemerkt": with its article it was there all the same.
    fn unnoticed(&self, clause: &Range<usize>, at: usize) -> bool {
        self.is(at, &["keiner", "niemand", "nadie"])
            && self.is(clause.start, THE)
            && at + 1 < clause.end
    }

    /// Whether what is spoken of stands in front, as in "Rauch hat keiner bemerkt" or "humo no ha
    /// salido": a bare noun or two.
    fn fronts(&self, start: usize, at: usize) -> bool {
        let noun = (start..at).rev().skip_while(|i| self.is(*i, LIGHT)).count();
        (1..=4).contains(&noun) && !self.is(start, THE) && !self.is_any(start..start + noun, STATES)
    }

    /// "smell none heat none": each answers what stands before it.
    fn answers_in_between(&mut self, clause: &Range<usize>, at: usize) {
        if !self.is(at, &["none", "nil", "neg", "n", "negative"]) || self.is(at + 1, &["of", "for"])
        {
            return;
        }
        // "its smokin n i cant stop it", "330 V gegen N": only among answers does an n deny.
        if self.is(at, &["n"]) && !self.is(clause.end - 1, CLOSE) {
            return;
        }
        let from = (clause.start..at)
            .rev()
            .take(SHORT)
            .take_while(|i| !self.is(*i, CLOSE))
            .last();
        self.deny(from.unwrap_or(at)..at, at);
    }

    /// "the breaker did nothing" tells of no danger denied.
    fn nothing_done(&self, at: usize) -> bool {
        self.is(at, &["nothing", "nada", "nichts"])
            && self.is(
                at - 1,
                &["do", "does", "did", "done", "tut", "macht", "hace", "hizo"],
            )
    }

    /// Behind the last conjunction before a closing denial: in "es qualmt und es passiert nichts"
    /// only the happening is denied. A pair of words is one statement: "Rauch und Funken keine".
    fn statement_start(&self, clause: &Range<usize>, at: usize) -> usize {
        // "arde no se ve nada"
        let twice = self.is(at, &["nada", "nadie", "ninguno", "ninguna"]);
        if let Some(no) = (clause.start..at)
            .rev()
            .find(|i| twice && self.is(*i, &["no"]))
        {
            return no;
        }
        let last = (clause.start..at).rev().find(|i| self.is(*i, ENDS));
        last.filter(|i| i - clause.start > 1)
            .map_or(clause.start, |i| i + 1)
    }
}
