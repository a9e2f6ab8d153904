//! What the answers must beat on the same cases: three ways of answering that need no model, and a
//! yardstick that knows more than anybody on the telephone.
//!
//! Each is ordered and stopped by the same functions as ours, from chances of its own; danger never
//! stops one. Costs are the same for all.

use super::past::Past;
use super::truth::Exam;
use crate::base::ids::{ArticleId, FixId};
use crate::evidence::chance::{Chances, of_table};
use crate::evidence::equation::{FEATURES, Feature, Weights};
use crate::evidence::features::Table;
use crate::evidence::layout::Layout;
use crate::evidence::order::{Job, stop};
use serde::Serialize;

/// A way of answering that needs no model.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rival {
    /// What articles and fixes say themselves, compared with what the caller said.
    OwnWords,
    /// How often each fix ended a case, whatever was said.
    Frequency,
    /// The likeliest article, as ours hears it, in the order in which this desk usually tries its
    /// fixes; then it hands on.
    DeskOrder,
    /// The same of the article that was recorded in the end. No rival: nobody on the telephone is
    /// told the article. It shows what knowing it would be worth.
    DeskTold,
}

impl Rival {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::OwnWords,
        Self::Frequency,
        Self::DeskOrder,
        Self::DeskTold,
    ];

    /// Whether it answers from what ours answers from.
    #[must_use]
    pub fn is_fair(self) -> bool {
        self != Self::DeskTold
    }

    /// For people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::OwnWords => "author's words",
            Self::Frequency => "frequency",
            Self::DeskOrder => "desk's order",
            Self::DeskTold => "desk, told article",
        }
    }
}

/// Chances from what articles and fixes say themselves; equals in the author's order.
#[must_use]
pub fn own_words(table: &Table, layout: &Layout) -> Chances {
    let shipped = Weights::shipped();
    let mut beta = [0.0; FEATURES];
    for feature in [Feature::OwnArticle, Feature::OwnFix] {
        beta[feature as usize] = shipped.beta[feature as usize];
    }
    let weights = Weights { beta, ..shipped };
    let mut chances = of_table(table.clone(), &weights, 0.0);
    for (pair, chance) in chances.pairs.iter().zip(&mut chances.chance) {
        let article = layout.pairs[*pair].article;
        let place = pair - layout.pairs_of[article].start;
        *chance *= 1.0 - 1e-9 * place as f64;
    }
    chances
}

/// Chances from how often each fix ended a case, over the articles of the device and firmware.
#[must_use]
pub fn frequency(exam: &Exam, past: &Past<'_>) -> Chances {
    let (layout, catalog, evidence) = (past.field.layout, past.field.catalog, &past.evidence);
    let mut chances = Chances {
        unlisted: evidence.unlisted,
        ..Chances::default()
    };
    for (number, id) in layout.articles.iter().enumerate() {
        if exam.said.excludes(&catalog.articles[id]) {
            continue;
        }
        let cases = evidence.articles.get(id).map_or(0.0, |a| a.weight);
        let shares = evidence.share_of(id, exam.said.device.as_deref());
        for (pair, share) in layout.pairs_of[number].clone().zip(shares) {
            chances.pairs.push(pair);
            chances.chance.push(cases * share.share);
        }
    }
    chances.rows = vec![[0.0; FEATURES]; chances.pairs.len()];
    chances
}

/// The desk's order of an article's fixes, and after how many of them it is best to stop, by how
/// often each was the one.
#[must_use]
pub fn desk_order(article: &ArticleId, exam: &Exam, past: &Past<'_>) -> (Vec<FixId>, usize) {
    let order = past.habits.order(article).to_vec();
    let listed = past.field.catalog.fixes_of.get(article);
    let shares = past.evidence.share_of(article, exam.said.device.as_deref());
    let job = |fix: &FixId| {
        let place = listed.and_then(|fixes| fixes.iter().position(|f| f == fix));
        Job {
            chance: place.and_then(|at| shares.get(at)).map_or(0.0, |s| s.share),
            minutes: past.minutes(fix),
            after: Vec::new(),
        }
    };
    let jobs: Vec<Job> = order.iter().map(job).collect();
    let in_order: Vec<usize> = (0..jobs.len()).collect();
    let found = stop(&jobs, &in_order, past.field.settings.hand_on_minutes);
    (order, found.after)
}
