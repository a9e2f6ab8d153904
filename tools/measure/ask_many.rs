//! Asks many questions of one opened knowledge base, as the measurements need it.
//!
//! `ask_many KB STATE [AS-OF] < questions.jsonl > answers.jsonl`. A question is an object with `said` and,
//! where known, `device`, `codes`, `signs`; other keys are ignored. The answer on the same line
//! number holds `ranked` (article, fix or null for none of the listed, chance; likeliest first),
//! `unlisted`, `danger` and `ask_first` (ids), `why` (what spoke for
//! each danger), `micros` (time to answer) and `plain_micros` (time of tantivy's top ten alone).
//! A question with `"own_words": true` is also answered from what articles and fixes say themselves:
//! `own_words`, like `ranked`. A question with `"whole": true` is answered by `answer` alone, which is
//! what `fixtally ask --json --limit 12` prints; here `firmware`, `seen` (check to answer), `tried`,
//! `not_danger`, `role` and `by` (`time`) count too.

#![allow(clippy::print_stderr, reason = "a tool tells its failures there")]

use fixtally::base::ids::{ArticleId, CheckId, FixId};
use fixtally::call::{By, InHand};
use fixtally::cli::{Desk, Session};
use fixtally::evidence::danger::Alarm;
use fixtally::evidence::question::Said;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{BufRead, Write};
use std::path::Path;
use std::time::Instant;

fn main() {
    let mut args = std::env::args().skip(1);
    let (Some(kb), Some(state)) = (args.next(), args.next()) else {
        eprintln!("usage: ask_many KB STATE [AS-OF] < questions.jsonl");
        std::process::exit(2);
    };
    let mut session = Session::quiet(Path::new(&kb), Path::new(&state));
    session.as_of = args.next().and_then(|day| day.parse().ok());
    let desk = match Desk::open(&session) {
        Ok(desk) => desk,
        Err(failure) => {
            eprintln!("{failure}: {:?} {:?}", failure.causes, failure.hints);
            std::process::exit(2);
        }
    };
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    for (number, line) in std::io::stdin().lock().lines().enumerate() {
        let question: Value = match line.map(|l| serde_json::from_str(&l)) {
            Ok(Ok(question)) => question,
            _ => {
                eprintln!("line {}: expected a JSON object", number + 1);
                std::process::exit(2);
            }
        };
        if writeln!(out, "{}", answer(&desk, &question)).is_err() {
            return;
        }
    }
}

fn answer(desk: &Desk, question: &Value) -> Value {
    let text = |key: &str| question[key].as_str().map(str::to_owned);
    if question["whole"] == true {
        return match desk.answer(&whole_case(question), LIMIT) {
            Ok(answer) => json!({ "answer": answer }),
            Err(failure) => json!({ "error": failure.to_string() }),
        };
    }
    let case = InHand {
        said: Said {
            words: text("said").unwrap_or_default(),
            device: text("device"),
            codes: question["codes"]
                .as_array()
                .map(|c| strings(c))
                .unwrap_or_default(),
            signs: question["signs"].as_object().map(pairs).unwrap_or_default(),
            ..Said::default()
        },
        ..InHand::default()
    };
    let start = Instant::now();
    let (advice, _) = match desk.advise(&case) {
        Ok(advice) => advice,
        Err(failure) => return json!({ "error": failure.to_string() }),
    };
    let micros = u64::try_from(start.elapsed().as_micros()).unwrap_or(u64::MAX);
    let start = Instant::now();
    let plain = desk.plain_search(&case.said.words);
    let plain_micros = u64::try_from(start.elapsed().as_micros()).unwrap_or(u64::MAX);
    if let Err(failure) = plain {
        return json!({ "error": failure.to_string() });
    }
    let mut answer = json!({
        "ranked": ranked(&advice.belief.pairs, &advice.belief.chance, desk),
        "unlisted": advice.belief.unlisted,
        "danger": advice.stops.iter().map(|(id, _)| id).collect::<Vec<_>>(),
        "by_chance": advice.stops.iter().all(|(_, alarm)| matches!(alarm, Alarm::Likely(_))),
        "ask_first": advice.ask_first.iter().map(|(id, _)| id).collect::<Vec<_>>(),
        "why": advice.stops.iter().map(|(_, alarm)| format!("{alarm:?}")).collect::<Vec<_>>(),
        "micros": micros,
        "plain_micros": plain_micros,
    });
    if question["own_words"] == true {
        match desk.own_words(&case) {
            Ok(own) => answer["own_words"] = json!(ranked(&own.pairs, &own.chance, desk)),
            Err(failure) => return json!({ "error": failure.to_string() }),
        }
    }
    answer
}

/// Fixes of a whole answer at most.
const LIMIT: usize = 12;

/// A case with everything that `ask` takes.
fn whole_case(question: &Value) -> InHand {
    let text = |key: &str| question[key].as_str().map(str::to_owned);
    let list = |key: &str| {
        question[key]
            .as_array()
            .map(|l| strings(l))
            .unwrap_or_default()
    };
    let map = |key: &str| question[key].as_object().map(pairs).unwrap_or_default();
    let mut case = InHand {
        said: Said {
            words: text("said").unwrap_or_default(),
            device: text("device"),
            firmware: text("firmware"),
            codes: list("codes"),
            signs: map("signs"),
            ..Said::default()
        },
        role: text("role"),
        by: if question["by"] == "time" {
            By::Time
        } else {
            By::Chance
        },
        ..InHand::default()
    };
    case.done.tried = list("tried").iter().map(|id| FixId::new(id)).collect();
    let seen = map("seen").into_iter();
    case.done.seen = seen.map(|(id, said)| (CheckId::new(&id), said)).collect();
    let dangers = list("not_danger");
    case.not_danger = dangers.iter().map(|id| ArticleId::new(id)).collect();
    case
}

/// Article, fix and chance of each pair, likeliest first.
fn ranked(pairs: &[usize], chances: &[f64], desk: &Desk) -> Vec<Value> {
    let layout = desk.ground().layout;
    let mut ranked: Vec<(f64, usize)> =
        chances.iter().copied().zip(pairs.iter().copied()).collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let shown = |(chance, pair): (f64, usize)| {
        let pair = layout.pairs[pair];
        let fix = pair.fix.map(|fix| layout.fixes[fix].short());
        json!([layout.articles[pair.article], fix, chance])
    };
    ranked.into_iter().map(shown).collect()
}

fn strings(list: &[Value]) -> Vec<String> {
    list.iter()
        .filter_map(Value::as_str)
        .map(str::to_owned)
        .collect()
}

fn pairs(object: &serde_json::Map<String, Value>) -> BTreeMap<String, String> {
    object
        .iter()
        .filter_map(|(k, v)| Some((k.clone(), v.as_str()?.to_owned())))
        .collect()
}
