//! The ledger's tables, and how an older file becomes a newer one.
//!
//! `user_version` is the format's number. Each step of [`STEPS`] leads from one number to the
//! next and is never changed once released; a file of a newer format is refused untouched.

use super::errors::told;
use super::{care, files};
use crate::tickets::store::StoreError;
use rusqlite::{Connection, OpenFlags, TransactionBehavior};
use std::path::Path;
use std::time::{Duration, Instant};

/// The format this version writes. The oldest it reads is 1.
pub const FORMAT: i64 = 4;

/// The oldest format that is read as it stands where the file may not be written.
const FROZEN: i64 = 1;

/// Says whose file it is, in the file's header: `fixt`.
const APPLICATION: i64 = 0x6669_7874;

/// How long one wait for another program's lock may take.
const BUSY: Duration = Duration::from_secs(10);

/// How long all waits together may take.
pub(super) const PATIENCE: Duration = Duration::from_secs(60);

/// The step from format `n` stands at place `n`.
const STEPS: &[&[&str]] = &[
    &["
    CREATE TABLE meta (key TEXT NOT NULL PRIMARY KEY, value INTEGER NOT NULL) STRICT;
    INSERT INTO meta VALUES ('revision', 0), ('content', 0);
    CREATE TABLE tickets (
        id TEXT NOT NULL PRIMARY KEY,
        ref TEXT,
        closed INTEGER NOT NULL,     -- seconds since 1970
        closed_ns INTEGER NOT NULL,  -- and nanoseconds
        article TEXT,
        outcome TEXT,
        body TEXT NOT NULL,          -- the whole ticket, as export writes it
        digest BLOB NOT NULL         -- SHA-256 of the body
    ) STRICT;
    CREATE UNIQUE INDEX tickets_by_ref ON tickets (ref) WHERE ref IS NOT NULL;
    CREATE UNIQUE INDEX tickets_in_order ON tickets (closed, closed_ns, id);
    CREATE INDEX tickets_by_article ON tickets (article, closed, closed_ns, id);
"],
    &["
    CREATE TABLE remarks (
        number INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
        at INTEGER NOT NULL,         -- seconds since 1970
        article TEXT,
        fix TEXT,
        ticket TEXT,                 -- the case it was left in
        text TEXT NOT NULL,
        closed INTEGER               -- seconds since 1970
    ) STRICT;
"],
    &[
        "
    CREATE TABLE confirmed (         -- what people said of readings
        ticket TEXT NOT NULL PRIMARY KEY,
        body TEXT NOT NULL
    ) STRICT;
",
        files::TABLES,
        care::TABLES,
    ],
    // From here on a ticket may hold what was read of its text before that was forgotten.
    &[],
];

/// Opens a ledger, makes it where there is none, and brings it to the newest format.
pub(super) fn open(path: &Path) -> Result<Connection, StoreError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
        | OpenFlags::SQLITE_OPEN_CREATE
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let mut connection = Connection::open_with_flags(path, flags).map_err(|e| told(path, e))?;
    connection.busy_timeout(BUSY).map_err(|e| told(path, e))?;
    // Changing to the write-ahead log does not wait for locks by itself, so we do.
    patiently(|| prepare(&mut connection, path))?;
    Ok(connection)
}

/// Opens a ledger whose folder may not be written, as it stands.
pub(super) fn open_frozen(path: &Path) -> Result<Connection, StoreError> {
    let mut address = String::from("file:");
    for c in path.to_string_lossy().chars() {
        match c {
            '%' => address.push_str("%25"),
            '?' => address.push_str("%3f"),
            '#' => address.push_str("%23"),
            '\\' => address.push('/'),
            other => address.push(other),
        }
    }
    address.push_str("?immutable=1");
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_URI
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(address, flags).map_err(|e| told(path, e))?;
    let format = check(&connection, path)?;
    if format < FROZEN {
        return Err(StoreError::ReadOnly(path.to_owned()));
    }
    Ok(connection)
}

/// Tries again while others hold the lock.
pub(super) fn patiently<T>(
    mut attempt: impl FnMut() -> Result<T, StoreError>,
) -> Result<T, StoreError> {
    let begun = Instant::now();
    loop {
        match attempt() {
            Err(StoreError::Busy(_)) if begun.elapsed() < PATIENCE => {
                std::thread::sleep(Duration::from_millis(20));
            }
            done => return done,
        }
    }
}

fn prepare(connection: &mut Connection, path: &Path) -> Result<(), StoreError> {
    // Looked at before anything is written: a file that is not ours stays untouched.
    let format = check(connection, path)?;
    let set_up = |connection: &Connection| {
        let _: String = connection.query_row("PRAGMA journal_mode = WAL", [], |row| row.get(0))?;
        connection.execute_batch("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON;")
    };
    set_up(connection).map_err(|e| told(path, e))?;
    if format < FORMAT {
        migrate(connection, path)?;
    }
    Ok(())
}

/// The file's format; 0 for an empty file.
///
/// All is read in one transaction: another program may be making the ledger at this moment, and its
/// tables must not be seen without its mark.
fn check(connection: &Connection, path: &Path) -> Result<i64, StoreError> {
    let snapshot = connection
        .unchecked_transaction()
        .map_err(|e| told(path, e))?;
    let read = |query: &str| -> Result<i64, StoreError> {
        connection
            .query_row(query, [], |row| row.get(0))
            .map_err(|e| told(path, e))
    };
    let format = read("PRAGMA user_version")?;
    let application = read("PRAGMA application_id")?;
    let tables = read("SELECT count(*) FROM sqlite_schema")?;
    snapshot.finish().map_err(|e| told(path, e))?;
    let empty = format == 0 && application == 0 && tables == 0;
    if !empty && application != APPLICATION {
        return Err(StoreError::Foreign(path.to_owned()));
    }
    if format > FORMAT {
        return Err(StoreError::Newer {
            path: path.to_owned(),
            found: format,
            known: FORMAT,
        });
    }
    Ok(format)
}

fn migrate(connection: &mut Connection, path: &Path) -> Result<(), StoreError> {
    let run = |connection: &mut Connection| {
        let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Another program may have done it while we waited.
        let format: i64 = transaction.query_row("PRAGMA user_version", [], |row| row.get(0))?;
        let done = usize::try_from(format).unwrap_or(0);
        for step in STEPS.iter().skip(done).copied().flatten() {
            transaction.execute_batch(step)?;
        }
        transaction.execute_batch(&format!(
            "PRAGMA application_id = {APPLICATION}; PRAGMA user_version = {FORMAT};"
        ))?;
        transaction.commit()
    };
    run(connection).map_err(|e| told(path, e))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_format_has_its_step_and_every_older_file_becomes_the_newest() {
        assert_eq!(i64::try_from(STEPS.len()).unwrap(), FORMAT);
        let folder = tempfile::tempdir().unwrap();
        for format in 1..FORMAT {
            let path = folder.path().join(format!("{format}.sqlite"));
            let old = Connection::open(&path).unwrap();
            for part in STEPS
                .iter()
                .take(usize::try_from(format).unwrap())
                .copied()
                .flatten()
            {
                old.execute_batch(part).unwrap();
            }
            old.execute_batch(&format!(
                "PRAGMA application_id = {APPLICATION}; PRAGMA user_version = {format};"
            ))
            .unwrap();
            drop(old);
            let new = open(&path).unwrap();
            for table in ["remarks", "confirmed", "files", "removed", "corrected"] {
                let query = format!("SELECT count(*) FROM {table}");
                let rows: i64 = new.query_row(&query, [], |row| row.get(0)).unwrap();
                assert_eq!(rows, 0, "{table} from {format}");
            }
        }
    }
}
