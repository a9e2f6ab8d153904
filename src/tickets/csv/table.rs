//! A table's map fitted to its header: from cells to a ticket.

use super::cells::Cells;
use crate::base::ids::{ArticleId, TicketId};
use crate::tickets::fields::{self, Fault};
use crate::tickets::map::{IdFrom, Map, Named};
use crate::tickets::record::RawTicket;
use crate::tickets::row::ReadError;
use csv::{ByteRecord, StringRecord};
use std::collections::BTreeMap;
use std::path::PathBuf;

/// Which column feeds which field.
pub(super) struct Table {
    pub(super) file: PathBuf,
    pub(super) map: Map,
    pub(super) columns: BTreeMap<&'static str, Vec<usize>>,
    pub(super) id: Option<usize>,
    pub(super) names: Vec<String>,
}

impl Table {
    /// Fits the map to the header.
    pub(super) fn new(file: PathBuf, map: &Map, header: Vec<String>) -> Result<Self, ReadError> {
        let names: Vec<&str> = header.iter().map(String::as_str).collect();
        let (columns, id) = fit(map, &names)?;
        Ok(Self {
            file,
            map: map.clone(),
            columns,
            id,
            names: header,
        })
    }

    /// Whether cells are those of a row: an id and a day of closing stand in their columns. Where
    /// the last cell is `open`, they must stand before it.
    pub(super) fn is_row(&self, cells: &ByteRecord, open: bool) -> bool {
        let Some(closed) = self.columns.get("closed") else {
            return false;
        };
        let whole = cells.len() - usize::from(open);
        if closed.iter().chain(&self.id).any(|at| *at >= whole) {
            return false;
        }
        let record = StringRecord::from_byte_record_lossy(cells.clone());
        let of = Cells::new(self, &record, 0);
        of.row_id().is_ok() && matches!(of.time("closed"), Ok(Some(_)))
    }

    /// The ticket in a row as wide as the header, the `number`th of its file.
    pub(super) fn ticket(&self, record: &StringRecord, number: u64) -> Result<RawTicket, Fault> {
        let of = Cells::new(self, record, number);
        let ticket = RawTicket {
            id: TicketId::new(&of.row_id()?),
            reference: of.id("ref")?,
            follows: of.id("follows")?.map(|id| TicketId::new(&id)),
            opened: of.time("opened")?,
            closed: of.time("closed")?.ok_or_else(|| Fault::missing("closed"))?,
            device: of.text("device"),
            firmware: of.text("firmware"),
            channel: of.text("channel"),
            said: of.text("said"),
            codes: of.codes(),
            signs: BTreeMap::new(),
            seen: BTreeMap::new(),
            article: of.id("article")?.map(|id| ArticleId::new(&id)),
            tries: of.one_try()?.into_iter().collect(),
            outcome: of
                .text("outcome")
                .map(|t| fields::outcome(&t).map_err(|f| of.unmapped(f, "outcome", &t)))
                .transpose()?,
            reopened: of.time("reopened")?,
            not_danger: Vec::new(),
            source: of.text("source"),
            notes: of.text("notes"),
            read: None,
        };
        fields::check(&ticket)?;
        Ok(ticket)
    }
}

type Fitted = (BTreeMap<&'static str, Vec<usize>>, Option<usize>);

/// Finds the map's columns in the header.
fn fit(map: &Map, names: &[&str]) -> Result<Fitted, ReadError> {
    let mut problems = Vec::new();
    let mut find = |named: &Named| {
        let at = names.iter().position(|name| *name == named.name.trim());
        if at.is_none() {
            problems.push(map.no_such_column(named, names));
        }
        at
    };
    let id = match &map.id {
        IdFrom::Column(named) => find(named),
        IdFrom::Row => None,
    };
    let columns = map
        .columns
        .iter()
        .map(|(field, named)| (*field, named.iter().filter_map(&mut find).collect()))
        .collect();
    if problems.is_empty() {
        Ok((columns, id))
    } else {
        problems.sort_by(|a, b| a.place.cmp(&b.place));
        Err(ReadError::Map(problems))
    }
}
