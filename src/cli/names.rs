//! Names as people type them on a command line, checked against the knowledge base; a name that is
//! not known fails with the nearest ones.

use super::Failure;
use crate::articles::{Catalog, Settings};
use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::base::problem::{did_you_mean, nearest};
use crate::call::advice::answer_of;
use std::collections::BTreeSet;

/// The names of a knowledge base.
#[derive(Clone, Copy)]
pub(crate) struct Names<'a> {
    pub(crate) settings: &'a Settings,
    pub(crate) catalog: &'a Catalog,
}

impl Names<'_> {
    pub(crate) fn device(self, text: &str) -> Result<String, Failure> {
        let devices = self.settings.devices.keys().map(String::as_str);
        known("device", text, devices)
    }

    pub(crate) fn role(self, text: &str) -> Result<String, Failure> {
        let roles = self.settings.roles.iter().map(String::as_str);
        known("role", text, roles)
    }

    pub(crate) fn code(self, text: &str) -> Result<String, Failure> {
        let devices = self.settings.devices.values();
        let codes: BTreeSet<&str> = devices.flat_map(|d| &d.codes).map(String::as_str).collect();
        known("code", text, codes)
    }

    /// `NAME=STATE`.
    pub(crate) fn sign(self, text: &str) -> Result<(String, String), Failure> {
        let (lamp, state) = pair(text, "NAME=STATE")?;
        let signs = self.settings.signs();
        let lamp = known("indicator", lamp, signs.keys().copied())?;
        let states = signs.get(lamp.as_str()).cloned().unwrap_or_default();
        let state = known(&format!("state of `{lamp}`"), state, states)?;
        Ok((lamp, state))
    }

    /// `CHECK=ANSWER`.
    pub(crate) fn seen(self, text: &str) -> Result<(CheckId, String), Failure> {
        let (check, said) = pair(text, "CHECK=ANSWER")?;
        let checks = self.catalog.checks.keys().map(CheckId::as_str);
        let id = full_id(check, "check", checks)?;
        let id = self
            .catalog
            .resolve_check(None, &id)
            .unwrap_or_else(|| CheckId::new(&id));
        let answer = answer_of(&id, said, self.catalog).ok_or_else(|| {
            let check = self.catalog.checks.get(&id);
            let answers = check.map(|c| c.answers.join("`, `")).unwrap_or_default();
            Failure::new(format!("`{said}` is no answer to `{id}`"))
                .hint(format!("one of `{answers}`"))
        })?;
        Ok((id, answer))
    }

    pub(crate) fn fix(self, text: &str) -> Result<FixId, Failure> {
        if let Some(id) = self.catalog.resolve_fix(None, text) {
            return Ok(id);
        }
        let fixes = self.catalog.fixes.keys().map(FixId::as_str);
        full_id(text, "fix", fixes).map(|id| FixId::new(&id))
    }

    pub(crate) fn article(self, text: &str) -> Result<ArticleId, Failure> {
        if let Some(article) = self.catalog.article(&ArticleId::new(text)) {
            return Ok(article.id.clone());
        }
        let articles = self.catalog.articles.keys().map(ArticleId::as_str);
        known("article", text, articles).map(|id| ArticleId::new(&id))
    }

    pub(crate) fn danger(self, text: &str) -> Result<ArticleId, Failure> {
        let ids: Vec<&str> = self.catalog.dangers().map(|a| a.id.as_str()).collect();
        known("danger article", text, ids).map(|id| ArticleId::new(&id))
    }
}

/// One of the known names, or a failure that offers the nearest.
fn known<'a>(
    what: &str,
    found: &str,
    names: impl IntoIterator<Item = &'a str> + Clone,
) -> Result<String, Failure> {
    if let Some(name) = names
        .clone()
        .into_iter()
        .find(|n| n.eq_ignore_ascii_case(found))
    {
        return Ok(name.to_owned());
    }
    let failure = Failure::new(format!(
        "there is no {what} `{found}` in this knowledge base"
    ));
    Err(match did_you_mean(found, names.clone()) {
        Some(hint) => failure.hint(hint),
        None => {
            let names: Vec<String> = names
                .into_iter()
                .take(12)
                .map(|n| format!("`{n}`"))
                .collect();
            if names.is_empty() {
                failure
            } else {
                failure.hint(format!("one of {}", names.join(", ")))
            }
        }
    })
}

fn pair<'a>(text: &'a str, form: &str) -> Result<(&'a str, &'a str), Failure> {
    text.rsplit_once('=')
        .map(|(a, b)| (a.trim(), b.trim()))
        .ok_or_else(|| Failure::new(format!("expected `{form}`, but found `{text}`")))
}

/// A full id, or a short one that only one article has.
fn full_id<'a>(
    text: &str,
    what: &str,
    ids: impl Iterator<Item = &'a str> + Clone,
) -> Result<String, Failure> {
    if !text.contains('#') {
        let ending = format!("#{text}");
        let of_name: Vec<&str> = ids.clone().filter(|id| id.ends_with(&ending)).collect();
        match of_name[..] {
            [one] => return Ok(one.to_owned()),
            [] => return Err(near_short(text, what, ids)),
            _ => {
                let several = if what == "fix" { "fixes" } else { "checks" };
                return Err(
                    Failure::new(format!("`{text}` is the name of several {several}"))
                        .hint(format!("one of `{}`", of_name.join("`, `"))),
                );
            }
        }
    }
    known(what, text, ids)
}

/// A short id that no article has: the nearest short ones, in full.
fn near_short<'a>(text: &str, what: &str, ids: impl Iterator<Item = &'a str> + Clone) -> Failure {
    let short = |id: &'a str| id.rsplit('#').next().unwrap_or(id);
    let names: BTreeSet<&str> = ids.clone().map(short).collect();
    let full: Vec<String> = nearest(text, names)
        .into_iter()
        .flat_map(|name| ids.clone().filter(move |id| short(id) == name))
        .map(|id| format!("`{id}`"))
        .collect();
    let failure = Failure::new(format!(
        "there is no {what} `{text}` in this knowledge base"
    ));
    if full.is_empty() {
        failure.hint(format!(
            "the name in full, `ARTICLE#{}`; `fixtally show ARTICLE` lists them",
            what.to_uppercase()
        ))
    } else {
        failure.hint(format!("did you mean {}?", full.join(" or ")))
    }
}
