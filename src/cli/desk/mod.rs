//! An opened knowledge base: articles, evidence, index and weights, each taken from the state
//! folder where it is fresh and made again where it is not.
//!
//! Everything made again is derived: deleting it costs time and nothing else. One lock lets one
//! process at a time make things; readers never wait for it once everything is fresh.

pub(crate) mod dangers;
pub(crate) mod demo;
pub(crate) mod derived;
mod doubt;
mod flow;
mod knowledge;
mod learning;
mod made;
mod model;
mod open;
pub(crate) mod packed;
pub(crate) mod readings;
mod reasons;
pub(crate) mod records;
pub(crate) mod running;
mod today;

use super::names::Names;
use super::{Failure, Session, place};
use crate::articles::folder::FolderError;
use crate::articles::{Catalog, Settings};
use crate::backtest::rivals;
use crate::base::ids::TicketId;
use crate::base::spelling::{Vocabulary, Weighted};
use crate::base::text::Analyzer;
use crate::call::{Advice, Ground, InHand, State, advise};
use crate::evidence::Evidence;
use crate::evidence::chance::{Chances, chances};
use crate::evidence::danger::{Alarms, StopWords};
use crate::evidence::factors::{Answered, Explainer};
use crate::evidence::features::{Sources, table};
use crate::evidence::layout::Layout;
use crate::evidence::learning::Model;
use crate::evidence::question::{Question, Terms};
use crate::search::{Index, SearchError};
use crate::view::answer::{Answer, Subject};
use jiff::civil::Date;
use model::FitPoint;
use std::sync::Arc;
pub(crate) use today::{now, today};

/// How many like cases an answer names.
const SIMILAR: usize = 3;

/// Everything needed to answer. What is large is shared with the desk of a moment before.
#[derive(Debug)]
pub struct Desk {
    /// What `kb.toml` says.
    pub settings: Arc<Settings>,
    /// The articles.
    pub catalog: Arc<Catalog>,
    /// What the tickets say.
    pub evidence: Evidence,
    /// The day taken as today.
    pub as_of: Date,
    /// Changes with every change of the knowledge base's files.
    pub fingerprint: String,
    digest: String,
    analyzer: Arc<Analyzer>,
    layout: Arc<Layout>,
    model: Arc<Model>,
    fit_point: Option<FitPoint>,
    index: Arc<Index>,
    known: Arc<Vocabulary>,
    stop_words: Arc<StopWords>,
}

impl Desk {
    /// The room to answer in.
    #[must_use]
    pub fn ground(&self) -> Ground<'_> {
        Ground {
            catalog: &self.catalog,
            layout: &self.layout,
            evidence: &self.evidence,
        }
    }

    /// Its names, to check against what is typed.
    pub(crate) fn names(&self) -> Names<'_> {
        Names {
            settings: &self.settings,
            catalog: &self.catalog,
        }
    }

    fn sources(&self) -> Sources<'_> {
        Sources {
            catalog: &self.catalog,
            layout: &self.layout,
            evidence: &self.evidence,
            candidates: &*self.index,
            words: &self.model.words,
        }
    }

    /// What to do in a case, and the closed cases most like it.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn advise(&self, case: &InHand) -> Result<(Advice, Vec<String>), Failure> {
        let thought = self.think(case)?;
        let similar = self.similar(&thought)?;
        Ok((thought.advice, similar))
    }

    fn think(&self, case: &InHand) -> Result<Thought, Failure> {
        let words = &case.said.words;
        let mut alarms = self.stop_words.find(words, &self.analyzer, &self.known);
        if words.len() > LONG {
            for part in parts_of(words) {
                alarms.join(self.stop_words.find(part, &self.analyzer, &self.known));
            }
        }
        self.weigh(case, &alarms)
    }

    /// What to do in a call. Dangers are listened for in all that was said, however long it is.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn advise_call(&self, state: &State) -> Result<Advice, Failure> {
        if state.is_empty() {
            return Ok(Advice::none());
        }
        let case = state.in_hand();
        let mut alarms = self
            .stop_words
            .find(&case.said.words, &self.analyzer, &self.known);
        if state.said.join("\n") != case.said.words {
            for part in state.said.iter().flat_map(|line| parts_of(line)) {
                alarms.join(self.stop_words.find(part, &self.analyzer, &self.known));
            }
        }
        Ok(self.weigh(&case, &alarms)?.advice)
    }

    fn weigh(&self, case: &InHand, alarms: &Alarms) -> Result<Thought, Failure> {
        let mut said = case.said.clone();
        said.about = case.done.about(&self.catalog);
        let (catalog, analyzer, known) = (&self.catalog, &self.analyzer, &self.known);
        let question = Question::with_danger_words(said, &alarms.left, catalog, analyzer, known);
        let chances = chances(&question, self.sources(), &self.model.weights)
            .map_err(|e| Failure::because("cannot search", &e))?;
        let mut case = case.clone();
        case.said = question.said.clone();
        let advice = advise(&case, &chances, alarms, &self.settings, self.ground());
        Ok(Thought {
            question,
            chances,
            advice,
        })
    }

    /// The closed cases most like a call, closest first.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub(crate) fn similar_to(&self, state: &State, most: usize) -> Result<Vec<String>, Failure> {
        let said = state.in_hand().said;
        let question = Question::new(said, &self.catalog, &self.analyzer, &self.known);
        let similar = self.alike(&question.all.words, most)?;
        Ok(similar.iter().map(ToString::to_string).collect())
    }

    fn similar(&self, thought: &Thought) -> Result<Vec<String>, Failure> {
        let similar = self.alike(&thought.question.all.words, SIMILAR)?;
        Ok(similar.iter().map(ToString::to_string).collect())
    }

    /// The closed cases most like what is said, closest and newest first.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn like(&self, words: &str, most: usize) -> Result<Vec<TicketId>, Failure> {
        self.alike(&Terms::of(words, &self.analyzer, &self.known).words, most)
    }

    fn alike(&self, terms: &Weighted, most: usize) -> Result<Vec<TicketId>, Failure> {
        let half_life = self.settings.model.half_life_days.unwrap_or(f64::INFINITY);
        self.index
            .similar(terms, most, (self.as_of, half_life))
            .map_err(|e| no_index(&e))
    }

    /// The ten articles that the index alone would find: what a plain text search costs, for
    /// comparison.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn plain_search(&self, words: &str) -> Result<Vec<usize>, Failure> {
        let terms = Terms::of(words, &self.analyzer, &self.known).words;
        self.index.plain(&terms, 10).map_err(|e| no_index(&e))
    }

    /// The chances from what articles and fixes say themselves, for comparison: see
    /// [`rivals::own_words`].
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn own_words(&self, case: &InHand) -> Result<Chances, Failure> {
        let said = case.said.clone();
        let question = Question::new(said, &self.catalog, &self.analyzer, &self.known);
        let table =
            table(&question, self.sources()).map_err(|e| Failure::because("cannot search", &e))?;
        Ok(rivals::own_words(&table, &self.layout))
    }

    /// The answer as every face shows it, with at most `limit` fixes.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn answer(&self, case: &InHand, limit: usize) -> Result<Answer, Failure> {
        let thought = self.think(case)?;
        Ok(self.drawn(&thought.advice, self.similar(&thought)?, limit, None))
    }

    /// As [`Self::answer`], and why each of the fixes has its chance.
    ///
    /// # Errors
    /// As [`Self::answer`].
    pub fn answer_with_why(&self, case: &InHand, limit: usize) -> Result<Answer, Failure> {
        let thought = self.think(case)?;
        let belief = &thought.advice.belief;
        let seen = belief.seen(&case.done.seen, self.ground());
        let explainer = Explainer::new(Answered {
            question: &thought.question,
            sources: self.sources(),
            weights: &self.model.weights,
            chances: &thought.chances,
            believed: &belief.chance,
            seen: &seen,
        });
        Ok(self.drawn(
            &thought.advice,
            self.similar(&thought)?,
            limit,
            Some(&explainer),
        ))
    }

    /// An advice in a call as every face shows it.
    #[must_use]
    pub fn drawn_call(&self, advice: &Advice, limit: usize) -> Answer {
        self.drawn(advice, Vec::new(), limit, None)
    }

    fn drawn(
        &self,
        advice: &Advice,
        similar: Vec<String>,
        limit: usize,
        why: Option<&Explainer<'_>>,
    ) -> Answer {
        let subject = Subject {
            settings: &self.settings,
            ground: self.ground(),
            fingerprint: &self.fingerprint,
            as_of: self.as_of,
            limit,
            why,
        };
        Answer::new(advice, similar, &subject)
    }
}

/// Everything that came of one question.
struct Thought {
    question: Question,
    chances: Chances,
    advice: Advice,
}

/// Texts beyond this many bytes are listened to in parts as well.
const LONG: usize = 4_000;

/// A line in parts that are each listened to in full; they overlap, so that no phrase is cut.
fn parts_of(line: &str) -> Vec<&str> {
    const LETTERS: usize = 4_000;
    const OVERLAP: usize = 400;
    let starts: Vec<usize> = line.char_indices().map(|(at, _)| at).collect();
    (0..starts.len())
        .step_by(LETTERS - OVERLAP)
        .map(|from| {
            let end = starts.get(from + LETTERS).copied().unwrap_or(line.len());
            &line[starts[from]..end]
        })
        .collect()
}

fn no_folder(error: &FolderError) -> Failure {
    Failure::because("cannot read the knowledge base", error).hint("name its folder: `--kb DIR`")
}

fn no_index(error: &SearchError) -> Failure {
    Failure::because("cannot use the index", error)
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

/// What `kb.toml` and the articles say, for a command that asks nothing of the tickets.
///
/// # Errors
/// Where the folder is no knowledge base.
pub(crate) fn names(session: &Session) -> Result<(Settings, Catalog), Failure> {
    let state = place::state_dir(session)?;
    let knowledge = knowledge::read(session, &state).map_err(|e| no_folder(&e))?;
    Ok((knowledge.settings, knowledge.catalog))
}
