//! Numbers for everything that can be an answer, so that counts and features are plain arrays.
//!
//! The numbers follow from the catalog alone: articles, fixes and kinds in the order of their ids,
//! pairs article by article in the author's order with "none of the listed" last. Index, weights
//! and evidence built from the same articles therefore agree without a table of their own.

use crate::articles::Catalog;
use crate::base::ids::{ArticleId, FixId};
use std::collections::BTreeSet;
use std::ops::Range;

/// One alternative: a fix of an article, or none of those it lists.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pair {
    /// Number of the article.
    pub article: usize,
    /// Number of the fix; none for "none of the listed".
    pub fix: Option<usize>,
    /// Number of the fix's kind.
    pub kind: Option<usize>,
}

/// The numbers.
#[derive(Clone, Debug, Default)]
pub struct Layout {
    /// Articles by number.
    pub articles: Vec<ArticleId>,
    /// Fixes by number.
    pub fixes: Vec<FixId>,
    /// Kinds by number.
    pub kinds: Vec<String>,
    /// Pairs by number.
    pub pairs: Vec<Pair>,
    /// The pairs of each article, "none of the listed" last.
    pub pairs_of: Vec<Range<usize>>,
}

impl Layout {
    /// Numbers what the catalog holds.
    #[must_use]
    pub fn new(catalog: &Catalog) -> Self {
        let kinds: BTreeSet<&str> = catalog.fixes.values().map(|f| f.kind.as_str()).collect();
        let mut layout = Self {
            articles: catalog.articles.keys().cloned().collect(),
            fixes: catalog.fixes.keys().cloned().collect(),
            kinds: kinds.into_iter().map(str::to_owned).collect(),
            ..Self::default()
        };
        for (article, id) in layout.articles.iter().enumerate() {
            let from = layout.pairs.len();
            for fix in catalog.fixes_of.get(id).into_iter().flatten() {
                let kind = &catalog.fixes[fix].kind;
                layout.pairs.push(Pair {
                    article,
                    fix: layout.fixes.binary_search(fix).ok(),
                    kind: layout.kinds.binary_search(kind).ok(),
                });
            }
            layout.pairs.push(Pair {
                article,
                fix: None,
                kind: None,
            });
            layout.pairs_of.push(from..layout.pairs.len());
        }
        layout
    }

    /// The number of an article.
    #[must_use]
    pub fn article(&self, id: &ArticleId) -> Option<usize> {
        self.articles.binary_search(id).ok()
    }

    /// The number of a fix.
    #[must_use]
    pub fn fix(&self, id: &FixId) -> Option<usize> {
        self.fixes.binary_search(id).ok()
    }

    /// The pair of an article and a fix of it, or "none of the listed".
    #[must_use]
    pub fn pair(&self, article: usize, fix: Option<usize>) -> Option<usize> {
        self.pairs_of
            .get(article)?
            .clone()
            .find(|p| self.pairs[*p].fix == fix)
    }
}
