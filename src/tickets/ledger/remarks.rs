//! Remarks in the ledger's own table.

use super::unsigned;
use crate::base::ids::{ArticleId, FixId, TicketId};
use crate::tickets::remark::Remark;
use jiff::Timestamp;
use rusqlite::{Connection, Row, TransactionBehavior, params};

/// Stores a remark and gives its number.
pub(super) fn add(connection: &Connection, remark: &Remark) -> rusqlite::Result<u64> {
    connection.execute(
        "INSERT INTO remarks (at, article, fix, ticket, text) VALUES (?1, ?2, ?3, ?4, ?5)",
        params![
            remark.at.as_second(),
            remark.article.as_ref().map(|a| a.as_str()),
            remark.fix.as_ref().map(|f| f.as_str()),
            remark.case.as_ref().map(|c| c.as_str()),
            remark.text(),
        ],
    )?;
    Ok(unsigned(connection.last_insert_rowid()))
}

/// All remarks, oldest first; none in a ledger of before there were any.
pub(super) fn list(connection: &Connection) -> rusqlite::Result<Vec<Remark>> {
    let there: bool = connection.query_row(
        "SELECT count(*) > 0 FROM sqlite_schema WHERE name = 'remarks'",
        [],
        |row| row.get(0),
    )?;
    if !there {
        return Ok(Vec::new());
    }
    let mut query = connection.prepare(
        "SELECT number, at, article, fix, ticket, text, closed FROM remarks ORDER BY number",
    )?;
    query.query_map([], remark)?.collect()
}

fn remark(row: &Row<'_>) -> rusqlite::Result<Remark> {
    let time = |second: i64| Timestamp::from_second(second).unwrap_or(Timestamp::UNIX_EPOCH);
    let text = |at: usize| row.get::<_, Option<String>>(at);
    let about = (
        text(2)?.map(|id| ArticleId::new(&id)),
        text(3)?.map(|id| FixId::new(&id)),
    );
    Ok(Remark::stored(
        unsigned(row.get(0)?),
        time(row.get(1)?),
        about,
        text(4)?.map(|id| TicketId::new(&id)),
        row.get(5)?,
        row.get::<_, Option<i64>>(6)?.map(time),
    ))
}

/// Closes these remarks, all or none; gives those that are not there or closed already.
pub(super) fn close(
    connection: &mut Connection,
    numbers: &[u64],
    at: Timestamp,
) -> rusqlite::Result<Vec<u64>> {
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let mut missing = Vec::new();
    for number in numbers {
        let key = i64::try_from(*number).unwrap_or(-1);
        let changed = transaction.execute(
            "UPDATE remarks SET closed = ?2 WHERE number = ?1 AND closed IS NULL",
            params![key, at.as_second()],
        )?;
        if changed == 0 {
            missing.push(*number);
        }
    }
    if missing.is_empty() {
        transaction.commit()?;
    } else {
        transaction.rollback()?;
    }
    Ok(missing)
}
