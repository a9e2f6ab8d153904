//! Plays cases whose truth is known, each by four policies, and counts the minutes to the end.
//!
//! `play_calls KB STATE < cases.jsonl > minutes.jsonl`; `call_cases.py` writes the cases. The policies:
//! `ours` follows the advice of a call; `author` goes through the likeliest article in the author's
//! order, `habit` likewise with the desk's own firsts, each to the last fix that the role may do,
//! and then hands on; `author_stop` stops where the author's order is expected to cost more. All see
//! the same words, pay the same minutes for the same fix, keep to `after`, to roles and to dangers.

#![allow(clippy::print_stderr, reason = "a tool tells its failures there")]

use fixtally::articles::model::Before;
use fixtally::base::ids::{ArticleId, CheckId, FixId};
use fixtally::call::next_step::{NextStep, next_step};
use fixtally::call::steps::{Steps, may_do};
use fixtally::call::{Act, Advice, State};
use fixtally::cli::{Desk, Failure, Session};
use fixtally::evidence::order::{Job, stop};
use fixtally::tickets::TryResult;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{BufRead, Write};
use std::path::Path;
use std::time::Instant;

/// Minutes it costs to have somebody look whether a danger is there.
const LOOK: f64 = 1.0;

/// Steps of a case at most; no case comes near it.
const MOST_STEPS: usize = 200;

fn main() {
    let mut args = std::env::args().skip(1);
    let (Some(kb), Some(state)) = (args.next(), args.next()) else {
        eprintln!("usage: play_calls KB STATE < cases.jsonl > minutes.jsonl");
        std::process::exit(2);
    };
    if let Err(failure) = run(&kb, &state) {
        eprintln!("{failure}: {:?} {:?}", failure.causes, failure.hints);
        std::process::exit(2);
    }
}

fn run(kb: &str, state: &str) -> Result<(), Failure> {
    let desk = Desk::open(&Session::quiet(Path::new(kb), Path::new(state)))?;
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    for line in std::io::stdin().lock().lines() {
        let case: Value = serde_json::from_str(&line?).map_err(std::io::Error::from)?;
        let mut player = Player::new(&desk, &case);
        let played = json!({
            "topic": case["topic"],
            "ours": player.ours()?,
            "author": player.rival(&[], false)?,
            "author_stop": player.rival(&[], true)?,
            "habit": player.rival(&player.habit(), false)?,
            "steps": player.steps,
            "slowest_ms": player.slowest,
        });
        writeln!(out, "{played}")?;
    }
    out.flush()?;
    Ok(())
}

struct Player<'a> {
    desk: &'a Desk,
    case: &'a Value,
    role: String,
    start: Vec<Act>,
    steps: usize,
    slowest: f64,
}

impl<'a> Player<'a> {
    fn new(desk: &'a Desk, case: &'a Value) -> Self {
        let text = |key: &str| case[key].as_str().map(str::to_owned);
        let role = text("role").unwrap_or_default();
        let mut start = vec![Act::Role(role.clone())];
        start.extend(text("said").map(Act::Say));
        start.extend(text("device").map(Act::Device));
        start.extend(text("firmware").map(Act::Firmware));
        let codes = case["codes"].as_array().into_iter().flatten();
        start.extend(
            codes
                .filter_map(Value::as_str)
                .map(|c| Act::Code(c.to_owned())),
        );
        for (lamp, state) in case["signs"].as_object().into_iter().flatten() {
            start.push(Act::Sign {
                lamp: lamp.clone(),
                state: state.as_str().unwrap_or_default().to_owned(),
            });
        }
        Self {
            desk,
            case,
            role,
            start,
            steps: 0,
            slowest: 0.0,
        }
    }

    fn habit(&self) -> Vec<FixId> {
        let listed = self.case["habit"].as_array().into_iter().flatten();
        listed.filter_map(Value::as_str).map(FixId::new).collect()
    }

    fn advise(&mut self, state: &State) -> Result<Advice, Failure> {
        let begun = Instant::now();
        let advice = self.desk.advise_call(state)?;
        self.slowest = self.slowest.max(begun.elapsed().as_secs_f64() * 1000.0);
        Ok(advice)
    }

    fn visit(&self) -> f64 {
        self.desk.settings.hand_on_minutes
    }

    /// True minutes of a fix; where the truth is silent, what the ledger says.
    fn minutes(&self, fix: &FixId) -> f64 {
        let told = self.case["minutes"][fix.as_str()].as_f64();
        let known = || self.desk.evidence.fixes.get(fix).map_or(0.0, |f| f.minutes);
        told.unwrap_or_else(known)
    }

    fn is_cause(&self, fix: &FixId) -> bool {
        self.case["cause"] == fix.as_str()
    }

    /// The answer on site, and what asking costs; none where nobody can tell.
    fn ask(&self, check: &CheckId) -> (Act, f64) {
        let minutes = self.desk.catalog.checks[check].work.minutes;
        let act = match self.case["answers"][check.as_str()].as_str() {
            Some(answer) => Act::Answer {
                check: check.clone(),
                answer: answer.to_owned(),
            },
            None => Act::Skip(check.clone()),
        };
        (act, minutes)
    }

    /// Where the call stops for a danger that is there it ends; else each is denied.
    fn dangers(&self, stops: &[ArticleId]) -> Option<Vec<Act>> {
        if self.case["danger"] == true {
            return None;
        }
        Some(stops.iter().cloned().map(Act::NotDanger).collect())
    }

    fn ours(&mut self) -> Result<f64, Failure> {
        let mut acts = self.start.clone();
        let mut minutes = 0.0;
        for _ in 0..MOST_STEPS {
            self.steps += 1;
            let state = State::of(&acts);
            let advice = self.advise(&state)?;
            match next_step(&state, &advice, self.desk.ground()) {
                NextStep::Danger(stops) => match self.dangers(&stops) {
                    None => return Ok(minutes + self.visit()),
                    Some(denied) => {
                        minutes += LOOK;
                        acts.extend(denied);
                    }
                },
                NextStep::Ask(check) => {
                    let (act, took) = self.ask(&check);
                    minutes += took;
                    acts.push(act);
                }
                NextStep::Try(fix) => {
                    minutes += self.minutes(&fix);
                    if self.is_cause(&fix) {
                        return Ok(minutes);
                    }
                    acts.push(Act::Try {
                        fix: Some(fix),
                        result: TryResult::NoChange,
                        minutes: None,
                    });
                }
                NextStep::HandOn => return Ok(minutes + self.visit()),
            }
        }
        Ok(minutes + self.visit())
    }

    /// The likeliest article by a fixed order, `first` before the author's.
    fn rival(&mut self, first: &[FixId], stops: bool) -> Result<f64, Failure> {
        let mut acts = self.start.clone();
        let mut minutes = 0.0;
        let advice = loop {
            let advice = self.advise(&State::of(&acts))?;
            if advice.stops.is_empty() {
                break advice;
            }
            let dangers: Vec<ArticleId> = advice.stops.iter().map(|(id, _)| id.clone()).collect();
            match self.dangers(&dangers) {
                None => return Ok(self.visit()),
                Some(denied) => {
                    minutes += LOOK;
                    acts.extend(denied);
                }
            }
        };
        let mut steps = self.steps_in_order(&advice, first);
        if stops {
            let best = self.best_stop(&steps, &advice);
            steps.truncate(best);
        }
        for step in steps {
            match step {
                Before::Check(check) => minutes += self.ask(&check).1,
                Before::Fix(fix) => {
                    minutes += self.minutes(&fix);
                    if self.is_cause(&fix) {
                        return Ok(minutes);
                    }
                }
            }
        }
        Ok(minutes + self.visit())
    }

    /// The fixes of the likeliest article that the role may do, with what must come before each.
    fn steps_in_order(&self, advice: &Advice, first: &[FixId]) -> Vec<Before> {
        let catalog = &self.desk.catalog;
        let served = |(id, _): &&(ArticleId, f64)| catalog.articles[id].danger.is_none();
        let Some((article, _)) = advice.articles.iter().find(served) else {
            return Vec::new();
        };
        let of_article = &catalog.fixes_of[article];
        let habit = first.iter().filter(|fix| of_article.contains(fix));
        let mut order = Vec::new();
        for fix in habit.chain(of_article) {
            let mut chain = Vec::new();
            if self.way_to(&Before::Fix(fix.clone()), &mut chain) {
                let new = chain.into_iter().filter(|step| !order.contains(step));
                order.extend(new.collect::<Vec<_>>());
            }
        }
        order
    }

    /// A step with all that must come before it; false where the role may not do some of it.
    fn way_to(&self, step: &Before, chain: &mut Vec<Before>) -> bool {
        let catalog = &self.desk.catalog;
        let (work, after) = match step {
            Before::Fix(id) => (&catalog.fixes[id].work, &catalog.fixes[id].after),
            Before::Check(id) => (&catalog.checks[id].work, &catalog.checks[id].after),
        };
        let allowed = may_do(work, Some(&self.role), &self.desk.settings)
            && after.iter().all(|before| self.way_to(before, chain));
        if allowed && !chain.contains(step) {
            chain.push(step.clone());
        }
        allowed
    }

    /// How many of these steps to take where the belief is right.
    fn best_stop(&self, steps: &[Before], advice: &Advice) -> usize {
        let (done, settings, ground) =
            (Default::default(), &self.desk.settings, self.desk.ground());
        let left = Steps::left(&advice.belief, &done, Some(&self.role), settings, ground);
        let known: BTreeMap<&Before, &Job> = left.what.iter().zip(&left.jobs).collect();
        let jobs: Vec<Job> = steps
            .iter()
            .map(|step| Job {
                after: Vec::new(),
                ..known
                    .get(step)
                    .map_or_else(Job::default, |job| (*job).clone())
            })
            .collect();
        let order: Vec<usize> = (0..jobs.len()).collect();
        stop(&jobs, &order, self.visit()).after
    }
}
