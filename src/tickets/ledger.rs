//! The embedded store of tickets: one SQLite file, `ledger.sqlite`.
//!
//! Write-ahead log and full synchronisation: after a crash or a pulled plug the file is as after
//! the last whole import. Several programs may use it at once on one computer; each write is one
//! transaction that waits its turn. This file and those below it are the only place with SQL.

mod care;
mod confirmed;
mod errors;
mod files;
mod import;
mod one;
mod parts;
mod place;
mod remarks;
mod schema;

use super::record::{Outcome, RawTicket, Ticket};
use super::remark::Remark;
use super::store::{
    Added, FileMark, Filter, Imported, Ledger, Order, Remarks, Stop, StoreError, TakenBack,
    TakenFile,
};
use crate::base::ids::TicketId;
use jiff::Timestamp;
use rusqlite::types::Value;
use rusqlite::{Connection, OptionalExtension, params_from_iter};
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

pub use parts::Mark;
pub use schema::FORMAT;

/// The ledger's file name within the state folder.
pub const FILE: &str = "ledger.sqlite";

/// A ledger in a SQLite file.
#[derive(Debug)]
pub struct SqliteLedger {
    connection: Connection,
    path: PathBuf,
}

impl SqliteLedger {
    /// Opens the ledger at `path` and makes it where there is none; its folder must exist.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        place::refuse_network(path)?;
        Ok(Self {
            connection: schema::open(path)?,
            path: path.to_owned(),
        })
    }

    /// Opens the ledger at `path`, or gives nothing where there is none.
    ///
    /// Where the folder may not be written, it is opened for reading alone.
    pub fn open_existing(path: &Path) -> Result<Option<Self>, StoreError> {
        if !path.exists() {
            return Ok(None);
        }
        match Self::open(path) {
            Err(StoreError::ReadOnly(_) | StoreError::Open { .. }) => Ok(Some(Self {
                connection: schema::open_frozen(path)?,
                path: path.to_owned(),
            })),
            opened => opened.map(Some),
        }
    }

    /// Where it lies.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    fn told(&self, error: rusqlite::Error) -> StoreError {
        errors::told(&self.path, error)
    }

    fn ticket(&self, body: &str) -> Result<Ticket, StoreError> {
        let raw: RawTicket = serde_json::from_str(body).map_err(|error| self.damaged(&error))?;
        Ok(Ticket::scrubbed(raw))
    }

    fn damaged(&self, error: &serde_json::Error) -> StoreError {
        StoreError::Damaged {
            path: self.path.clone(),
            reason: format!("a ticket in it cannot be read: {error}"),
        }
    }
}

impl Ledger for SqliteLedger {
    fn import(
        &mut self,
        tickets: &mut dyn Iterator<Item = Result<Ticket, Stop>>,
    ) -> Result<Imported, StoreError> {
        import::import(&mut self.connection, &self.path, None, tickets)
    }

    fn import_file(
        &mut self,
        mark: &FileMark,
        tickets: &mut dyn Iterator<Item = Result<Ticket, Stop>>,
    ) -> Result<Imported, StoreError> {
        import::import(&mut self.connection, &self.path, Some(mark), tickets)
    }

    fn taken(&self, digest: &[u8]) -> Result<Option<TakenFile>, StoreError> {
        files::taken(&self.connection, digest).map_err(|e| self.told(e))
    }

    fn add(&mut self, ticket: &Ticket) -> Result<Added, StoreError> {
        one::add(&mut self.connection, &self.path, ticket)
    }

    fn take_back(&mut self, ticket: &Ticket) -> Result<TakenBack, StoreError> {
        one::take_back(&mut self.connection, &self.path, ticket)
    }

    fn get(&self, id_or_ref: &str) -> Result<Option<Ticket>, StoreError> {
        // An id goes before a ref of the same text.
        let body: Option<String> = self
            .connection
            .prepare_cached(
                "SELECT body FROM tickets WHERE id = ?1 OR ref = ?1 ORDER BY id = ?1 DESC LIMIT 1",
            )
            .and_then(|mut find| find.query_row([id_or_ref], |row| row.get(0)).optional())
            .map_err(|e| self.told(e))?;
        body.map(|body| self.ticket(&body)).transpose()
    }

    fn each(
        &self,
        filter: &Filter,
        order: Order,
        visit: &mut dyn FnMut(Ticket) -> ControlFlow<()>,
    ) -> Result<(), StoreError> {
        let (conditions, mut values) = conditions(filter);
        let order = match order {
            Order::OldestFirst => "closed, closed_ns, id",
            Order::NewestFirst => "closed DESC, closed_ns DESC, id DESC",
        };
        // A negative limit is none.
        let limit = filter.limit.map_or(-1, |n| i64::try_from(n).unwrap_or(-1));
        values.push(Value::Integer(limit));
        let query = format!("SELECT body FROM tickets{conditions} ORDER BY {order} LIMIT ?");
        let mut query = self
            .connection
            .prepare_cached(&query)
            .map_err(|e| self.told(e))?;
        let mut rows = query
            .query(params_from_iter(values))
            .map_err(|e| self.told(e))?;
        while let Some(row) = rows.next().map_err(|e| self.told(e))? {
            let body = row.get_ref(0).map_err(|e| self.told(e))?;
            let body = body.as_str().map_err(|e| self.told(e.into()))?;
            if visit(self.ticket(body)?).is_break() {
                break;
            }
        }
        Ok(())
    }

    fn count(&self, filter: &Filter) -> Result<u64, StoreError> {
        let (conditions, values) = conditions(filter);
        self.connection
            .query_row(
                &format!("SELECT count(*) FROM tickets{conditions}"),
                params_from_iter(values),
                |row| row.get(0),
            )
            .map(unsigned)
            .map_err(|e| self.told(e))
    }

    fn ids(&self) -> Result<Vec<TicketId>, StoreError> {
        let read = || {
            let mut query = self
                .connection
                .prepare("SELECT id FROM tickets ORDER BY id")?;
            let ids = query.query_map([], |row| Ok(TicketId::new(row.get_ref(0)?.as_str()?)))?;
            ids.collect::<rusqlite::Result<_>>()
        };
        read().map_err(|e| self.told(e))
    }

    fn revision(&self) -> Result<u64, StoreError> {
        self.connection
            .query_row("SELECT value FROM meta WHERE key = 'revision'", [], |row| {
                row.get(0)
            })
            .map(unsigned)
            .map_err(|e| self.told(e))
    }

    fn fingerprint(&self) -> Result<String, StoreError> {
        Ok(self.mark()?.fingerprint())
    }
}

/// The number of tickets and the sum of the starts of their digests, modulo 2⁶⁴: the same tickets give
/// the same, whatever their history.
fn fingerprint(tickets: i64, content: i64) -> String {
    format!("{tickets}-{content:016x}")
}

impl Remarks for SqliteLedger {
    fn remark(&mut self, remark: &Remark) -> Result<u64, StoreError> {
        schema::patiently(|| remarks::add(&self.connection, remark).map_err(|e| self.told(e)))
    }

    fn remarks(&self) -> Result<Vec<Remark>, StoreError> {
        remarks::list(&self.connection).map_err(|e| self.told(e))
    }

    fn close_remarks(&mut self, numbers: &[u64], at: Timestamp) -> Result<Vec<u64>, StoreError> {
        remarks::close(&mut self.connection, numbers, at).map_err(|e| errors::told(&self.path, e))
    }
}

/// The filter as SQL, with its values.
fn conditions(filter: &Filter) -> (String, Vec<Value>) {
    let mut all: Vec<&str> = Vec::new();
    let mut values = Vec::new();
    if let Some(article) = &filter.article {
        all.push("article = ?");
        values.push(Value::Text(article.to_string()));
    }
    if let Some(outcome) = filter.outcome {
        all.push("outcome = ?");
        values.push(Value::Text(outcome_name(outcome).to_owned()));
    }
    for (bound, condition) in [
        (filter.since, "(closed, closed_ns) >= (?, ?)"),
        (filter.before, "(closed, closed_ns) < (?, ?)"),
    ] {
        if let Some(time) = bound {
            let (second, nanosecond) = instant(time);
            all.push(condition);
            values.extend([Value::Integer(second), Value::Integer(nanosecond)]);
        }
    }
    let joined = all.join(" AND ");
    let conditions = if joined.is_empty() {
        joined
    } else {
        format!(" WHERE {joined}")
    };
    (conditions, values)
}

/// A time as two whole numbers that sort as the time does.
fn instant(time: Timestamp) -> (i64, i64) {
    (time.as_second(), i64::from(time.subsec_nanosecond()))
}

/// Counts are never negative; SQLite knows signed numbers only.
fn unsigned(count: i64) -> u64 {
    u64::try_from(count).unwrap_or(0)
}

fn outcome_name(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Resolved => "resolved",
        Outcome::HandedOn => "handed-on",
        Outcome::Dropped => "dropped",
    }
}

#[cfg(test)]
mod tests;
