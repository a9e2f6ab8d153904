//! The answer to a question, as every face shows it: the terminal, JSON, the page, the offline file.

mod stop;
#[cfg(test)]
mod testing;

use crate::articles::Settings;
use crate::articles::model::Before;
use crate::base::ids::ArticleId;
use crate::call::advice::RankedFix;
use crate::call::next_check::NextCheck;
use crate::call::{Advice, Ground};
use crate::evidence::danger::Alarm;
use crate::evidence::factors::{Explainer, Factors};
use jiff::civil::Date;
use serde::Serialize;
use stop::stop_line;

/// The whole answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Answer {
    /// Which knowledge base, and how fresh.
    pub kb: About,
    /// Dangers that stop the call; where there is one, nothing else is offered.
    pub danger: Vec<Stop>,
    /// Dangers that were said and denied: to be asked before anything else.
    pub ask_first: Vec<AskFirst>,
    /// What to ask where hardly a word of what was said is known here, and no danger was heard.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hardly_known: Option<&'static str>,
    /// The likeliest articles.
    pub articles: Vec<ArticleLine>,
    /// The fixes in order.
    pub fixes: Vec<FixLine>,
    /// What to ask next.
    pub next_check: Option<CheckLine>,
    /// When to hand on; only in the order of time.
    pub stop: Option<StopLine>,
    /// The chance that no article covers the case.
    pub unlisted: f64,
    /// Closed tickets like this one, closest first.
    pub similar: Vec<String>,
}

/// Dangers are heard in the words of articles and sayings: who speaks another language is asked.
const HARDLY_KNOWN: &str =
    "Hardly a word of this is known here. Ask first: smoke, burning, shock, gas, water?";

/// Which knowledge base answered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct About {
    /// Its name.
    pub name: String,
    /// Changes with every change of the articles, words or settings.
    pub fingerprint: String,
    /// The day taken as today.
    pub as_of: String,
    /// The newest closing day that counts; none where no ticket does.
    pub evidence_to: Option<String>,
}

/// A danger that stops the call.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Stop {
    /// The danger article.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Why it is shown, such as `said: burnt smell`.
    pub why: String,
    /// What to do now, step by step.
    pub do_now: Vec<String>,
}

/// A danger that was said and denied, or said in words that do not sound like it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct AskFirst {
    /// The danger article.
    pub id: String,
    /// Its title.
    pub title: String,
    /// The words that name it.
    pub why: String,
}

/// An article with its chance.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ArticleLine {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// The chance that it is the one.
    pub chance: f64,
    /// Where the order comes from: `tickets`, or `author` where there are too few.
    pub basis: Basis,
}

/// Where an order comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// Enough closed tickets.
    Tickets,
    /// Too few; the author's order.
    Author,
}

/// A fix with its chance and its proof.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FixLine {
    /// Place in the order, from 1.
    pub rank: usize,
    /// Its full id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// What sort of fix.
    pub kind: String,
    /// The chance that it ends this case.
    pub chance: f64,
    /// Lower end of the 90 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Where the chance comes from.
    pub basis: Basis,
    /// Cases it resolved.
    pub resolved: u64,
    /// Cases it was tried in with a clear result.
    pub tries: u64,
    /// How many of those were read from notes.
    pub inferred: u64,
    /// Lower end of the Wilson 95 % interval of `resolved` of `tries`.
    pub raw_low: f64,
    /// Upper end.
    pub raw_high: f64,
    /// Tickets of the fix's articles.
    pub cases: u64,
    /// Minutes it is expected to take.
    pub minutes: f64,
    /// The first role that may do it.
    pub who: String,
    /// Whether the role asked for may do it.
    pub allowed: bool,
    /// Its hazards.
    pub hazards: Vec<String>,
    /// Their cautions, to be shown before any step.
    pub cautions: Vec<String>,
    /// What must be done before it.
    pub after: Vec<String>,
    /// The articles that offer it, likeliest first.
    pub articles: Vec<String>,
    /// Why it has its chance; only where that was asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<Factors>,
}

/// The check to ask next.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CheckLine {
    /// Its full id.
    pub id: String,
    /// The question.
    pub question: String,
    /// The possible answers.
    pub answers: Vec<String>,
    /// The first role that may do it.
    pub who: String,
    /// Its hazards.
    pub hazards: Vec<String>,
    /// Their cautions.
    pub cautions: Vec<String>,
    /// Minutes it takes.
    pub minutes: f64,
    /// Expected minutes it saves.
    pub saves_minutes: f64,
}

/// When to hand on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct StopLine {
    /// Hand on after this many fixes; they may be more than are listed.
    pub after: usize,
    /// Expected minutes to the end, handing on included.
    pub minutes_expected: f64,
    /// Why, in words.
    pub why: String,
}

/// What an answer is drawn from, besides the advice.
#[derive(Clone, Copy)]
pub struct Subject<'a> {
    /// What `kb.toml` says.
    pub settings: &'a Settings,
    /// Articles, numbers, evidence.
    pub ground: Ground<'a>,
    /// The knowledge base's fingerprint.
    pub fingerprint: &'a str,
    /// The day taken as today.
    pub as_of: Date,
    /// At most so many fixes.
    pub limit: usize,
    /// Explains chances, where that was asked.
    pub why: Option<&'a Explainer<'a>>,
}

/// Articles less likely than this are not listed.
const SHOWN_FROM: f64 = 0.02;

/// At most so many articles are listed.
const ARTICLES: usize = 3;

impl Answer {
    /// Draws an advice.
    #[must_use]
    pub fn new(advice: &Advice, similar: Vec<String>, subject: &Subject<'_>) -> Self {
        let evidence = subject.ground.evidence;
        let fixes: Vec<FixLine> = listed(advice, subject.limit)
            .map(|(rank, ranked)| fix_line(rank, ranked, subject))
            .collect();
        Self {
            kb: About {
                name: subject.settings.name.clone(),
                fingerprint: subject.fingerprint.to_owned(),
                as_of: subject.as_of.to_string(),
                evidence_to: evidence.to.map(|d| d.to_string()),
            },
            danger: advice
                .stops
                .iter()
                .map(|(id, alarm)| danger(id, alarm, subject))
                .collect(),
            hardly_known: (advice.strange && advice.ask_first.is_empty()).then_some(HARDLY_KNOWN),
            ask_first: advice
                .ask_first
                .iter()
                .map(|(id, words)| AskFirst {
                    id: id.to_string(),
                    title: title(id, subject),
                    why: words.clone(),
                })
                .collect(),
            articles: advice
                .articles
                .iter()
                .filter(|(id, chance)| *chance >= SHOWN_FROM && is_shown(id, advice, subject))
                .take(ARTICLES)
                .map(|(id, chance)| ArticleLine {
                    id: id.to_string(),
                    title: title(id, subject),
                    chance: *chance,
                    basis: basis(evidence.only_author(id)),
                })
                .collect(),
            next_check: advice
                .next_check
                .as_ref()
                .and_then(|next| check_line(next, subject)),
            stop: advice
                .stop
                .map(|stop| stop_line(stop, advice, &fixes, subject)),
            unlisted: advice.belief.unlisted,
            similar,
            fixes,
        }
    }
}

/// The fixes that are listed where there is no room for all. What the role may not do stands last,
/// and still the likely ones of it are to be seen: they take the places of fixes hardly worth a
/// line, and up to half of all places, but never all. Each has its place in the whole order with it:
/// by that number it is called for, whatever else is listed.
fn listed(advice: &Advice, limit: usize) -> impl Iterator<Item = (usize, &RankedFix)> {
    let first_other = advice.fixes.iter().take_while(|f| f.allowed).count();
    let (own, others) = advice.fixes.split_at(first_other);
    let to_do = advice.stop.map_or(0, |stop| stop.after);
    let likely = |some: &[RankedFix]| {
        let last = some.iter().rposition(|f| f.chance.share >= SHOWN_FROM);
        last.map_or(0, |at| at + 1)
    };
    let spare = limit
        .saturating_sub(likely(own).max(to_do))
        .max(limit / 2)
        .min(limit.saturating_sub(1));
    let own = &own[..own.len().min(limit - spare.min(likely(others)))];
    let places = (1..=own.len()).chain(first_other + 1..);
    places.zip(own.iter().chain(others.iter().take(limit - own.len())))
}

/// A danger that does not stop the call is not listed: it has no fixes to offer.
fn is_shown(id: &ArticleId, advice: &Advice, subject: &Subject<'_>) -> bool {
    let of_danger = subject
        .ground
        .catalog
        .articles
        .get(id)
        .is_some_and(|a| a.danger.is_some());
    !of_danger || advice.stops.iter().any(|(stop, _)| stop == id)
}

fn basis(only_author: bool) -> Basis {
    if only_author {
        Basis::Author
    } else {
        Basis::Tickets
    }
}

fn title(id: &ArticleId, subject: &Subject<'_>) -> String {
    subject
        .ground
        .catalog
        .articles
        .get(id)
        .map_or_else(|| id.to_string(), |a| a.title.clone())
}

fn danger(id: &ArticleId, alarm: &Alarm, subject: &Subject<'_>) -> Stop {
    let why = match alarm {
        Alarm::Said(words) | Alarm::Denied(words) => format!("said: {words}"),
        Alarm::Sounds(chance) => format!(
            "it sounds like a danger ({:.0} %), perhaps this one",
            chance * 100.0
        ),
        Alarm::Likely(chance) => {
            format!(
                "what was said fits it in {:.0} of 100 such cases",
                chance * 100.0
            )
        }
        Alarm::Confirmed => "it is so, as was said".to_owned(),
    };
    let article = subject.ground.catalog.articles.get(id);
    let do_now = article
        .and_then(|a| a.danger.as_ref())
        .map(|d| d.do_now.clone());
    Stop {
        id: id.to_string(),
        title: title(id, subject),
        why,
        do_now: do_now.unwrap_or_default(),
    }
}

fn fix_line(rank: usize, ranked: &RankedFix, subject: &Subject<'_>) -> FixLine {
    let Ground {
        catalog, evidence, ..
    } = subject.ground;
    let fix = &catalog.fixes[&ranked.fix];
    let proof = evidence.fixes.get(&ranked.fix).cloned().unwrap_or_default();
    let cases = ranked
        .articles
        .iter()
        .filter_map(|id| evidence.articles.get(id))
        .map(|a| a.cases)
        .sum();
    FixLine {
        rank,
        id: fix.id.to_string(),
        title: fix.title.clone(),
        kind: fix.kind.clone(),
        chance: ranked.chance.share,
        low: ranked.chance.low,
        high: ranked.chance.high,
        basis: basis(ranked.only_author),
        resolved: proof.resolved,
        tries: proof.tries,
        inferred: proof.inferred,
        raw_low: proof.raw_low,
        raw_high: proof.raw_high,
        cases,
        minutes: proof.minutes,
        who: fix.work.who.clone(),
        allowed: ranked.allowed,
        hazards: fix.work.hazards.clone(),
        cautions: subject.settings.cautions(&fix.work.hazards),
        after: ranked
            .after
            .iter()
            .map(|before| match before {
                Before::Fix(id) => id.to_string(),
                Before::Check(id) => id.to_string(),
            })
            .collect(),
        articles: ranked.articles.iter().map(ToString::to_string).collect(),
        why: subject.why.and_then(|why| why.explain(&ranked.fix)),
    }
}

fn check_line(next: &NextCheck, subject: &Subject<'_>) -> Option<CheckLine> {
    let check = subject.ground.catalog.checks.get(&next.check)?;
    Some(CheckLine {
        id: check.id.to_string(),
        question: check.question.clone(),
        answers: check.answers.clone(),
        who: check.work.who.clone(),
        hazards: check.work.hazards.clone(),
        cautions: subject.settings.cautions(&check.work.hazards),
        minutes: check.work.minutes,
        saves_minutes: next.saves,
    })
}
