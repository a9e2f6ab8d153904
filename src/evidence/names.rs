//! Names of fixes as tickets write them, looked up once each: a ledger of a million tries knows a
//! few thousand names.

use crate::articles::Catalog;
use crate::base::ids::{ArticleId, FixId};
use crate::tickets::record::OTHER;
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// What names mean, kept from one look-up to the next.
pub(super) struct Names<'a> {
    catalog: &'a Catalog,
    known: HashMap<ArticleId, HashMap<String, Option<FixId>>>,
    texts: HashSet<Arc<str>>,
}

impl<'a> Names<'a> {
    pub(super) fn new(catalog: &'a Catalog) -> Self {
        Self {
            catalog,
            known: HashMap::new(),
            texts: HashSet::new(),
        }
    }

    /// One copy of a text that many tickets have.
    pub(super) fn text(&mut self, text: &str) -> Arc<str> {
        if let Some(known) = self.texts.get(text) {
            return Arc::clone(known);
        }
        let new: Arc<str> = Arc::from(text);
        self.texts.insert(Arc::clone(&new));
        new
    }

    /// Today's id of the fix a ticket of `article` names so; none where no article lists it.
    pub(super) fn listed(&mut self, article: Option<&ArticleId>, name: &str) -> Option<FixId> {
        let of = article.map_or("", ArticleId::as_str);
        if let Some(known) = self.known.get(of).and_then(|names| names.get(name)) {
            return known.clone();
        }
        let found = self.look_up(article, name);
        self.known
            .entry(ArticleId::new(of))
            .or_default()
            .insert(name.to_owned(), found.clone());
        found
    }

    fn look_up(&self, article: Option<&ArticleId>, name: &str) -> Option<FixId> {
        if name == OTHER {
            return None;
        }
        let found = self.catalog.resolve_fix(article, name).or_else(|| {
            // The article may be gone while the fix lives on elsewhere under this old name.
            self.catalog
                .resolve_fix(None, FixId::of(article?, name).as_str())
        })?;
        // The catalog's own copy, so that a million cases share its few thousand texts.
        let (id, _) = self.catalog.fixes.get_key_value(&found)?;
        Some(id.clone())
    }
}
