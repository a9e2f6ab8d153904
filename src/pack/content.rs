//! What the page ranks with: JSON for what has names, bytes for many small numbers.
//!
//! The page's ranker is the core's twin, so it must have the very numbers: counts, shares and weights
//! are written whole, none is rounded or pruned. Words of callers are here only as counts, and only
//! those that the index holds too: used by three tickets of three days. No ticket's text, id or
//! agent is here.
//!
//! | file | question |
//! |---|---|
//! | `written` | what do articles, `kb.toml` and `words.toml` say? |
//! | `counts` | what do the tickets say of articles, fixes and checks? |
//! | `postings` | which word stands in which text? |
//! | `grams` | which runs of letters? |
//! | `learned` | what do runs of letters speak for? |
//! | `bytes` | how are many small numbers written? |

mod bytes;
mod counts;
mod ear;
mod grams;
mod learned;
mod postings;
mod written;

use super::choice::{Chosen, Wish};
use crate::articles::{Catalog, Settings};
use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::base::spelling::Vocabulary;
use crate::base::text::Words;
use crate::evidence::Evidence;
use crate::evidence::danger::StopWords;
use crate::evidence::layout::Layout;
use crate::evidence::learning::Model;
use crate::evidence::texts::Bags;
use crate::view::answer::About;
use bytes::Blob;
use serde::Serialize;
use thiserror::Error;

/// Raised with every change of what the page reads; `ground.mjs` names the same number.
pub const FORMAT: u32 = 4;

/// Everything a pack is made from.
#[derive(Clone, Copy)]
pub struct Source<'a> {
    /// Which knowledge base, and how fresh.
    pub about: &'a About,
    /// What `kb.toml` says.
    pub settings: &'a Settings,
    /// What `words.toml` says.
    pub words: &'a Words,
    /// The articles in force.
    pub catalog: &'a Catalog,
    /// Their numbers.
    pub layout: &'a Layout,
    /// What the tickets say.
    pub evidence: &'a Evidence,
    /// What was learned.
    pub model: &'a Model,
    /// The texts that questions are compared with.
    pub bags: &'a Bags,
    /// Every known term.
    pub known: &'a Vocabulary,
    /// The stop phrases, analysed.
    pub stop_words: &'a StopWords,
}

/// Why the content could not be written.
#[derive(Debug, Error)]
pub enum ContentError {
    /// Something is no JSON.
    #[error("it cannot be written as JSON")]
    Json(#[from] serde_json::Error),
    /// Weights are learned in whole grains, and only so they are written.
    #[error("a learned weight is no whole part of 64")]
    Weight,
}

/// What the page ranks with, part by part.
#[derive(Debug, Default)]
pub struct Content {
    /// Names and the JSON of each.
    json: Vec<(&'static str, Vec<u8>)>,
    blob: Blob,
    /// Names of what is in the bytes, and where each ends.
    ends: Vec<(&'static str, usize)>,
}

impl Content {
    fn put(&mut self, name: &'static str, part: &impl Serialize) -> Result<(), ContentError> {
        self.json.push((name, serde_json::to_vec(part)?));
        Ok(())
    }

    fn put_with_bytes(
        &mut self,
        name: &'static str,
        write: impl FnOnce(&mut Blob) -> Result<Vec<u8>, ContentError>,
    ) -> Result<(), ContentError> {
        let json = write(&mut self.blob)?;
        self.json.push((name, json));
        self.ends.push((name, self.blob.bytes().len()));
        Ok(())
    }

    /// As bytes: the length of the JSON in four bytes, low ones first, the JSON, the numbers.
    #[must_use]
    pub fn bytes(&self) -> Vec<u8> {
        let mut json = Vec::new();
        for (name, part) in &self.json {
            json.push(if json.is_empty() { b'{' } else { b',' });
            json.extend(format!("\"{name}\":").bytes());
            json.extend(part);
        }
        json.push(b'}');
        let length = u32::try_from(json.len()).unwrap_or(u32::MAX);
        let mut bytes = length.to_le_bytes().to_vec();
        bytes.extend(json);
        bytes.extend(self.blob.bytes());
        bytes
    }

    /// Name and bytes of each part, for telling what weighs.
    pub fn parts(&self) -> impl Iterator<Item = (String, &[u8])> {
        let json = self.json.iter();
        let json = json.map(|(name, part)| ((*name).to_owned(), part.as_slice()));
        let mut from = 0;
        let numbers = self.ends.iter().map(move |(name, end)| {
            let part = &self.blob.bytes()[from..*end];
            from = *end;
            (format!("{name}, numbers"), part)
        });
        json.chain(numbers)
    }
}

/// What the page ranks with.
///
/// # Errors
/// Only where fixtally itself is at fault.
pub fn content(source: &Source<'_>, chosen: &Chosen, wish: &Wish) -> Result<Content, ContentError> {
    let parts = Parts { source, chosen };
    let mut whole = Content::default();
    whole.put("format", &FORMAT)?;
    whole.put("about", source.about)?;
    whole.put("wish", wish)?;
    whole.put("settings", &written::settings(source.settings))?;
    whole.put("words", &written::words(source.words))?;
    whole.put("lists", &written::lists())?;
    whole.put("kinds", &source.layout.kinds)?;
    whole.put("articles", &parts.articles())?;
    whole.put("fixes", &parts.fixes())?;
    whole.put("checks", &parts.checks())?;
    whole.put("weights", &source.model.weights)?;
    whole.put_with_bytes("evidence", |blob| {
        Ok(serde_json::to_vec(&parts.evidence(blob))?)
    })?;
    whole.put_with_bytes("ear", |blob| {
        let ear = source.stop_words.ear.as_ref();
        Ok(serde_json::to_vec(&ear.map(|known| ear::ear(known, blob)))?)
    })?;
    whole.put_with_bytes("families", |blob| {
        Ok(serde_json::to_vec(&parts.families(blob))?)
    })?;
    whole.put_with_bytes("learned", |blob| {
        let learned = learned::learned(&source.model.words, blob);
        Ok(serde_json::to_vec(&learned.ok_or(ContentError::Weight)?)?)
    })?;
    Ok(whole)
}

struct Parts<'a> {
    source: &'a Source<'a>,
    chosen: &'a Chosen,
}

impl Parts<'_> {
    fn article(&self, id: &ArticleId) -> Option<usize> {
        self.chosen.articles.binary_search(id).ok()
    }

    fn fix(&self, id: &FixId) -> Option<usize> {
        self.chosen.fixes.binary_search(id).ok()
    }

    fn check(&self, id: &CheckId) -> Option<usize> {
        self.chosen.checks.binary_search(id).ok()
    }
}
