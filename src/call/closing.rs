//! The end of a case: what is still to be asked, and the ticket.

use super::acts::Choice;
use super::advice::Advice;
use super::belief::Ground;
use super::case::Case;
use super::state::State;
use crate::base::ids::{ArticleId, FixId, TicketId};
use crate::tickets::record::{OTHER, UNLISTED};
use crate::tickets::{Outcome, RawTicket, Scrubber, Ticket, Try, TryResult};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// At most so many articles are offered.
pub const CHOICES: usize = 3;

/// A ticket of the same site, closed not long before.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Earlier {
    /// The ticket.
    pub ticket: TicketId,
    /// When it was closed.
    pub closed: Timestamp,
    /// How it ended.
    pub outcome: Option<Outcome>,
    /// What was said.
    pub said: String,
}

/// What a case must still be asked before its ticket is whole.
#[derive(Clone, Debug, PartialEq)]
pub enum Question {
    /// Which article was it?
    Article(Vec<ArticleId>),
    /// Does it continue one of these?
    Follows(Vec<Earlier>),
}

/// The next question of a case that ends; none where it may be written, or does not end yet.
#[must_use]
pub fn question(state: &State, advice: &Advice, earlier: &[Earlier]) -> Option<Question> {
    state.end?;
    if state.resolved_by().is_none() && state.article.is_none() {
        return Some(Question::Article(choices(advice)));
    }
    if state.follows.is_none() && !earlier.is_empty() {
        return Some(Question::Follows(earlier.to_vec()));
    }
    None
}

/// The articles to choose from: dangers that stop the call, then the likeliest.
#[must_use]
pub fn choices(advice: &Advice) -> Vec<ArticleId> {
    let mut chosen: Vec<ArticleId> = advice.stops.iter().map(|(id, _)| id.clone()).collect();
    for (id, _) in advice.articles.iter().filter(|(_, chance)| *chance > 0.0) {
        if !chosen.contains(id) {
            chosen.push(id.clone());
        }
    }
    chosen.truncate(CHOICES);
    chosen
}

/// The article to record: that of the fix that ended it, else the one a person picked.
///
/// A fix that several articles share belongs to the likeliest of them, `ranked` as they were before
/// it was tried.
#[must_use]
pub fn article(
    state: &State,
    ranked: &[(ArticleId, f64)],
    ground: Ground<'_>,
) -> Option<ArticleId> {
    if let Some(fix) = state.resolved_by() {
        return Some(article_of(fix, ranked, ground));
    }
    match &state.article {
        Some(Choice::Article(id)) => Some(id.clone()),
        Some(Choice::Unlisted) => Some(ArticleId::new(UNLISTED)),
        Some(Choice::NotSure) | None => None,
    }
}

fn article_of(fix: &FixId, ranked: &[(ArticleId, f64)], ground: Ground<'_>) -> ArticleId {
    let offers = ground.catalog.articles_of.get(fix);
    ranked
        .iter()
        .find(|(id, chance)| *chance > 0.0 && offers.is_some_and(|o| o.contains(id)))
        .map_or_else(|| fix.article(), |(id, _)| id.clone())
}

/// The ticket of a case that ended.
#[must_use]
pub fn ticket(
    case: &Case,
    state: &State,
    article: Option<ArticleId>,
    closed: Timestamp,
    scrubber: &Scrubber,
) -> Ticket {
    let joined = |lines: &[String]| (!lines.is_empty()).then(|| lines.join("\n"));
    let typed = || {
        // Nothing but codes and signs was told: their lines are what was said.
        let lines = case.in_force().map(|line| line.text.clone());
        joined(&lines.take(CHOICES).collect::<Vec<_>>())
    };
    let raw = RawTicket {
        id: case.id.clone(),
        reference: state.reference.clone(),
        follows: state.follows.clone().flatten(),
        opened: Some(case.opened.min(closed)),
        closed,
        device: state.device.clone(),
        firmware: state.firmware.clone(),
        channel: Some("phone".to_owned()),
        said: joined(&state.said).or_else(typed),
        codes: state.codes.clone(),
        signs: state.signs.clone(),
        seen: state
            .seen
            .iter()
            .map(|(check, answer)| (check.to_string(), answer.clone()))
            .collect(),
        article,
        tries: state
            .tries
            .iter()
            .map(|tried| Try {
                fix: tried
                    .fix
                    .as_ref()
                    .map_or_else(|| OTHER.to_owned(), ToString::to_string),
                result: tried.result,
                minutes: tried.minutes,
            })
            .collect(),
        outcome: state.end,
        reopened: None,
        not_danger: state.not_danger.iter().cloned().collect(),
        source: None,
        notes: joined(&state.notes),
        read: None,
    };
    scrubber.ticket(raw).0
}

/// How a case ended, in words: "resolved by …", "handed on", "dropped".
#[must_use]
pub fn ending(state: &State, ground: Ground<'_>) -> Option<String> {
    Some(match state.end? {
        Outcome::Resolved => {
            let by = state
                .tries
                .iter()
                .rfind(|t| t.result == TryResult::Resolved);
            let title = by
                .and_then(|t| t.fix.as_ref())
                .and_then(|fix| ground.catalog.fixes.get(fix))
                .map_or("something no article lists", |fix| &fix.title);
            format!("resolved by {title}")
        }
        Outcome::HandedOn => "handed on".to_owned(),
        Outcome::Dropped => "dropped".to_owned(),
    })
}
