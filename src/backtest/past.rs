//! Everything that was known on the eve of a block, and nothing else.

use super::habit::Habits;
use super::run::{Task, Teach};
use crate::base::spelling::Vocabulary;
use crate::evidence::cases::{Cases, day};
use crate::evidence::counted::InMemory;
use crate::evidence::danger::StopWords;
use crate::evidence::features::Sources;
use crate::evidence::fit::fit_point;
use crate::evidence::layout::Layout;
use crate::evidence::learning::{Field, Model, learn_model};
use crate::evidence::{Evidence, gather};
use crate::tickets::Ticket;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// What may be learned from: the past of one block.
#[derive(Clone, Copy, Debug)]
pub struct Lesson<'a> {
    /// The tickets closed up to the eve. What they say of later days (`reopened`) is left out where
    /// they are read by [`Cases::of`].
    pub tickets: &'a [&'a Ticket],
    /// The cases they make, as known on the eve.
    pub cases: &'a Cases,
    /// The articles, their numbers, the text analysis, the settings.
    pub field: Field<'a>,
    /// The last day that is known.
    pub eve: Date,
}

/// Learns as answering does: weights and words from the cases up to the last fit point, and from what
/// people recorded of them alone. What was read of notes counts in the evidence, and teaches nothing.
#[must_use]
pub fn as_when_asked(lesson: &Lesson<'_>, step: &(dyn Fn() + Sync)) -> Model {
    let Some(last) = fit_point(lesson.cases.list.len()) else {
        return Model::shipped();
    };
    let until = day(lesson.cases.list[last - 1].closed);
    let cases = Cases::of(
        lesson.tickets.iter().copied(),
        &BTreeMap::new(),
        lesson.field.catalog,
        &lesson.field.settings.model,
        until,
    );
    learn_model(&cases, lesson.field, until, step)
}

/// The past of one block, ready to answer from.
#[derive(Debug)]
pub struct Past<'a> {
    /// The articles, their numbers, the text analysis, the settings.
    pub field: Field<'a>,
    /// How many tickets it holds.
    pub tickets: usize,
    /// How many cases they make.
    pub cases: usize,
    /// What they say.
    pub evidence: Evidence,
    /// What was learned from them.
    pub model: Model,
    /// In which order the desk tried fixes.
    pub habits: Habits,
    /// What stops a call.
    pub stop_words: StopWords,
    /// The vocabulary.
    pub known: Vocabulary,
    counts: InMemory,
}

impl<'a> Past<'a> {
    /// Reads, counts and learns what was closed up to `eve`.
    #[must_use]
    pub fn new(
        task: &Task<'a>,
        layout: &'a Layout,
        eve: Date,
        teach: Teach<'_>,
        step: &(dyn Fn() + Sync),
    ) -> Self {
        let field = Field {
            catalog: task.catalog,
            layout,
            analyzer: task.analyzer,
            settings: task.settings,
        };
        let known = task.tickets.iter().filter(|t| day(t.closed) <= eve);
        let tickets: Vec<&Ticket> = known.collect();
        let readings = (task.read)(&tickets);
        let (catalog, settings) = (task.catalog, task.settings);
        let cases = Cases::of(
            tickets.iter().copied(),
            &readings,
            catalog,
            &settings.model,
            eve,
        );
        let counts = field.counts(&cases.list);
        let lesson = Lesson {
            tickets: &tickets,
            cases: &cases,
            field,
            eve,
        };
        Self {
            field,
            tickets: tickets.len(),
            cases: cases.list.len(),
            evidence: gather(&cases, catalog, settings, eve),
            model: teach(&lesson, step),
            habits: Habits::of(&cases, &tickets, catalog),
            stop_words: StopWords::new(catalog, task.analyzer, task.ear.cloned()),
            known: counts.vocabulary(),
            counts,
        }
    }

    /// What answers are drawn from.
    #[must_use]
    pub fn sources(&self) -> Sources<'_> {
        Sources {
            catalog: self.field.catalog,
            layout: self.field.layout,
            evidence: &self.evidence,
            candidates: &self.counts,
            words: &self.model.words,
        }
    }
}
