//! Opens a desk: everything it answers from, in the order in which one is made from the other.

use super::made::{Learn, Made, Tickets};
use super::{Desk, knowledge, no_folder, no_index, today};
use crate::base::text::Analyzer;
use crate::cli::{Failure, Session, ledger, place};
use crate::evidence::layout::Layout;
use crate::view::numbers::counted;
use std::sync::Arc;

impl Desk {
    /// Opens the session's knowledge base; what is missing or stale is made first. Answering does
    /// not wait for learning, but for the first time in a demo.
    ///
    /// # Errors
    /// Where the folder is no knowledge base, or the ledger or the state folder cannot be used.
    pub fn open(session: &Session) -> Result<Self, Failure> {
        Self::open_with(session, Learn::First, Tickets::Indexed)
    }

    /// As [`Self::open`], for what asks for no like cases: of a past day it is open sooner.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub(crate) fn open_without_likes(session: &Session) -> Result<Self, Failure> {
        Self::open_with(session, Learn::First, Tickets::LeftOut)
    }

    /// As [`Self::open`], for what needs the counts alone: nothing is learned, and answers come from
    /// the shipped weights.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub fn open_counted(session: &Session) -> Result<Self, Failure> {
        Self::open_with(session, Learn::Nothing, Tickets::Indexed)
    }

    /// As [`Self::open`], with weights learned from today's tickets and articles.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub fn open_learned(session: &Session) -> Result<Self, Failure> {
        Self::open_with(session, Learn::Now, Tickets::Indexed)
    }

    fn open_with(session: &Session, learn: Learn, tickets: Tickets) -> Result<Self, Failure> {
        let state = place::state_dir(session)?;
        let knowledge = knowledge::read(session, &state).map_err(|e| no_folder(&e))?;
        if knowledge.errors > 0 {
            let errors = counted(knowledge.errors as u64, "error");
            session.warning(&format!(
                "{errors} in the knowledge base: what they stand in is left out. See `fixtally lint`."
            ));
        }
        let store = ledger::open(session)?;
        let as_of = today(session, &knowledge.settings, &store)?;
        let layout = Layout::new(&knowledge.catalog);
        let analyzer = Analyzer::new(&knowledge.words);
        let about = (&layout, &analyzer);
        let mut made = Made::new(session, &state, &store, as_of, &knowledge, about);
        // All tickets are about to be learned from: what they say is not kept in memory besides.
        let with = (learn != Learn::Now).then_some(tickets);
        let mut counted_tickets = made.counted(with)?;
        let to_read = made.to_read(&counted_tickets, learn)?;
        // The index follows what was read. Where nothing is to be read it is made first: what callers
        // said need not lie in memory while weights are learned.
        let ready = match to_read {
            Some(_) => None,
            None => Some(made.index(counted_tickets.evidence.to, tickets)?),
        };
        let model = made.model(&counted_tickets, learn)?;
        if let Some(work) = to_read {
            made.read(&work, &model, counted_tickets.unread)?;
            counted_tickets = made.counted(Some(tickets))?;
        }
        let index = match ready {
            Some(index) => index,
            None => made.index(counted_tickets.evidence.to, tickets)?,
        };
        if counted_tickets.unread > 0 {
            let unread = counted(counted_tickets.unread, "ticket");
            session.notice(&format!(
                "Answered without the notes of {unread}; `fixtally tickets confirm --list` reads them."
            ));
        }
        drop(made);
        let (evidence, fit_point) = (counted_tickets.evidence, counted_tickets.point);
        if evidence.ignored_later > 0 {
            let later = counted(evidence.ignored_later, "ticket");
            session.notice(&format!("{later} closed after {as_of} ignored."));
        }
        let known = index.vocabulary().map_err(|e| no_index(&e))?;
        Ok(Self {
            as_of,
            fingerprint: knowledge.digest[..12].to_owned(),
            digest: knowledge.digest,
            settings: Arc::new(knowledge.settings),
            catalog: Arc::new(knowledge.catalog),
            evidence,
            analyzer: Arc::new(analyzer),
            layout: Arc::new(layout),
            model: Arc::new(model),
            fit_point,
            index: Arc::new(index),
            known: Arc::new(known),
            stop_words: Arc::new(knowledge.stop_words),
        })
    }
}
