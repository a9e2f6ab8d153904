//! The conversation: a line in, a state out. The core understands and advises; here the case is
//! kept on disk after every line and its ticket written at the end.

use super::drawing::Reply;
use super::keep::{Held, Keep};
use super::room::{Newer, Room};
use crate::base::ids::TicketId;
use crate::call::closing::{self, Earlier, Question};
use crate::call::lexicon::Lexicon;
use crate::call::understand::{AtHand, Context, Request, at_hand, understand, unknown_names};
use crate::call::{Act, Advice, Case, State, Understood};
use crate::cli::names::Names;
use crate::cli::{Failure, Session, ledger, place};
use crate::tickets::store::Remarks;
use crate::tickets::{Outcome, Remark, Scrubber};
use crate::view::call::{CallState, OpenCase};
use crate::view::call_words::{changed, heard};
use std::sync::Arc;
use std::time::Duration;

/// At a terminal the desk is opened anew this often, for the next case that begins.
const FRESH: Duration = Duration::from_secs(300);

/// A conversation in progress.
pub(in crate::cli) struct Conversation<'a> {
    pub(super) session: &'a Session,
    pub(super) room: Arc<Room>,
    /// The desk as it is now, where nobody else hands in a newer one.
    newer: Option<Newer<Room>>,
    pub(super) scrubber: Arc<Scrubber>,
    pub(super) keep: Arc<Keep>,
    role: Option<String>,
    /// Whether who reads the answers may sit elsewhere.
    pub(super) discreet: bool,
    pub(super) case: Option<Open>,
    /// The case that was closed last, as long as no other has begun.
    pub(super) closed: Option<TicketId>,
    /// Cases offered, in the order shown.
    offered: Vec<TicketId>,
}

/// The case at hand.
pub(in crate::cli) struct Open {
    pub(in crate::cli) case: Case,
    pub(super) advice: Advice,
    pub(super) earlier: Vec<Earlier>,
    pub(super) _held: Held,
}

/// Whether the conversation goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::cli) enum Flow {
    GoesOn,
    Ends,
}

impl<'a> Conversation<'a> {
    /// Opens the desk and the folder of cases.
    pub(in crate::cli) fn open(session: &'a Session, scrubber: Scrubber) -> Result<Self, Failure> {
        let (room, ()) = rayon::join(|| Room::open(session), || scrubber.wake());
        let room = Arc::new(room?);
        let keep = Arc::new(Keep::open(&place::state_dir(session)?)?);
        let again = session.quietly();
        Ok(Self {
            newer: Some(Newer::every(FRESH, move || Room::open(&again).ok())),
            ..Self::with(session, room, keep, Arc::new(scrubber))
        })
    }

    /// A conversation in a room that is open already; no case is at hand.
    pub(in crate::cli) fn with(
        session: &'a Session,
        room: Arc<Room>,
        keep: Arc<Keep>,
        scrubber: Arc<Scrubber>,
    ) -> Self {
        Self {
            newer: None,
            room,
            keep,
            session,
            scrubber,
            role: None,
            discreet: false,
            case: None,
            closed: None,
            offered: Vec::new(),
        }
    }

    /// Names for completion.
    pub(in crate::cli) fn lexicon(&self) -> &Lexicon {
        &self.room.lexicon
    }

    /// The knowledge base's names, to check against.
    pub(in crate::cli) fn names(&self) -> Names<'_> {
        self.room.desk.names()
    }

    /// A line without personal data.
    pub(in crate::cli) fn scrubbed(&self, line: &str) -> String {
        self.scrubber.text(line)
    }

    /// Who does the work, unless a line says otherwise.
    pub(in crate::cli) fn set_role(&mut self, role: Option<String>) {
        self.role = role;
    }

    /// The state before the first line: cases that were left open.
    pub(in crate::cli) fn begin(&mut self) -> Result<CallState, Failure> {
        let reply = Reply {
            open: self.offers()?,
            ..Reply::default()
        };
        Ok(self.drawn(reply))
    }

    /// One line; blank ones are not for it.
    pub(in crate::cli) fn line(&mut self, line: &str) -> Result<(CallState, Flow), Failure> {
        let reply = match self.understood(line) {
            Understood::Unclear(why) => Reply::unclear(why),
            Understood::Acts { text, acts } => {
                let unknown = unknown_names(line, &self.room.lexicon);
                Reply {
                    unknown,
                    ..self.act(text, acts)?
                }
            }
            Understood::Asks(Request::Leave) => {
                return Ok((self.drawn(Reply::default()), Flow::Ends));
            }
            Understood::Asks(request) => self.request(request)?,
        };
        Ok((self.drawn(reply), Flow::GoesOn))
    }

    /// What a line means for the case at hand.
    pub(super) fn understood(&self, line: &str) -> Understood {
        let state = self.state();
        let none = Advice::none();
        let question = self.question(&state);
        let digest = |text: &str| self.keep.digest(text);
        let context = Context {
            lexicon: &self.room.lexicon,
            ground: self.room.desk.ground(),
            scrubber: &self.scrubber,
            advice: self.case.as_ref().map_or(&none, |open| &open.advice),
            question: question.as_ref(),
            digest: &digest,
        };
        match understand(line, &state, &context) {
            Understood::Acts { text, mut acts } => {
                acts.extend(self.told_anew(&state, &acts));
                Understood::Acts { text, acts }
            }
            other => other,
        }
    }

    /// The id of a case that stays open, for the last words.
    pub(in crate::cli) fn left_open(&self) -> Option<&TicketId> {
        let open = self.case.as_ref()?;
        (!open.case.lines.is_empty()).then_some(&open.case.id)
    }

    pub(super) fn state(&self) -> State {
        self.case
            .as_ref()
            .map(|open| open.case.state())
            .unwrap_or_default()
    }

    pub(super) fn question(&self, state: &State) -> Option<Question> {
        let open = self.case.as_ref()?;
        closing::question(state, &open.advice, &open.earlier)
    }

    fn act(&mut self, text: String, mut acts: Vec<Act>) -> Result<Reply, Failure> {
        if self.case.is_none() {
            self.begin_case(&mut acts)?;
        }
        let now = self.room.clock.now();
        let understood = heard(&acts, self.room.desk.ground());
        let tells_site = |act: &Act| matches!(act, Act::Site(_) | Act::Reference(_));
        let ends = |act: &Act| matches!(act, Act::End(Outcome::HandedOn));
        let unweighed =
            |act: &Act| tells_site(act) || matches!(act, Act::Note(_) | Act::NoReference);
        let mut reply = Reply {
            heard: understood,
            earlier: acts.iter().any(tells_site),
            hands_over: acts.iter().any(ends),
            brief: acts.iter().all(unweighed),
            ..Reply::default()
        };
        let Some(open) = &mut self.case else {
            return Ok(Reply::unclear("no case could be begun"));
        };
        open.case.add(now, text, acts);
        self.keep.save(&open.case)?;
        let before = self.weigh()?;
        let Some(open) = &self.case else {
            return Ok(reply);
        };
        reply.changed = changed(before.as_ref(), &open.advice, self.room.desk.ground());
        let state = open.case.state();
        if state.end.is_some() && self.question(&state).is_none() {
            return self.close(reply);
        }
        Ok(reply)
    }

    fn begin_case(&mut self, acts: &mut Vec<Act>) -> Result<(), Failure> {
        if let Some(room) = self.newer.as_ref().and_then(Newer::take) {
            self.room = Arc::new(room);
        }
        let now = self.room.clock.now();
        let (id, held) = self.keep.reserve(now)?;
        if let Some(role) = &self.role
            && !acts.iter().any(|act| matches!(act, Act::Role(_)))
        {
            acts.push(Act::Role(role.clone()));
        }
        self.closed = None;
        self.case = Some(Open {
            case: Case::new(id, now),
            advice: Advice::none(),
            earlier: Vec::new(),
            _held: held,
        });
        Ok(())
    }

    /// Advises anew; gives what was advised before.
    pub(super) fn weigh(&mut self) -> Result<Option<Advice>, Failure> {
        let Some(open) = &self.case else {
            return Ok(None);
        };
        let state = open.case.state();
        let advice = self.room.desk.advise_call(&state)?;
        let asks = !state.sites.is_empty() || state.reference.is_some();
        let earlier = if asks {
            self.earlier(&state)?
        } else {
            Vec::new()
        };
        Ok(self.case.as_mut().map(|open| {
            open.earlier = earlier;
            std::mem::replace(&mut open.advice, advice)
        }))
    }

    fn request(&mut self, request: Request) -> Result<Reply, Failure> {
        Ok(match request {
            Request::Help => Reply {
                help: true,
                ..Reply::default()
            },
            Request::More => Reply {
                more: true,
                ..Reply::default()
            },
            Request::Again | Request::Leave => Reply::default(),
            Request::Undo => self.undo()?,
            Request::Close if self.state().end.is_none() => Reply::unclear(
                "say how it ends: `fixed 1`, `something else fixed it`, `hand on` or `drop`",
            ),
            Request::Close if self.question(&self.state()).is_some() => Reply::default(),
            Request::Close => self.close(Reply::default())?,
            Request::Next => {
                self.put_down();
                Reply {
                    open: self.offers()?,
                    ..Reply::default()
                }
            }
            Request::GoOn(which) => self.go_on(which)?,
            Request::TakeBack(id) => self.take_back(&TicketId::new(&id))?,
            Request::Remark(text) => self.remark(&text)?,
        })
    }

    pub(super) fn undo(&mut self) -> Result<Reply, Failure> {
        let Some(open) = &mut self.case else {
            return match self.closed.take() {
                Some(id) => self.take_back(&id),
                None => Ok(Reply::unclear("there is nothing to take back")),
            };
        };
        let Some(line) = open.case.undo() else {
            return Ok(Reply::unclear("there is nothing to take back"));
        };
        self.keep.save(&open.case)?;
        let before = self.weigh()?;
        let mut reply = Reply::heard(format!("taken back: {}", line.text));
        if let Some(open) = &self.case {
            reply.changed = changed(before.as_ref(), &open.advice, self.room.desk.ground());
        }
        Ok(reply)
    }

    /// The case stays open and is no longer at hand.
    fn put_down(&mut self) {
        if let Some(open) = self.case.take()
            && open.case.lines.is_empty()
        {
            self.keep.forget(&open.case.id);
        }
    }

    fn go_on(&mut self, which: Option<String>) -> Result<Reply, Failure> {
        if self.offered.is_empty() {
            self.offers()?;
        }
        let place = |text: &String| text.parse::<usize>().ok()?.checked_sub(1);
        let id = match &which {
            None => self.offered.first().cloned(),
            Some(text) => match place(text) {
                Some(at) => self.offered.get(at).cloned(),
                None => Some(TicketId::new(&text.to_uppercase())),
            },
        };
        let Some(id) = id else {
            return Ok(Reply::unclear("no such case was left open"));
        };
        if self.case.as_ref().is_some_and(|open| open.case.id == id) {
            return Ok(Reply::default());
        }
        let Some(case) = self.keep.in_progress(&id) else {
            return Ok(Reply::unclear(format!("no case {id} was left open")));
        };
        let Some(held) = self.keep.take_up(&id)? else {
            return Ok(Reply::unclear(format!("somebody else is at case {id}")));
        };
        self.put_down();
        self.case = Some(Open {
            case,
            advice: Advice::none(),
            earlier: Vec::new(),
            _held: held,
        });
        self.weigh()?;
        Ok(Reply::heard(format!("going on with {id}")))
    }

    /// Cases that were left open. One whose ticket is in the ledger was closed when its process
    /// died: it is put with the closed ones.
    fn offers(&mut self) -> Result<Vec<OpenCase>, Failure> {
        let mut open = self.keep.left_open();
        if !open.is_empty() {
            open = self.without_closed(open)?;
        }
        self.offered = open.iter().map(|case| case.id.clone()).collect();
        Ok(open.iter().map(|case| self.offered(case)).collect())
    }

    /// An open case as it is offered.
    pub(in crate::cli) fn offered(&self, case: &Case) -> OpenCase {
        let now = self.room.clock.now();
        let first = case.in_force().next();
        OpenCase {
            id: case.id.to_string(),
            minutes_ago: (now.as_second() - case.last().as_second()) / 60,
            said: first.map(|line| line.text.clone()).unwrap_or_default(),
        }
    }

    /// What all lines of the case at hand say.
    pub(in crate::cli) fn case_state(&self) -> State {
        self.state()
    }

    fn remark(&mut self, text: &str) -> Result<Reply, Failure> {
        let Some(open) = &self.case else {
            return Ok(Reply::unclear(
                "no article is at hand: begin with what the caller says",
            ));
        };
        let article = open.advice.articles.first().map(|(id, _)| id.clone());
        let fix = match at_hand(&open.case.state(), &open.advice, self.room.desk.ground()) {
            AtHand::Fix(fix) => Some(fix),
            AtHand::Check(_) | AtHand::Nothing => None,
        };
        let article = fix
            .as_ref()
            .map(crate::base::ids::FixId::article)
            .or(article);
        let about = (article, fix);
        let remark = Remark::new(
            self.room.clock.now(),
            about,
            Some(open.case.id.clone()),
            text,
            &self.scrubber,
        );
        let mut store = ledger::open(self.session)?;
        let number = store.remark(&remark).map_err(ledger::failure)?;
        Ok(Reply {
            remark: Some(number),
            ..Reply::default()
        })
    }
}
