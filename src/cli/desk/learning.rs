//! Reading tickets' words, where that was not done with today's tickets and articles.
//!
//! The order matters: notes are read with what recorded and confirmed tries teach, up to the fit
//! point; the article of tickets that record none is found with the weights of the same fit point.
//! Nothing that is read teaches anything.

use super::derived;
use super::made::{Counted, Learn, Made};
use super::readings::{self, Run};
use crate::cli::Failure;
use crate::cli::ledger::Joined;
use crate::evidence::cases::day;
use crate::evidence::learning::{Field, Model};
use crate::evidence::making::Made as MadeCase;
use crate::evidence::readings::{ArticleReader, Lessons, needs_article, tries};
use crate::evidence::spoken::Spoken;
use crate::evidence::{Evidence, Gathering};
use crate::notes::{Reader, Reading};
use crate::tickets::{RawTicket, Ticket};
use jiff::civil::Date;
use rayon::prelude::*;

const FILE: &str = "reader";

/// Raised with every change of how notes are read.
const READER: u32 = 9;

/// Tickets read at a time; after each such part a killed run can go on.
const TOGETHER: usize = 1024;

/// So many notes are read before an answer; with more, the answer comes first and says so.
const AT_ONCE: u64 = 5_000;

/// What there is to read.
pub(super) struct Work {
    /// Tickets up to this day teach.
    until: Date,
    /// What the reader is made from.
    reader: String,
    /// What all readings rest on.
    key: String,
}

impl Made<'_> {
    /// What is to be read, where `learn` says so; none where nothing is.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub(super) fn to_read(&self, counted: &Counted, learn: Learn) -> Result<Option<Work>, Failure> {
        // What was not closed yet on a day of the past must not teach how to read for it.
        let in_past = self.session.as_of.is_some() && counted.evidence.ignored_later > 0;
        let asked = match learn {
            Learn::Now => true,
            // Where only an article changed, its readings stay till the next import: somebody waits.
            Learn::First => (1..=AT_ONCE).contains(&counted.unread),
            Learn::Nothing => false,
        };
        if !asked || in_past || counted.readable == 0 {
            return Ok(None);
        }
        let work = self.work(counted)?;
        Ok((!self.is_done(&work)).then_some(work))
    }

    /// Reads it; what was counted before has to be counted again.
    ///
    /// # Errors
    /// Where the ledger cannot be read or the state folder cannot be written.
    pub(super) fn read(&mut self, work: &Work, model: &Model, unread: u64) -> Result<(), Failure> {
        self.alone()?;
        // Somebody else may have done it while this process waited.
        if !self.is_done(work) {
            let reader = self.reader(work)?;
            self.read_all(work, &reader, model, unread)?;
        }
        self.count_again();
        Ok(())
    }

    fn is_done(&self, work: &Work) -> bool {
        readings::key(self.state).as_ref() == Ok(&work.key)
    }

    fn work(&self, counted: &Counted) -> Result<Work, Failure> {
        let version = env!("CARGO_PKG_VERSION");
        let ledger = self.of_ledger()?;
        // Below the first fit point all tickets teach: few are better than none.
        let (until, taught) = match &counted.point {
            Some(point) => (point.day, point.key.as_str()),
            None => (counted.evidence.to.unwrap_or(Date::MIN), ledger.as_str()),
        };
        let reader = format!("{version} {READER} {} {taught}", self.knowledge.digest);
        Ok(Work {
            until,
            key: format!("{reader} {ledger}"),
            reader,
        })
    }

    /// The note reader, learned where it is missing.
    fn reader(&mut self, work: &Work) -> Result<Reader, Failure> {
        let path = self.state.join(FILE);
        if let Ok(reader) = derived::read(&path, &work.reader) {
            return Ok(reader);
        }
        let step = self.session.step("Learning to read the notes");
        let field = self.field();
        let mut lessons = Lessons::new(field.catalog);
        self.joined()?.parts(&mut |part| {
            lessons.add(
                part.iter()
                    .filter(|ticket| day(ticket.closed) <= work.until),
            );
            Ok(())
        })?;
        let reader = lessons.learn(field.analyzer);
        derived::write(&path, &work.reader, &reader)
            .map_err(|e| Failure::file("write", &path, &e))?;
        step.finish();
        Ok(reader)
    }

    fn read_all(
        &mut self,
        work: &Work,
        reader: &Reader,
        model: &Model,
        unread: u64,
    ) -> Result<(), Failure> {
        let (state, session, field) = (self.state, self.session, self.field());
        let joined = self.joined()?;
        let said = &joined.said;
        let failed = |e| Failure::file("write readings in", state, &e);
        let mut run = Run::open(state, &work.reader).map_err(failed)?;
        let step = session.steps("Reading the notes", unread);
        let mut alone = false;
        joined.parts(&mut |part| {
            let (without, with): (Vec<&Ticket>, Vec<&Ticket>) = part
                .iter()
                .filter(|ticket| said.readable(ticket))
                .partition(|ticket| needs_article(ticket));
            alone |= !run.unread(without.into_iter()).is_empty();
            read(&mut run, &with, &|ticket| {
                step.advance();
                tries(ticket, field.catalog, reader, field.analyzer)
            })
            .map_err(failed)
        })?;
        if alone {
            let (spoken, evidence) = self.recorded(work.until, &joined, &run.kept())?;
            let articles = ArticleReader::new(&spoken, evidence, field, model, reader);
            drop(spoken);
            joined.parts(&mut |part| {
                let mut without: Vec<&Ticket> = part.iter().collect();
                without.retain(|ticket| said.readable(ticket) && needs_article(ticket));
                read(&mut run, &without, &|ticket| {
                    step.advance();
                    articles.read(ticket)
                })
                .map_err(failed)
            })?;
        }
        joined.parts(&mut |part| {
            run.want(part.iter().filter(|ticket| said.readable(ticket)));
            Ok(())
        })?;
        step.finish();
        run.finish(&work.key).map_err(failed)
    }

    /// What the cases up to a day say, and callers in them, with the tries that were read, and without
    /// articles that were.
    fn recorded(
        &self,
        until: Date,
        joined: &Joined<'_>,
        kept: &readings::Kept,
    ) -> Result<(Spoken<'_>, Evidence), Failure> {
        let Field {
            catalog,
            layout,
            analyzer,
            settings,
        } = self.field();
        let mut spoken = Spoken::new(catalog, layout, analyzer);
        let mut gathering = Gathering::default();
        let said = &joined.said;
        let is_read = |ticket: &RawTicket| said.readable(ticket) && !needs_article(ticket);
        let flow = self.flow(joined, kept, until);
        let (totals, _) = flow.run(&is_read, &mut |_| {}, &mut |made| {
            spoken.add(made.iter().map(MadeCase::case));
            gathering.add(made, catalog, settings);
            Ok(())
        })?;
        let evidence = gathering.evidence(&totals, catalog, settings, until);
        Ok((spoken.settled(), evidence))
    }
}

/// Reads what was not read yet, some at a time: a killed run goes on behind them.
fn read(
    run: &mut Run,
    tickets: &[&Ticket],
    reading: &(dyn Fn(&Ticket) -> Reading + Sync),
) -> std::io::Result<()> {
    for part in run.unread(tickets.iter().copied()).chunks(TOGETHER) {
        let read: Vec<Reading> = part.par_iter().map(|ticket| reading(ticket)).collect();
        run.add(part.iter().copied().zip(read).collect())?;
    }
    Ok(())
}
