//! One file's tickets into the ledger, in one transaction.

use super::care::{self, Heeded};
use super::errors::told;
use super::files;
use super::schema::patiently;
use super::{instant, outcome_name, unsigned};
use crate::base::ids::TicketId;
use crate::tickets::record::{RawTicket, Ticket};
use crate::tickets::store::{FileMark, Imported, Stop, StoreError};
use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};
use sha2::{Digest, Sha256};
use std::path::Path;

/// Tickets changed by this import, with what they were before it: one changed twice may end as it
/// began, and then nothing changed.
pub(super) const TOUCHED: &str = "
    CREATE TEMP TABLE IF NOT EXISTS touched (
        id TEXT NOT NULL PRIMARY KEY, before BLOB NOT NULL, rows INTEGER NOT NULL
    ) STRICT;
    DELETE FROM touched;
";

/// What was done so far.
#[derive(Default)]
pub(super) struct Done {
    pub(super) counts: Imported,
    /// By how much the sum of all digests grew.
    content: i64,
}

impl Done {
    /// The ticket with the digest `before`, if there was one, is now the one with `after`.
    pub(super) fn digested(&mut self, before: Option<&[u8]>, after: &[u8]) {
        self.content = self
            .content
            .wrapping_sub(before.map_or(0, head))
            .wrapping_add(head(after));
    }

    /// The ticket with this digest is gone.
    pub(super) fn removed(&mut self, before: &[u8]) {
        self.digested(Some(before), &[]);
    }
}

/// The start of a digest as a number.
pub(super) fn head(digest: &[u8]) -> i64 {
    digest
        .first_chunk()
        .map_or(0, |head| i64::from_be_bytes(*head))
}

pub(super) fn import(
    connection: &mut Connection,
    path: &Path,
    mark: Option<&FileMark>,
    tickets: &mut dyn Iterator<Item = Result<Ticket, Stop>>,
) -> Result<Imported, StoreError> {
    let transaction = begin(connection, path)?;
    transaction
        .execute_batch(TOUCHED)
        .map_err(|e| told(path, e))?;
    let heeded = Heeded::read(&transaction).map_err(|e| told(path, e))?;
    let mut done = Done::default();
    for ticket in tickets {
        take(&transaction, &ticket?, &heeded, &mut done).map_err(|e| told(path, e))?;
    }
    let settled = count(&transaction, &mut done).and_then(|()| {
        if let Some(mark) = mark
            && done.counts.kept() > 0
        {
            files::mark(&transaction, mark, done.counts.kept())?;
        }
        care::settle(&transaction)?;
        if done.counts.new + done.counts.changed > 0 {
            store_sums(&transaction, &done)?;
        }
        transaction.commit()
    });
    settled.map_err(|e| told(path, e))?;
    Ok(done.counts)
}

/// The write lock is taken at once: a read that turns into a write could not wait for it.
pub(super) fn begin<'a>(
    connection: &'a mut Connection,
    path: &Path,
) -> Result<Transaction<'a>, StoreError> {
    // Shared, so that it can be tried again; `&mut` proves that no other transaction is open.
    let connection = &*connection;
    patiently(|| {
        Transaction::new_unchecked(connection, TransactionBehavior::Immediate)
            .map_err(|e| told(path, e))
    })
}

/// Takes one ticket: adds it, or updates the one with its ref or id.
fn take(
    transaction: &Transaction<'_>,
    ticket: &Ticket,
    heeded: &Heeded,
    done: &mut Done,
) -> rusqlite::Result<()> {
    if heeded.leaves_out(ticket) {
        done.counts.left_out += 1;
        return Ok(());
    }
    let known = known(transaction, ticket)?;
    let named = match &known {
        Some((id, _)) if id != ticket.id.as_str() => renamed(ticket, id),
        _ => (**ticket).clone(),
    };
    let kept = heeded.heeded(named, transaction)?;
    let body = serde_json::to_string(&kept)
        .map_err(|e| rusqlite::Error::ToSqlConversionFailure(e.into()))?;
    let digest = Sha256::digest(body.as_bytes());
    let row = Kept {
        ticket: &kept,
        body: &body,
        digest: &digest,
    };
    match known {
        None => {
            row.write(transaction)?;
            done.counts.new += 1;
            done.digested(None, &digest);
        }
        Some((_, before)) if before == digest[..] => done.counts.unchanged += 1,
        Some((id, before)) => {
            transaction
                .prepare_cached(
                    "INSERT INTO touched VALUES (?1, ?2, 1)
                     ON CONFLICT (id) DO UPDATE SET rows = rows + 1",
                )?
                .execute(params![id, before])?;
            row.write(transaction)?;
            done.counts.changed += 1;
            done.digested(Some(&before), &digest);
        }
    }
    Ok(())
}

/// The id and digest of the ticket that this one updates: by ref first, then by id.
fn known(
    transaction: &Transaction<'_>,
    ticket: &Ticket,
) -> rusqlite::Result<Option<(String, Vec<u8>)>> {
    if let Some(reference) = &ticket.reference {
        let by_ref = "SELECT id, digest FROM tickets WHERE ref = ?1";
        if let Some(found) = find(transaction, by_ref, reference)? {
            return Ok(Some(found));
        }
    }
    let by_id = "SELECT id, digest FROM tickets WHERE id = ?1";
    find(transaction, by_id, ticket.id.as_str())
}

/// The id and digest of the ticket that a query finds by its key.
pub(super) fn find(
    transaction: &Transaction<'_>,
    query: &str,
    key: &str,
) -> rusqlite::Result<Option<(String, Vec<u8>)>> {
    transaction
        .prepare_cached(query)?
        .query_row([key], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()
}

/// The ticket under the id it was first known by.
fn renamed(ticket: &Ticket, id: &str) -> RawTicket {
    let mut kept = (**ticket).clone();
    kept.id = TicketId::new(id);
    // It may name its own first id as the one it follows; that is the same ticket.
    kept.follows = kept.follows.filter(|follows| follows.as_str() != id);
    kept
}

pub(super) struct Kept<'a> {
    pub(super) ticket: &'a RawTicket,
    pub(super) body: &'a str,
    pub(super) digest: &'a [u8],
}

impl Kept<'_> {
    pub(super) fn write(&self, transaction: &Transaction<'_>) -> rusqlite::Result<usize> {
        let (second, nanosecond) = instant(self.ticket.closed);
        transaction
            .prepare_cached(
                "INSERT INTO tickets (id, ref, closed, closed_ns, article, outcome, body, digest)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)
                 ON CONFLICT (id) DO UPDATE SET
                     ref = excluded.ref, closed = excluded.closed, closed_ns = excluded.closed_ns,
                     article = excluded.article, outcome = excluded.outcome,
                     body = excluded.body, digest = excluded.digest",
            )?
            .execute(params![
                self.ticket.id.as_str(),
                self.ticket.reference,
                second,
                nanosecond,
                self.ticket.article.as_ref().map(|a| a.as_str()),
                self.ticket.outcome.map(outcome_name),
                self.body,
                self.digest,
            ])
    }
}

/// Settles the counts, and commits where something changed.
pub(super) fn finish(transaction: Transaction<'_>, done: &mut Done) -> rusqlite::Result<()> {
    count(&transaction, done)?;
    if done.counts.new + done.counts.changed == 0 {
        return transaction.rollback();
    }
    store_sums(&transaction, done)?;
    transaction.commit()
}

/// Settles the counts: what was changed and changed back is unchanged.
fn count(transaction: &Transaction<'_>, done: &mut Done) -> rusqlite::Result<()> {
    let back: i64 = transaction.query_row(
        "SELECT coalesce(sum(rows), 0) FROM touched JOIN tickets USING (id)
         WHERE digest = before",
        [],
        |row| row.get(0),
    )?;
    let back = unsigned(back);
    done.counts.changed -= back;
    done.counts.unchanged += back;
    Ok(())
}

/// Counts a transaction that changed something, and keeps the sum of all digests.
fn store_sums(transaction: &Transaction<'_>, done: &Done) -> rusqlite::Result<()> {
    transaction.execute(
        "UPDATE meta SET value = value + 1 WHERE key = 'revision'",
        [],
    )?;
    // Added here: SQLite would turn a sum that overflows into a fraction.
    let content: i64 =
        transaction.query_row("SELECT value FROM meta WHERE key = 'content'", [], |row| {
            row.get(0)
        })?;
    transaction.execute(
        "UPDATE meta SET value = ?1 WHERE key = 'content'",
        [content.wrapping_add(done.content)],
    )?;
    Ok(())
}
