//! `fixtally ask`: what to try first.

use super::{Exit, Failure, Session};
use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::base::problem::{did_you_mean, nearest};
use crate::call::advice::answer_of;
use crate::call::{By, InHand};
use crate::cli::{Desk, answer};
use crate::evidence::question::Said;
use clap::ValueEnum;
use std::collections::BTreeSet;
use std::io::Write;

/// Rank the fixes for what a caller says
///
/// Words, codes, indicators and answers are weighed against the articles and against all closed
/// tickets. Fixes come likeliest first; `--by time` puts them in the order of least expected
/// minutes and says when to hand the case on. A danger stops everything else.
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
    let desk = Desk::open(session)?;
    let case = case(args, &desk)?;
    let answer = desk.answer(&case, usize::from(args.limit))?;
    let mut out = session.out();
    if session.json {
        serde_json::to_writer_pretty(&mut out, &answer).map_err(std::io::Error::from)?;
        writeln!(out)?;
    } else {
        answer::print(&mut out, &answer)?;
    }
    Ok(Exit::findings_if(
        answer.fixes.is_empty() && answer.danger.is_empty(),
    ))
}

fn case(args: &Args, desk: &Desk) -> Result<InHand, Failure> {
    let mut case = InHand {
        said: Said {
            words: args.words.join(" "),
            device: args
                .device
                .as_deref()
                .map(|d| device(d, desk))
                .transpose()?,
            firmware: args.firmware.clone(),
            ..Said::default()
        },
        by: match args.by {
            Order::Chance => By::Chance,
            Order::Time => By::Time,
        },
        role: args.role.as_deref().map(|r| role(r, desk)).transpose()?,
        ..InHand::default()
    };
    for code in &args.codes {
        case.said.codes.push(self::code(code, desk)?);
    }
    for text in &args.signs {
        let (lamp, state) = sign(text, desk)?;
        case.said.signs.insert(lamp, state);
    }
    for text in &args.seen {
        let (check, answer) = seen(text, desk)?;
        case.done.seen.insert(check, answer);
    }
    for text in &args.tried {
        case.done.tried.insert(fix(text, desk)?);
    }
    for text in &args.not_danger {
        case.not_danger.insert(danger(text, desk)?);
    }
    Ok(case)
}

/// One of the known names, or a failure that offers the nearest.
fn known<'a>(
    what: &str,
    found: &str,
    names: impl IntoIterator<Item = &'a str> + Clone,
) -> Result<String, Failure> {
    if let Some(name) = names
        .clone()
        .into_iter()
        .find(|n| n.eq_ignore_ascii_case(found))
    {
        return Ok(name.to_owned());
    }
    let failure = Failure::new(format!(
        "there is no {what} `{found}` in this knowledge base"
    ));
    Err(match did_you_mean(found, names.clone()) {
        Some(hint) => failure.hint(hint),
        None => {
            let names: Vec<String> = names
                .into_iter()
                .take(12)
                .map(|n| format!("`{n}`"))
                .collect();
            if names.is_empty() {
                failure
            } else {
                failure.hint(format!("one of {}", names.join(", ")))
            }
        }
    })
}

fn device(text: &str, desk: &Desk) -> Result<String, Failure> {
    known(
        "device",
        text,
        desk.settings.devices.keys().map(String::as_str),
    )
}

pub(super) fn role(text: &str, desk: &Desk) -> Result<String, Failure> {
    known("role", text, desk.settings.roles.iter().map(String::as_str))
}

fn code(text: &str, desk: &Desk) -> Result<String, Failure> {
    let devices = desk.settings.devices.values();
    let codes: BTreeSet<&str> = devices.flat_map(|d| &d.codes).map(String::as_str).collect();
    known("code", text, codes)
}

fn pair<'a>(text: &'a str, form: &str) -> Result<(&'a str, &'a str), Failure> {
    text.rsplit_once('=')
        .map(|(a, b)| (a.trim(), b.trim()))
        .ok_or_else(|| Failure::new(format!("expected `{form}`, but found `{text}`")))
}

fn sign(text: &str, desk: &Desk) -> Result<(String, String), Failure> {
    let (lamp, state) = pair(text, "NAME=STATE")?;
    let signs = desk.settings.signs();
    let lamp = known("indicator", lamp, signs.keys().copied())?;
    let states = signs.get(lamp.as_str()).cloned().unwrap_or_default();
    let state = known(&format!("state of `{lamp}`"), state, states)?;
    Ok((lamp, state))
}

fn seen(text: &str, desk: &Desk) -> Result<(CheckId, String), Failure> {
    let (check, said) = pair(text, "CHECK=ANSWER")?;
    let id = full_id(
        check,
        "check",
        desk.catalog.checks.keys().map(CheckId::as_str),
    )?;
    let id = desk
        .catalog
        .resolve_check(None, &id)
        .unwrap_or_else(|| CheckId::new(&id));
    let answer = answer_of(&id, said, desk.ground()).ok_or_else(|| {
        let answers = desk
            .catalog
            .checks
            .get(&id)
            .map(|c| c.answers.join("`, `"))
            .unwrap_or_default();
        Failure::new(format!("`{said}` is no answer to `{id}`")).hint(format!("one of `{answers}`"))
    })?;
    Ok((id, answer))
}

fn fix(text: &str, desk: &Desk) -> Result<FixId, Failure> {
    if let Some(id) = desk.catalog.resolve_fix(None, text) {
        return Ok(id);
    }
    full_id(text, "fix", desk.catalog.fixes.keys().map(FixId::as_str)).map(|id| FixId::new(&id))
}

/// A full id, or a short one that only one article has.
fn full_id<'a>(
    text: &str,
    what: &str,
    ids: impl Iterator<Item = &'a str> + Clone,
) -> Result<String, Failure> {
    if !text.contains('#') {
        let ending = format!("#{text}");
        let of_name: Vec<&str> = ids.clone().filter(|id| id.ends_with(&ending)).collect();
        match of_name[..] {
            [one] => return Ok(one.to_owned()),
            [] => return Err(near_short(text, what, ids)),
            _ => {
                let several = if what == "fix" { "fixes" } else { "checks" };
                return Err(
                    Failure::new(format!("`{text}` is the name of several {several}"))
                        .hint(format!("one of `{}`", of_name.join("`, `"))),
                );
            }
        }
    }
    known(what, text, ids)
}

/// A short id that no article has: the nearest short ones, in full.
fn near_short<'a>(text: &str, what: &str, ids: impl Iterator<Item = &'a str> + Clone) -> Failure {
    let short = |id: &'a str| id.rsplit('#').next().unwrap_or(id);
    let names: BTreeSet<&str> = ids.clone().map(short).collect();
    let full: Vec<String> = nearest(text, names)
        .into_iter()
        .flat_map(|name| ids.clone().filter(move |id| short(id) == name))
        .map(|id| format!("`{id}`"))
        .collect();
    let failure = Failure::new(format!(
        "there is no {what} `{text}` in this knowledge base"
    ));
    if full.is_empty() {
        failure.hint(format!(
            "the name in full, `ARTICLE#{}`; `fixtally show ARTICLE` lists them",
            what.to_uppercase()
        ))
    } else {
        failure.hint(format!("did you mean {}?", full.join(" or ")))
    }
}

fn danger(text: &str, desk: &Desk) -> Result<ArticleId, Failure> {
    let ids: Vec<&str> = desk.catalog.dangers().map(|a| a.id.as_str()).collect();
    known("danger article", text, ids).map(|id| ArticleId::new(&id))
}
