//! What the reader needs of the articles, as plain values: this room knows no Markdown.

use crate::base::ids::{ArticleId, FixId};
use serde::{Deserialize, Serialize};

/// All articles and fixes that are served.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Known {
    /// In order of their ids.
    pub articles: Vec<KnownArticle>,
    /// In order of their ids.
    pub fixes: Vec<KnownFix>,
}

/// One article.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct KnownArticle {
    /// Its id.
    pub id: ArticleId,
    /// Numbers of its fixes in the author's order.
    pub fixes: Vec<usize>,
    /// Questions and answers of its checks: notes tell these too, and they are no fixes.
    pub checks: Vec<String>,
    /// Title and symptoms: notes that tell them again say that nothing changed.
    pub symptoms: Vec<String>,
    /// By what its fixes are seen to be done: notes that tell it say that one resolved it.
    pub done: Vec<String>,
}

/// One fix.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct KnownFix {
    /// Its id in full.
    pub id: FixId,
    /// Its title.
    pub title: String,
    /// What sort of fix it is.
    pub kind: String,
    /// Its steps, and by what it is seen to be done.
    pub steps: Vec<String>,
}

impl Known {
    /// The number of an article.
    #[must_use]
    pub fn article(&self, id: &ArticleId) -> Option<usize> {
        self.articles.binary_search_by(|a| a.id.cmp(id)).ok()
    }

    /// The number of a fix.
    #[must_use]
    pub fn fix(&self, id: &FixId) -> Option<usize> {
        self.fixes.binary_search_by(|f| f.id.cmp(id)).ok()
    }
}
