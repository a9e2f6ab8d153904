//! Corrections, removals and forgetting: what is kept of them, and how an import heeds them.
//!
//! What undoing needs is kept until the next import and then dropped, for it is what somebody
//! wanted gone.

mod forgetting;

use super::SqliteLedger;
use super::errors::told;
use super::import::{Done, Kept, TOUCHED, begin, finish};
use crate::base::ids::TicketId;
use crate::tickets::care::{Care, Corrected, Patch, Undone, forgotten, was_read};
use crate::tickets::record::{RawTicket, Ticket, WasRead};
use crate::tickets::store::StoreError;
use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, Transaction, params};
use sha2::{Digest, Sha256};
use std::collections::{HashMap, HashSet};

/// The tables.
pub(super) const TABLES: &str = "
    CREATE TABLE removed (
        id TEXT NOT NULL PRIMARY KEY,
        ref TEXT,
        body TEXT                    -- the ticket, until the next import
    ) STRICT;
    CREATE TABLE corrected (
        id TEXT NOT NULL PRIMARY KEY,
        patch TEXT NOT NULL,         -- the fields people set, as JSON
        patch_before TEXT,           -- before the last correction, until the next import
        body_before TEXT
    ) STRICT;
";

/// The name under which `meta` keeps the time before which text is forgotten.
const BEFORE: &str = "forgotten-before";

/// What an import must heed.
pub(super) struct Heeded {
    removed: HashSet<String>,
    corrected: HashMap<String, Patch>,
    before: Option<Timestamp>,
}

impl Heeded {
    pub(super) fn read(connection: &Connection) -> rusqlite::Result<Self> {
        let mut removed = HashSet::new();
        let mut query = connection.prepare("SELECT id, ref FROM removed")?;
        let mut rows = query.query([])?;
        while let Some(row) = rows.next()? {
            removed.insert(row.get(0)?);
            removed.extend(row.get::<_, Option<String>>(1)?);
        }
        let mut query = connection.prepare("SELECT id, patch FROM corrected")?;
        let corrected = query
            .query_map([], |row| {
                Ok((row.get(0)?, Patch::from_text(row.get_ref(1)?.as_str()?)))
            })?
            .collect::<rusqlite::Result<_>>()?;
        Ok(Self {
            removed,
            corrected,
            before: before(connection)?,
        })
    }

    /// Whether people took this ticket out.
    pub(super) fn leaves_out(&self, ticket: &RawTicket) -> bool {
        let removed = |id: &str| self.removed.contains(id);
        !self.removed.is_empty()
            && (removed(ticket.id.as_str()) || ticket.reference.as_deref().is_some_and(removed))
    }

    /// The ticket as people want it. Of a forgotten time, what had been read of the ticket that is
    /// stored under this id stays.
    pub(super) fn heeded(
        &self,
        ticket: RawTicket,
        connection: &Connection,
    ) -> rusqlite::Result<RawTicket> {
        let corrected = self.corrected.get(ticket.id.as_str());
        // A correction that no longer fits the rest of the ticket must not lose the ticket.
        let ticket = match corrected.map(|patch| patch.applied(&ticket)) {
            Some(Ok(corrected)) => corrected,
            _ => ticket,
        };
        if self.before.is_none_or(|before| ticket.closed >= before) {
            return Ok(ticket);
        }
        let read = match stored(connection, ticket.id.as_str())? {
            Some((_, body)) => was_read(&raw(&body)?).cloned(),
            None => None,
        };
        Ok(forgotten(&ticket, read))
    }
}

/// After an import nothing can be undone, and nothing is kept for it.
pub(super) fn settle(transaction: &Transaction<'_>) -> rusqlite::Result<()> {
    transaction.execute_batch(
        "UPDATE removed SET body = NULL WHERE body IS NOT NULL;
         UPDATE corrected SET patch_before = NULL, body_before = NULL
             WHERE body_before IS NOT NULL;",
    )
}

fn before(connection: &Connection) -> rusqlite::Result<Option<Timestamp>> {
    let second: Option<i64> = connection
        .query_row("SELECT value FROM meta WHERE key = ?1", [BEFORE], |row| {
            row.get(0)
        })
        .optional()?;
    Ok(second.and_then(|second| Timestamp::from_second(second).ok()))
}

/// The id and the body of a ticket by its id, else by its ref.
fn stored(connection: &Connection, id_or_ref: &str) -> rusqlite::Result<Option<(String, String)>> {
    connection
        .prepare_cached(
            "SELECT id, body FROM tickets WHERE id = ?1 OR ref = ?1 ORDER BY id = ?1 DESC LIMIT 1",
        )?
        .query_row([id_or_ref], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()
}

/// Replaces a stored body by another of the same id.
fn replace(
    transaction: &Transaction<'_>,
    before: &str,
    ticket: &RawTicket,
    done: &mut Done,
) -> rusqlite::Result<()> {
    let body = serde_json::to_string(ticket)
        .map_err(|e| rusqlite::Error::ToSqlConversionFailure(e.into()))?;
    let digest = Sha256::digest(body.as_bytes());
    Kept {
        ticket,
        body: &body,
        digest: &digest,
    }
    .write(transaction)?;
    done.counts.changed += 1;
    done.digested(Some(&Sha256::digest(before.as_bytes())), &digest);
    Ok(())
}

fn raw(body: &str) -> rusqlite::Result<RawTicket> {
    serde_json::from_str(body).map_err(|e| rusqlite::Error::ToSqlConversionFailure(e.into()))
}

impl SqliteLedger {
    /// Runs in a transaction, which the runner commits; what it reads cannot change meanwhile.
    fn in_transaction<T>(
        &mut self,
        run: impl FnOnce(Transaction<'_>) -> rusqlite::Result<T>,
    ) -> Result<T, StoreError> {
        let transaction = begin(&mut self.connection, &self.path)?;
        transaction
            .execute_batch(TOUCHED)
            .and_then(|()| run(transaction))
            .map_err(|e| told(&self.path, e))
    }
}

fn correct(
    transaction: Transaction<'_>,
    id_or_ref: &str,
    patch: &Patch,
) -> rusqlite::Result<Corrected> {
    let Some((id, body)) = stored(&transaction, id_or_ref)? else {
        return Ok(Corrected::Missing);
    };
    let was = raw(&body)?;
    let now = match patch.applied(&was) {
        Ok(now) => now,
        Err(why) => return Ok(Corrected::Refused(why)),
    };
    if now == was {
        return Ok(Corrected::Same(was.id));
    }
    let older: Option<String> = transaction
        .query_row("SELECT patch FROM corrected WHERE id = ?1", [&id], |row| {
            row.get(0)
        })
        .optional()?;
    let joined = match &older {
        Some(older) => Patch::from_text(older).joined(patch),
        None => patch.clone(),
    };
    transaction.execute(
        "INSERT OR REPLACE INTO corrected VALUES (?1, ?2, ?3, ?4)",
        params![id, joined.to_text(), older, body],
    )?;
    let mut done = Done::default();
    replace(&transaction, &body, &now, &mut done)?;
    finish(transaction, &mut done)?;
    Ok(Corrected::Done(Box::new((
        Ticket::scrubbed(was),
        Ticket::scrubbed(now),
    ))))
}

fn uncorrect(transaction: Transaction<'_>, id_or_ref: &str) -> rusqlite::Result<Undone> {
    let Some((id, body)) = stored(&transaction, id_or_ref)? else {
        return Ok(Undone::Nothing);
    };
    let kept: Option<(Option<String>, Option<String>)> = transaction
        .query_row(
            "SELECT patch_before, body_before FROM corrected WHERE id = ?1",
            [&id],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
        .optional()?;
    let Some((patch_before, body_before)) = kept else {
        return Ok(Undone::Nothing);
    };
    // An older correction stays, but cannot be undone as well.
    match &patch_before {
        Some(patch) => transaction.execute(
            "UPDATE corrected SET patch = ?2, patch_before = NULL, body_before = NULL
             WHERE id = ?1",
            params![id, patch],
        )?,
        None => transaction.execute("DELETE FROM corrected WHERE id = ?1", [&id])?,
    };
    let Some(body_before) = body_before else {
        read_files_again(&transaction)?;
        transaction.commit()?;
        return Ok(Undone::Later(TicketId::new(&id)));
    };
    let mut done = Done::default();
    replace(&transaction, &body, &raw(&body_before)?, &mut done)?;
    finish(transaction, &mut done)?;
    Ok(Undone::Done(TicketId::new(&id)))
}

fn remove(transaction: Transaction<'_>, id_or_ref: &str) -> rusqlite::Result<Option<TicketId>> {
    let Some((id, body)) = stored(&transaction, id_or_ref)? else {
        return Ok(None);
    };
    transaction.execute(
        "INSERT OR REPLACE INTO removed SELECT id, ref, body FROM tickets WHERE id = ?1",
        [&id],
    )?;
    transaction.execute("DELETE FROM tickets WHERE id = ?1", [&id])?;
    let mut done = Done::default();
    done.counts.changed = 1;
    done.removed(&Sha256::digest(body.as_bytes()));
    finish(transaction, &mut done)?;
    Ok(Some(TicketId::new(&id)))
}

/// The id of a removed ticket by its id, else by its ref.
fn removed(connection: &Connection, id_or_ref: &str) -> rusqlite::Result<Option<TicketId>> {
    connection
        .query_row(
            "SELECT id FROM removed WHERE lower(id) = lower(?1) OR ref = ?1
             ORDER BY id = ?1 DESC LIMIT 1",
            [id_or_ref],
            |row| Ok(TicketId::new(&row.get::<_, String>(0)?)),
        )
        .optional()
}

fn restore(transaction: Transaction<'_>, id_or_ref: &str) -> rusqlite::Result<Undone> {
    let found: Option<(String, Option<String>)> = transaction
        .query_row(
            "SELECT id, body FROM removed WHERE id = ?1 OR ref = ?1 ORDER BY id = ?1 DESC LIMIT 1",
            [id_or_ref],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
        .optional()?;
    let Some((id, body)) = found else {
        return Ok(Undone::Nothing);
    };
    transaction.execute("DELETE FROM removed WHERE id = ?1", [&id])?;
    let Some(body) = body else {
        read_files_again(&transaction)?;
        transaction.commit()?;
        return Ok(Undone::Later(TicketId::new(&id)));
    };
    let digest = Sha256::digest(body.as_bytes());
    Kept {
        ticket: &raw(&body)?,
        body: &body,
        digest: &digest,
    }
    .write(&transaction)?;
    let mut done = Done::default();
    done.counts.new = 1;
    done.digested(None, &digest);
    finish(transaction, &mut done)?;
    Ok(Undone::Done(TicketId::new(&id)))
}

/// What people took out or dropped can come back only from the files it came from.
fn read_files_again(transaction: &Transaction<'_>) -> rusqlite::Result<usize> {
    transaction.execute("DELETE FROM files", [])
}

impl Care for SqliteLedger {
    fn correct(&mut self, id_or_ref: &str, patch: &Patch) -> Result<Corrected, StoreError> {
        self.in_transaction(|transaction| correct(transaction, id_or_ref, patch))
    }

    fn uncorrect(&mut self, id_or_ref: &str) -> Result<Undone, StoreError> {
        self.in_transaction(|transaction| uncorrect(transaction, id_or_ref))
    }

    fn remove(&mut self, id_or_ref: &str) -> Result<Option<TicketId>, StoreError> {
        self.in_transaction(|transaction| remove(transaction, id_or_ref))
    }

    fn removed(&self, id_or_ref: &str) -> Result<Option<TicketId>, StoreError> {
        removed(&self.connection, id_or_ref).map_err(|e| self.told(e))
    }

    fn restore(&mut self, id_or_ref: &str) -> Result<Undone, StoreError> {
        self.in_transaction(|transaction| restore(transaction, id_or_ref))
    }

    fn forget(
        &mut self,
        before: Timestamp,
        read: &dyn Fn(&Ticket) -> Option<WasRead>,
    ) -> Result<u64, StoreError> {
        let count =
            self.in_transaction(|transaction| forgetting::forget(transaction, before, read))?;
        // Pages keep copies of what stood in them, also from when they were split: all are written anew,
        // and the log that may still hold old ones is emptied.
        self.connection
            .execute_batch("VACUUM")
            .map_err(|e| self.told(e))?;
        self.connection
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
            .map_err(|e| self.told(e))?;
        Ok(count)
    }

    fn with_text(&self, before: Timestamp) -> Result<u64, StoreError> {
        forgetting::with_text(&self.connection, before).map_err(|e| self.told(e))
    }

    fn forgotten_before(&self) -> Result<Option<Timestamp>, StoreError> {
        before(&self.connection).map_err(|e| self.told(e))
    }

    fn remember(&mut self) -> Result<Option<Timestamp>, StoreError> {
        self.in_transaction(|transaction| {
            let held = before(&transaction)?;
            transaction.execute("DELETE FROM meta WHERE key = ?1", [BEFORE])?;
            if held.is_some() {
                read_files_again(&transaction)?;
            }
            transaction.commit()?;
            Ok(held)
        })
    }
}
