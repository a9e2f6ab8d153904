//! What came out, as one serialisable value.

use super::answer::{Answered, Scored, Standing};
use super::calibration::{Bin, Calibration, bin, calibration};
use super::compare::{Difference, difference};
use super::measure::{Forecast, LogLoss, brier, hit, log_loss, mean, reciprocal};
use super::rivals::Rival;
use super::run::{BlockOutcome, Outcome};
use jiff::civil::Date;
use serde::Serialize;

/// The seed of all draws, unless another one is asked for.
pub const SEED: u64 = 1;

/// The report.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// Which cases are meant.
    pub counts: Counts,
    /// How our answers did on the scored cases.
    pub ours: Scores,
    /// The log loss of the chance given to the fix that ended the case.
    pub log_loss: LogLoss,
    /// The Brier score of the first fix, by its chance among listed fixes.
    pub brier: f64,
    /// The rivals on the same cases.
    pub rivals: Vec<RivalScores>,
    /// The first fix on scored cases: its chance among listed fixes.
    pub calibration: Calibration,
    /// The likeliest alternative on all cases with a known end, "none of the listed" and "no article"
    /// among them.
    pub calibration_all: Calibration,
    /// The chance that no listed fix ends a case, on all cases with a known end.
    pub none_listed: Bin,
    /// The blocks in order of time.
    pub blocks: Vec<BlockScores>,
    /// The seed of all draws.
    pub seed: u64,
}

/// Which cases are meant.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Tickets closed up to today.
    pub tickets: usize,
    /// The first day answered.
    pub from: Option<Date>,
    /// The last day answered.
    pub to: Option<Date>,
    /// Cases of these days.
    pub cases: usize,
    /// Those whose end people recorded, and that were answered.
    pub known: usize,
    /// Those whose end people recorded, and that say and show nothing to answer.
    pub silent: usize,
    /// Those that a listed fix ended: the scored ones.
    pub scored: usize,
    /// Scored ones in which a danger stopped the answer, so that no fix was offered.
    pub stopped: usize,
}

/// Means over cases.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Scores {
    /// The part whose fix stood first.
    pub hit_1: f64,
    /// The part whose fix was among the first three.
    pub hit_3: f64,
    /// The mean of 1/rank.
    pub mrr: f64,
    /// Minutes to the end, or to handing on and what that costs.
    pub minutes: f64,
}

/// A rival beside ours.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RivalScores {
    /// Which.
    pub rival: Rival,
    /// The same for people.
    pub words: &'static str,
    /// How it did.
    pub scores: Scores,
    /// Ours less it.
    pub hit_1: Difference,
    /// Ours less it.
    pub hit_3: Difference,
    /// Ours less it.
    pub mrr: Difference,
    /// Ours less it: below 0 where ours needs fewer.
    pub minutes: Difference,
}

/// One block.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BlockScores {
    /// Its first day: the origin.
    pub from: Date,
    /// Its last day.
    pub to: Date,
    /// Tickets of its past.
    pub past_tickets: usize,
    /// From how many cases the weights come; 0 for the shipped ones.
    pub weights_from: u64,
    /// Scored cases.
    pub scored: usize,
    /// How ours did in it.
    pub ours: Scores,
    /// The author's words alone, first fix.
    pub own_words_hit_1: f64,
}

impl Report {
    /// Puts an outcome into numbers.
    #[must_use]
    pub fn new(outcome: &Outcome, seed: u64) -> Self {
        let answers: Vec<&Answered> = outcome.blocks.iter().flat_map(|b| &b.answers).collect();
        let scored: Vec<&Scored> = answers.iter().filter_map(|a| a.scored.as_ref()).collect();
        let chances: Vec<f64> = scored.iter().map(|s| s.chance).collect();
        let first: Vec<Forecast> = scored.iter().filter_map(|s| s.first).collect();
        let tops: Vec<Forecast> = answers.iter().map(|a| a.top).collect();
        let none_listed: Vec<Forecast> = answers.iter().map(|a| a.none_listed).collect();
        let rivals = Rival::ALL.iter().enumerate();
        Self {
            counts: counts(outcome, &scored),
            ours: scores(scored.iter().map(|s| &s.ours)),
            log_loss: log_loss(&chances),
            brier: brier(&first),
            rivals: rivals
                .map(|(at, rival)| against(*rival, at, &scored, seed))
                .collect(),
            calibration: calibration(&first, seed),
            calibration_all: calibration(&tops, seed),
            none_listed: bin(&none_listed),
            blocks: outcome.blocks.iter().map(block_scores).collect(),
            seed,
        }
    }
}

fn counts(outcome: &Outcome, scored: &[&Scored]) -> Counts {
    let sum = |count: fn(&BlockOutcome) -> usize| outcome.blocks.iter().map(count).sum();
    Counts {
        tickets: outcome.tickets,
        from: outcome.blocks.first().map(|b| b.block.from),
        to: outcome.blocks.last().map(|b| b.block.to),
        cases: sum(|b| b.cases),
        known: sum(|b| b.answers.len()),
        silent: sum(|b| b.silent),
        scored: scored.len(),
        stopped: scored.iter().filter(|s| s.stopped).count(),
    }
}

fn scores<'a>(standings: impl Iterator<Item = &'a Standing> + Clone) -> Scores {
    let over = |value: fn(&Standing) -> f64| mean(standings.clone().map(value));
    Scores {
        hit_1: over(hit_1),
        hit_3: over(hit_3),
        mrr: over(one_by_rank),
        minutes: over(|s| s.minutes),
    }
}

fn hit_1(standing: &Standing) -> f64 {
    hit(standing.rank, 1)
}

fn hit_3(standing: &Standing) -> f64 {
    hit(standing.rank, 3)
}

fn one_by_rank(standing: &Standing) -> f64 {
    reciprocal(standing.rank)
}

fn against(rival: Rival, at: usize, scored: &[&Scored], seed: u64) -> RivalScores {
    let less = |value: fn(&Standing) -> f64| {
        let of_case = |s: &&Scored| value(&s.ours) - value(&s.rivals[at]);
        difference(&scored.iter().map(of_case).collect::<Vec<f64>>(), seed)
    };
    RivalScores {
        rival,
        words: rival.words(),
        scores: scores(scored.iter().map(|s| &s.rivals[at])),
        hit_1: less(hit_1),
        hit_3: less(hit_3),
        mrr: less(one_by_rank),
        minutes: less(|s| s.minutes),
    }
}

fn block_scores(block: &BlockOutcome) -> BlockScores {
    let scored: Vec<&Scored> = block
        .answers
        .iter()
        .filter_map(|a| a.scored.as_ref())
        .collect();
    // The author's words are the first rival.
    let own_words = scored.iter().map(|s| hit_1(&s.rivals[0]));
    BlockScores {
        from: block.block.from,
        to: block.block.to,
        past_tickets: block.past_tickets,
        weights_from: block.weights_from,
        scored: scored.len(),
        ours: scores(scored.iter().map(|s| &s.ours)),
        own_words_hit_1: mean(own_words),
    }
}
