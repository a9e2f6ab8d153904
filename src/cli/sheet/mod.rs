//! The desk behind the sheet: the opened knowledge base, swapped whole when articles or tickets change,
//! and the cases in hand, each kept on disk like those of `fixtally call`.

mod cases;
mod opened;
mod reading;
mod watch;

use super::call::keep::Keep;
use super::{Failure, Session};
use crate::cli::place;
use crate::sheet::desk::{
    About, Alike, Desk, Figures, Guard, NewRemark, Reading, Sheet, Title, Trouble,
};
use crate::tickets::Scrubber;
use crate::view::call::OpenCase;
use cases::{Pile, Slots};
use opened::Opened;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError, RwLock};

type Tell = Box<dyn Fn() + Send + Sync>;

/// A desk that is kept warm.
pub(super) struct Warm {
    session: Session,
    keep: Arc<Keep>,
    scrubber: Arc<Scrubber>,
    /// What answers now; a swap replaces the whole.
    now: RwLock<Arc<Opened>>,
    slots: Slots,
    pile: Mutex<Pile>,
    closed: AtomicU64,
    tell: Mutex<Option<Tell>>,
    /// Whether something may have changed since the last look.
    dirty: Mutex<bool>,
    woken: Condvar,
}

impl Warm {
    /// Opens the desk and keeps it fresh from a thread of its own.
    pub(super) fn open(session: &Session, scrubber: Scrubber) -> Result<Arc<Self>, Failure> {
        let keep = Keep::open(&place::state_dir(session)?)?;
        let key = opened::key(session)?;
        let first = Opened::open(session)?;
        let warm = Arc::new(Self {
            session: session.quietly(),
            keep: Arc::new(keep),
            scrubber: Arc::new(scrubber),
            now: RwLock::new(Arc::new(first)),
            slots: Slots::default(),
            pile: Mutex::default(),
            closed: AtomicU64::new(0),
            tell: Mutex::new(None),
            dirty: Mutex::new(false),
            woken: Condvar::new(),
        });
        watch::begin(&warm, key)?;
        Ok(warm)
    }

    fn opened(&self) -> Arc<Opened> {
        Arc::clone(&self.now.read().unwrap_or_else(PoisonError::into_inner))
    }

    fn swap(&self, opened: Opened) {
        *self.now.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(opened);
        self.changed();
    }

    /// Tells those who wait that the version or the pile is another one.
    fn changed(&self) {
        if let Some(tell) = &*self.tell.lock().unwrap_or_else(PoisonError::into_inner) {
            tell();
        }
    }

    /// Something may have changed on disk: the thread that keeps the desk fresh looks.
    fn look_again(&self) {
        *self.dirty.lock().unwrap_or_else(PoisonError::into_inner) = true;
        self.woken.notify_one();
    }
}

/// A failure with all its causes, for the log.
fn broken(failure: &Failure) -> Trouble {
    let causes = failure.causes.join(": ");
    Trouble::Broken(if causes.is_empty() {
        failure.message.clone()
    } else {
        format!("{}: {causes}", failure.message)
    })
}

impl Desk for Warm {
    fn about(&self) -> About {
        reading::about(&self.opened())
    }

    fn version(&self) -> u64 {
        self.opened().version
    }

    fn pile(&self) -> Result<Vec<OpenCase>, Trouble> {
        self.open_cases().map_err(|failure| broken(&failure))
    }

    fn begin(&self) -> Result<String, Trouble> {
        self.begin_case()
    }

    fn look(&self, case: &str) -> Result<Sheet, Trouble> {
        self.with_case(case, |talk| Ok(talk.look()))
    }

    fn write(&self, case: &str, guard: Guard, line: &str) -> Result<Sheet, Trouble> {
        self.change(case, guard, Some(line), |talk| talk.sheet_line(line))
    }

    fn undo(&self, case: &str, guard: Guard) -> Result<Sheet, Trouble> {
        self.change(case, guard, None, |talk| talk.sheet_undo())
    }

    fn strike(&self, case: &str, guard: Guard, line: usize) -> Result<Sheet, Trouble> {
        self.change(case, guard, None, |talk| talk.strike(line))
    }

    fn peek(&self, case: Option<&str>, line: &str) -> Result<Sheet, Trouble> {
        self.peek_at(case, line)
    }

    fn similar(&self, case: &str) -> Result<Vec<Alike>, Trouble> {
        self.alike(case)
    }

    fn summary(&self, case: &str) -> Result<String, Trouble> {
        self.summed_up(case)
    }

    fn remark(&self, remark: &NewRemark) -> Result<u64, Trouble> {
        self.leave_remark(remark)
    }

    fn articles(&self) -> Vec<Title> {
        reading::titles(&self.opened())
    }

    fn article(&self, id: &str) -> Result<Reading, Trouble> {
        reading::article(&self.opened(), id)
    }

    fn path_of(&self, article: &str) -> Option<String> {
        reading::path_of(&self.opened(), article)
    }

    fn picture(&self, path: &str) -> Option<Vec<u8>> {
        reading::picture(&self.opened(), &self.session.kb, path)
    }

    fn figures(&self) -> Figures {
        let opened = self.opened();
        Figures {
            open_cases: self.slots.len(),
            closed_cases: self.closed.load(Ordering::Relaxed),
            tickets: opened.room.desk.evidence.tickets,
            articles: opened.room.desk.catalog.articles.len() as u64,
        }
    }

    fn on_change(&self, tell: Tell) {
        *self.tell.lock().unwrap_or_else(PoisonError::into_inner) = Some(tell);
    }
}
