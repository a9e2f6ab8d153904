//! Reading a large ledger part by part: what is not asked for together never lies in memory together.

use super::import::head;
use super::{SqliteLedger, errors::told};
use crate::base::ids::TicketId;
use crate::tickets::links::Link;
use crate::tickets::record::{RawTicket, Ticket};
use crate::tickets::store::StoreError;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;

/// Tickets read at a time.
const PART: usize = 4096;

/// Where a ledger's newest row stands, and what the ledger holds up to it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    row: i64,
    tickets: i64,
    content: i64,
}

impl Mark {
    /// The fingerprint of a ledger that stands there.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        super::fingerprint(self.tickets, self.content)
    }
}

impl SqliteLedger {
    /// Visits all tickets, oldest first, some thousand at a time.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn parts(
        &self,
        visit: &mut dyn FnMut(Vec<Ticket>) -> ControlFlow<()>,
    ) -> Result<(), StoreError> {
        let mut query = self
            .connection
            .prepare_cached("SELECT body FROM tickets ORDER BY closed, closed_ns, id")
            .map_err(|e| self.told(e))?;
        let mut rows = query.query([]).map_err(|e| self.told(e))?;
        let mut bodies = Vec::with_capacity(PART);
        loop {
            let row = rows.next().map_err(|e| self.told(e))?;
            let done = row.is_none();
            if let Some(row) = row {
                bodies.push(row.get::<_, String>(0).map_err(|e| self.told(e))?);
            }
            if bodies.len() == PART || done {
                let part = self.tickets(&bodies)?;
                bodies.clear();
                if visit(part).is_break() || done {
                    return Ok(());
                }
            }
        }
    }

    fn tickets(&self, bodies: &[String]) -> Result<Vec<Ticket>, StoreError> {
        let read = |body: &String| serde_json::from_str::<RawTicket>(body).map(Ticket::scrubbed);
        bodies
            .par_iter()
            .map(read)
            .collect::<Result<_, _>>()
            .map_err(|error| self.damaged(&error))
    }

    /// The tickets that continue another one, and all whose id or ref one of them names, by id.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn links(&self) -> Result<Vec<Link>, StoreError> {
        let mut links: BTreeMap<TicketId, Link> = BTreeMap::new();
        let mut names = BTreeSet::new();
        // In a text the quotes would be escaped: nothing else is written so.
        let following = "SELECT body FROM tickets WHERE instr(body, '\"follows\":\"') > 0";
        self.bodies(following, [], &mut |body| {
            let link: Link = serde_json::from_str(body).map_err(|e| self.damaged(&e))?;
            names.extend(link.follows.clone());
            links.insert(link.id.clone(), link);
            Ok(())
        })?;
        for name in &names {
            for by in ["id", "ref"] {
                let query = format!("SELECT body FROM tickets WHERE {by} = ?1");
                self.bodies(&query, [name], &mut |body| {
                    let link: Link = serde_json::from_str(body).map_err(|e| self.damaged(&e))?;
                    links.entry(link.id.clone()).or_insert(link);
                    Ok(())
                })?;
            }
        }
        Ok(links.into_values().collect())
    }

    /// The tickets of these ids, as far as they are there, oldest first.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn of_ids(&self, ids: &[TicketId]) -> Result<Vec<Ticket>, StoreError> {
        let mut found = Vec::with_capacity(ids.len());
        for id in ids {
            self.bodies(
                "SELECT body FROM tickets WHERE id = ?1",
                [id.as_str()],
                &mut |body| {
                    found.push(body.to_owned());
                    Ok(())
                },
            )?;
        }
        let mut tickets = self.tickets(&found)?;
        tickets.sort_by(|a, b| (a.closed, &a.id).cmp(&(b.closed, &b.id)));
        Ok(tickets)
    }

    fn bodies(
        &self,
        query: &str,
        about: impl rusqlite::Params,
        take: &mut dyn FnMut(&str) -> Result<(), StoreError>,
    ) -> Result<(), StoreError> {
        let mut query = self
            .connection
            .prepare_cached(query)
            .map_err(|e| self.told(e))?;
        let mut rows = query.query(about).map_err(|e| self.told(e))?;
        while let Some(row) = rows.next().map_err(|e| self.told(e))? {
            let body = row.get_ref(0).map_err(|e| self.told(e))?;
            take(body.as_str().map_err(|e| self.told(e.into()))?)?;
        }
        Ok(())
    }

    /// Where it stands now.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn mark(&self) -> Result<Mark, StoreError> {
        // One statement is one look: nobody writes in between.
        let query = "SELECT (SELECT coalesce(max(rowid), 0) FROM tickets),
                            (SELECT count(*) FROM tickets),
                            (SELECT value FROM meta WHERE key = 'content')";
        self.connection
            .query_row(query, [], |row| {
                Ok(Mark {
                    row: row.get(0)?,
                    tickets: row.get(1)?,
                    content: row.get(2)?,
                })
            })
            .map_err(|e| self.told(e))
    }

    /// The tickets that were added since a mark, with the mark behind them; none where anything else
    /// happened as well: then the digests do not add up.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn added_since(&self, mark: &Mark) -> Result<Option<(Vec<Ticket>, Mark)>, StoreError> {
        let now = self.mark()?;
        let read = || {
            let mut query = self.connection.prepare_cached(
                "SELECT body, digest FROM tickets WHERE rowid > ?1 AND rowid <= ?2 ORDER BY rowid",
            )?;
            let rows = query.query_map([mark.row, now.row], |row| {
                Ok((row.get(0)?, head(&row.get::<_, Vec<u8>>(1)?)))
            })?;
            rows.collect::<rusqlite::Result<Vec<(String, i64)>>>()
        };
        let rows = read().map_err(|e| told(&self.path, e))?;
        let grown = rows.iter().fold(0_i64, |sum, row| sum.wrapping_add(row.1));
        let tickets = i64::try_from(rows.len()).unwrap_or(i64::MAX);
        if mark.tickets.saturating_add(tickets) != now.tickets
            || mark.content.wrapping_add(grown) != now.content
        {
            return Ok(None);
        }
        let bodies: Vec<String> = rows.into_iter().map(|(body, _)| body).collect();
        Ok(Some((self.tickets(&bodies)?, now)))
    }
}
