//! `fixtally ask`: what to try first.

use super::{Exit, Failure, Session};
use crate::call::{By, InHand};
use crate::cli::desk::dangers;
use crate::cli::names::Names;
use crate::cli::{Desk, answer};
use crate::evidence::question::Said;
use crate::view::answer::Answer;
use crate::view::why_text;
use clap::ValueEnum;
use std::io::Write;

/// Rank the fixes for what a caller says
///
/// Words, codes, indicators and answers are weighed against the articles and against all closed
/// tickets. Fixes come likeliest first; `--by time` puts them in the order of least expected
/// minutes and says when to hand the case on. A danger stops everything else.
///
/// `--why` sets the chance of each fix against an average candidate: a factor ×2 doubles it, ÷2
/// halves it. In JSON each fix then has `why`, and `average` times every `times` in its `factors`
/// and `words` is its `chance`; `words` are in plain letters, a number in them is `0`.
///
/// Exit code 1: nothing was found. Example:
/// `fixtally ask breaker trips when it rains --device post-22 --code K31 --for installer`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// What the caller says; may be left out where a code, a sign or an answer is given
    #[arg(value_name = "WORDS")]
    words: Vec<String>,
    /// The device, by its id in `kb.toml`
    #[arg(long, value_name = "D")]
    device: Option<String>,
    /// Its firmware; what cannot be read as a version excludes nothing
    #[arg(long, value_name = "V")]
    firmware: Option<String>,
    /// A fault code it shows
    #[arg(long = "code", value_name = "C")]
    codes: Vec<String>,
    /// An indicator and its state, such as `status-lamp=red-slow`
    #[arg(long = "sign", value_name = "NAME=STATE")]
    signs: Vec<String>,
    /// A check and its answer, such as `rcd-trips-on-plug-in#trips-empty=yes`
    #[arg(long, value_name = "CHECK=ANSWER")]
    seen: Vec<String>,
    /// A fix that was tried and changed nothing, such as `rcd-trips-on-plug-in#reseal-gland`
    #[arg(long, value_name = "FIX")]
    tried: Vec<String>,
    /// A danger article that does not apply, as somebody on site says
    #[arg(long, value_name = "ID")]
    not_danger: Vec<String>,
    /// For whom: what this role may not do stands last
    #[arg(long = "for", value_name = "ROLE")]
    role: Option<String>,
    /// In which order
    #[arg(long, value_enum, default_value = "chance", value_name = "ORDER")]
    by: Order,
    /// At most so many fixes
    #[arg(long, default_value_t = 5, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    limit: u16,
    /// Also say for each fix what everything known did to its chance
    #[arg(long)]
    why: bool,
}

/// In which order fixes stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Order {
    /// Likeliest first
    Chance,
    /// Least expected minutes to the end
    Time,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let silent = args.words.iter().all(|w| w.trim().is_empty());
    if silent && args.codes.is_empty() && args.signs.is_empty() && args.seen.is_empty() {
        return Err(
            Failure::new("nothing was asked: expected words, a code, a sign or an answer")
                .hint("fixtally ask breaker trips when it rains"),
        );
    }
    let desk = match Desk::open(session) {
        Ok(desk) => desk,
        Err(failure) => {
            // A full disk is no reason to be silent about smoke.
            if let Some(answer) = dangers::said(session, &args.words.join(" ")) {
                show(&answer, session)?;
            }
            return Err(failure);
        }
    };
    let case = case(args, desk.names())?;
    let limit = usize::from(args.limit);
    let answer = if args.why {
        desk.answer_with_why(&case, limit)?
    } else {
        desk.answer(&case, limit)?
    };
    show(&answer, session)?;
    Ok(Exit::findings_if(
        answer.fixes.is_empty() && answer.danger.is_empty(),
    ))
}

fn show(answer: &Answer, session: &Session) -> Result<(), Failure> {
    if session.json {
        return session.print_json(answer);
    }
    answer::print(&mut session.out(), answer)?;
    print_why(answer, session)
}

fn print_why(answer: &Answer, session: &Session) -> Result<(), Failure> {
    let why = why_text::text(answer, 80);
    if !why.is_empty() {
        write!(session.out(), "\n{why}")?;
    }
    Ok(())
}

fn case(args: &Args, names: Names<'_>) -> Result<InHand, Failure> {
    let mut case = InHand {
        said: Said {
            words: args.words.join(" "),
            device: args
                .device
                .as_deref()
                .map(|d| names.device(d))
                .transpose()?,
            firmware: args.firmware.clone(),
            ..Said::default()
        },
        by: match args.by {
            Order::Chance => By::Chance,
            Order::Time => By::Time,
        },
        role: args.role.as_deref().map(|r| names.role(r)).transpose()?,
        ..InHand::default()
    };
    for code in &args.codes {
        case.said.codes.push(names.code(code)?);
    }
    for text in &args.signs {
        let (lamp, state) = names.sign(text)?;
        case.said.signs.insert(lamp, state);
    }
    for text in &args.seen {
        let (check, answer) = names.seen(text)?;
        case.done.seen.insert(check, answer);
    }
    for text in &args.tried {
        case.done.tried.insert(names.fix(text)?);
    }
    for text in &args.not_danger {
        case.not_danger.insert(names.danger(text)?);
    }
    Ok(case)
}
