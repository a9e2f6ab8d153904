//! What a line is answered with, drawn as a state.

use super::conversation::Conversation;
use crate::call::closing::Earlier;
use crate::call::hand_over::hand_over;
use crate::call::understand::{HELP, at_hand};
use crate::call::{Advice, Case};
use crate::view::call::{self, CallState, Choosable, Closed, Known, OpenCase};

/// Fixes shown.
const SHOWN: usize = 3;

/// Fixes shown where more were asked for.
const MORE: usize = 12;

/// What a line is answered with, before it is drawn.
#[derive(Default)]
pub(super) struct Reply {
    pub(super) heard: Vec<String>,
    pub(super) unknown: Vec<String>,
    pub(super) brief: bool,
    pub(super) unclear: Option<String>,
    pub(super) changed: Vec<String>,
    pub(super) more: bool,
    pub(super) hands_over: bool,
    pub(super) closed: Option<Closed>,
    pub(super) help: bool,
    pub(super) remark: Option<u64>,
    pub(super) open: Vec<OpenCase>,
    pub(super) earlier: bool,
}

impl Reply {
    pub(super) fn unclear(why: impl Into<String>) -> Self {
        Self {
            unclear: Some(why.into()),
            ..Self::default()
        }
    }

    pub(super) fn heard(what: impl Into<String>) -> Self {
        Self {
            heard: vec![what.into()],
            ..Self::default()
        }
    }
}

impl Conversation<'_> {
    /// The case as it stands, with what a line was answered with.
    pub(super) fn drawn(&self, reply: Reply) -> CallState {
        let of = self.case.as_ref();
        self.drawn_as(of.map(|open| (&open.case, &open.advice)), reply)
    }

    /// The same as if the case at hand were this one, advised so.
    pub(super) fn drawn_as(&self, of: Option<(&Case, &Advice)>, reply: Reply) -> CallState {
        let mut drawn = CallState {
            heard: reply.heard,
            unknown: reply.unknown,
            unclear: reply.unclear,
            changed: reply.changed,
            closed: reply.closed,
            remark: reply.remark,
            open: reply.open,
            ..CallState::default()
        };
        if reply.help {
            drawn.help = HELP
                .iter()
                .map(|(say, what)| ((*say).to_owned(), (*what).to_owned()))
                .collect();
        }
        let Some((case, advice)) = of else {
            return drawn;
        };
        let desk = &self.room.desk;
        let (state, ground, settings) = (case.state(), desk.ground(), &desk.settings);
        drawn.case = Some(case.id.to_string());
        drawn.line = case.lines.len();
        drawn.known = Known::of(&state);
        if !state.is_empty() {
            let limit = if reply.more { MORE } else { SHOWN };
            drawn.answer = Some(desk.drawn_call(advice, limit));
        }
        let at_hand = at_hand(&state, advice, ground);
        drawn.showing = call::showing(&at_hand, &state, settings, ground);
        drawn.asking = call::asking(&at_hand, drawn.answer.as_ref(), settings, ground);
        if let (Some(question), Some(outcome)) = (self.question(&state), state.end) {
            drawn.closing = Some(call::closing(&question, outcome, advice, ground));
        }
        // A question before the end is asked again all the same.
        drawn.brief = reply.brief && drawn.closing.is_none();
        let now = drawn.answer.as_ref().and_then(|a| a.stop.as_ref());
        let cheaper = state.end.is_none() && now.is_some_and(|stop| stop.after == 0);
        if reply.hands_over || cheaper {
            drawn.hand_over = Some(hand_over(&state, advice, settings, ground));
        }
        if let (true, Some(open)) = (reply.earlier, &self.case) {
            let of = |one: &Earlier| Choosable {
                id: one.ticket.to_string(),
                title: one.said.clone(),
            };
            drawn.earlier = open.earlier.iter().map(of).collect();
        }
        drawn
    }
}
