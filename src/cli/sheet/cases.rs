//! The cases in hand. Each has a slot that one request at a time works on; between two requests the
//! conversation is put away in it. What is in no slot lies on disk.

use super::{Warm, broken};
use crate::base::ids::{ArticleId, FixId, TicketId};
use crate::call::Case;
use crate::cli::call::conversation::{Conversation, Open};
use crate::cli::call::on_sheet::Found;
use crate::cli::{Failure, ledger};
use crate::sheet::desk::{Alike, Attempt, Guard, NewRemark, Sheet, Trouble};
use crate::tickets::store::{Ledger, Remarks};
use crate::tickets::{Outcome, Remark, Ticket, TryResult};
use crate::view::call::{CallState, OpenCase};
use crate::view::summary;
use std::collections::HashMap;
use std::sync::atomic::Ordering;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// How many closed cases lie on the back of a sheet.
const ALIKE: usize = 6;

/// How long the list of open cases serves before it is read again.
const PILE_SERVES: Duration = Duration::from_millis(500);

/// A case in hand.
#[derive(Default)]
pub(super) struct Slot {
    open: Option<Open>,
    /// The version of the desk that advised it.
    version: u64,
    used: Option<Instant>,
}

/// All of them by id.
#[derive(Default)]
pub(super) struct Slots(Mutex<HashMap<String, Arc<Mutex<Slot>>>>);

/// The list of open cases, and when it was read.
#[derive(Default)]
pub(super) struct Pile(Option<(Instant, Vec<OpenCase>)>);

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // A request that panicked left a slot empty at worst; the case is read from disk again.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Slots {
    fn of(&self, id: &str) -> Arc<Mutex<Slot>> {
        Arc::clone(locked(&self.0).entry(id.to_owned()).or_default())
    }

    pub(super) fn len(&self) -> u64 {
        locked(&self.0).len() as u64
    }

    /// Gives cases free that nobody asked for.
    pub(super) fn put_idle_away(&self, idle: Duration) {
        locked(&self.0).retain(|_, slot| {
            // Nobody else can take it meanwhile: they would have to come through this map.
            if Arc::strong_count(slot) > 1 {
                return true;
            }
            let slot = locked(slot);
            slot.open.is_some() && slot.used.is_some_and(|used| used.elapsed() < idle)
        });
    }

    fn rename(&self, old: &str, new: &str) {
        let mut all = locked(&self.0);
        if let Some(slot) = all.remove(old) {
            all.insert(new.to_owned(), slot);
        }
    }

    /// Copies of the cases that are not being worked on this moment.
    fn cases(&self) -> Vec<Case> {
        let slots: Vec<_> = locked(&self.0).values().cloned().collect();
        let case = |slot: &Arc<Mutex<Slot>>| Some(locked(slot).open.as_ref()?.case.clone());
        slots.iter().filter_map(case).collect()
    }
}

impl Warm {
    fn talk(&self) -> (Conversation<'_>, u64) {
        let opened = self.opened();
        let room = Arc::clone(&opened.room);
        let (keep, scrubber) = (Arc::clone(&self.keep), Arc::clone(&self.scrubber));
        let talk = Conversation::with(&self.session, room, keep, scrubber);
        (talk.discreetly(), opened.version)
    }

    /// Does something with a case at hand; then it is put away again.
    fn at<T>(
        &self,
        id: &str,
        act: impl FnOnce(&mut Conversation<'_>, u64) -> Result<T, Trouble>,
    ) -> Result<T, Trouble> {
        if !crate::cli::call::keep::is_case_id(id) {
            return Err(missing(id));
        }
        let held = self.slots.of(id);
        let mut slot = locked(&held);
        let (mut talk, version) = self.talk();
        let found = match slot.open.take() {
            Some(open) => {
                let other_room = slot.version != version;
                talk.resume(open, other_room).map(|()| Found::Open)
            }
            None => talk.find(id),
        };
        match found.map_err(|failure| broken(&failure))? {
            Found::Open | Found::Closed => {}
            Found::Held => {
                let why = format!("somebody at a terminal works on {id}");
                return Err(Trouble::Held(why));
            }
            Found::Missing => return Err(missing(id)),
        }
        let done = act(&mut talk, version);
        slot.open = talk.put_away();
        slot.version = version;
        slot.used = Some(Instant::now());
        let other = slot.open.as_ref().map(|open| open.case.id.to_string());
        drop(slot);
        if let Some(other) = other.filter(|other| other != id) {
            self.slots.rename(id, &other);
        }
        done
    }

    /// A sheet of what a conversation says.
    pub(super) fn with_case(
        &self,
        id: &str,
        act: impl FnOnce(&mut Conversation<'_>) -> Result<CallState, Failure>,
    ) -> Result<Sheet, Trouble> {
        self.at(id, |talk, version| {
            let state = act(talk).map_err(|failure| broken(&failure))?;
            Ok(sheet(talk, state, version, id))
        })
    }

    /// The same for something that changes the case: first it must be as the writer saw it.
    pub(super) fn change(
        &self,
        id: &str,
        guard: Guard,
        line: Option<&str>,
        act: impl FnOnce(&mut Conversation<'_>) -> Result<CallState, Failure>,
    ) -> Result<Sheet, Trouble> {
        let (done, closes) = self.at(id, |talk, version| {
            let other_list =
                guard.version.is_some_and(|seen| seen != version) && line.is_some_and(counts);
            if guard.on != talk.line_count() || other_list {
                let state = talk.look();
                return Err(Trouble::Conflict(Box::new(sheet(talk, state, version, id))));
            }
            let was_open = talk.is_open();
            let state = act(talk).map_err(|failure| broken(&failure))?;
            let closes = was_open && state.closed.is_some();
            Ok((sheet(talk, state, version, id), closes))
        })?;
        *locked(&self.pile) = Pile(None);
        self.changed();
        if closes {
            self.closed.fetch_add(1, Ordering::Relaxed);
            tracing::info!(case = id, "closed");
            self.look_again();
        }
        Ok(done)
    }

    pub(super) fn begin_case(&self) -> Result<String, Trouble> {
        let (mut talk, version) = self.talk();
        let id = talk.begin_reserved().map_err(|failure| broken(&failure))?;
        let slot = self.slots.of(id.as_str());
        let mut slot = locked(&slot);
        slot.open = talk.put_away();
        slot.version = version;
        slot.used = Some(Instant::now());
        Ok(id.to_string())
    }

    pub(super) fn peek_at(&self, id: Option<&str>, line: &str) -> Result<Sheet, Trouble> {
        let peek = |talk: &Conversation<'_>, version, id: &str| {
            let state = talk.peek(line).map_err(|failure| broken(&failure))?;
            Ok(sheet(talk, state, version, id))
        };
        match id {
            Some(id) => self.at(id, |talk, version| peek(talk, version, id)),
            None => {
                let (talk, version) = self.talk();
                let mut fresh = peek(&talk, version, "")?;
                fresh.state.case = None;
                Ok(fresh)
            }
        }
    }

    /// Open cases: those in hand, and those on disk that nobody works on.
    pub(super) fn open_cases(&self) -> Result<Vec<OpenCase>, Failure> {
        if let Pile(Some((read, pile))) = &*locked(&self.pile)
            && read.elapsed() < PILE_SERVES
        {
            return Ok(pile.clone());
        }
        let mut cases = self.slots.cases();
        cases.retain(|case| !case.lines.is_empty());
        let (talk, _) = self.talk();
        let on_disk = talk.without_closed(self.keep.left_open())?;
        for case in on_disk {
            if !cases.iter().any(|other| other.id == case.id) {
                cases.push(case);
            }
        }
        cases.sort_by(|a, b| b.last().cmp(&a.last()).then_with(|| a.id.cmp(&b.id)));
        let pile: Vec<OpenCase> = cases.iter().map(|case| talk.offered(case)).collect();
        *locked(&self.pile) = Pile(Some((Instant::now(), pile.clone())));
        Ok(pile)
    }

    pub(super) fn summed_up(&self, id: &str) -> Result<String, Trouble> {
        self.at(id, |talk, _| summary_of(talk, id))
    }

    pub(super) fn alike(&self, id: &str) -> Result<Vec<Alike>, Trouble> {
        let state = self.at(id, |talk, _| Ok(talk.case_state()))?;
        let opened = self.opened();
        let desk = &opened.room.desk;
        let find = || -> Result<Vec<Ticket>, Failure> {
            let store = ledger::open(&self.session)?;
            let ids = desk.similar_to(&state, ALIKE)?;
            let mut tickets = Vec::new();
            for id in ids {
                tickets.extend(store.get(&id).map_err(ledger::failure)?);
            }
            Ok(tickets)
        };
        let tickets = find().map_err(|failure| broken(&failure))?;
        let title = |ticket: &Ticket, name: &str| {
            let fix = desk.catalog.resolve_fix(ticket.article.as_ref(), name);
            let found = fix.and_then(|fix| desk.catalog.fixes.get(&fix));
            found.map_or_else(|| name.to_owned(), |fix| fix.title.clone())
        };
        Ok(tickets.iter().map(|ticket| alike(ticket, title)).collect())
    }

    pub(super) fn leave_remark(&self, remark: &NewRemark) -> Result<u64, Trouble> {
        let opened = self.opened();
        let fix = remark.fix.as_deref().map(FixId::new);
        let article = remark.article.as_deref().map(ArticleId::new);
        let article = article.or_else(|| fix.as_ref().map(FixId::article));
        let known = |id: &ArticleId| {
            opened
                .shelf
                .articles
                .iter()
                .any(|article| article.id == *id)
        };
        if !article.as_ref().is_some_and(known) {
            return Err(Trouble::Input(
                "a remark is about an article or a fix that there is".to_owned(),
            ));
        }
        let case = remark
            .case
            .as_deref()
            .filter(|id| crate::cli::call::keep::is_case_id(id));
        let about = (article, fix);
        let now = opened.room.clock.now();
        let remark = Remark::new(
            now,
            about,
            case.map(TicketId::new),
            &remark.text,
            &self.scrubber,
        );
        ledger::open(&self.session)
            .and_then(|mut store| store.remark(&remark).map_err(ledger::failure))
            .map_err(|failure| broken(&failure))
    }
}

fn missing(id: &str) -> Trouble {
    Trouble::Missing(format!("there is no case {id}"))
}

/// Whether a line names something by its place in a list.
fn counts(line: &str) -> bool {
    let words: Vec<&str> = line.split_whitespace().collect();
    words.len() <= 4
        && words
            .iter()
            .any(|word| word.bytes().all(|b| b.is_ascii_digit()))
}

fn sheet(talk: &Conversation<'_>, mut state: CallState, version: u64, id: &str) -> Sheet {
    // A closed case is no longer at hand, and still this sheet's.
    let case = match (&state.case, &state.closed) {
        (Some(case), _) => case.clone(),
        (None, Some(closed)) => closed.ticket.clone(),
        (None, None) => id.to_owned(),
    };
    let handing_on = state.closing.is_some() && state.hand_over.is_some();
    let summary = handing_on.then(|| summary_of(talk, &case).ok()).flatten();
    state.case = Some(case);
    Sheet {
        on: talk.line_count(),
        version,
        lines: talk.lines(),
        summary,
        state,
    }
}

fn summary_of(talk: &Conversation<'_>, id: &str) -> Result<String, Trouble> {
    match talk.summed_up().map_err(|failure| broken(&failure))? {
        Some((of, ending)) => Ok(summary::text(id, ending.as_deref(), &of)),
        None => Err(missing(id)),
    }
}

fn alike(ticket: &Ticket, title: impl Fn(&Ticket, &str) -> String) -> Alike {
    let result = |result| match result {
        TryResult::Resolved => "resolved",
        TryResult::NoChange => "no-change",
        TryResult::NotPossible => "not-possible",
    };
    let outcome = |outcome| match outcome {
        Outcome::Resolved => "resolved",
        Outcome::HandedOn => "handed-on",
        Outcome::Dropped => "dropped",
    };
    let said = ticket.said.as_deref().or(ticket.notes.as_deref());
    Alike {
        id: ticket.id.to_string(),
        closed: ticket.closed.to_string(),
        said: said.unwrap_or_default().to_owned(),
        device: ticket.device.clone(),
        article: ticket.article.as_ref().map(ToString::to_string),
        tries: ticket
            .tries
            .iter()
            .map(|tried| Attempt {
                title: title(ticket, &tried.fix),
                result: result(tried.result).to_owned(),
            })
            .collect(),
        outcome: ticket.outcome.map(|one| outcome(one).to_owned()),
    }
}
