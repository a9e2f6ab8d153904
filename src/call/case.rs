//! A conversation as a value: its lines in order, each with what was understood by it.

use super::acts::Act;
use super::state::State;
use crate::base::ids::TicketId;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// One case in progress.
///
/// Everything else about it follows from its lines, so taking the last line away is the exact
/// undoing of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Case {
    /// The id that its ticket will have.
    pub id: TicketId,
    /// When it began.
    pub opened: Timestamp,
    /// The lines that did something.
    pub lines: Vec<Line>,
}

/// One line of a call.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Line {
    /// When it was typed.
    pub at: Timestamp,
    /// As typed, without personal data.
    pub text: String,
    /// What was understood by it; never empty.
    pub acts: Vec<Act>,
}

impl Case {
    /// A case that has not begun.
    #[must_use]
    pub fn new(id: TicketId, opened: Timestamp) -> Self {
        Self {
            id,
            opened,
            lines: Vec::new(),
        }
    }

    /// Adds a line.
    pub fn add(&mut self, at: Timestamp, text: String, acts: Vec<Act>) {
        self.lines.push(Line { at, text, acts });
    }

    /// Takes the last line back, if there is one.
    pub fn undo(&mut self) -> Option<Line> {
        self.lines.pop()
    }

    /// What all lines together say.
    #[must_use]
    pub fn state(&self) -> State {
        State::of(self.lines.iter().flat_map(|line| &line.acts))
    }

    /// When its last line was typed.
    #[must_use]
    pub fn last(&self) -> Timestamp {
        self.lines.last().map_or(self.opened, |line| line.at)
    }
}
