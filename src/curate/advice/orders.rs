//! An author's order that the tickets refute, with the better one.
//!
//! A fix surely belongs before another where it ends more cases (the 90 % intervals of the two shares
//! lie apart) and is worth its minutes more at either end of them (`low/minutes` against
//! `high/minutes`; see [`crate::evidence::order`] for why that quotient). It is moved to before the
//! first such fix, and no further: all else stays as the author wrote it.
//!
//! Never advised: what `after=` forbids, work of a later role before an earlier one's (that would be a
//! visit), and a hazard before work that is free of it.

use super::{Advice, At, Ground, percent};
use crate::articles::model::{Article, Before, Entry};
use crate::base::ids::{ArticleId, FixId};
use crate::evidence::Share;
use std::collections::BTreeSet;

pub(super) fn advice(ground: &Ground<'_>) -> Vec<Advice> {
    let articles = ground.articles();
    articles
        .filter(|article| !ground.evidence.only_author(&article.id))
        .filter_map(|article| of_article(article, ground))
        .collect()
}

/// A fix as the order sees it.
struct Known<'a> {
    id: &'a FixId,
    share: Share,
    minutes: f64,
    role: usize,
    hazards: &'a [String],
    /// Everything that must be done before it.
    after: BTreeSet<Before>,
}

impl Known<'_> {
    /// Whether it surely belongs before another.
    fn beats(&self, other: &Self) -> bool {
        let more = self.share.low > other.share.high;
        let worth = self.share.low * other.minutes > other.share.high * self.minutes;
        let safe = self.role <= other.role
            && self
                .hazards
                .iter()
                .all(|hazard| other.hazards.contains(hazard));
        more && worth && safe
    }

    fn needs(&self, other: &Self) -> bool {
        self.after.contains(&Before::Fix(other.id.clone()))
    }
}

fn of_article(article: &Article, ground: &Ground<'_>) -> Option<Advice> {
    let known = known(&article.id, ground)?;
    let order = better(&known);
    // Of those moved, the one that ends most cases is what the author got wrong.
    let moved = (0..known.len()).filter(|at| order.iter().position(|o| o == at) < Some(*at));
    let first = moved.max_by(|a, b| known[*a].share.share.total_cmp(&known[*b].share.share))?;
    let fix = &known[first];
    let overtaken = known[..first].iter().filter(|other| fix.beats(other));
    let overtaken: Vec<String> = overtaken
        .map(|other| format!("`{}` ({})", other.id.short(), percent(other.share.share)))
        .collect();
    let names: Vec<&str> = order.iter().map(|at| known[*at].id.short()).collect();
    Some(Advice {
        rule: "order-refuted",
        place: Some((
            article.id.clone(),
            At::Block(line_of(article, fix.id, ground)),
        )),
        message: format!(
            "tickets refute the author's order: `{}` ends {} of the cases ({} to {}), and it stands behind {}",
            fix.id.short(),
            percent(fix.share.share),
            percent(fix.share.low),
            percent(fix.share.high),
            overtaken.join(", ")
        ),
        help: format!(
            "a better order: {}; or say with `after=` what must come first",
            names.join(", ")
        ),
    })
}

fn known<'a>(article: &ArticleId, ground: &Ground<'a>) -> Option<Vec<Known<'a>>> {
    let from = ground.from;
    let fixes = from.catalog.fixes_of.get(article)?;
    let shares = ground.evidence.share_of(article, None);
    let known = fixes.iter().zip(shares).map(|(id, share)| {
        let fix = from.catalog.fixes.get(id)?;
        Some(Known {
            id,
            share,
            minutes: ground.evidence.fixes.get(id)?.minutes,
            role: from.settings.rank_of(&fix.work.who)?,
            hazards: &fix.work.hazards,
            after: all_before(&fix.after, ground),
        })
    });
    known.collect()
}

/// What must be done before, and before that.
fn all_before(after: &[Before], ground: &Ground<'_>) -> BTreeSet<Before> {
    let catalog = ground.from.catalog;
    let mut all = BTreeSet::new();
    let mut todo: Vec<Before> = after.to_vec();
    while let Some(before) = todo.pop() {
        let more = match &before {
            Before::Fix(id) => catalog.fixes.get(id).map(|fix| &fix.after),
            Before::Check(id) => catalog.checks.get(id).map(|check| &check.after),
        };
        if all.insert(before.clone()) {
            todo.extend(more.into_iter().flatten().cloned());
        }
    }
    all
}

/// The author's order with each fix moved to before the first one it surely belongs before.
fn better(known: &[Known<'_>]) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::with_capacity(known.len());
    for (at, fix) in known.iter().enumerate() {
        let needed = order.iter().rposition(|other| fix.needs(&known[*other]));
        let free = needed.map_or(0, |place| place + 1);
        let behind = order[free..]
            .iter()
            .position(|other| fix.beats(&known[*other]));
        order.insert(behind.map_or(order.len(), |place| free + place), at);
    }
    order
}

/// The line of the heading under which an article lists a fix.
fn line_of(article: &Article, fix: &FixId, ground: &Ground<'_>) -> usize {
    let lines = article.fixes.iter().filter_map(|entry| match entry {
        Entry::Own(own) => (own.id == *fix).then_some(own.work.line),
        Entry::Link { target, line, .. } => {
            (ground.from.catalog.fix_id(&FixId::new(target)) == *fix).then_some(*line)
        }
    });
    lines.min().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fix(id: &FixId, low: f64, high: f64, minutes: f64) -> Known<'_> {
        Known {
            id,
            share: Share {
                share: 0.5 * (low + high),
                low,
                high,
            },
            minutes,
            role: 1,
            hazards: &[],
            after: BTreeSet::new(),
        }
    }

    /// The order of three fixes of which the last surely ends most, after a change.
    fn order(change: impl FnOnce(&mut [Known<'_>], &[FixId])) -> Vec<usize> {
        let ids = ["a#first", "a#second", "a#third"].map(FixId::new);
        let mut known = [
            fix(&ids[0], 0.05, 0.2, 5.0),
            fix(&ids[1], 0.1, 0.3, 10.0),
            fix(&ids[2], 0.4, 0.6, 8.0),
        ];
        change(&mut known, &ids);
        better(&known)
    }

    #[test]
    fn a_fix_goes_before_what_it_surely_beats_and_no_further() {
        assert_eq!(order(|_, _| {}), [2, 0, 1]);
        // Overlapping intervals are no proof.
        assert_eq!(order(|known, _| known[1].share.high = 0.45), [2, 0, 1]);
        assert_eq!(order(|known, _| known[0].share.high = 0.45), [0, 2, 1]);
        // More cases, but not worth the minutes.
        assert_eq!(order(|known, _| known[2].minutes = 60.0), [0, 1, 2]);
    }

    #[test]
    fn order_of_safety_roles_and_hazards_are_kept() {
        let hazards = ["mains".to_owned()];
        let after = |known: &mut [Known<'_>], ids: &[FixId]| {
            known[2].after.insert(Before::Fix(ids[0].clone()));
        };
        assert_eq!(order(after), [0, 2, 1]);
        assert_eq!(order(|known, _| known[2].role = 2), [0, 1, 2]);
        let ids = ["a#first", "a#second"].map(FixId::new);
        let mut known = [fix(&ids[0], 0.05, 0.2, 5.0), fix(&ids[1], 0.4, 0.6, 5.0)];
        known[1].hazards = &hazards;
        assert_eq!(better(&known), [0, 1]);
        known[0].hazards = &hazards;
        assert_eq!(better(&known), [1, 0]);
    }
}
