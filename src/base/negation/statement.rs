//! What a text states in a clause of its own: "breaker trips, there is smoke".

use super::Clauses;
use super::lists::{ASKS, BESIDE, ENDS, LIGHT, OPEN, PRONOUN, SAYING, SUBJECT, SUPPOSED};
use std::ops::Range;

impl Clauses {
    /// The statement that holds all of these words: their clause, or what stands in it from the last
    /// subject before them on ("breaker trips there is smoke"). None where they stand in several
    /// clauses, and where the clause asks or supposes.
    #[must_use]
    pub fn statement(&self, chosen: &[usize]) -> Option<Range<usize>> {
        let (first, last) = (*chosen.iter().min()?, *chosen.iter().max()?);
        let at = self.clauses.partition_point(|c| c.end <= first);
        let clause = self.clauses.get(at)?;
        let start = (clause.start + 1..=first)
            .rev()
            .find(|i| self.begins(*i))
            .unwrap_or(clause.start);
        let turned =
            self.is(start, ASKS) && (self.is(start + 1, PRONOUN) || self.is(start + 1, SUBJECT));
        let supposed = (start..clause.end).any(|i| !chosen.contains(&i) && self.is(i, SUPPOSED));
        let open = last >= clause.end || self.asked[at] || turned || supposed;
        (!open).then_some(start..clause.end)
    }

    /// Whether these words are all that their statement says.
    #[must_use]
    pub fn states_only(&self, chosen: &[usize]) -> bool {
        let statement = self.statement(chosen);
        statement.is_some_and(|range| self.says_only(&range, chosen))
    }

    /// Whether a statement says these words and nothing else of any weight.
    #[must_use]
    pub fn says_only(&self, statement: &Range<usize>, chosen: &[usize]) -> bool {
        statement.clone().all(|i| {
            chosen.contains(&i) || self.is(i, BESIDE) || (self.is(i, LIGHT) && !self.is(i, OPEN))
        })
    }

    fn begins(&self, at: usize) -> bool {
        let bound = self.is(at - 1, SAYING) || self.is(at - 1, ENDS) || self.is(at - 1, SUPPOSED);
        self.is(at, SUBJECT) && !bound
    }

    fn is(&self, at: usize, list: &[&str]) -> bool {
        let word = self.words.get(at);
        word.is_some_and(|w| list.contains(&w.as_str()))
    }
}
