//! What was read from one ticket's words, and the bars from which it counts.

use crate::base::ids::{ArticleId, FixId};
use crate::tickets::care::was_read;
use crate::tickets::record::{WasRead, WasReadArticle, WasReadTry};
use crate::tickets::{RawTicket, TryResult};
use serde::{Deserialize, Serialize};

/// Chance from which an article read from a ticket's words counts as its article.
pub const ARTICLE_BAR: f64 = 0.6;

/// Chance from which a try read from notes counts. Chosen on the 1,036 tries that five sets of hard notes tell,
/// each set read with weights learned from the others, and on the demo's tickets: with it more is read right and less
/// that was not told than before there was a second look, in each of the sets.
pub const TRY_BAR: f64 = 0.25;

/// Chance from which a reading is kept at all, to be confirmed or refused.
pub const KEPT: f64 = 0.15;

/// What was read from one ticket's words.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// The likeliest article with its chance; none where a person recorded one.
    pub article: Option<(ArticleId, f64)>,
    /// Tries found in the notes, in the order they are told.
    pub tries: Vec<ReadTry>,
}

/// One try found in notes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ReadTry {
    /// The fix in full; [`crate::tickets::record::OTHER`] for anything that is not listed.
    pub fix: FixId,
    /// What the notes say came of it.
    pub result: TryResult,
    /// How sure it is that it was tried, 0 to 1.
    pub chance: f64,
}

impl Reading {
    /// What was read of a ticket's text before that was forgotten, where nothing else was recorded since;
    /// none for a ticket that has its text, or of which nothing was kept.
    #[must_use]
    pub fn remembered(ticket: &RawTicket) -> Option<Self> {
        let read = was_read(ticket)?;
        let article = read.article.as_ref().filter(|_| ticket.article.is_none());
        let tries = read.tries.iter().filter(|_| ticket.tries.is_empty());
        Some(Self {
            article: article.map(|article| (article.id.clone(), article.chance)),
            tries: tries
                .map(|read| ReadTry {
                    fix: read.fix.clone(),
                    result: read.result,
                    chance: read.chance,
                })
                .collect(),
        })
    }

    /// What counts of it, to be kept when the text is forgotten.
    #[must_use]
    pub fn to_remember(&self) -> WasRead {
        let article = self
            .article
            .as_ref()
            .filter(|(_, chance)| *chance >= ARTICLE_BAR);
        WasRead {
            article: article.map(|(id, chance)| WasReadArticle {
                id: id.clone(),
                chance: *chance,
            }),
            tries: self
                .sure_tries()
                .map(|read| WasReadTry {
                    fix: read.fix.clone(),
                    result: read.result,
                    chance: read.chance,
                })
                .collect(),
        }
    }

    /// Whether nothing was found.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.article.is_none() && self.tries.is_empty()
    }

    /// The article, where its chance reaches the bar.
    #[must_use]
    pub fn sure_article(&self) -> Option<&ArticleId> {
        let (id, chance) = self.article.as_ref()?;
        (*chance >= ARTICLE_BAR).then_some(id)
    }

    /// The tries that count.
    pub fn sure_tries(&self) -> impl Iterator<Item = &ReadTry> {
        self.tries.iter().filter(|read| read.chance >= TRY_BAR)
    }

    /// Whether a person should look at it: an article or a try stays below its bar.
    #[must_use]
    pub fn waits(&self) -> bool {
        let article = self.article.as_ref();
        article.is_some_and(|(_, chance)| *chance < ARTICLE_BAR)
            || self.tries.iter().any(|read| read.chance < TRY_BAR)
    }
}
