//! What the tickets say: counts, shares and intervals, whole; none is rounded.

use super::Parts;
use super::bytes::{At, Blob};
use crate::base::ids::{ArticleId, CheckId};
use crate::evidence::facts::SeenAnswers;
use crate::evidence::{Evidence, Share};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct EvidencePart<'a> {
    unlisted: f64,
    /// All shares, articles in order, within one first overall, then by device; then the lower ends of
    /// their intervals, then the upper ones.
    shares: At,
    articles: Vec<ArticleCounts<'a>>,
    /// Resolved, tries, inferred, Wilson's low and high, minutes.
    fixes: Vec<(u64, u64, u64, f64, f64, f64)>,
    checks: Vec<CheckCounts<'a>>,
}

/// How many shares; they stand in the bytes.
type Shares = usize;

#[derive(Serialize)]
pub(super) struct ArticleCounts<'a> {
    cases: u64,
    weight: f64,
    known: f64,
    /// Of each fix, "none of the listed" last.
    shares: Shares,
    devices: Vec<(&'a String, Shares)>,
}

type Answers<'a> = Vec<(&'a String, &'a u64)>;

/// A fix and the answers in the cases that it ended.
type ByFix<'a> = Vec<(usize, Answers<'a>)>;

#[derive(Serialize)]
pub(super) struct CheckCounts<'a> {
    seen: Answers<'a>,
    total: u64,
    /// Article; answers by fix; answers where nothing listed ended it.
    ended: Vec<(usize, ByFix<'a>, Answers<'a>)>,
}

impl<'a> Parts<'a> {
    pub(super) fn evidence(&self, blob: &mut Blob) -> EvidencePart<'a> {
        let evidence = self.source.evidence;
        let chosen = self.chosen;
        let mut shares: Vec<Share> = Vec::new();
        for found in (chosen.articles.iter()).filter_map(|id| evidence.articles.get(id)) {
            shares.extend(found.overall());
            shares.extend(found.devices.values().flatten());
        }
        let columns: [fn(&Share) -> f64; 3] = [|s| s.share, |s| s.low, |s| s.high];
        let columns = columns.into_iter();
        let in_columns = columns.flat_map(|column| shares.iter().map(column));
        EvidencePart {
            unlisted: evidence.unlisted,
            shares: blob.doubles(in_columns),
            articles: chosen
                .articles
                .iter()
                .map(|a| counts(a, evidence))
                .collect(),
            fixes: (chosen.fixes.iter())
                .map(|id| {
                    let found = evidence.fixes.get(id).cloned().unwrap_or_default();
                    let (low, high) = (found.raw_low, found.raw_high);
                    let (resolved, tries) = (found.resolved, found.tries);
                    (resolved, tries, found.inferred, low, high, found.minutes)
                })
                .collect(),
            checks: chosen.checks.iter().map(|c| self.answers(c)).collect(),
        }
    }

    fn answers(&self, check: &CheckId) -> CheckCounts<'a> {
        let Some(found) = self.source.evidence.checks.get(check) else {
            return CheckCounts {
                seen: Vec::new(),
                total: 0,
                ended: Vec::new(),
            };
        };
        let by_fix = |seen: &'a SeenAnswers| -> ByFix<'a> {
            let fixes = seen.fixes.iter();
            let answers = fixes.filter_map(|(fix, a)| Some((self.fix(fix)?, a.iter().collect())));
            answers.collect()
        };
        CheckCounts {
            seen: found.seen.iter().collect(),
            total: found.total,
            ended: (found.ended.iter())
                .filter_map(|(article, seen)| {
                    let number = self.article(article)?;
                    Some((number, by_fix(seen), seen.other.iter().collect()))
                })
                .collect(),
        }
    }
}

fn counts<'a>(id: &ArticleId, evidence: &'a Evidence) -> ArticleCounts<'a> {
    let found = evidence.articles.get(id);
    ArticleCounts {
        cases: found.map_or(0, |f| f.cases),
        weight: found.map_or(0.0, |f| f.weight),
        known: found.map_or(0.0, |f| f.known),
        shares: found.map_or(0, |f| f.overall().len()),
        devices: (found.into_iter().flat_map(|f| &f.devices))
            .map(|(device, shares)| (device, shares.len()))
            .collect(),
    }
}
