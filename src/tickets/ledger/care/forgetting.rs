//! The text of old tickets out of the ledger, wherever it stands.

use super::{BEFORE, before, raw, replace, settle};
use crate::tickets::care::{FORGOTTEN, Patch, forgotten};
use crate::tickets::ledger::import::{Done, finish};
use crate::tickets::ledger::{instant, unsigned};
use crate::tickets::record::{Ticket, WasRead};
use jiff::Timestamp;
use rusqlite::{Connection, Transaction, params};

pub(super) fn forget(
    transaction: Transaction<'_>,
    before_time: Timestamp,
    read: &dyn Fn(&Ticket) -> Option<WasRead>,
) -> rusqlite::Result<u64> {
    let (second, nanosecond) = instant(before_time);
    let known = before(&transaction)?.map_or(i64::MIN, Timestamp::as_second);
    // A whole second more forgets a little more, never less.
    let whole = second + i64::from(nanosecond > 0);
    transaction.execute(
        "INSERT INTO meta VALUES (?1, ?2)
         ON CONFLICT (key) DO UPDATE SET value = excluded.value",
        params![BEFORE, whole.max(known)],
    )?;
    settle(&transaction)?;
    drop_patched_text(&transaction, (second, nanosecond))?;
    let mut done = Done::default();
    let mut after = (i64::MIN, 0, String::new());
    // In pieces, so that memory stays flat however many there are.
    loop {
        let piece = piece(&transaction, &after, (second, nanosecond))?;
        let Some((key, _)) = piece.last() else { break };
        after = key.clone();
        for (_, body) in piece {
            let was = Ticket::scrubbed(raw(&body)?);
            let now = forgotten(&was, read(&was));
            if now != *was {
                replace(&transaction, &body, &now, &mut done)?;
            }
        }
    }
    let count = done.counts.changed;
    if count == 0 {
        transaction.commit()?;
    } else {
        finish(transaction, &mut done)?;
    }
    Ok(count)
}

/// Corrections hold text too.
fn drop_patched_text(transaction: &Transaction<'_>, before: (i64, i64)) -> rusqlite::Result<()> {
    let patched: Vec<(String, String)> = transaction
        .prepare(
            "SELECT id, patch FROM corrected JOIN tickets USING (id)
             WHERE (closed, closed_ns) < (?1, ?2)",
        )?
        .query_map([before.0, before.1], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<rusqlite::Result<_>>()?;
    for (id, patch) in patched {
        transaction.execute(
            "UPDATE corrected SET patch = ?2 WHERE id = ?1",
            params![id, Patch::from_text(&patch).without_text().to_text()],
        )?;
    }
    Ok(())
}

/// The order key of a ticket: closing second, nanosecond, id.
type Key = (i64, i64, String);

/// The next tickets after `after` that were closed before a time and still have their text.
fn piece(
    transaction: &Transaction<'_>,
    after: &Key,
    before: (i64, i64),
) -> rusqlite::Result<Vec<(Key, String)>> {
    const PIECE: i64 = 5_000;
    transaction
        .prepare_cached(
            "SELECT closed, closed_ns, id, body FROM tickets
             WHERE (closed, closed_ns, id) > (?1, ?2, ?3) AND (closed, closed_ns) < (?4, ?5)
             ORDER BY closed, closed_ns, id LIMIT ?6",
        )?
        .query_map(
            params![after.0, after.1, after.2, before.0, before.1, PIECE],
            |row| Ok(((row.get(0)?, row.get(1)?, row.get(2)?), row.get(3)?)),
        )?
        .collect()
}

/// How many tickets closed before a time still have their text.
pub(super) fn with_text(connection: &Connection, before: Timestamp) -> rusqlite::Result<u64> {
    let (second, nanosecond) = instant(before);
    connection
        .query_row(
            "SELECT count(*) FROM tickets
             WHERE (closed, closed_ns) < (?1, ?2) AND body NOT LIKE ?3",
            params![second, nanosecond, format!("%\"notes\":\"{FORGOTTEN}\"%")],
            |row| row.get(0),
        )
        .map(unsigned)
}
