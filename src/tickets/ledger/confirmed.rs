//! Confirmations in the ledger: a table of their own, which no import touches.

use super::import::{begin, head};
use super::{SqliteLedger, errors::told};
use crate::base::ids::TicketId;
use crate::tickets::confirmed::{Confirmations, Confirmed, Confirms};
use crate::tickets::store::StoreError;
use rusqlite::{OptionalExtension, Transaction, params};
use sha2::{Digest, Sha256};

impl Confirms for SqliteLedger {
    fn confirm(&mut self, said: &[(TicketId, Option<Confirmed>)]) -> Result<u64, StoreError> {
        let path = self.path.clone();
        let transaction = begin(&mut self.connection, &path)?;
        let run = |transaction: Transaction<'_>| -> rusqlite::Result<u64> {
            let (mut changed, mut content) = (0, 0_i64);
            for (ticket, said) in said {
                let grown = put(&transaction, ticket, said.as_ref())?;
                changed += u64::from(grown.is_some());
                content = content.wrapping_add(grown.unwrap_or(0));
            }
            if changed == 0 {
                transaction.rollback()?;
                return Ok(0);
            }
            let before: i64 = transaction.query_row(
                "SELECT value FROM meta WHERE key = 'content'",
                [],
                |row| row.get(0),
            )?;
            transaction.execute(
                "UPDATE meta SET value = ?1 WHERE key = 'content'",
                [before.wrapping_add(content)],
            )?;
            transaction.execute(
                "UPDATE meta SET value = value + 1 WHERE key = 'revision'",
                [],
            )?;
            transaction.commit()?;
            Ok(changed)
        };
        run(transaction).map_err(|e| told(&path, e))
    }

    fn confirmed(&self) -> Result<Confirmations, StoreError> {
        let read = || {
            // A ledger that may not be written can be of before there were any.
            let there: bool = self.connection.query_row(
                "SELECT count(*) > 0 FROM sqlite_schema WHERE name = 'confirmed'",
                [],
                |row| row.get(0),
            )?;
            if !there {
                return Ok(Vec::new());
            }
            let mut query = self
                .connection
                .prepare_cached("SELECT ticket, body FROM confirmed ORDER BY ticket")?;
            let rows = query.query_map([], |row| {
                let ticket = TicketId::new(row.get_ref(0)?.as_str()?);
                Ok((ticket, row.get::<_, String>(1)?))
            })?;
            rows.collect::<rusqlite::Result<Vec<_>>>()
        };
        read()
            .map_err(|e| self.told(e))?
            .into_iter()
            .map(|(ticket, body)| {
                let confirmed =
                    serde_json::from_str(&body).map_err(|error| StoreError::Damaged {
                        path: self.path.clone(),
                        reason: format!("a confirmed reading in it cannot be read: {error}"),
                    })?;
                Ok((ticket, confirmed))
            })
            .collect()
    }
}

/// Keeps one confirmation. Gives by how much the sum of digests grew; nothing where all is as before.
fn put(
    transaction: &Transaction<'_>,
    ticket: &TicketId,
    said: Option<&Confirmed>,
) -> rusqlite::Result<Option<i64>> {
    let before: Option<String> = transaction
        .prepare_cached("SELECT body FROM confirmed WHERE ticket = ?1")?
        .query_row([ticket.as_str()], |row| row.get(0))
        .optional()?;
    let after = said
        .map(serde_json::to_string)
        .transpose()
        .map_err(|e| rusqlite::Error::ToSqlConversionFailure(e.into()))?;
    if before == after {
        return Ok(None);
    }
    match &after {
        Some(body) => transaction
            .prepare_cached(
                "INSERT INTO confirmed (ticket, body) VALUES (?1, ?2)
                 ON CONFLICT (ticket) DO UPDATE SET body = excluded.body",
            )?
            .execute(params![ticket.as_str(), body])?,
        None => transaction
            .prepare_cached("DELETE FROM confirmed WHERE ticket = ?1")?
            .execute([ticket.as_str()])?,
    };
    let digest = |body: &Option<String>| {
        body.as_ref().map_or(0, |body| {
            let mut hash = Sha256::new_with_prefix(b"confirmed ");
            hash.update(ticket.as_str());
            hash.update([0]);
            hash.update(body);
            head(&hash.finalize())
        })
    };
    Ok(Some(digest(&after).wrapping_sub(digest(&before))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tickets::store::Ledger;
    use crate::tickets::{Try, TryResult};

    fn said(fix: &str) -> Confirmed {
        Confirmed {
            article: Some("trips".into()),
            tries: vec![Try {
                fix: fix.to_owned(),
                result: TryResult::Resolved,
                minutes: None,
            }],
        }
    }

    #[test]
    fn what_was_confirmed_is_kept_replaced_and_taken_back() {
        let folder = tempfile::tempdir().unwrap();
        let mut ledger = SqliteLedger::open(&folder.path().join("l.sqlite")).unwrap();
        let empty = ledger.fingerprint().unwrap();
        let first = [
            ("A".into(), Some(said("trips#reseal"))),
            ("B".into(), Some(Confirmed::default())),
        ];
        assert_eq!(ledger.confirm(&first).unwrap(), 2);
        assert_eq!(ledger.confirm(&first).unwrap(), 0);
        let kept = ledger.fingerprint().unwrap();
        assert_ne!(kept, empty);
        let second = [("A".into(), Some(said("trips#swap-lead")))];
        assert_eq!(ledger.confirm(&second).unwrap(), 1);
        assert_eq!(ledger.confirmed().unwrap()["A"], said("trips#swap-lead"));
        assert_eq!(ledger.confirm(&first).unwrap(), 1);
        // The same facts, whatever their history.
        assert_eq!(ledger.fingerprint().unwrap(), kept);
        let back = [("A".into(), None), ("B".into(), None)];
        assert_eq!(ledger.confirm(&back).unwrap(), 2);
        assert_eq!(ledger.confirmed().unwrap(), Confirmations::new());
        assert_eq!(ledger.fingerprint().unwrap(), empty);
    }
}
