//! One ticket at a time: a case that was just closed, and the taking back of it.

use super::errors::told;
use super::import::{Done, Kept, TOUCHED, begin, find, finish};
use crate::base::ids::TicketId;
use crate::tickets::record::Ticket;
use crate::tickets::store::{Added, StoreError, TakenBack};
use rusqlite::{Connection, OptionalExtension, Transaction};
use sha2::{Digest, Sha256};
use std::path::Path;

fn body(ticket: &Ticket) -> rusqlite::Result<String> {
    serde_json::to_string(&**ticket).map_err(|e| rusqlite::Error::ToSqlConversionFailure(e.into()))
}

/// Adds a ticket under an id that nobody has; an existing one is never touched.
pub(super) fn add(
    connection: &mut Connection,
    path: &Path,
    ticket: &Ticket,
) -> Result<Added, StoreError> {
    let transaction = begin(connection, path)?;
    let run = |transaction: Transaction<'_>| -> rusqlite::Result<Added> {
        let body = body(ticket)?;
        let digest = Sha256::digest(body.as_bytes());
        let by_id = "SELECT id, digest FROM tickets WHERE id = ?1";
        if let Some((_, before)) = find(&transaction, by_id, ticket.id.as_str())? {
            let same = before == digest[..];
            return Ok(if same { Added::Same } else { Added::IdTaken });
        }
        if let Some(reference) = &ticket.reference {
            let by_ref = "SELECT id, digest FROM tickets WHERE ref = ?1";
            if let Some((id, _)) = find(&transaction, by_ref, reference)? {
                return Ok(Added::RefTaken(TicketId::new(&id)));
            }
        }
        transaction.execute_batch(TOUCHED)?;
        let mut done = Done::default();
        Kept {
            ticket,
            body: &body,
            digest: &digest,
        }
        .write(&transaction)?;
        // Whoever adds a ticket that was removed wants it again.
        transaction.execute("DELETE FROM removed WHERE id = ?1", [ticket.id.as_str()])?;
        done.counts.new = 1;
        done.digested(None, &digest);
        finish(transaction, &mut done)?;
        Ok(Added::New)
    };
    run(transaction).map_err(|e| told(path, e))
}

/// Takes a ticket out again where it is still as it was given.
pub(super) fn take_back(
    connection: &mut Connection,
    path: &Path,
    ticket: &Ticket,
) -> Result<TakenBack, StoreError> {
    let transaction = begin(connection, path)?;
    let run = |transaction: Transaction<'_>| -> rusqlite::Result<TakenBack> {
        let stored: Option<String> = transaction
            .prepare_cached("SELECT body FROM tickets WHERE id = ?1")?
            .query_row([ticket.id.as_str()], |row| row.get(0))
            .optional()?;
        let Some(stored) = stored else {
            return Ok(TakenBack::Missing);
        };
        if stored != body(ticket)? {
            return Ok(TakenBack::Changed);
        }
        transaction.execute_batch(TOUCHED)?;
        transaction.execute("DELETE FROM tickets WHERE id = ?1", [ticket.id.as_str()])?;
        let mut done = Done::default();
        done.counts.changed = 1;
        done.removed(&Sha256::digest(stored.as_bytes()));
        finish(transaction, &mut done)?;
        Ok(TakenBack::Done)
    };
    run(transaction).map_err(|e| told(path, e))
}
