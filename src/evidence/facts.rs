//! What the ledger says, as one plain value: the result of [`super::gather::gather`].

use super::cases::{Moved, Orphan};
use super::prior::Prior;
use crate::base::ids::{ArticleId, CheckId, FixId};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Weighted cases below which an article has only its author's order.
pub const FEW_CASES: f64 = 5.0;

/// Everything the tickets say about the articles, as of one day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Evidence {
    /// The day ages are measured from.
    pub as_of: Date,
    /// The newest closing day that was used.
    pub to: Option<Date>,
    /// Tickets used.
    pub tickets: u64,
    /// Cases they make, chains counted once.
    pub cases: u64,
    /// Tickets closed after `as_of`, left out.
    pub ignored_later: u64,
    /// Every article of the catalog.
    pub articles: BTreeMap<ArticleId, ArticleEvidence>,
    /// Every fix of the catalog.
    pub fixes: BTreeMap<FixId, FixEvidence>,
    /// Every check of the catalog.
    pub checks: BTreeMap<CheckId, CheckEvidence>,
    /// Every kind of fix in the catalog.
    pub kinds: BTreeMap<String, KindEvidence>,
    /// What was believed of every article before its own tickets.
    pub prior: Prior,
    /// How closely devices follow the article's overall shares, in cases.
    pub kappa: f64,
    /// Fixes that tickets name and no article lists any more.
    pub orphans: Vec<Orphan>,
    /// Article ids that tickets name and that are not served, with how many tickets.
    pub gone_articles: BTreeMap<ArticleId, u64>,
    /// Cases that a resolving fix moved to another article than the recorded one.
    pub moved: Vec<Moved>,
    /// Age-weighted cases a person marked as covered by no article.
    pub unlisted: f64,
}

/// What the tickets say about one article.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ArticleEvidence {
    /// Tickets with this article, unweighted.
    pub cases: u64,
    /// `n_a`: its cases weighted by age, those with an unknown end included.
    pub weight: f64,
    /// The part of `weight` whose end is known, so that it informs the shares.
    pub known: f64,
    /// Shares of its fixes, in the order of `catalog.fixes_of`.
    pub shares: Vec<Share>,
    /// The share of cases that none of its fixes ends.
    pub other: Share,
    /// Shares on each device seen, same order, `other` last.
    pub devices: BTreeMap<String, Vec<Share>>,
}

/// A share with its 90 % interval.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Share {
    /// The share.
    pub share: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// What the tickets say about one fix, over all articles and devices.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct FixEvidence {
    /// Cases it resolved, after the hold rule.
    pub resolved: u64,
    /// Cases it was tried in with a clear result: resolved or no change.
    pub tries: u64,
    /// How many of `tries` were read from notes.
    pub inferred: u64,
    /// Lower end of the Wilson 95 % interval of `resolved` of `tries`.
    pub raw_low: f64,
    /// Upper end.
    pub raw_high: f64,
    /// Minutes it is expected to take.
    pub minutes: f64,
}

/// What the tickets say about one kind of fix.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct KindEvidence {
    /// Cases that fixes of this kind resolved.
    pub resolved: u64,
    /// Cases they were tried in.
    pub tries: u64,
    /// The 95th percentile of recorded minutes; none where none are recorded.
    pub minutes_cap: Option<f64>,
}

/// Answers to one check, unweighted.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct CheckEvidence {
    /// `n_v` over all cases that saw the check; only answers the check offers.
    pub seen: BTreeMap<String, u64>,
    /// `n`: the sum of `seen`.
    pub total: u64,
    /// Answers by article and by what ended the case.
    pub ended: BTreeMap<ArticleId, SeenAnswers>,
}

/// Answers in the cases of one article, by what ended them.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct SeenAnswers {
    /// `n_afv` by fix and answer.
    pub fixes: BTreeMap<FixId, BTreeMap<String, u64>>,
    /// The same where none of the listed fixes ended it.
    pub other: BTreeMap<String, u64>,
}

impl Evidence {
    /// `π(a,·)` or `π(a,·,d)` in the order of `catalog.fixes_of`, the share of "none listed" last.
    /// A device without cases takes the article's; an unknown article gives an empty list.
    #[must_use]
    pub fn share_of(&self, article: &ArticleId, device: Option<&str>) -> Vec<Share> {
        let Some(found) = self.articles.get(article) else {
            return Vec::new();
        };
        match device.and_then(|device| found.devices.get(device)) {
            Some(shares) => shares.clone(),
            None => found.overall(),
        }
    }

    /// The one of [`Self::share_of`] at a place; none where there is none.
    #[must_use]
    pub fn share_at(
        &self,
        article: &ArticleId,
        device: Option<&str>,
        place: usize,
    ) -> Option<Share> {
        let found = self.articles.get(article)?;
        match device.and_then(|device| found.devices.get(device)) {
            Some(shares) => shares.get(place).copied(),
            None if place == found.shares.len() => Some(found.other),
            None => found.shares.get(place).copied(),
        }
    }

    /// Whether the article's order is still only its author's.
    #[must_use]
    pub fn only_author(&self, article: &ArticleId) -> bool {
        self.articles
            .get(article)
            .is_none_or(|found| found.known < FEW_CASES)
    }
}

impl ArticleEvidence {
    /// Shares of its fixes with `other` last.
    #[must_use]
    pub fn overall(&self) -> Vec<Share> {
        let mut all = self.shares.clone();
        all.push(self.other);
        all
    }
}

impl CheckEvidence {
    /// `n_afv` by answer: how often each was seen where `fix` (none: nothing listed) ended a case of
    /// `article`; none where none was.
    #[must_use]
    pub fn answers_of(
        &self,
        article: &ArticleId,
        fix: Option<&FixId>,
    ) -> Option<&BTreeMap<String, u64>> {
        let ended = self.ended.get(article)?;
        match fix {
            Some(fix) => ended.fixes.get(fix),
            None => Some(&ended.other),
        }
    }
}
