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
    /// Struck through: it stays to be read and says nothing any more.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub struck: bool,
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
        self.lines.push(Line {
            at,
            text,
            acts,
            struck: false,
        });
    }

    /// Takes the last line back, if there is one.
    pub fn undo(&mut self) -> Option<Line> {
        self.lines.pop()
    }

    /// Strikes a line through, or puts a struck one back; false where there is none of this number.
    pub fn strike(&mut self, number: usize) -> bool {
        let Some(line) = self.lines.get_mut(number) else {
            return false;
        };
        line.struck = !line.struck;
        true
    }

    /// The lines that say something.
    pub fn in_force(&self) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(|line| !line.struck)
    }

    /// What these lines together say.
    #[must_use]
    pub fn state(&self) -> State {
        State::of(self.in_force().flat_map(|line| &line.acts))
    }

    /// When its last line was typed.
    #[must_use]
    pub fn last(&self) -> Timestamp {
        self.lines.last().map_or(self.opened, |line| line.at)
    }
}
