//! The files that were taken whole, by digest, so that a nightly run skips them.

use super::{instant, unsigned};
use crate::tickets::store::{FileMark, TakenFile};
use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, Transaction, params};

/// The table.
pub(super) const TABLES: &str = "
    CREATE TABLE files (
        digest BLOB NOT NULL PRIMARY KEY,  -- of the bytes and of how they were read
        name TEXT NOT NULL,
        at INTEGER NOT NULL,               -- seconds since 1970
        tickets INTEGER NOT NULL
    ) STRICT;
";

/// When and under which name a file was taken. One that gave nothing was not: whoever reads it again
/// must hear again what is wrong with it.
pub(super) fn taken(connection: &Connection, digest: &[u8]) -> rusqlite::Result<Option<TakenFile>> {
    connection
        .prepare_cached("SELECT name, at, tickets FROM files WHERE digest = ?1 AND tickets > 0")?
        .query_row([digest], |row| {
            Ok(TakenFile {
                name: row.get(0)?,
                at: Timestamp::from_second(row.get(1)?).unwrap_or_default(),
                tickets: unsigned(row.get(2)?),
            })
        })
        .optional()
}

/// Marks a file as taken.
pub(super) fn mark(
    transaction: &Transaction<'_>,
    mark: &FileMark,
    tickets: u64,
) -> rusqlite::Result<usize> {
    let tickets = i64::try_from(tickets).unwrap_or(i64::MAX);
    transaction.execute(
        "INSERT INTO files VALUES (?1, ?2, ?3, ?4)
         ON CONFLICT (digest) DO UPDATE SET name = excluded.name, at = excluded.at,
             tickets = excluded.tickets",
        params![mark.digest, mark.name, instant(mark.at).0, tickets],
    )
}
