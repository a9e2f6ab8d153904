//! The end of a case: its ticket into the ledger, and out again.

use super::conversation::{Conversation, Open};
use super::drawing::Reply;
use crate::base::ids::TicketId;
use crate::call::closing::{self, Earlier};
use crate::call::{Act, Advice, Case, State};
use crate::cli::{Failure, ledger};
use crate::tickets::store::{Added, Ledger, TakenBack};
use crate::tickets::{RawTicket, Ticket};
use crate::view::call::Closed;

/// How often another id is tried where one is taken.
const ATTEMPTS: usize = 100;

impl Conversation<'_> {
    /// Writes the ticket. Where that cannot be done the case stays as it is and says why.
    pub(super) fn close(&mut self, reply: Reply) -> Result<Reply, Failure> {
        for _ in 0..ATTEMPTS {
            let Some(open) = &self.case else {
                return Ok(reply);
            };
            let (state, ground) = (open.case.state(), self.room.desk.ground());
            let article = closing::article(&state, &open.advice.articles, ground);
            let closed_at = self.room.clock.now().max(open.case.opened);
            let ticket = closing::ticket(&open.case, &state, article, closed_at, &self.scrubber);
            let added = match ledger::open(self.session)
                .and_then(|mut store| store.add(&ticket).map_err(ledger::failure))
            {
                Ok(added) => added,
                Err(failure) => return Ok(Reply::unclear(self.not_closed(&failure))),
            };
            match added {
                Added::New | Added::Same => return self.closed_as(&ticket, &state, reply),
                Added::IdTaken => self.other_id()?,
                Added::RefTaken(other) => self.continues(&other)?,
            }
        }
        Ok(Reply::unclear(
            "not closed, the case is kept: no free id was found",
        ))
    }

    /// Why a case was not closed, for whoever works on it. Whoever sits at another machine is not told
    /// of this one's files; its log is.
    fn not_closed(&self, failure: &Failure) -> String {
        if self.discreet {
            let causes = failure.causes.join(": ");
            tracing::error!(why = %failure, causes, "a case could not be closed");
            return "not closed, the case is kept: the ledger cannot be written now, and the server's \
                    log says why; then write `close`"
                .to_owned();
        }
        let hint = failure.hints.first().cloned().unwrap_or_default();
        format!("not closed, the case is kept: {failure}. {hint}; then say `close`")
    }

    fn closed_as(
        &mut self,
        ticket: &Ticket,
        state: &State,
        mut reply: Reply,
    ) -> Result<Reply, Failure> {
        let Some(open) = self.case.take() else {
            return Ok(reply);
        };
        self.keep.close(&open.case, &json(ticket))?;
        let ending = closing::ending(state, self.room.desk.ground()).unwrap_or_default();
        reply.closed = Some(Closed::of(ticket, ending));
        self.closed = Some(open.case.id.clone());
        Ok(reply)
    }

    /// The same case under another id.
    fn other_id(&mut self) -> Result<(), Failure> {
        let (id, held) = self.keep.reserve(self.room.clock.now())?;
        if let Some(open) = &mut self.case {
            let old = std::mem::replace(&mut open.case.id, id);
            open._held = held;
            self.keep.save(&open.case)?;
            self.keep.forget(&old);
        }
        Ok(())
    }

    /// The office's case is in the ledger already: this call continues it.
    fn continues(&mut self, other: &TicketId) -> Result<(), Failure> {
        let now = self.room.clock.now();
        if let Some(open) = &mut self.case {
            let follows = open.case.state().follows.flatten();
            let follows = follows.unwrap_or_else(|| other.clone());
            let acts = vec![Act::Follows(Some(follows)), Act::NoReference];
            open.case.add(now, format!("continues {other}"), acts);
            self.keep.save(&open.case)?;
        }
        Ok(())
    }

    /// Opens a closed case again, as it was before the lines that ended it.
    pub(super) fn take_back(&mut self, id: &TicketId) -> Result<Reply, Failure> {
        let id = TicketId::new(&id.as_str().to_uppercase());
        let Some((mut case, written)) = self.keep.closed(&id) else {
            return Ok(Reply::unclear(format!(
                "there is no case {id} that was closed here in the last 30 days"
            )));
        };
        let Some(held) = self.keep.take_up(&id)? else {
            return Ok(Reply::unclear(format!("somebody else is at case {id}")));
        };
        let mut store = ledger::open(self.session)?;
        let stored = store.get(id.as_str()).map_err(ledger::failure)?;
        let outcome = match stored.filter(|t| t.id == id) {
            None => TakenBack::Missing,
            Some(ticket) if json(&ticket) != written => TakenBack::Changed,
            Some(ticket) => store.take_back(&ticket).map_err(ledger::failure)?,
        };
        if outcome == TakenBack::Changed {
            return Ok(Reply::unclear(format!(
                "ticket {id} was changed since and stays as it is; see `fixtally tickets show {id}`"
            )));
        }
        while case.state().end.is_some() && case.undo().is_some() {}
        self.keep.reopen(&case)?;
        self.case = Some(Open {
            case,
            advice: Advice::none(),
            earlier: Vec::new(),
            _held: held,
        });
        self.weigh()?;
        Ok(Reply::heard(format!(
            "{id} is open again, and no longer in the ledger"
        )))
    }

    /// Tickets of the same site or of the same case of the office.
    pub(super) fn earlier(&self, state: &State) -> Result<Vec<Earlier>, Failure> {
        let store = ledger::open(self.session)?;
        let mut ids = self.keep.of_sites(&state.sites);
        ids.extend(state.reference.as_ref().map(|r| TicketId::new(r)));
        let mut all = Vec::new();
        for id in ids {
            let Some(ticket) = store.get(id.as_str()).map_err(ledger::failure)? else {
                continue;
            };
            all.push(Earlier {
                ticket: ticket.id.clone(),
                closed: ticket.closed,
                outcome: ticket.outcome,
                said: ticket
                    .said
                    .as_deref()
                    .or(ticket.notes.as_deref())
                    .unwrap_or_default()
                    .to_owned(),
            });
        }
        all.sort_by(|a, b| {
            b.closed
                .cmp(&a.closed)
                .then_with(|| a.ticket.cmp(&b.ticket))
        });
        all.dedup_by(|a, b| a.ticket == b.ticket);
        Ok(all)
    }

    /// Sorts out cases whose ticket was written just before their process died.
    pub(in crate::cli) fn without_closed(&self, open: Vec<Case>) -> Result<Vec<Case>, Failure> {
        let store = ledger::open(self.session)?;
        let mut left = Vec::new();
        for case in open {
            let ticket = store.get(case.id.as_str()).map_err(ledger::failure)?;
            match ticket.filter(|t| t.id == case.id && t.opened == Some(case.opened)) {
                Some(ticket) => self.keep.close(&case, &json(&ticket))?,
                None => left.push(case),
            }
        }
        Ok(left)
    }
}

fn json(ticket: &Ticket) -> String {
    let raw: &RawTicket = ticket;
    // A ticket is plain values; writing it to memory cannot fail.
    serde_json::to_string(raw).unwrap_or_default()
}
