//! Tickets through to their cases, part by part.

use super::readings::Kept;
use crate::articles::Catalog;
use crate::articles::settings::Model;
use crate::base::text::Analyzer;
use crate::cli::Failure;
use crate::cli::ledger::Joined;
use crate::evidence::cases::Cases;
use crate::evidence::layout::Layout;
use crate::evidence::making::{Made, Making, Totals};
use crate::evidence::spoken::Spoken;
use crate::tickets::links::{Link, groups};
use crate::tickets::{RawTicket, Ticket};
use jiff::civil::Date;

/// Connected tickets read at a time.
const TOGETHER: usize = 4096;

/// From which tickets cases are made, and as of when.
pub(super) struct Flow<'a> {
    pub(super) joined: &'a Joined<'a>,
    pub(super) kept: &'a Kept,
    pub(super) catalog: &'a Catalog,
    pub(super) model: &'a Model,
    pub(super) as_of: Date,
}

impl Flow<'_> {
    /// Gives the cases in parts; `look` sees the tickets of each part first. Cases of one ticket come
    /// oldest first, then those of several. Of tickets that `is_read` says no to, no reading counts. Also
    /// gives which tickets continue others.
    ///
    /// # Errors
    /// Where the ledger cannot be read, and what `take` says.
    pub(super) fn run(
        &self,
        is_read: &(dyn Fn(&RawTicket) -> bool + Sync),
        look: &mut dyn FnMut(&[Ticket]),
        take: &mut dyn FnMut(Vec<Made>) -> Result<(), Failure>,
    ) -> Result<(Totals, Vec<Link>), Failure> {
        let read = |ticket: &RawTicket| {
            let read = is_read(ticket).then(|| self.kept.of(ticket)).flatten();
            read.filter(|reading| !reading.is_empty())
        };
        let links = self.joined.links()?;
        let linked = links.iter().map(|link| link.id.clone()).collect();
        let mut making = Making::new((self.catalog, self.model), &read, self.as_of, linked);
        self.joined.parts(&mut |part| {
            look(&part);
            take(making.part(&part))
        })?;
        let mut together = Vec::new();
        for group in groups(&links) {
            together.extend(group);
            if together.len() >= TOGETHER {
                take(making.linked(&self.joined.named(&together)?))?;
                together.clear();
            }
        }
        take(making.linked(&self.joined.named(&together)?))?;
        Ok((making.totals(), links))
    }

    /// All cases at once.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(super) fn cases(
        &self,
        is_read: &(dyn Fn(&RawTicket) -> bool + Sync),
    ) -> Result<Cases, Failure> {
        self.newest(usize::MAX, is_read)
    }

    /// The newest cases, at most so many.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(super) fn newest(
        &self,
        most: usize,
        is_read: &(dyn Fn(&RawTicket) -> bool + Sync),
    ) -> Result<Cases, Failure> {
        let mut cases = Cases::default();
        let (totals, _) = self.run(is_read, &mut |_| {}, &mut |made| {
            cases.put(made);
            // Now and then is enough: each time moves what stays.
            if cases.list.len() > most.saturating_add(most / 2) {
                cases.keep_newest(most);
            }
            Ok(())
        })?;
        cases.settle(totals);
        cases.keep_newest(most);
        cases.list.shrink_to_fit();
        Ok(cases)
    }

    /// What callers said in all cases.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(super) fn spoken<'s>(
        &self,
        catalog: &'s Catalog,
        layout: &'s Layout,
        analyzer: &'s Analyzer,
    ) -> Result<Spoken<'s>, Failure> {
        let said = &self.joined.said;
        let mut spoken = Spoken::new(catalog, layout, analyzer);
        self.run(&|ticket| said.readable(ticket), &mut |_| {}, &mut |made| {
            spoken.add(made.iter().map(Made::case));
            Ok(())
        })?;
        Ok(spoken.settled())
    }
}
