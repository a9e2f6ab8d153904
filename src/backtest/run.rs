//! The backtest itself: block by block, everything learned anew from the past, every case answered.

use super::answer::Answered;
use super::past::{Lesson, Past};
use super::split::{Block, TooFew, blocks};
use super::truth::Exam;
use crate::articles::{Catalog, Settings};
use crate::base::ids::TicketId;
use crate::base::text::Analyzer;
use crate::evidence::cases::{Cases, Reading, day};
use crate::evidence::counted::CountsError;
use crate::evidence::ear::Ear;
use crate::evidence::layout::Layout;
use crate::evidence::learning::{Model, STEPS};
use crate::tickets::{RawTicket, Ticket};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::{BTreeMap, HashMap};
use std::sync::atomic::{AtomicU64, Ordering};
use thiserror::Error;

/// What is read from the words of tickets. Given past ones, it must look at nothing else.
pub type Read<'a> = &'a (dyn Fn(&[&Ticket]) -> BTreeMap<TicketId, Reading> + Sync);

/// Learns from the past of one block and calls its second argument at most [`STEPS`] times meanwhile.
pub type Teach<'a> = &'a (dyn Fn(&Lesson<'_>, &(dyn Fn() + Sync)) -> Model + Sync);

/// What is to be done.
#[derive(Clone, Copy)]
pub struct Task<'a> {
    /// All tickets, in any order.
    pub tickets: &'a [Ticket],
    /// The articles, as they are today.
    pub catalog: &'a Catalog,
    /// The settings.
    pub settings: &'a Settings,
    /// The text analysis.
    pub analyzer: &'a Analyzer,
    /// The day taken as today; tickets closed later are left out.
    pub as_of: Date,
    /// How many blocks are answered.
    pub blocks: usize,
    /// How dangers sound.
    pub ear: Option<&'a Ear>,
    /// What is read from words.
    pub read: Read<'a>,
}

/// Reads nothing from words: people's records alone.
#[must_use]
pub fn read_nothing(_: &[&Ticket]) -> BTreeMap<TicketId, Reading> {
    BTreeMap::new()
}

/// Why there is no backtest.
#[derive(Debug, Error)]
pub enum NoBacktest {
    /// Too few tickets.
    #[error(transparent)]
    TooFew(#[from] TooFew),
    /// Counts could not be read.
    #[error(transparent)]
    Counts(#[from] CountsError),
}

/// All answers.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Tickets closed up to today.
    pub tickets: usize,
    /// The blocks in order of time.
    pub blocks: Vec<BlockOutcome>,
}

/// The answers of one block.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockOutcome {
    /// Its days.
    pub block: Block,
    /// Tickets of its past.
    pub past_tickets: usize,
    /// Cases they make.
    pub past_cases: usize,
    /// From how many cases the weights come; 0 for the shipped ones.
    pub weights_from: u64,
    /// Cases of its days.
    pub cases: usize,
    /// Cases of its days whose end is known but whose first ticket says and shows nothing.
    pub silent: usize,
    /// Answers to the cases of its days whose end is known, in order of (closed, id).
    pub answers: Vec<Answered>,
}

/// How often the last argument of [`run`] is called for each block.
pub const STEPS_A_BLOCK: u64 = STEPS + 2;

/// Answers the later half of the cases from what was known before.
///
/// The same task gives the same outcome, whatever the number of threads.
///
/// # Errors
/// Where there are too few tickets.
pub fn run(
    task: &Task<'_>,
    teach: Teach<'_>,
    step: &(dyn Fn() + Sync),
) -> Result<Outcome, NoBacktest> {
    let closed: Vec<Date> = task
        .tickets
        .iter()
        .map(|ticket| day(ticket.closed))
        .filter(|day| *day <= task.as_of)
        .collect();
    let blocks = blocks(&closed, task.blocks)?;
    let layout = Layout::new(task.catalog);
    let exams = Exams::of(task);
    let mut outcome = Outcome {
        tickets: closed.len(),
        blocks: Vec::new(),
    };
    for block in blocks {
        outcome
            .blocks
            .push(block_outcome(block, task, &layout, &exams, teach, step)?);
    }
    Ok(outcome)
}

fn block_outcome(
    block: Block,
    task: &Task<'_>,
    layout: &Layout,
    exams: &Exams,
    teach: Teach<'_>,
    step: &(dyn Fn() + Sync),
) -> Result<BlockOutcome, NoBacktest> {
    let done = AtomicU64::new(0);
    let counted = || {
        done.fetch_add(1, Ordering::Relaxed);
        step();
    };
    // Before the calendar begins nothing is closed.
    let eve = block.eve().unwrap_or(Date::MIN);
    let past = Past::new(task, layout, eve, teach, &counted);
    let asked: Vec<&Exam> = exams.known.iter().filter(|e| block.holds(e.day)).collect();
    let (silent, asked): (Vec<&Exam>, Vec<&Exam>) =
        asked.into_iter().partition(|exam| exam.said.is_empty());
    let answers: Result<Vec<Answered>, CountsError> =
        asked.par_iter().map(|exam| past.answer(exam)).collect();
    let answers = answers?;
    for _ in done.load(Ordering::Relaxed)..STEPS_A_BLOCK {
        step();
    }
    Ok(BlockOutcome {
        block,
        past_tickets: past.tickets,
        past_cases: past.cases,
        weights_from: past.model.weights.cases,
        cases: exams.days.iter().filter(|day| block.holds(**day)).count(),
        silent: silent.len(),
        answers,
    })
}

/// What happened, as known today.
struct Exams {
    /// Cases whose end is known.
    known: Vec<Exam>,
    /// The days on which all cases were asked.
    days: Vec<Date>,
}

impl Exams {
    /// Without readings: only what people recorded is true.
    fn of(task: &Task<'_>) -> Self {
        let cases = Cases::of(
            task.tickets,
            &BTreeMap::new(),
            task.catalog,
            &task.settings.model,
            task.as_of,
        );
        let by_id: HashMap<&TicketId, &RawTicket> =
            task.tickets.iter().map(|t| (&t.id, &**t)).collect();
        let asked_on = |id: &TicketId| by_id.get(id).map(|first| day(first.closed));
        Self {
            known: cases
                .list
                .iter()
                .filter_map(|case| Exam::of(case, &by_id))
                .collect(),
            days: cases
                .list
                .iter()
                .filter_map(|case| asked_on(case.first_ticket()))
                .collect(),
        }
    }
}

#[cfg(test)]
#[path = "run_tests.rs"]
mod tests;
