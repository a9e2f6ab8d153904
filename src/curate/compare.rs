//! Two versions of the articles: what a change means before it goes live.
//!
//! What protects people and is taken away comes first: hazards, their cautions, roles, `after`,
//! stop-words and what to do at a danger. Then errors that are new, fixes that are dropped with the
//! cases they ended, evidence that nothing lists any more, orders, figures and words. Ids are followed
//! through `was`.
//!
//! What protects people and what is worded how is compared as it is written, with errors and all: a fix
//! whose role falls below its hazard is not served any more, and that is not the first thing to say.

mod articles;
mod protections;

use super::wording::Piece;
use crate::articles::sayings::Saying;
use crate::articles::{Catalog, Settings};
use crate::base::ids::{ArticleId, FixId};
use crate::base::problem::{Grade, Problem};
use crate::base::text::Words;
use crate::evidence::Evidence;
use serde::Serialize;
use std::collections::BTreeSet;

/// One version.
#[derive(Clone, Copy, Debug)]
pub struct Version<'a> {
    /// The articles in force.
    pub catalog: &'a Catalog,
    /// All live articles as they are written, what has errors and is not served among them.
    pub written: &'a Catalog,
    /// What lint says.
    pub problems: &'a [Problem],
    /// What `kb.toml` says.
    pub settings: &'a Settings,
    /// What `words.toml` says: stop-words name its groups.
    pub words: &'a Words,
    /// What taught how dangers sound.
    pub sayings: &'a [Saying],
    /// What the tickets say about them.
    pub evidence: &'a Evidence,
}

/// What protects people and is less than it was.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Protection {
    /// An article that stops the telephone.
    Danger,
    /// A phrase that stops it.
    StopWord,
    /// A saying that taught how a danger sounds.
    Saying,
    /// A step of what to do at once.
    DoNow,
    /// A hazard of a check or a fix.
    Hazard,
    /// Words of a hazard's caution.
    Caution,
    /// Who may do it: now an earlier role.
    Role,
    /// How work with a hazard begins.
    FirstStep,
    /// What must be done before.
    After,
}

/// Something that protects people and was taken away.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Removal {
    /// What sort of thing.
    pub what: Protection,
    /// The article, check, fix or hazard.
    pub place: String,
    /// What exactly, in words.
    pub words: String,
}

/// A fix that is no longer served anywhere.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Dropped {
    /// The fix.
    pub fix: FixId,
    /// Its title.
    pub title: String,
    /// Cases it ended.
    pub ended: u64,
    /// Cases it was tried in.
    pub tries: u64,
}

/// One part of an article whose words changed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Part {
    /// Which part.
    pub name: String,
    /// Old against new, word by word.
    pub words: Vec<Piece>,
    /// Figures that are gone.
    pub figures_gone: Vec<String>,
    /// Figures that are new.
    pub figures_new: Vec<String>,
}

/// What became of an article.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Fate {
    /// It is served now and was not.
    New,
    /// It was served and is not.
    Gone,
    /// It changed.
    Changed,
}

/// An article with what changed in it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Changed {
    /// The article, by its newest id.
    pub id: ArticleId,
    /// Its title.
    pub title: String,
    /// What became of it.
    pub fate: Fate,
    /// Its cases.
    pub cases: u64,
    /// The author's order before and after, where fixes in both changed places.
    pub order: Option<(Vec<FixId>, Vec<FixId>)>,
    /// Fixes it lists now and did not.
    pub added: Vec<FixId>,
    /// Fixes it listed and does not; other articles may.
    pub removed: Vec<FixId>,
    /// Parts whose words changed.
    pub parts: Vec<Part>,
}

/// A question whose first answer is another one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Moved {
    /// The ticket it was asked in.
    pub ticket: String,
    /// The first fix or danger before.
    pub before: String,
    /// The same after.
    pub after: String,
}

/// Everything that changed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// What protects people and was taken away.
    pub removals: Vec<Removal>,
    /// Errors that only the new version has: what they stand in is not served.
    pub faults: Vec<Problem>,
    /// Errors of the old version that the new one has not: what they stand in was not served.
    pub mended: Vec<Problem>,
    /// Fixes no longer served, those that ended most cases first.
    pub dropped: Vec<Dropped>,
    /// Names that tickets use and nothing lists any more, with the tries they stand for.
    pub orphaned: Vec<(String, u64)>,
    /// Articles that changed, by id.
    pub articles: Vec<Changed>,
    /// How many questions were asked of both versions.
    pub asked: usize,
    /// Those whose first answer is another one.
    pub moved: Vec<Moved>,
}

/// Compares; the answers to past questions are put in by the caller.
#[must_use]
pub fn compare(old: Version<'_>, new: Version<'_>) -> Report {
    Report {
        removals: protections::removals(old, new),
        faults: faults(old, new),
        mended: faults(new, old),
        dropped: dropped(old, new),
        orphaned: orphaned(old.evidence, new.evidence),
        articles: articles::changed(old, new),
        asked: 0,
        moved: Vec::new(),
    }
}

/// Errors of the new version that the old one has not.
///
/// Lines move when text is added, so an error is the same where it says the same of the same file.
fn faults(old: Version<'_>, new: Version<'_>) -> Vec<Problem> {
    let about = |problem: &Problem| {
        (
            problem.rule,
            problem.place.file.clone(),
            problem.message.clone(),
        )
    };
    let known: BTreeSet<_> = old.problems.iter().map(about).collect();
    let errors = new.problems.iter().filter(|p| p.grade == Grade::Error);
    errors
        .filter(|p| !known.contains(&about(p)))
        .cloned()
        .collect()
}

fn dropped(old: Version<'_>, new: Version<'_>) -> Vec<Dropped> {
    let mut dropped: Vec<Dropped> = old
        .catalog
        .fixes
        .iter()
        .filter(|(id, _)| !new.catalog.fixes.contains_key(&new.catalog.fix_id(id)))
        .map(|(id, fix)| {
            let known = old.evidence.fixes.get(id);
            Dropped {
                fix: id.clone(),
                title: fix.title.clone(),
                ended: known.map_or(0, |known| known.resolved),
                tries: known.map_or(0, |known| known.tries),
            }
        })
        .collect();
    dropped.sort_by(|a, b| b.ended.cmp(&a.ended).then_with(|| a.fix.cmp(&b.fix)));
    dropped
}

fn orphaned(old: &Evidence, new: &Evidence) -> Vec<(String, u64)> {
    let known: BTreeSet<&str> = old
        .orphans
        .iter()
        .map(|orphan| orphan.fix.as_str())
        .collect();
    let orphans = new
        .orphans
        .iter()
        .filter(|orphan| !known.contains(orphan.fix.as_str()));
    let mut all: Vec<(String, u64)> = orphans.map(|o| (o.fix.clone(), o.tries)).collect();
    let gone = new.gone_articles.iter();
    let gone = gone.filter(|(id, _)| !old.gone_articles.contains_key(*id));
    all.extend(gone.map(|(id, tickets)| (id.to_string(), *tickets)));
    all
}
