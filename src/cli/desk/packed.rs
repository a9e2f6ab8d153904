//! What a pack is made from.

use super::Desk;
use crate::articles::Catalog;
use crate::cli::{Failure, Session};
use crate::evidence::texts::{self, Bags};
use crate::pack::article::Pictures;
use crate::pack::content::Source;
use crate::view::answer::About;

/// Larger files are no pictures of an article; lint says so from 300 KB on.
const LARGEST: u64 = 4 << 20;

impl Desk {
    /// The texts that questions are compared with, as the index counts them.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn texts(&self, session: &Session) -> Result<Bags, Failure> {
        Ok(texts::bags(&self.spoken(session)?, &self.layout))
    }

    /// Which knowledge base this is, and how fresh.
    #[must_use]
    pub fn about(&self) -> About {
        About {
            name: self.settings.name.clone(),
            fingerprint: self.fingerprint.clone(),
            as_of: self.as_of.to_string(),
            evidence_to: self.evidence.to.map(|day| day.to_string()),
        }
    }

    /// Everything a pack is made from.
    #[must_use]
    pub fn pack_source<'a>(&'a self, about: &'a About, bags: &'a Bags) -> Source<'a> {
        Source {
            about,
            settings: &self.settings,
            words: self.analyzer.tables(),
            catalog: &self.catalog,
            layout: &self.layout,
            evidence: &self.evidence,
            model: &self.model,
            bags,
            known: &self.known,
            stop_words: &self.stop_words,
        }
    }
}

/// Reads the pictures of the articles in force. What cannot be read is left out: its words stand in
/// its place, and lint has said so.
pub(crate) fn pictures(session: &Session, catalog: &Catalog) -> Pictures {
    let named = catalog.articles.values().flat_map(|a| &a.pictures);
    let mut pictures = Pictures::new();
    for picture in named {
        let inside = picture.path.split('/').all(|part| part != "..");
        let path = session.kb.join(&picture.path);
        let small = std::fs::metadata(&path).is_ok_and(|m| m.is_file() && m.len() <= LARGEST);
        if inside
            && small
            && path.starts_with(&session.kb)
            && let Ok(bytes) = std::fs::read(&path)
        {
            pictures.insert(picture.path.clone(), bytes);
        }
    }
    pictures
}
