//! Everything that answers at one moment, and by what one tells that it is no longer fresh.

use crate::articles::folder::{self, Folder, SourceStamp};
use crate::cli::call::room::Room;
use crate::cli::desk::running::Running;
use crate::cli::{Failure, Session, desk, ledger};
use crate::tickets::store::Ledger;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// The opened knowledge base, all articles as they are read, and a number for the two.
pub(super) struct Opened {
    pub(super) room: Arc<Room>,
    pub(super) shelf: Arc<Folder>,
    pub(super) version: u64,
}

impl Opened {
    pub(super) fn open(session: &Session) -> Result<Self, Failure> {
        let room = Arc::new(Room::open(session)?);
        Ok(Self {
            shelf: Arc::new(folder::read(&session.kb, desk::now(session)?)?),
            version: next_version(),
            room,
        })
    }
}

impl Opened {
    /// The same with the articles as they lie on disk now: to be read at once, while what answers from
    /// them is still being made.
    pub(super) fn read_again(&self, session: &Session) -> Result<Self, Failure> {
        Ok(Self {
            shelf: Arc::new(folder::read(&session.kb, self.room.desk.as_of)?),
            version: next_version(),
            room: Arc::clone(&self.room),
        })
    }

    /// The same with the tickets that were added since; none where that is not all there is to do.
    pub(super) fn caught_up(
        &self,
        running: &mut Running,
        session: &Session,
    ) -> Result<Option<Self>, Failure> {
        let desk = self.room.desk.caught_up(running, session)?;
        Ok(desk.map(|desk| Self {
            shelf: Arc::clone(&self.shelf),
            version: next_version(),
            room: Arc::new(self.room.with(desk, session)),
        }))
    }
}

/// Another number for each opening, also after the server was started anew: pages that stayed open then
/// see that they are out of date.
fn next_version() -> u64 {
    static LAST: AtomicU64 = AtomicU64::new(0);
    let clock = u64::try_from(jiff::Timestamp::now().as_millisecond()).unwrap_or(0);
    LAST.fetch_update(Ordering::SeqCst, Ordering::SeqCst, |last| {
        Some(clock.max(last + 1))
    })
    .map_or(clock, |last| clock.max(last + 1))
}

/// What the opened desk was made from: it changes with every article, setting and ticket.
#[derive(PartialEq, Eq)]
pub(super) struct Key {
    files: Vec<SourceStamp>,
    ledger: u64,
}

impl Key {
    /// Whether articles or settings are others than those of another key.
    pub(super) fn other_files(&self, than: &Self) -> bool {
        self.files != than.files
    }
}

/// The key of what lies on disk now.
pub(super) fn key(session: &Session) -> Result<Key, Failure> {
    Ok(Key {
        files: folder::stamp(&session.kb)?,
        ledger: ledger::open(session)?.revision().map_err(ledger::failure)?,
    })
}
