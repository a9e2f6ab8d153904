//! What a sheet asks of a conversation beyond lines: it is put away between two requests, taken up by
//! its id, looked at as if a line were written, and its lines are struck through.

use super::conversation::{Conversation, Flow, Open};
use super::drawing::Reply;
use super::keep::is_case_id;
use crate::base::ids::TicketId;
use crate::call::hand_over::{HandOver, hand_over};
use crate::call::understand::Request;
use crate::call::{Act, Advice, Case, Understood, closing};
use crate::cli::Failure;
use crate::tickets::RawTicket;
use crate::view::call::{CallState, Closed};
use crate::view::written::{Written, written};

/// What became of a case that was to be taken up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cli) enum Found {
    /// It is at hand.
    Open,
    /// It is closed.
    Closed,
    /// Another process works on it.
    Held,
    /// There is none.
    Missing,
}

impl Conversation<'_> {
    /// Tells nothing of this machine's files.
    pub(in crate::cli) fn discreetly(mut self) -> Self {
        self.discreet = true;
        self
    }

    /// Takes up what [`Self::put_away`] gave; advised anew where the room is another one.
    pub(in crate::cli) fn resume(&mut self, open: Open, other_room: bool) -> Result<(), Failure> {
        self.case = Some(open);
        if other_room {
            self.weigh()?;
        }
        Ok(())
    }

    /// What must be kept until the next request.
    pub(in crate::cli) fn put_away(self) -> Option<Open> {
        self.case
    }

    /// Reserves a case that has no lines yet.
    pub(in crate::cli) fn begin_reserved(&mut self) -> Result<TicketId, Failure> {
        let now = self.room.clock.now();
        let (id, held) = self.keep.reserve(now)?;
        self.case = Some(Open::new(Case::new(id.clone(), now), held));
        Ok(id)
    }

    /// Takes up a case by its id, whoever began it.
    pub(in crate::cli) fn find(&mut self, id: &str) -> Result<Found, Failure> {
        if !is_case_id(id) {
            return Ok(Found::Missing);
        }
        let id = TicketId::new(id);
        let case = match self.keep.in_progress(&id) {
            Some(case) => match self.without_closed(vec![case])?.pop() {
                Some(case) => case,
                None => return Ok(self.found_closed(id)),
            },
            None if self.keep.closed(&id).is_some() => return Ok(self.found_closed(id)),
            None if self.keep.is_reserved(&id) => Case::new(id, self.room.clock.now()),
            None => return Ok(Found::Missing),
        };
        let Some(held) = self.keep.take_up(&case.id)? else {
            return Ok(Found::Held);
        };
        self.case = Some(Open::new(case, held));
        self.weigh()?;
        Ok(Found::Open)
    }

    fn found_closed(&mut self, id: TicketId) -> Found {
        self.closed = Some(id);
        Found::Closed
    }

    /// The case as it stands.
    pub(in crate::cli) fn look(&self) -> CallState {
        let mut drawn = self.drawn(Reply::default());
        if self.case.is_none()
            && let Some(id) = &self.closed
        {
            drawn.closed = self.how_closed(id);
        }
        drawn
    }

    fn how_closed(&self, id: &TicketId) -> Option<Closed> {
        let (case, ticket) = self.keep.closed(id)?;
        let ticket: RawTicket = serde_json::from_str(&ticket).ok()?;
        let ending = closing::ending(&case.state(), self.room.desk.ground()).unwrap_or_default();
        Some(Closed::of(&ticket, ending))
    }

    /// Whether a case is at hand.
    pub(in crate::cli) fn is_open(&self) -> bool {
        self.case.is_some()
    }

    /// How many lines the case has.
    pub(in crate::cli) fn line_count(&self) -> usize {
        self.at_hand().map_or(0, |case| case.lines.len())
    }

    /// Its lines in words.
    pub(in crate::cli) fn lines(&self) -> Vec<Written> {
        let ground = self.room.desk.ground();
        self.at_hand()
            .map_or_else(Vec::new, |case| written(&case, ground))
    }

    /// The case at hand, or the one that was just closed.
    fn at_hand(&self) -> Option<Case> {
        let open = self.case.as_ref().map(|open| open.case.clone());
        open.or_else(|| Some(self.keep.closed(self.closed.as_ref()?)?.0))
    }

    /// The case for whoever reads it elsewhere, and how it ended.
    pub(in crate::cli) fn summed_up(&self) -> Result<Option<(HandOver, Option<String>)>, Failure> {
        let Some(case) = self.at_hand() else {
            return Ok(None);
        };
        let (state, desk) = (case.state(), &self.room.desk);
        let advice = match &self.case {
            Some(open) => open.advice.clone(),
            None => desk.advise_call(&state)?,
        };
        let ending = closing::ending(&state, desk.ground());
        let summed = hand_over(&state, &advice, &desk.settings, desk.ground());
        Ok(Some((summed, ending)))
    }

    /// One line of a sheet. What a sheet has its own ways for is not done.
    pub(in crate::cli) fn sheet_line(&mut self, line: &str) -> Result<CallState, Failure> {
        if self.case.is_none() {
            let mut closed = self.look();
            closed.unclear =
                Some("this case is closed: take the ending back, or begin another".to_owned());
            return Ok(closed);
        }
        if let Understood::Asks(request) = self.understood(line)
            && let Some(instead) = instead(&request)
        {
            return Ok(self.drawn(Reply::unclear(instead)));
        }
        let (state, flow) = self.line(line)?;
        debug_assert_eq!(flow, Flow::GoesOn);
        Ok(state)
    }

    /// The last line back; a close too.
    pub(in crate::cli) fn sheet_undo(&mut self) -> Result<CallState, Failure> {
        let reply = self.undo()?;
        Ok(self.drawn(reply))
    }

    /// Strikes a line through, or puts it back.
    pub(in crate::cli) fn strike(&mut self, number: usize) -> Result<CallState, Failure> {
        let struck = match &mut self.case {
            Some(open) => open.case.strike(number),
            None => false,
        };
        if !struck {
            return Ok(self.drawn(Reply::unclear("there is no such line to strike through")));
        }
        if let Some(open) = &self.case {
            self.keep.save(&open.case)?;
        }
        self.weigh()?;
        Ok(self.drawn(Reply::default()))
    }

    /// The state as if a line were written; nothing is kept. A line that would do more than tell
    /// something changes nothing.
    pub(in crate::cli) fn peek(&self, line: &str) -> Result<CallState, Failure> {
        let tells = |act: &Act| {
            matches!(
                act,
                Act::Say(_)
                    | Act::Device(_)
                    | Act::Firmware(_)
                    | Act::Code(_)
                    | Act::Sign { .. }
                    | Act::Role(_)
                    | Act::Answer { .. }
            )
        };
        let Understood::Acts { text, acts } = self.understood(line) else {
            return Ok(self.drawn(Reply::default()));
        };
        if !acts.iter().any(tells) || acts.iter().any(|act| matches!(act, Act::Try { .. })) {
            return Ok(self.drawn(Reply::default()));
        }
        let now = self.room.clock.now();
        let begun = self.case.as_ref().map(|open| open.case.clone());
        let mut case = begun.unwrap_or_else(|| Case::new(TicketId::new("new"), now));
        case.add(now, text, acts);
        let advice = self.room.desk.advise_call(&case.state())?;
        Ok(self.drawn_as(Some((&case, &advice)), Reply::default()))
    }
}

impl Open {
    fn new(case: Case, held: super::keep::Held) -> Self {
        Self {
            case,
            advice: Advice::none(),
            earlier: Vec::new(),
            _held: held,
        }
    }
}

/// What to do on a sheet instead of asking for this in a line.
fn instead(request: &Request) -> Option<&'static str> {
    match request {
        Request::GoOn(_) => Some("lay this sheet aside; the open cases lie on the pile"),
        Request::TakeBack(_) => Some("open that case's own sheet, and take the ending back there"),
        Request::Next | Request::Leave => Some("lay this sheet aside: Escape, or the words above"),
        Request::Help => Some("`?` on an empty line shows the keys"),
        _ => None,
    }
}
