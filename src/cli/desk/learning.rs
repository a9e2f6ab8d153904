//! Learning and reading, each where it is not of today's tickets and articles.
//!
//! The order matters: notes are read with what recorded tries teach; the weights are learned with
//! what was read; the article of tickets that record none is found with the weights. Nothing that is
//! found last teaches anything.

use super::derived;
use super::made::{Learn, Made};
use super::model::{self, FitPoint};
use super::readings::{self, Run};
use crate::cli::ledger::Joined;
use crate::cli::{Failure, Session};
use crate::evidence::cases::{Cases, day};
use crate::evidence::learning::{Field, Model};
use crate::evidence::readings::{ArticleReader, learn_reader, needs_article, tries};
use crate::notes::{Reader, Reading};
use crate::tickets::{RawTicket, Ticket};
use rayon::prelude::*;
use std::path::Path;

const FILE: &str = "reader";

/// Raised with every change of how notes are read.
const READER: u32 = 1;

/// Tickets read at a time; after each such part a killed run can go on.
const TOGETHER: usize = 1024;

impl Made<'_> {
    /// Learns and reads what is missing, where `learn` says so.
    ///
    /// # Errors
    /// Where the ledger cannot be read or the state folder cannot be written.
    pub(super) fn prepare(&mut self, learn: Learn) -> Result<(), Failure> {
        if learn == Learn::First && !self.is_first() {
            return Ok(());
        }
        if self.work()?.is_none() {
            return Ok(());
        }
        self.alone()?;
        // Somebody else may have done it while this process waited.
        self.count_again();
        let Some(work) = self.work()? else {
            return Ok(());
        };
        let reader = match work.read {
            true => Some(self.reader(&work)?),
            false => None,
        };
        self.learn_and_read(&work, reader)?;
        self.count_again();
        Ok(())
    }

    /// Whether this is a demo where nothing was learned, or nothing was read yet.
    fn is_first(&self) -> bool {
        self.knowledge.settings.demo
            && (model::read(self.state, "").is_err()
                || !readings::any(self.state))
    }

    /// What there is to do; none where all is fresh.
    fn work(&mut self) -> Result<Option<Work>, Failure> {
        let (point, readable) = self.lesson()?;
        let model_key = model::key(&self.knowledge.digest, &point);
        let reader_key = format!("{model_key} {READER}");
        let key = format!("{reader_key} {}", self.of_ledger()?);
        let learned = model::read(self.state, &model_key).is_ok_and(|kept| kept.fresh);
        let work = Work {
            learn: point.enough && !learned,
            read: readable > 0 && readings::key(self.state).as_ref() != Ok(&key),
            point,
            model_key,
            reader_key,
            key,
        };
        Ok((work.learn || work.read).then_some(work))
    }

    /// The note reader, learned where it is missing.
    fn reader(&mut self, work: &Work) -> Result<Reader, Failure> {
        let path = self.state.join(FILE);
        if let Ok(reader) = derived::read(&path, &work.reader_key) {
            return Ok(reader);
        }
        let step = self.session.step("Learning to read the notes");
        let field = self.field();
        let known = self.joined()?.tickets.iter();
        let known = known.filter(|ticket| day(ticket.closed) <= work.point.day);
        let reader = learn_reader(known, field.catalog, field.analyzer);
        derived::write(&path, &work.reader_key, &reader)
            .map_err(|e| Failure::file("write", &path, &e))?;
        step.finish();
        Ok(reader)
    }

    fn learn_and_read(&mut self, work: &Work, reader: Option<Reader>) -> Result<(), Failure> {
        let (state, session, field) = (self.state, self.session, self.field());
        let joined = self.joined()?;
        let failed = |e| Failure::file("write readings in", state, &e);
        let Some(reader) = reader else {
            let kept = readings::Kept::open(state);
            learn(work, joined, &kept, (state, session), field)?;
            return Ok(());
        };
        let mut run = Run::open(state, &work.reader_key).map_err(failed)?;
        let (alone, with_article): (Vec<&Ticket>, Vec<&Ticket>) = joined
            .tickets
            .iter()
            .filter(|ticket| joined.readable(ticket))
            .partition(|ticket| needs_article(ticket));
        read(&mut run, &with_article, session, &|ticket| {
            tries(ticket, field.catalog, &reader, field.analyzer)
        })
        .map_err(failed)?;
        let model = learn(work, joined, &run.kept(), (state, session), field)?;
        if !run.unread(alone.iter().copied()).is_empty() {
            let kept = run.kept();
            let cases = cases_up_to(&work.point, joined, &kept, field);
            let day = work.point.day;
            let articles = ArticleReader::new(&cases, field, &model, &reader, day);
            drop(cases);
            read(&mut run, &alone, session, &|ticket| articles.read(ticket)).map_err(failed)?;
        }
        let all = joined.tickets.iter();
        let all = all.filter(|ticket| joined.readable(ticket));
        run.finish(&work.key, all).map_err(failed)
    }
}

/// What is to be learned and read.
struct Work {
    point: FitPoint,
    learn: bool,
    read: bool,
    model_key: String,
    reader_key: String,
    key: String,
}

/// The weights: learned where that is to be done, else as they are kept.
fn learn(
    work: &Work,
    joined: &Joined,
    kept: &readings::Kept,
    (state, session): (&Path, &Session),
    field: Field<'_>,
) -> Result<Model, Failure> {
    if !work.point.enough {
        return Ok(Model::shipped());
    }
    if !work.learn
        && let Ok(kept) = model::read(state, &work.model_key)
    {
        return Ok(kept.model);
    }
    let cases = cases_up_to(&work.point, joined, kept, field);
    model::learn(state, &work.model_key, &cases, &work.point, field, session)
}

/// The cases up to the fit point, with the tries that were read, and without articles that were.
fn cases_up_to(
    point: &FitPoint,
    joined: &Joined,
    kept: &readings::Kept,
    field: Field<'_>,
) -> Cases {
    let recorded = |ticket: &RawTicket| joined.readable(ticket) && !needs_article(ticket);
    let (read, _) = kept.of_all(&joined.tickets, recorded);
    Cases::of(
        &joined.tickets,
        &read,
        field.catalog,
        &field.settings.model,
        point.day,
    )
}

/// Reads what was not read yet, part by part.
fn read(
    run: &mut Run,
    tickets: &[&Ticket],
    session: &Session,
    reading: &(dyn Fn(&Ticket) -> Reading + Sync),
) -> std::io::Result<()> {
    let unread = run.unread(tickets.iter().copied());
    if unread.is_empty() {
        return Ok(());
    }
    let step = session.steps("Reading the notes", unread.len() as u64);
    for part in unread.chunks(TOGETHER) {
        let one = |ticket: &&Ticket| {
            let read = reading(ticket);
            step.advance();
            read
        };
        let read: Vec<Reading> = part.par_iter().map(one).collect();
        run.add(part.iter().copied().zip(read).collect())?;
    }
    step.finish();
    Ok(())
}
