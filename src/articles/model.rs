//! An article as a value: one symptom topic with its checks and its fixes.

use super::firmware::Range;
use crate::base::ids::{ArticleId, CheckId, FixId};
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// One Markdown file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Article {
    /// Its id, equal to the file's name.
    pub id: ArticleId,
    /// Ids it had before; their evidence follows.
    pub was: Vec<ArticleId>,
    /// The title.
    pub title: String,
    /// The folder below `articles/`.
    pub area: String,
    /// The file, relative to the knowledge base, with `/` between folders.
    pub path: String,
    /// Devices it is about; empty means all.
    pub devices: Vec<String>,
    /// Firmware it is about; none means all.
    pub firmware: Option<Range>,
    /// How callers say it.
    pub symptoms: Vec<String>,
    /// Fault codes the device shows.
    pub codes: Vec<String>,
    /// Indicators and the state they show.
    pub signs: BTreeMap<String, String>,
    /// Who keeps it true.
    pub owner: Option<String>,
    /// When it was last read against the product.
    pub reviewed: Option<Date>,
    /// Whether it is served.
    pub state: State,
    /// Set where the article stops the telephone.
    pub danger: Option<Danger>,
    /// The Markdown between the front matter and the first block.
    pub intro: String,
    /// Its checks in the author's order, linked ones included.
    pub checks: Vec<Entry<Check>>,
    /// Its fixes in the author's order, linked ones included.
    pub fixes: Vec<Entry<Fix>>,
    /// Its pictures, in the order of the text.
    pub pictures: Vec<Picture>,
}

/// A picture that an article shows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Picture {
    /// The file, relative to the knowledge base, with `/` between folders; as written where it
    /// does not lie in the knowledge base.
    pub path: String,
    /// What it shows, in words.
    pub alt: String,
    /// Line in the article's file, from 1.
    pub line: usize,
}

/// A block written here, or a link to one written elsewhere.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Entry<T> {
    /// Written in this article.
    Own(T),
    /// Written in another article; the title stands in the link.
    Link {
        /// The full id the link points to, as text.
        target: String,
        /// The words of the link.
        title: String,
        /// Line of the heading in the file, from 1.
        line: usize,
    },
}

impl<T> Entry<T> {
    /// The block where it is written here.
    pub fn own(&self) -> Option<&T> {
        match self {
            Self::Own(block) => Some(block),
            Self::Link { .. } => None,
        }
    }
}

/// Whether an article is served.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum State {
    /// Not yet served anywhere.
    Draft,
    /// Served.
    #[default]
    Live,
    /// No longer served; its evidence is kept.
    Withdrawn,
}

/// What a danger article adds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Danger {
    /// Phrases that stop the call by themselves.
    pub stop_words: Vec<String>,
    /// Phrases taken out of the text before: they sound like a stop phrase and are none.
    pub harmless: Vec<String>,
    /// The steps of `## Do now`, plain text, one each.
    pub do_now: Vec<String>,
}

/// A question or a measurement with a small set of answers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Check {
    /// Its full id.
    pub id: CheckId,
    /// Full ids it had before.
    pub was: Vec<CheckId>,
    /// The question.
    pub question: String,
    /// The possible answers, at least two.
    pub answers: Vec<String>,
    /// What must be done before it.
    pub after: Vec<Before>,
    /// Minutes, hazards and who may do it.
    pub work: Work,
}

/// A procedure that can end the case.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fix {
    /// Its full id.
    pub id: FixId,
    /// Full ids it had before.
    pub was: Vec<FixId>,
    /// The title.
    pub title: String,
    /// What sort of fix it is, across articles.
    pub kind: String,
    /// Answers that speak for it.
    pub expect: Vec<(CheckId, String)>,
    /// What must be done before it.
    pub after: Vec<Before>,
    /// Minutes, hazards and who may do it.
    pub work: Work,
    /// How one knows that it is done.
    pub done_when: Option<String>,
}

/// What checks and fixes have in common: effort, danger and text.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Work {
    /// Minutes it takes, above 0.
    pub minutes: f64,
    /// The first role that may do it.
    pub who: String,
    /// Hazards, by the names of `kb.toml`.
    pub hazards: Vec<String>,
    /// The numbered steps, plain text, one each.
    pub steps: Vec<String>,
    /// Everything below the heading, as Markdown.
    pub markdown: String,
    /// Line of the heading in its file, from 1.
    pub line: usize,
}

/// Something that must be done before: another fix or a check.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]

pub enum Before {
    /// A fix.
    Fix(FixId),
    /// A check.
    Check(CheckId),
}

impl std::fmt::Display for Before {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Fix(id) => id.fmt(f),
            Self::Check(id) => id.fmt(f),
        }
    }
}
