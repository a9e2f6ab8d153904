//! One state of a call, as every face shows it: what was heard, what changed, what to do and to
//! ask next. Plain values; [`super::call_text`] draws them for a terminal.

use super::answer::{Answer, Basis, CheckLine, FixLine};
use super::percent;
use super::taken_out::taken_out;
use crate::articles::Settings;
use crate::articles::model::Work;
use crate::base::ids::ArticleId;
use crate::call::closing::Question;
use crate::call::hand_over::{HandOver, step_title};
use crate::call::understand::AtHand;
use crate::call::{Advice, Ground, State};
use crate::tickets::scrub::Removed;
use crate::tickets::{Outcome, RawTicket};
use serde::Serialize;
use std::collections::BTreeMap;

/// One state.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct CallState {
    /// The case, and later the ticket; none before the first line.
    pub case: Option<String>,
    /// How many lines the case has.
    pub line: usize,
    /// What was understood by the line just typed.
    pub heard: Vec<String>,
    /// Names in the line that look like those of these articles and are none.
    pub unknown: Vec<String>,
    /// Whether the line told nothing that is weighed: what was heard says it all.
    #[serde(skip)]
    pub brief: bool,
    /// Why the line did nothing, and what to say instead.
    pub unclear: Option<String>,
    /// What it changed.
    pub changed: Vec<String>,
    /// Everything known of the case.
    pub known: Known,
    /// What to do; none where the case has nothing to go by yet, or is closed.
    pub answer: Option<Answer>,
    /// The fix at hand with its steps, cautions first.
    pub showing: Option<Showing>,
    /// The check that a bare answer answers.
    pub asking: Option<Asking>,
    /// What must be answered before the case can be closed.
    pub closing: Option<Closing>,
    /// The case for whoever takes it on.
    pub hand_over: Option<HandOver>,
    /// The case is closed and in the ledger.
    pub closed: Option<Closed>,
    /// Earlier tickets of the same site, where the line told which site it is.
    pub earlier: Vec<Choosable>,
    /// Cases that were left open.
    pub open: Vec<OpenCase>,
    /// What can be said, where that was asked.
    pub help: Vec<(String, String)>,
    /// A remark that was just left, by its number.
    pub remark: Option<u64>,
}

/// Everything known of a case.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Known {
    /// The words that are weighed: asking them in one shot gives the same numbers.
    pub words: String,
    /// The device.
    pub device: Option<String>,
    /// Its firmware.
    pub firmware: Option<String>,
    /// Codes.
    pub codes: Vec<String>,
    /// Indicators and their states.
    pub signs: BTreeMap<String, String>,
    /// Checks and their answers.
    pub seen: BTreeMap<String, String>,
    /// Fixes that changed nothing.
    pub tried: Vec<String>,
    /// Fixes and checks that could not be done.
    pub not_possible: Vec<String>,
    /// Dangers that do not apply.
    pub not_danger: Vec<String>,
    /// Who does the work.
    pub role: Option<String>,
    /// The id in the office's own system.
    #[serde(rename = "ref")]
    pub reference: Option<String>,
}

/// A check as it is asked.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Asking {
    /// The check.
    #[serde(flatten)]
    pub check: CheckLine,
    /// How to find out, as Markdown.
    pub how: String,
}

/// A fix as it is read aloud.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Showing {
    /// Its full id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Why it is shown though another one was asked for.
    pub because: Option<String>,
    /// What to be careful of, before any step.
    pub cautions: Vec<String>,
    /// The first role that may do it.
    pub who: String,
    /// Minutes it is expected to take.
    pub minutes: f64,
    /// The steps.
    pub steps: Vec<String>,
    /// Where there are no numbered steps: the text, as Markdown.
    pub text: Option<String>,
    /// How one knows that it is done.
    pub done_when: Option<String>,
}

/// A question before the end.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Closing {
    /// How the case ends.
    pub outcome: Outcome,
    /// What is asked for.
    pub asks: Asks,
    /// The question.
    pub question: String,
    /// What to choose from, in order.
    pub choices: Vec<Choosable>,
}

/// What a question before the end asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Asks {
    /// Which article it was.
    Article,
    /// Which earlier ticket it continues.
    Follows,
}

/// One choice.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Choosable {
    /// An article's or a ticket's id.
    pub id: String,
    /// In words.
    pub title: String,
}

/// A closed case.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Closed {
    /// The ticket.
    pub ticket: String,
    /// How it ended, in words.
    pub ending: String,
    /// The article recorded; none where nobody was sure.
    pub article: Option<String>,
    /// The ticket it continues.
    pub follows: Option<String>,
    /// Personal data that were taken out of what was said and noted.
    pub removed: Removed,
    /// The same in words; none where there were none.
    pub taken_out: Option<String>,
}

impl Closed {
    /// A ticket as it stands in the ledger, and how it ended in words.
    #[must_use]
    pub fn of(ticket: &RawTicket, ending: String) -> Self {
        let removed = Removed::out_of(ticket);
        Self {
            ticket: ticket.id.to_string(),
            ending,
            article: ticket.article.as_ref().map(ToString::to_string),
            follows: ticket.follows.as_ref().map(ToString::to_string),
            taken_out: Some(taken_out(&removed)).filter(|words| !words.is_empty()),
            removed,
        }
    }
}

/// A case that was left open.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OpenCase {
    /// Its id.
    pub id: String,
    /// Whole minutes since its last line.
    pub minutes_ago: i64,
    /// How it begins.
    pub said: String,
}

impl Known {
    /// Everything known of a case.
    #[must_use]
    pub fn of(state: &State) -> Self {
        let done = state.done();
        Self {
            words: state.words(),
            device: state.device.clone(),
            firmware: state.firmware.clone(),
            codes: state.codes.clone(),
            signs: state.signs.clone(),
            seen: state
                .seen
                .iter()
                .map(|(check, answer)| (check.to_string(), answer.clone()))
                .collect(),
            tried: done.tried.iter().map(ToString::to_string).collect(),
            not_possible: done.not_possible.iter().map(ToString::to_string).collect(),
            not_danger: state.not_danger.iter().map(ToString::to_string).collect(),
            role: state.role.clone(),
            reference: state.reference.clone(),
        }
    }
}

/// The fix or check at hand, as shown.
#[must_use]
pub fn showing(
    at_hand: &AtHand,
    state: &State,
    settings: &Settings,
    ground: Ground<'_>,
) -> Option<Showing> {
    let AtHand::Fix(id) = at_hand else {
        return None;
    };
    let fix = ground.catalog.fixes.get(id)?;
    let asked_for = state.picked.as_ref().filter(|picked| *picked != id);
    let minutes = ground
        .evidence
        .fixes
        .get(id)
        .map_or(fix.work.minutes, |f| f.minutes);
    Some(Showing {
        id: id.to_string(),
        title: fix.title.clone(),
        because: asked_for.map(|picked| {
            let later = crate::articles::model::Before::Fix(picked.clone());
            format!("this comes before \"{}\"", step_title(&later, ground))
        }),
        cautions: settings.cautions(&fix.work.hazards),
        who: fix.work.who.clone(),
        minutes,
        steps: fix.work.steps.clone(),
        text: text_instead(&fix.work),
        done_when: fix.done_when.clone(),
    })
}

fn text_instead(work: &Work) -> Option<String> {
    (work.steps.is_empty() && !work.markdown.is_empty()).then(|| work.markdown.clone())
}

/// The check at hand, with the minutes it saves where that is why it is asked.
#[must_use]
pub fn asking(
    at_hand: &AtHand,
    answer: Option<&Answer>,
    settings: &Settings,
    ground: Ground<'_>,
) -> Option<Asking> {
    let AtHand::Check(id) = at_hand else {
        return None;
    };
    let check = ground.catalog.checks.get(id)?;
    let how = check.work.markdown.clone();
    if let Some(next) = answer.and_then(|a| a.next_check.as_ref())
        && next.id == id.as_str()
    {
        return Some(Asking {
            check: next.clone(),
            how,
        });
    }
    let check = CheckLine {
        id: id.to_string(),
        question: check.question.clone(),
        answers: check.answers.clone(),
        who: check.work.who.clone(),
        hazards: check.work.hazards.clone(),
        cautions: settings.cautions(&check.work.hazards),
        minutes: check.work.minutes,
        saves_minutes: 0.0,
    };
    Some(Asking { check, how })
}

/// A question before the end, in words.
#[must_use]
pub fn closing(
    question: &Question,
    outcome: Outcome,
    advice: &Advice,
    ground: Ground<'_>,
) -> Closing {
    let (asks, question, choices) = match question {
        Question::Article(articles) => {
            let chance = |id: &ArticleId| {
                let found = advice.articles.iter().find(|(a, _)| a == id);
                found.map_or(0.0, |(_, chance)| *chance)
            };
            let choice = |id: &ArticleId| Choosable {
                id: id.to_string(),
                title: ground.catalog.articles.get(id).map_or_else(
                    || id.to_string(),
                    |a| format!("{} ({})", a.title, percent::chance(chance(id))),
                ),
            };
            let asked = "Which article was it? Say a number, `none` where no article covers it, or `not sure`.";
            (Asks::Article, asked, articles.iter().map(choice).collect())
        }
        Question::Follows(earlier) => {
            let ended = |outcome: Option<Outcome>| match outcome {
                Some(Outcome::Resolved) => "resolved",
                Some(Outcome::HandedOn) => "handed on",
                Some(Outcome::Dropped) => "dropped",
                None => "closed",
            };
            let choice = |one: &crate::call::closing::Earlier| Choosable {
                id: one.ticket.to_string(),
                title: format!(
                    "{} on {}: {}",
                    ended(one.outcome),
                    crate::evidence::cases::day(one.closed),
                    one.said
                ),
            };
            let asked = if earlier.len() == 1 {
                "This site rang before. Does this call continue that one? Say `yes` or `no`."
            } else {
                "This site rang before. Does this call continue one of these? Say a number, or `no`."
            };
            (Asks::Follows, asked, earlier.iter().map(choice).collect())
        }
    };
    Closing {
        outcome,
        asks,
        question: question.to_owned(),
        choices,
    }
}

/// How well a fix is proven, in words.
#[must_use]
pub fn proof(fix: &FixLine) -> String {
    match (fix.basis, fix.tries) {
        (Basis::Author, _) => "no cases yet, author's order".to_owned(),
        (Basis::Tickets, 0) => "never tried yet".to_owned(),
        (Basis::Tickets, 1) => format!("fixed {} of 1 try", fix.resolved),
        (Basis::Tickets, tries) => format!("fixed {} of {tries} tries", fix.resolved),
    }
}
