//! What a store of tickets must do, whichever database stands behind it.
//!
//! The embedded one is [`super::ledger::SqliteLedger`]; a shared one for many desks can be a second.

use super::record::{Outcome, Ticket};
use super::remark::Remark;
use crate::base::ids::{ArticleId, TicketId};
use jiff::Timestamp;
use serde::Serialize;
use std::ops::ControlFlow;
use std::path::PathBuf;

/// The store of closed tickets.
pub trait Ledger: Send {
    /// Takes one file's tickets in one transaction: all of them, or none where `tickets` yields a
    /// [`Stop`] or the store fails.
    ///
    /// A ticket whose ref or id is known updates that one, which keeps its first id; the ref, which
    /// is the office's own id, is looked at first. The same content changes nothing.
    fn import(
        &mut self,
        tickets: &mut dyn Iterator<Item = Result<Ticket, Stop>>,
    ) -> Result<Imported, StoreError>;

    /// As [`Self::import`], and marks the file as taken in the same transaction.
    fn import_file(
        &mut self,
        mark: &FileMark,
        tickets: &mut dyn Iterator<Item = Result<Ticket, Stop>>,
    ) -> Result<Imported, StoreError>;

    /// When the file with this digest was taken, if it was.
    fn taken(&self, digest: &[u8]) -> Result<Option<TakenFile>, StoreError>;

    /// Adds one ticket under an id that is not known yet; a known one is never changed. When this
    /// returns, the ticket outlasts a crash.
    fn add(&mut self, ticket: &Ticket) -> Result<Added, StoreError>;

    /// Takes a ticket out again that [`Self::add`] took, where nobody changed it since.
    fn take_back(&mut self, ticket: &Ticket) -> Result<TakenBack, StoreError>;

    /// The ticket with this id, else with this ref.
    fn get(&self, id_or_ref: &str) -> Result<Option<Ticket>, StoreError>;

    /// Visits tickets one by one in the order asked for; memory stays flat.
    fn each(
        &self,
        filter: &Filter,
        order: Order,
        visit: &mut dyn FnMut(Ticket) -> ControlFlow<()>,
    ) -> Result<(), StoreError>;

    /// How many tickets a filter lets through; its limit is not looked at.
    fn count(&self, filter: &Filter) -> Result<u64, StoreError>;

    /// All ids, sorted.
    fn ids(&self) -> Result<Vec<TicketId>, StoreError>;

    /// Grows by one with each transaction that changed something.
    fn revision(&self) -> Result<u64, StoreError>;

    /// Changes with every change of what is stored; what is derived from the store is kept under it.
    fn fingerprint(&self) -> Result<String, StoreError> {
        Ok(format!(
            "{}-{}",
            self.revision()?,
            self.count(&Filter::default())?
        ))
    }

    /// All tickets a filter lets through, oldest first, in order of (closed, id).
    fn list(&self, filter: &Filter) -> Result<Vec<Ticket>, StoreError> {
        let mut all = Vec::new();
        self.each(filter, Order::OldestFirst, &mut |ticket| {
            all.push(ticket);
            ControlFlow::Continue(())
        })?;
        Ok(all)
    }
}

/// The store of remarks, beside the tickets.
pub trait Remarks {
    /// Stores a remark and gives its number.
    fn remark(&mut self, remark: &Remark) -> Result<u64, StoreError>;

    /// All remarks, oldest first.
    fn remarks(&self) -> Result<Vec<Remark>, StoreError>;

    /// Closes remarks, all or none; gives the numbers that are not open.
    fn close_remarks(&mut self, numbers: &[u64], at: Timestamp) -> Result<Vec<u64>, StoreError>;
}

/// What became of a ticket that was to be added.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Added {
    /// It is stored.
    New,
    /// It is stored already, with the same content.
    Same,
    /// Its id belongs to another ticket; nothing was changed.
    IdTaken,
    /// Its ref belongs to this ticket; nothing was changed.
    RefTaken(TicketId),
}

/// What became of a ticket that was to be taken back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TakenBack {
    /// It is gone.
    Done,
    /// It was changed since, and stays.
    Changed,
    /// There is none of this id.
    Missing,
}

/// Which tickets are meant; the default is all.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Filter {
    /// Recorded with this article.
    pub article: Option<ArticleId>,
    /// Closed at this time or later.
    pub since: Option<Timestamp>,
    /// Closed before this time.
    pub before: Option<Timestamp>,
    /// Ended so.
    pub outcome: Option<Outcome>,
    /// No more than this many, counted in the order asked for.
    pub limit: Option<u64>,
}

/// In which order tickets are visited: by (closed, id).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// The order all statistics take them in.
    OldestFirst,
    /// The order people read them in.
    NewestFirst,
}

/// A file on its way in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileMark {
    /// The digest of its bytes and of everything that decides how they are read.
    pub digest: Vec<u8>,
    /// Its name, for people.
    pub name: String,
    /// When it is taken.
    pub at: Timestamp,
}

/// A file that was taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TakenFile {
    /// Its name then.
    pub name: String,
    /// When.
    pub at: Timestamp,
    /// How many tickets it gave.
    pub tickets: u64,
}

/// What one import did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Imported {
    /// Tickets not known before.
    pub new: u64,
    /// Tickets known before, now with other content.
    pub changed: u64,
    /// Tickets known before with the same content.
    pub unchanged: u64,
    /// Tickets that people removed, and that stay so.
    pub left_out: u64,
}

impl Imported {
    /// All tickets taken.
    #[must_use]
    pub fn kept(&self) -> u64 {
        self.new + self.changed + self.unchanged + self.left_out
    }
}

/// Ends an import from the giving side; nothing of it is kept.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct Stop(pub String);

/// Why the store could not do it. Facts only; hints are worded at the edge.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The giver of tickets stopped.
    #[error(transparent)]
    Stopped(#[from] Stop),
    /// Others kept it locked all the time.
    #[error("other programs kept `{0}` locked for a minute")]
    Busy(PathBuf),
    /// It may not be written.
    #[error("`{0}` may not be written")]
    ReadOnly(PathBuf),
    /// The disk is full.
    #[error("the disk of `{0}` is full")]
    Full(PathBuf),
    /// Its bytes are no longer what was written.
    #[error("`{path}` is damaged: {reason}")]
    Damaged {
        /// The file.
        path: PathBuf,
        /// The database's words.
        reason: String,
    },
    /// It is some other program's database.
    #[error("`{0}` is no ledger")]
    Foreign(PathBuf),
    /// A newer fixtally wrote it.
    #[error("`{path}` has format {found}, but this fixtally reads formats up to {known}")]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        found: i64,
        /// The newest known here.
        known: i64,
    },
    /// It lies on a network file system, where its locks do not hold.
    #[error(
        "`{path}` lies on a network file system ({kind}), where a ledger would be damaged by two computers writing at once"
    )]
    Network {
        /// The file.
        path: PathBuf,
        /// The file system's name.
        kind: String,
    },
    /// The folder or file cannot be opened.
    #[error("`{path}` cannot be opened: {reason}")]
    Open {
        /// The file.
        path: PathBuf,
        /// The system's words.
        reason: String,
    },
    /// Anything else the database says.
    #[error("`{path}`: {reason}")]
    Other {
        /// The file.
        path: PathBuf,
        /// The database's words.
        reason: String,
    },
}
