//! What goes into a pack: all live articles, or those of some devices and areas.
//!
//! Danger articles always go in, and so does what must be done before something that does: a pack
//! must not lose a caution by being small.

use crate::articles::model::Before;
use crate::articles::{Article, Catalog};
use crate::base::ids::{ArticleId, CheckId, FixId};
use serde::Serialize;
use std::collections::BTreeSet;

/// What was asked for; empty lists mean everything.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Wish {
    /// The role that will read it: steps that it may not do are left out.
    pub role: Option<String>,
    /// Devices, by id.
    pub devices: Vec<String>,
    /// Areas: folders below `articles/`.
    pub areas: Vec<String>,
}

/// What goes in, each list in order of ids.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Chosen {
    /// Articles.
    pub articles: Vec<ArticleId>,
    /// Fixes of these articles.
    pub fixes: Vec<FixId>,
    /// Checks of these articles.
    pub checks: Vec<CheckId>,
}

impl Wish {
    fn wants(&self, article: &Article) -> bool {
        let of_device = self.devices.is_empty()
            || article.devices.is_empty()
            || article.devices.iter().any(|d| self.devices.contains(d));
        let of_area = self.areas.is_empty() || self.areas.contains(&article.area);
        article.danger.is_some() || (of_device && of_area)
    }

    /// Chooses from the articles in force.
    #[must_use]
    pub fn choose(&self, catalog: &Catalog) -> Chosen {
        let mut articles: BTreeSet<ArticleId> = BTreeSet::new();
        let wanted = catalog.articles.values().filter(|a| self.wants(a));
        let mut to_visit: Vec<ArticleId> = wanted.map(|a| a.id.clone()).collect();
        while let Some(id) = to_visit.pop() {
            if articles.insert(id.clone()) {
                to_visit.extend(needed_by(&id, catalog));
            }
        }
        let fixes: BTreeSet<&FixId> = articles
            .iter()
            .flat_map(|id| catalog.fixes_of.get(id).into_iter().flatten())
            .collect();
        let checks: BTreeSet<&CheckId> = articles
            .iter()
            .flat_map(|id| catalog.checks_of.get(id).into_iter().flatten())
            .collect();
        Chosen {
            fixes: fixes.into_iter().cloned().collect(),
            checks: checks.into_iter().cloned().collect(),
            articles: articles.into_iter().collect(),
        }
    }
}

/// The articles in which the things are written that an article's fixes and checks come after.
fn needed_by(id: &ArticleId, catalog: &Catalog) -> Vec<ArticleId> {
    let fixes = catalog.fixes_of.get(id).into_iter().flatten();
    let checks = catalog.checks_of.get(id).into_iter().flatten();
    let after = fixes
        .filter_map(|fix| Some(&catalog.fixes.get(fix)?.after))
        .chain(checks.filter_map(|check| Some(&catalog.checks.get(check)?.after)));
    after
        .flatten()
        .map(|before| match before {
            Before::Fix(fix) => fix.article(),
            Before::Check(check) => check.article(),
        })
        .filter(|article| catalog.articles.contains_key(article))
        .collect()
}
