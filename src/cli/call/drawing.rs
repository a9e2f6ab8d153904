//! What a line is answered with, drawn as a state.

use super::conversation::Conversation;
use crate::call::closing::Earlier;
use crate::call::hand_over::hand_over;
use crate::call::understand::{HELP, at_hand};
use crate::view::call::{self, CallState, Choosable, Closed, Known, OpenCase};

/// Fixes shown.
const SHOWN: usize = 3;

/// Fixes shown where more were asked for.
const MORE: usize = 12;

/// What a line is answered with, before it is drawn.
#[derive(Default)]
pub(super) struct Reply {
    pub(super) heard: Vec<String>,
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
        let mut drawn = CallState {
            heard: reply.heard,
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
        let Some(open) = &self.case else { return drawn };
        let (state, ground, settings) =
            (open.case.state(), self.desk.ground(), &self.desk.settings);
        drawn.case = Some(open.case.id.to_string());
        drawn.line = open.case.lines.len();
        drawn.known = Known::of(&state);
        if !state.is_empty() {
            let limit = if reply.more { MORE } else { SHOWN };
            drawn.answer = Some(self.desk.drawn_call(&open.advice, limit));
        }
        let at_hand = at_hand(&state, &open.advice, ground);
        drawn.showing = call::showing(&at_hand, &state, settings, ground);
        drawn.asking = call::asking(&at_hand, drawn.answer.as_ref(), settings, ground);
        if let (Some(question), Some(outcome)) = (self.question(&state), state.end) {
            drawn.closing = Some(call::closing(&question, outcome, &open.advice, ground));
        }
        let now = drawn.answer.as_ref().and_then(|a| a.stop.as_ref());
        let cheaper = state.end.is_none() && now.is_some_and(|stop| stop.after == 0);
        if reply.hands_over || cheaper {
            drawn.hand_over = Some(hand_over(&state, &open.advice, settings, ground));
        }
        if reply.earlier {
            let of = |one: &Earlier| Choosable {
                id: one.ticket.to_string(),
                title: one.said.clone(),
            };
            drawn.earlier = open.earlier.iter().map(of).collect();
        }
        drawn
    }
}
