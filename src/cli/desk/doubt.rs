//! How sure the equation is that the articles cover a closed case.

use super::Desk;
use crate::cli::Failure;
use crate::curate::unwritten::Doubt;
use crate::evidence::Case;
use crate::evidence::chance::chances;
use crate::evidence::question::{Question, Said};
use std::collections::BTreeMap;

impl Desk {
    /// The likeliest article's chance, and that nothing listed ends the case, from what was said and
    /// shown and what had failed.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub(crate) fn doubt(&self, case: &Case) -> Result<Doubt, Failure> {
        let said = Said {
            about: case.seen.iter().map(|(check, _)| check.article()).collect(),
            ..Said::of(case)
        };
        let question = Question::new(said, &self.catalog, &self.analyzer, &self.known);
        let found = chances(&question, self.sources(), &self.model.weights)
            .map_err(|e| Failure::because("cannot search", &e))?;
        let (mut left, mut open) = (found.unlisted, found.unlisted);
        let mut articles: BTreeMap<usize, f64> = BTreeMap::new();
        for (pair, chance) in found.pairs.iter().zip(&found.chance) {
            let pair = &self.layout.pairs[*pair];
            let fix = pair.fix.map(|fix| &self.layout.fixes[fix]);
            if fix.is_some_and(|fix| case.failed.contains(fix)) {
                continue;
            }
            left += chance;
            if fix.is_none() {
                open += chance;
            }
            *articles.entry(pair.article).or_insert(0.0) += chance;
        }
        let best = articles.values().copied().fold(0.0, f64::max);
        // Everything may have failed: then nothing listed is left.
        Ok(Doubt {
            best: if left > 0.0 { best / left } else { 0.0 },
            uncovered: if left > 0.0 { open / left } else { 1.0 },
        })
    }
}
