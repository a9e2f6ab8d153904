//! What conversations of one moment have in common: the opened desk, its names, the clock.

use super::clock::Clock;
use crate::call::lexicon::Lexicon;
use crate::cli::{Desk, Failure, Session};
use std::sync::Arc;

/// An opened desk with what is made from it once.
pub(in crate::cli) struct Room {
    pub(in crate::cli) desk: Desk,
    pub(in crate::cli) lexicon: Arc<Lexicon>,
    pub(in crate::cli) clock: Clock,
}

impl Room {
    /// Opens the session's desk.
    pub(in crate::cli) fn open(session: &Session) -> Result<Self, Failure> {
        let desk = Desk::open(session)?;
        Ok(Self {
            lexicon: Arc::new(Lexicon::new(&desk.settings, &desk.catalog)),
            clock: Clock::of(session, &desk),
            desk,
        })
    }

    /// The same room with a desk of the same articles.
    pub(in crate::cli) fn with(&self, desk: Desk, session: &Session) -> Self {
        Self {
            lexicon: Arc::clone(&self.lexicon),
            clock: Clock::of(session, &desk),
            desk,
        }
    }
}
