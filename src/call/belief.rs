//! What is believed of a case: the chances of the question, less what was tried, times what was
//! seen.
//!
//! - A fix that was tried and failed leaves, in every article it is shared with; the rest is
//!   renormalised (single fault).
//! - An answer `v` to check `k` multiplies a candidate by
//!   `P(v|a,f) = (n_afv + 3·1[expect = v] + |V|·q_v) / (n_af + 3·1[f has expect] + |V|)`,
//!   `q_v = (n_v + 1)/(n + |V|)`. Candidates of articles without `k`, and `unlisted`, take `q_v`.
//!
//! Answers are multiplied in the order of their checks' ids, so the order in which they were given
//! changes nothing. A candidate that knows nothing of a check has `P(v|a,f) = q_v` by the formula
//! itself, and so never gains or loses against another such candidate.

use crate::articles::{Catalog, Check, Fix};
use crate::base::ids::{CheckId, FixId};
use crate::evidence::Evidence;
use crate::evidence::chance::Chances;
use crate::evidence::layout::Layout;
use std::collections::{BTreeMap, BTreeSet};

/// How many cases the author's word on a check is worth.
const EXPECT: f64 = 3.0;

/// Chances of all candidates; with `unlisted` they sum to one.
#[derive(Clone, Debug, PartialEq)]
pub struct Belief {
    /// Numbers of the pairs, ascending.
    pub pairs: Vec<usize>,
    /// The chance of each; 0 where its fix was tried.
    pub chance: Vec<f64>,
    /// The chance that no article covers the case.
    pub unlisted: f64,
}

/// What a belief is about.
#[derive(Clone, Copy)]
pub struct Ground<'a> {
    /// The articles.
    pub catalog: &'a Catalog,
    /// Their numbers.
    pub layout: &'a Layout,
    /// The evidence.
    pub evidence: &'a Evidence,
}

impl Belief {
    /// What the question alone says, then what was tried and seen.
    #[must_use]
    pub fn new(
        chances: &Chances,
        tried: &BTreeSet<FixId>,
        seen: &BTreeMap<CheckId, String>,
        ground: Ground<'_>,
    ) -> Self {
        let mut belief = Self {
            pairs: chances.pairs.clone(),
            chance: chances.chance.clone(),
            unlisted: chances.unlisted,
        };
        for (at, pair) in belief.pairs.iter().enumerate() {
            let fix = ground.layout.pairs[*pair]
                .fix
                .map(|f| &ground.layout.fixes[f]);
            if fix.is_some_and(|f| tried.contains(f)) {
                belief.chance[at] = 0.0;
            }
        }
        for (check, answer) in seen {
            belief.weigh_answer(check, answer, ground);
        }
        belief.normalise();
        belief
    }

    /// The answers to known checks in words, with how likely each candidate makes them.
    #[must_use]
    pub fn seen(
        &self,
        seen: &BTreeMap<CheckId, String>,
        ground: Ground<'_>,
    ) -> Vec<(String, Vec<f64>)> {
        let told = |(id, answer): (&CheckId, &String)| {
            let check = ground.catalog.checks.get(id)?;
            let likely = likelihoods(&self.pairs, check, answer, ground);
            Some((format!("answer {}={answer}", id.short()), likely))
        };
        seen.iter().filter_map(told).collect()
    }

    /// Multiplies by how well each candidate explains an answer. Unknown checks change nothing.
    fn weigh_answer(&mut self, check: &CheckId, answer: &str, ground: Ground<'_>) {
        let Some(check) = ground.catalog.checks.get(check) else {
            return;
        };
        for (chance, likely) in
            self.chance
                .iter_mut()
                .zip(likelihoods(&self.pairs, check, answer, ground))
        {
            *chance *= likely;
        }
        self.unlisted *= usual(check, answer, ground.evidence);
    }

    fn normalise(&mut self) {
        let sum: f64 = self.chance.iter().sum::<f64>() + self.unlisted;
        if sum > 0.0 {
            self.chance.iter_mut().for_each(|c| *c /= sum);
            self.unlisted /= sum;
        } else {
            self.unlisted = 1.0;
        }
    }

    /// The belief after one more answer.
    #[must_use]
    pub fn after(&self, check: &CheckId, answer: &str, ground: Ground<'_>) -> Self {
        let mut next = self.clone();
        next.weigh_answer(check, answer, ground);
        next.normalise();
        next
    }

    /// The chance of each fix over all articles that share it, by number; only fixes above zero.
    #[must_use]
    pub fn by_fix(&self, layout: &Layout) -> BTreeMap<usize, f64> {
        let mut chances = BTreeMap::new();
        for (pair, chance) in self.pairs.iter().zip(&self.chance) {
            if let Some(fix) = layout.pairs[*pair].fix
                && *chance > 0.0
            {
                *chances.entry(fix).or_insert(0.0) += chance;
            }
        }
        chances
    }

    /// The chance of each article, over its fixes and "none of the listed", by number.
    #[must_use]
    pub fn by_article(&self, layout: &Layout) -> BTreeMap<usize, f64> {
        let mut chances = BTreeMap::new();
        for (pair, chance) in self.pairs.iter().zip(&self.chance) {
            *chances.entry(layout.pairs[*pair].article).or_insert(0.0) += chance;
        }
        chances
    }
}

/// `q_v`: how usual an answer is over all tickets that saw the check.
#[must_use]
pub fn usual(check: &Check, answer: &str, evidence: &Evidence) -> f64 {
    let found = evidence.checks.get(&check.id);
    let times = found.and_then(|e| e.seen.get(answer)).copied().unwrap_or(0);
    let total = found.map_or(0, |e| e.total);
    (real(times) + 1.0) / (real(total) + answers(check))
}

/// `P(v|a,f)` for each candidate.
#[must_use]
pub fn likelihoods(pairs: &[usize], check: &Check, answer: &str, ground: Ground<'_>) -> Vec<f64> {
    Explained::new(pairs, check, ground).likelihoods(answer)
}

/// What is known of the answers to one check, looked up once for all of them.
pub(super) struct Explained<'a> {
    check: &'a Check,
    evidence: &'a Evidence,
    pairs: usize,
    known: Vec<Known<'a>>,
}

/// A candidate of an article that has the check.
struct Known<'a> {
    /// Its place among the candidates.
    place: usize,
    expected: Option<&'a str>,
    seen: Option<&'a BTreeMap<String, u64>>,
}

impl<'a> Explained<'a> {
    pub(super) fn new(pairs: &[usize], check: &'a Check, ground: Ground<'a>) -> Self {
        let Ground {
            catalog,
            layout,
            evidence,
        } = ground;
        let found = evidence.checks.get(&check.id);
        let mut known = Vec::new();
        let mut last = None;
        for (place, pair) in pairs.iter().enumerate() {
            let pair = layout.pairs[*pair];
            let article = &layout.articles[pair.article];
            // Pairs of one article stand together.
            let has = match last {
                Some((number, has)) if number == pair.article => has,
                _ => {
                    let checks = catalog.checks_of.get(article);
                    checks.is_some_and(|checks| checks.contains(&check.id))
                }
            };
            last = Some((pair.article, has));
            if has {
                let fix = pair.fix.map(|f| &layout.fixes[f]);
                known.push(Known {
                    place,
                    expected: fix.and_then(|f| expected(&catalog.fixes[f], &check.id)),
                    seen: found.and_then(|found| found.answers_of(article, fix)),
                });
            }
        }
        Self {
            check,
            evidence,
            pairs: pairs.len(),
            known,
        }
    }

    /// `P(v|a,f)` for each candidate.
    pub(super) fn likelihoods(&self, answer: &str) -> Vec<f64> {
        let usual = usual(self.check, answer, self.evidence);
        let mut likely = vec![usual; self.pairs];
        for known in &self.known {
            likely[known.place] = known.likelihood(answer, usual, answers(self.check));
        }
        likely
    }
}

impl Known<'_> {
    fn likelihood(&self, answer: &str, usual: f64, answers: f64) -> f64 {
        let times = self.seen.and_then(|seen| seen.get(answer)).copied();
        let total = self.seen.map_or(0, |seen| seen.values().sum());
        let says = if self.expected == Some(answer) {
            EXPECT
        } else {
            0.0
        };
        let speaks = if self.expected.is_some() { EXPECT } else { 0.0 };
        (real(times.unwrap_or(0)) + says + answers * usual) / (real(total) + speaks + answers)
    }
}

fn expected<'a>(fix: &'a Fix, check: &CheckId) -> Option<&'a str> {
    fix.expect
        .iter()
        .find(|(id, _)| id == check)
        .map(|(_, answer)| answer.as_str())
}

#[allow(clippy::cast_precision_loss, reason = "a handful of answers")]
fn answers(check: &Check) -> f64 {
    check.answers.len() as f64
}

#[allow(clippy::cast_precision_loss, reason = "counts stay far below 2^52")]
fn real(n: u64) -> f64 {
    n as f64
}
