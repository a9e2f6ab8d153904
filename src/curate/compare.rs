//! Two versions of the articles: what a change means before it goes live.
//!
//! What protects people and is taken away comes first: hazards, their cautions, roles, `after`,
//! stop-words and what to do at a danger. Then fixes that are dropped with the cases they ended,
//! evidence that nothing lists any more, orders, figures and words. Ids are followed through `was`.

use super::wording::{Change, Piece, pieces};
use crate::articles::model::{Article, Before, Check, Fix, Work};
use crate::articles::{Catalog, Settings};
use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::evidence::Evidence;
use serde::Serialize;
use std::collections::BTreeSet;

/// One version.
#[derive(Clone, Copy, Debug)]
pub struct Version<'a> {
    /// The articles in force.
    pub catalog: &'a Catalog,
    /// What `kb.toml` says.
    pub settings: &'a Settings,
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
    /// A step of what to do at once.
    DoNow,
    /// A hazard of a check or a fix.
    Hazard,
    /// Words of a hazard's caution.
    Caution,
    /// Who may do it: now an earlier role.
    Role,
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

/// A fix that is no longer listed anywhere.
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
    /// Fixes no longer listed, those that ended most cases first.
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
    let mut removals = Vec::new();
    hazards(old.settings, new.settings, &mut removals);
    dangers(old.catalog, new.catalog, &mut removals);
    works(old, new, &mut removals);
    removals.sort();
    removals.dedup();
    Report {
        removals,
        dropped: dropped(old, new),
        orphaned: orphaned(old.evidence, new.evidence),
        articles: articles(old, new),
        asked: 0,
        moved: Vec::new(),
    }
}

fn removal(what: Protection, place: impl ToString, words: impl Into<String>) -> Removal {
    Removal {
        what,
        place: place.to_string(),
        words: words.into(),
    }
}

/// Cautions that lost words, and hazards that more roles may work at.
fn hazards(old: &Settings, new: &Settings, out: &mut Vec<Removal>) {
    for (name, was) in &old.hazards {
        let Some(now) = new.hazards.get(name) else {
            out.push(removal(
                Protection::Caution,
                name,
                format!("the hazard is gone: {}", was.caution),
            ));
            continue;
        };
        let lost = lost_words(&was.caution, &now.caution);
        if !lost.is_empty() {
            out.push(removal(
                Protection::Caution,
                name,
                format!("no longer says: {}", lost.join(" … ")),
            ));
        }
        for role in now.roles.iter().filter(|role| !was.roles.contains(role)) {
            out.push(removal(
                Protection::Role,
                name,
                format!("`{role}` may do such work now"),
            ));
        }
    }
}

fn lost_words(old: &str, new: &str) -> Vec<String> {
    let gone = pieces(old, new)
        .into_iter()
        .filter(|piece| piece.change == Change::Gone);
    gone.map(|piece| piece.text.trim().to_owned())
        .filter(|text| !text.is_empty())
        .collect()
}

fn dangers(old: &Catalog, new: &Catalog, out: &mut Vec<Removal>) {
    for article in old.dangers() {
        let Some(was) = &article.danger else { continue };
        let now = new.article(&article.id).and_then(|now| now.danger.as_ref());
        let Some(now) = now else {
            out.push(removal(
                Protection::Danger,
                &article.id,
                "does not stop the telephone any more",
            ));
            continue;
        };
        for phrase in was
            .stop_words
            .iter()
            .filter(|p| !now.stop_words.contains(p))
        {
            out.push(removal(
                Protection::StopWord,
                &article.id,
                format!("stop-word gone: {phrase}"),
            ));
        }
        for phrase in now.harmless.iter().filter(|p| !was.harmless.contains(p)) {
            out.push(removal(
                Protection::StopWord,
                &article.id,
                format!("now harmless: {phrase}"),
            ));
        }
        for step in &was.do_now {
            // A step that only changed some words shows among the words; one without any likeness is gone.
            let kept = now.do_now.iter().any(|other| other == step);
            if !kept {
                out.push(removal(
                    Protection::DoNow,
                    &article.id,
                    format!("step gone or changed: {step}"),
                ));
            }
        }
    }
}

/// Hazards, roles and `after` of every check and fix that is in both.
fn works(old: Version<'_>, new: Version<'_>, out: &mut Vec<Removal>) {
    for (id, was) in &old.catalog.fixes {
        if let Some(now) = new.catalog.fixes.get(&new.catalog.fix_id(id)) {
            work(
                now.id.as_str(),
                (&was.work, &was.after),
                (&now.work, &now.after),
                new,
                out,
            );
        }
    }
    for (id, was) in &old.catalog.checks {
        if let Some(now) = new.catalog.checks.get(&new.catalog.check_id(id)) {
            work(
                now.id.as_str(),
                (&was.work, &was.after),
                (&now.work, &now.after),
                new,
                out,
            );
        }
    }
}

fn work(
    place: &str,
    (was, was_after): (&Work, &[Before]),
    (now, now_after): (&Work, &[Before]),
    new: Version<'_>,
    out: &mut Vec<Removal>,
) {
    for hazard in was
        .hazards
        .iter()
        .filter(|hazard| !now.hazards.contains(hazard))
    {
        out.push(removal(
            Protection::Hazard,
            place,
            format!("hazard `{hazard}` gone"),
        ));
    }
    let (before, after) = (
        new.settings.rank_of(&was.who),
        new.settings.rank_of(&now.who),
    );
    if before.is_some() && after < before {
        let words = format!("`{}` may do it now, was `{}`", now.who, was.who);
        out.push(removal(Protection::Role, place, words));
    }
    for first in was_after {
        let today = match first {
            Before::Fix(id) => Before::Fix(new.catalog.fix_id(id)),
            Before::Check(id) => Before::Check(new.catalog.check_id(id)),
        };
        if !now_after.contains(&today) {
            out.push(removal(
                Protection::After,
                place,
                format!("no longer after `{first}`"),
            ));
        }
    }
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

fn articles(old: Version<'_>, new: Version<'_>) -> Vec<Changed> {
    let mut all = Vec::new();
    let mut met: BTreeSet<&ArticleId> = BTreeSet::new();
    for was in old.catalog.articles.values() {
        let now = new.catalog.article(&was.id);
        let cases = old
            .evidence
            .articles
            .get(&was.id)
            .map_or(0, |known| known.cases);
        match now {
            Some(now) => {
                met.insert(&now.id);
                all.extend(changed(was, now, cases, old.catalog, new.catalog));
            }
            None => all.push(whole(was, Fate::Gone, cases)),
        }
    }
    let fresh = new
        .catalog
        .articles
        .values()
        .filter(|now| !met.contains(&now.id));
    all.extend(fresh.map(|now| whole(now, Fate::New, 0)));
    all.sort_by(|a, b| a.id.cmp(&b.id));
    all
}

fn whole(article: &Article, fate: Fate, cases: u64) -> Changed {
    Changed {
        id: article.id.clone(),
        title: article.title.clone(),
        fate,
        cases,
        order: None,
        added: Vec::new(),
        removed: Vec::new(),
        parts: Vec::new(),
    }
}

fn changed(
    was: &Article,
    now: &Article,
    cases: u64,
    old: &Catalog,
    new: &Catalog,
) -> Option<Changed> {
    let of =
        |catalog: &Catalog, id: &ArticleId| catalog.fixes_of.get(id).cloned().unwrap_or_default();
    let before: Vec<FixId> = of(old, &was.id).iter().map(|id| new.fix_id(id)).collect();
    let after = of(new, &now.id);
    let common = |list: &[FixId], other: &[FixId]| -> Vec<FixId> {
        list.iter()
            .filter(|id| other.contains(id))
            .cloned()
            .collect()
    };
    let (first, second) = (common(&before, &after), common(&after, &before));
    let mut found = whole(now, Fate::Changed, cases);
    found.order = (first != second).then_some((first, second));
    found.added = after
        .iter()
        .filter(|id| !before.contains(id))
        .cloned()
        .collect();
    found.removed = before
        .into_iter()
        .filter(|id| !after.contains(id))
        .collect();
    found.parts = parts(was, now, new);
    let any = found.order.is_some()
        || !(found.added.is_empty() && found.removed.is_empty() && found.parts.is_empty());
    any.then_some(found)
}

/// Parts by name, old and new.
fn parts(was: &Article, now: &Article, new: &Catalog) -> Vec<Part> {
    let mut parts = Vec::new();
    let mut part = |name: &str, old: &str, new: &str| {
        let words = pieces(old, new);
        if !words.is_empty() {
            parts.push(Part {
                name: name.to_owned(),
                figures_gone: figures(&words, Change::Gone),
                figures_new: figures(&words, Change::New),
                words,
            });
        }
    };
    part("title", &was.title, &now.title);
    part("front matter", &front(was), &front(now));
    part("text", &was.intro, &now.intro);
    let danger = |article: &Article| {
        let danger = article.danger.as_ref();
        danger.map_or_else(String::new, |d| {
            [d.stop_words.join("\n"), d.do_now.join("\n")].join("\n")
        })
    };
    part("danger", &danger(was), &danger(now));
    let own = |article: &Article| -> Vec<(CheckId, String)> {
        let own = article.checks.iter().filter_map(|entry| entry.own());
        own.map(|check| (check.id.clone(), check_text(check)))
            .collect()
    };
    let (before, after) = (own(was), own(now));
    for (id, text) in &before {
        let today = new.check_id(id);
        let now = after.iter().find(|(id, _)| *id == today);
        part(
            &format!("check {}", today.short()),
            text,
            now.map_or("", |(_, text)| text.as_str()),
        );
    }
    for (id, text) in after
        .iter()
        .filter(|(id, _)| !before.iter().any(|(old, _)| new.check_id(old) == *id))
    {
        part(&format!("check {}", id.short()), "", text);
    }
    let own = |article: &Article| -> Vec<(FixId, String)> {
        let own = article.fixes.iter().filter_map(|entry| entry.own());
        own.map(|fix| (fix.id.clone(), fix_text(fix))).collect()
    };
    let (before, after) = (own(was), own(now));
    for (id, text) in &before {
        let today = new.fix_id(id);
        let now = after.iter().find(|(id, _)| *id == today);
        part(
            &format!("fix {}", today.short()),
            text,
            now.map_or("", |(_, text)| text.as_str()),
        );
    }
    for (id, text) in after
        .iter()
        .filter(|(id, _)| !before.iter().any(|(old, _)| new.fix_id(old) == *id))
    {
        part(&format!("fix {}", id.short()), "", text);
    }
    parts
}

fn front(article: &Article) -> String {
    let signs: Vec<String> = article
        .signs
        .iter()
        .map(|(name, state)| format!("{name} {state}"))
        .collect();
    let firmware = article
        .firmware
        .as_ref()
        .map(ToString::to_string)
        .unwrap_or_default();
    [
        article.devices.join(", "),
        firmware,
        article.symptoms.join("\n"),
        article.codes.join(", "),
        signs.join(", "),
    ]
    .join("\n")
}

fn work_text(work: &Work, after: &[Before]) -> String {
    let after: Vec<String> = after.iter().map(ToString::to_string).collect();
    format!(
        "minutes {} who {} hazards {} after {}\n{}",
        work.minutes,
        work.who,
        work.hazards.join(", "),
        after.join(", "),
        work.markdown
    )
}

fn check_text(check: &Check) -> String {
    let work = work_text(&check.work, &check.after);
    format!(
        "{}\nanswers {}\n{work}",
        check.question,
        check.answers.join(", ")
    )
}

fn fix_text(fix: &Fix) -> String {
    let expect: Vec<String> = fix
        .expect
        .iter()
        .map(|(check, answer)| format!("{check}:{answer}"))
        .collect();
    let work = work_text(&fix.work, &fix.after);
    format!(
        "{}\nkind {} expect {} {work}",
        fix.title,
        fix.kind,
        expect.join(", ")
    )
}

/// Words with a digit on one side alone.
fn figures(words: &[Piece], side: Change) -> Vec<String> {
    let pieces = words.iter().filter(|piece| piece.change == side);
    let words = pieces.flat_map(|piece| piece.text.split_whitespace());
    let figures = words.filter(|word| word.contains(|c: char| c.is_ascii_digit()));
    figures
        .map(|word| word.trim_matches(|c: char| ",.;:()".contains(c)).to_owned())
        .collect()
}
