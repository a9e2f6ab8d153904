//! What people wrote: articles, fixes, checks, `kb.toml` and `words.toml`, and the core's word lists.

use super::Parts;
use crate::articles::Settings;
use crate::articles::model::{Article, Before, Check, Danger, Fix};
use crate::articles::settings::Device;
use crate::base::common;
use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::base::negation::{self, WordLists};
use crate::base::text::Words;
use crate::pack::content::Source;
use serde::Serialize;

/// The tables of `words.toml` as lists: an object of a script puts names that are numbers first.
#[derive(Serialize)]
pub(super) struct WordsPart<'a> {
    same: Vec<(&'a String, &'a Vec<String>)>,
    short: Vec<(&'a String, &'a String)>,
    apart: Vec<(&'a String, &'a Vec<String>)>,
    groups: Vec<(&'a String, &'a Vec<String>)>,
}

#[derive(Serialize)]
pub(super) struct Lists {
    common: &'static [&'static str],
    negation: Vec<(&'static str, &'static [&'static str])>,
    lexical: &'static [&'static [&'static str]],
}

#[derive(Serialize)]
pub(super) struct SettingsPart<'a> {
    roles: &'a [String],
    hand_on_minutes: f64,
    devices: Vec<DevicePart<'a>>,
    hazards: Vec<HazardPart<'a>>,
}

#[derive(Serialize)]
pub(super) struct DevicePart<'a> {
    id: &'a str,
    title: &'a str,
    codes: &'a [String],
    lamps: Vec<LampPart<'a>>,
}

#[derive(Serialize)]
pub(super) struct LampPart<'a> {
    name: &'a str,
    at: Option<[f64; 2]>,
    states: &'a [String],
}

#[derive(Serialize)]
pub(super) struct HazardPart<'a> {
    id: &'a str,
    caution: &'a str,
    roles: &'a [String],
}

#[derive(Serialize)]
pub(super) struct ArticlePart<'a> {
    id: &'a ArticleId,
    title: &'a str,
    area: &'a str,
    devices: &'a [String],
    firmware: Option<String>,
    codes: &'a [String],
    signs: Vec<(&'a String, &'a String)>,
    danger: Option<DangerPart<'a>>,
    fixes: Vec<usize>,
    checks: Vec<usize>,
}

#[derive(Serialize)]
pub(super) struct DangerPart<'a> {
    stop: &'a [String],
    harmless: &'a [String],
    own: Vec<&'a str>,
    do_now: &'a [String],
}

#[derive(Serialize)]
pub(super) struct FixPart<'a> {
    id: &'a FixId,
    title: &'a str,
    kind: &'a str,
    expect: &'a [(CheckId, String)],
    after: Vec<String>,
    minutes: f64,
    who: &'a str,
    hazards: &'a [String],
    articles: Vec<usize>,
}

#[derive(Serialize)]
pub(super) struct CheckPart<'a> {
    id: &'a CheckId,
    question: &'a str,
    answers: &'a [String],
    after: Vec<String>,
    minutes: f64,
    who: &'a str,
    hazards: &'a [String],
}

impl<'a> Parts<'a> {
    pub(super) fn articles(&self) -> Vec<ArticlePart<'a>> {
        let Source {
            catalog,
            stop_words,
            ..
        } = *self.source;
        let part = |article: &'a Article| ArticlePart {
            id: &article.id,
            title: &article.title,
            area: &article.area,
            devices: &article.devices,
            firmware: article.firmware.as_ref().map(ToString::to_string),
            codes: &article.codes,
            signs: article.signs.iter().collect(),
            danger: article.danger.as_ref().map(|danger: &Danger| DangerPart {
                stop: &danger.stop_words,
                harmless: &danger.harmless,
                own: stop_words.own_words(&article.id).collect(),
                do_now: &danger.do_now,
            }),
            fixes: self.numbers_of_fixes(&article.id),
            checks: (catalog.checks_of.get(&article.id).into_iter().flatten())
                .filter_map(|check| self.check(check))
                .collect(),
        };
        let chosen = self.chosen.articles.iter();
        chosen.map(|id| part(&catalog.articles[id])).collect()
    }

    fn numbers_of_fixes(&self, article: &ArticleId) -> Vec<usize> {
        let fixes = self.source.catalog.fixes_of.get(article);
        let fixes = fixes.into_iter().flatten();
        fixes.filter_map(|fix| self.fix(fix)).collect()
    }

    pub(super) fn fixes(&self) -> Vec<FixPart<'a>> {
        let catalog = self.source.catalog;
        let part = |fix: &'a Fix| FixPart {
            id: &fix.id,
            title: &fix.title,
            kind: &fix.kind,
            expect: &fix.expect,
            after: steps(&fix.after),
            minutes: fix.work.minutes,
            who: &fix.work.who,
            hazards: &fix.work.hazards,
            articles: (catalog.articles_of.get(&fix.id).into_iter().flatten())
                .filter_map(|article| self.article(article))
                .collect(),
        };
        let chosen = self.chosen.fixes.iter();
        chosen.map(|id| part(&catalog.fixes[id])).collect()
    }

    pub(super) fn checks(&self) -> Vec<CheckPart<'a>> {
        let part = |check: &'a Check| CheckPart {
            id: &check.id,
            question: &check.question,
            answers: &check.answers,
            after: steps(&check.after),
            minutes: check.work.minutes,
            who: &check.work.who,
            hazards: &check.work.hazards,
        };
        let chosen = self.chosen.checks.iter();
        let checks = &self.source.catalog.checks;
        chosen.map(|id| part(&checks[id])).collect()
    }
}

fn steps(after: &[Before]) -> Vec<String> {
    let step = |before: &Before| match before {
        Before::Fix(id) => format!("fix {id}"),
        Before::Check(id) => format!("check {id}"),
    };
    after.iter().map(step).collect()
}

fn device<'a>(id: &'a str, device: &'a Device) -> DevicePart<'a> {
    DevicePart {
        id,
        title: &device.title,
        codes: &device.codes,
        lamps: (device.lamps.iter())
            .map(|lamp| LampPart {
                name: &lamp.name,
                at: lamp.at,
                states: &lamp.states,
            })
            .collect(),
    }
}

pub(super) fn settings(settings: &Settings) -> SettingsPart<'_> {
    SettingsPart {
        roles: &settings.roles,
        hand_on_minutes: settings.hand_on_minutes,
        devices: (settings.devices.iter())
            .map(|(id, found)| device(id, found))
            .collect(),
        hazards: (settings.hazards.iter())
            .map(|(id, hazard)| HazardPart {
                id,
                caution: &hazard.caution,
                roles: &hazard.roles,
            })
            .collect(),
    }
}

pub(super) fn words(words: &Words) -> WordsPart<'_> {
    WordsPart {
        same: words.same.iter().collect(),
        short: words.short.iter().collect(),
        apart: words.apart.iter().collect(),
        groups: words.groups.iter().collect(),
    }
}

pub(super) fn lists() -> Lists {
    let WordLists { single, lexical } = negation::word_lists();
    Lists {
        common: common::words(),
        negation: single,
        lexical,
    }
}
