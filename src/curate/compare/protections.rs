//! What protects people and is less than it was.

use super::{Protection, Removal, Version};
use crate::articles::model::{Before, Work};
use crate::articles::sayings::Saying;
use crate::articles::{Catalog, Settings};
use crate::base::text::Words;
use crate::curate::wording::{Change, pieces};
use std::collections::BTreeSet;

/// Everything taken away, by sort, place and words.
pub(super) fn removals(old: Version<'_>, new: Version<'_>) -> Vec<Removal> {
    let mut removals = Vec::new();
    hazards(old.settings, new.settings, &mut removals);
    dangers(old.written, new.written, &mut removals);
    groups(old.words, new.words, &mut removals);
    sayings(old.sayings, new.sayings, &mut removals);
    works(old, new, &mut removals);
    removals.sort();
    removals.dedup();
    removals
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
        for step in was.do_now.iter().filter(|step| !now.do_now.contains(step)) {
            out.push(removal(
                Protection::DoNow,
                &article.id,
                format!("step gone or changed: {step}"),
            ));
        }
    }
}

/// Words that stop-words name together.
fn groups(old: &Words, new: &Words, out: &mut Vec<Removal>) {
    for (name, was) in &old.groups {
        let mut lost =
            |words: String| out.push(removal(Protection::StopWord, format!("<{name}>"), words));
        let Some(now) = new.groups.get(name) else {
            lost("the group is gone: no stop-word that names it is heard".to_owned());
            continue;
        };
        let gone: Vec<&str> = was
            .iter()
            .filter(|word| !now.contains(word))
            .map(String::as_str)
            .collect();
        if !gone.is_empty() {
            lost(format!("no longer holds: {}", gone.join(", ")));
        }
    }
}

/// Each saying by itself is no protection; how many there are is.
fn sayings(old: &[Saying], new: &[Saying], out: &mut Vec<Removal>) {
    let kept: BTreeSet<&str> = new
        .iter()
        .filter(|s| s.stops)
        .map(|s| s.said.as_str())
        .collect();
    let dangers = old.iter().filter(|s| s.stops);
    let gone: Vec<&Saying> = dangers
        .filter(|s| !kept.contains(s.said.as_str()))
        .collect();
    if let Some(first) = gone.first() {
        let more = match gone.len() - 1 {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let words = format!("taught how a danger sounds: {}{more}", first.said);
        out.push(removal(Protection::Saying, "sayings", words));
    }
}

/// Hazards, roles and `after` of every check and fix that is in both.
fn works(old: Version<'_>, new: Version<'_>, out: &mut Vec<Removal>) {
    let (was, now) = (old.written, new.written);
    let fixes = was.fixes.iter().filter_map(|(id, fix)| {
        let today = now.fixes.get(&now.fix_id(id))?;
        Some((
            today.id.to_string(),
            (&fix.work, &fix.after),
            (&today.work, &today.after),
        ))
    });
    let checks = was.checks.iter().filter_map(|(id, check)| {
        let today = now.checks.get(&now.check_id(id))?;
        Some((
            today.id.to_string(),
            (&check.work, &check.after),
            (&today.work, &today.after),
        ))
    });
    for (place, (was, was_after), (now, now_after)) in fixes.chain(checks) {
        work(&place, was, now, new.settings, out);
        for first in was_after {
            let today = match first {
                Before::Fix(id) => Before::Fix(new.written.fix_id(id)),
                Before::Check(id) => Before::Check(new.written.check_id(id)),
            };
            if !now_after.contains(&today) {
                let words = format!("no longer after `{first}`");
                out.push(removal(Protection::After, &place, words));
            }
        }
    }
}

fn work(place: &str, was: &Work, now: &Work, settings: &Settings, out: &mut Vec<Removal>) {
    let gone = was
        .hazards
        .iter()
        .filter(|hazard| !now.hazards.contains(hazard));
    for hazard in gone {
        let words = format!("hazard `{hazard}` gone");
        out.push(removal(Protection::Hazard, place, words));
    }
    if let (Some(first), false) = (was.steps.first(), was.hazards.is_empty())
        && now.steps.first() != Some(first)
    {
        let words = format!("no longer begins with: {first}");
        out.push(removal(Protection::FirstStep, place, words));
    }
    let (before, after) = (settings.rank_of(&was.who), settings.rank_of(&now.who));
    if before.is_some() && after < before {
        let words = format!("`{}` may do it now, was `{}`", now.who, was.who);
        out.push(removal(Protection::Role, place, words));
    }
}
