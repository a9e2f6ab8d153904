//! All articles joined: links resolved, old ids known, what is unfit left out.

use super::model::{Article, Check, Fix, State};
use crate::base::ids::{ArticleId, CheckId, FixId};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The articles in force, with every fix and check under its one identity.
///
/// Holds what may be served: live articles without errors, fixes without errors. What was left
/// out is in the problems of the step that built it.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Catalog {
    /// Live articles by id.
    pub articles: BTreeMap<ArticleId, Article>,
    /// Fixes by full id.
    pub fixes: BTreeMap<FixId, Fix>,
    /// Checks by full id.
    pub checks: BTreeMap<CheckId, Check>,
    /// The fixes of an article in the author's order, shared ones included.
    pub fixes_of: BTreeMap<ArticleId, Vec<FixId>>,
    /// The checks of an article in the author's order, shared ones included.
    pub checks_of: BTreeMap<ArticleId, Vec<CheckId>>,
    /// The articles that offer a fix, by id.
    pub articles_of: BTreeMap<FixId, Vec<ArticleId>>,
    /// Old article ids and what they are called now.
    pub renamed_articles: BTreeMap<ArticleId, ArticleId>,
    /// Old fix ids and what they are called now.
    pub renamed_fixes: BTreeMap<FixId, FixId>,
    /// Old check ids and what they are called now.
    pub renamed_checks: BTreeMap<CheckId, CheckId>,
}

impl Catalog {
    /// The article of today's or an old id.
    #[must_use]
    pub fn article(&self, id: &ArticleId) -> Option<&Article> {
        self.articles
            .get(self.renamed_articles.get(id).unwrap_or(id))
    }

    /// The present id of a fix: renames of the fix and of its article are followed.
    #[must_use]
    pub fn fix_id(&self, id: &FixId) -> FixId {
        if let Some(now) = self.renamed_fixes.get(id) {
            return now.clone();
        }
        match self.renamed_articles.get(&id.article()) {
            Some(article) if !self.fixes.contains_key(id) => {
                let moved = FixId::of(article, id.short());
                self.renamed_fixes.get(&moved).cloned().unwrap_or(moved)
            }
            _ => id.clone(),
        }
    }

    /// The present id of a check: renames of the check and of its article are followed.
    #[must_use]
    pub fn check_id(&self, id: &CheckId) -> CheckId {
        if let Some(now) = self.renamed_checks.get(id) {
            return now.clone();
        }
        match self.renamed_articles.get(&id.article()) {
            Some(article) if !self.checks.contains_key(id) => {
                let moved = CheckId::of(article, id.short());
                self.renamed_checks.get(&moved).cloned().unwrap_or(moved)
            }
            _ => id.clone(),
        }
    }

    /// The full id of a fix as a ticket or a person names it: a full id of any article, or a
    /// short one of `article`. Links of the article count as its own: `restart` finds
    /// `controller-restart#restart` where the article links to that.
    #[must_use]
    pub fn resolve_fix(&self, article: Option<&ArticleId>, name: &str) -> Option<FixId> {
        if name.contains('#') {
            let id = self.fix_id(&FixId::new(name));
            return self.fixes.contains_key(&id).then_some(id);
        }
        let article = self.article(article?)?;
        let own = self.fix_id(&FixId::of(&article.id, name));
        if self.fixes.contains_key(&own) {
            return Some(own);
        }
        self.fixes_of
            .get(&article.id)?
            .iter()
            .find(|id| id.short() == name)
            .cloned()
    }

    /// The full id of a check as a ticket or a person names it; as [`Self::resolve_fix`].
    #[must_use]
    pub fn resolve_check(&self, article: Option<&ArticleId>, name: &str) -> Option<CheckId> {
        if name.contains('#') {
            let id = self.check_id(&CheckId::new(name));
            return self.checks.contains_key(&id).then_some(id);
        }
        let article = self.article(article?)?;
        let own = self.check_id(&CheckId::of(&article.id, name));
        if self.checks.contains_key(&own) {
            return Some(own);
        }
        self.checks_of
            .get(&article.id)?
            .iter()
            .find(|id| id.short() == name)
            .cloned()
    }

    /// Live danger articles, by id.
    pub fn dangers(&self) -> impl Iterator<Item = &Article> {
        self.articles.values().filter(|a| a.danger.is_some())
    }

    /// Joins articles that were found fit to serve: drafts and withdrawn ones are left out, links
    /// to what is not served drop out. Double ids must have been removed before; the last wins.
    #[must_use]
    pub fn join(articles: impl IntoIterator<Item = Article>) -> Self {
        let mut joined = Self::default();
        for article in articles.into_iter().filter(|a| a.state == State::Live) {
            for fix in article.fixes.iter().filter_map(|e| e.own()) {
                for old in &fix.was {
                    joined.renamed_fixes.insert(old.clone(), fix.id.clone());
                }
                joined.fixes.insert(fix.id.clone(), fix.clone());
            }
            for check in article.checks.iter().filter_map(|e| e.own()) {
                for old in &check.was {
                    joined.renamed_checks.insert(old.clone(), check.id.clone());
                }
                joined.checks.insert(check.id.clone(), check.clone());
            }
            for old in &article.was {
                joined
                    .renamed_articles
                    .insert(old.clone(), article.id.clone());
            }
            joined.articles.insert(article.id.clone(), article);
        }
        joined.resolve_entries();
        joined
    }

    fn resolve_entries(&mut self) {
        use super::model::Entry;
        for article in self.articles.values() {
            let mut fixes: Vec<FixId> = Vec::new();
            for entry in &article.fixes {
                let id = match entry {
                    Entry::Own(fix) => fix.id.clone(),
                    Entry::Link { target, .. } => self.fix_id(&FixId::new(target)),
                };
                if self.fixes.contains_key(&id) && !fixes.contains(&id) {
                    self.articles_of
                        .entry(id.clone())
                        .or_default()
                        .push(article.id.clone());
                    fixes.push(id);
                }
            }
            self.fixes_of.insert(article.id.clone(), fixes);
            let mut checks: Vec<CheckId> = Vec::new();
            for entry in &article.checks {
                let id = match entry {
                    Entry::Own(check) => check.id.clone(),
                    Entry::Link { target, .. } => self.check_id(&CheckId::new(target)),
                };
                if self.checks.contains_key(&id) && !checks.contains(&id) {
                    checks.push(id);
                }
            }
            self.checks_of.insert(article.id.clone(), checks);
        }
    }
}
