//! From a line as typed to what it means for the case: facts and words refine it, a number takes up
//! a fix, a bare answer answers the check at hand, a few plain phrases say what came of a try.
//!
//! Only a whole line is a phrase, so a caller's sentence is never mistaken for one; what is read
//! wrongly is seen at once in the next state and taken back with one word.

mod answers;
mod dangers;
mod hand;
mod parts;
mod verbs;

pub(super) use hand::first_before;
pub use hand::{AtHand, at_hand};
pub use parts::unknown_names;
pub use verbs::HELP;

use super::acts::{Act, Choice};
use super::advice::{Advice, RankedFix};
use super::belief::Ground;
use super::closing::Question;
use super::lexicon::Lexicon;
use super::state::State;
use crate::articles::model::Before;
use crate::base::text::split;
use crate::tickets::{Outcome, Scrubber, TryResult};
use dangers::danger_first;
use verbs::Verb;

/// What a line is understood against.
#[derive(Clone, Copy)]
pub struct Context<'a> {
    /// The knowledge base's names.
    pub lexicon: &'a Lexicon,
    /// Articles and evidence.
    pub ground: Ground<'a>,
    /// Takes personal data out of every line.
    pub scrubber: &'a Scrubber,
    /// What was advised last.
    pub advice: &'a Advice,
    /// What was asked last of a case that ends.
    pub question: Option<&'a Question>,
    /// Turns what tells a site into a digest.
    pub digest: &'a dyn Fn(&str) -> String,
}

/// What a line means.
#[derive(Clone, Debug, PartialEq)]
pub enum Understood {
    /// It does something to the case.
    Acts {
        /// The line without personal data.
        text: String,
        /// At least one.
        acts: Vec<Act>,
    },
    /// It asks for something and changes nothing in the case.
    Asks(Request),
    /// It cannot be done; why, and what to say instead.
    Unclear(String),
}

/// What a line may ask for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Request {
    /// What can be said.
    Help,
    /// All fixes.
    More,
    /// The same again.
    Again,
    /// The last line back.
    Undo,
    /// The case closed where all is said.
    Close,
    /// Another case; this one stays open.
    Next,
    /// The end; the case stays open.
    Leave,
    /// An open case, by id or by its place in the list offered.
    GoOn(Option<String>),
    /// A closed case open again, by id.
    TakeBack(String),
    /// A remark on what is at hand.
    Remark(String),
}

/// Understands one line; blank ones are not for it.
#[must_use]
pub fn understand(line: &str, state: &State, context: &Context<'_>) -> Understood {
    let line = line.trim();
    if let Some(understood) = parts::opened_by_a_word(line, context) {
        return understood;
    }
    let reader = Reader { state, context };
    let mut words = split(line);
    let minutes = if state.end.is_none() {
        verbs::minutes(&mut words)
    } else {
        None
    };
    let understood = reader
        .asked(line, &words)
        .or_else(|| reader.phrase(&words, minutes));
    let understood = understood
        .or_else(|| reader.pick(line, &words))
        .or_else(|| reader.courtesy(&words));
    match understood {
        Some(Meant::Acts(acts)) => Understood::Acts {
            text: context.scrubber.text(line),
            acts,
        },
        Some(Meant::Asks(request)) => Understood::Asks(request),
        Some(Meant::Unclear(why)) => Understood::Unclear(why),
        None if state.end.is_some() => Understood::Unclear(how_to_end(context.question)),
        None => reader
            .could_not_because(line)
            .unwrap_or_else(|| parts::facts_and_words(line, state, context)),
    }
}

fn how_to_end(question: Option<&Question>) -> String {
    match question {
        Some(Question::Article(choices)) => format!(
            "this case is about to end: say which article it was (1 to {}), `none`, `not sure`, or `undo`",
            choices.len()
        ),
        Some(Question::Follows(_)) => {
            "this case is about to end: say `yes` or a number, `no`, or `undo`".to_owned()
        }
        None => "this case is about to end: say `close` or `undo`".to_owned(),
    }
}

enum Meant {
    Acts(Vec<Act>),
    Asks(Request),
    Unclear(String),
}

struct Reader<'a> {
    state: &'a State,
    context: &'a Context<'a>,
}

impl Reader<'_> {
    /// An answer to what the case is asked: a closing question, or the check at hand.
    fn asked(&self, line: &str, words: &[String]) -> Option<Meant> {
        let bare = words.join(" ");
        let number = verbs::number(words).and_then(|n| n.checked_sub(1));
        match self.context.question {
            Some(Question::Article(choices)) => {
                let named = choices.iter().find(|article| article.as_str() == line);
                let numbered = number.and_then(|n| choices.get(n));
                let choice = match (named.or(numbered), bare.as_str()) {
                    (Some(article), _) => Choice::Article(article.clone()),
                    (None, "none" | "none of these" | "no article" | "unlisted") => {
                        Choice::Unlisted
                    }
                    (None, "not sure" | "unsure" | "dont know" | "don t know") => Choice::NotSure,
                    _ => return None,
                };
                Some(Meant::Acts(vec![Act::Article(choice)]))
            }
            Some(Question::Follows(earlier)) => {
                let yes = ["yes", "y", "ja", "si"].contains(&bare.as_str()) && earlier.len() == 1;
                let no = ["no", "n", "none", "nein"].contains(&bare.as_str());
                let named = earlier.iter().find(|one| one.ticket.as_str() == line);
                let found = if yes {
                    earlier.first()
                } else {
                    named.or_else(|| number.and_then(|n| earlier.get(n)))
                };
                match found {
                    Some(one) => Some(Meant::Acts(vec![Act::Follows(Some(one.ticket.clone()))])),
                    None if no => Some(Meant::Acts(vec![Act::Follows(None)])),
                    None => None,
                }
            }
            None => {
                let AtHand::Check(check) = self.at_hand() else {
                    return None;
                };
                let known = self.context.ground.catalog.checks.get(&check)?;
                let answer = answers::exact(known, words)?;
                Some(Meant::Acts(vec![Act::Answer { check, answer }]))
            }
        }
    }

    fn at_hand(&self) -> AtHand {
        at_hand(self.state, self.context.advice, self.context.ground)
    }

    fn phrase(&self, words: &[String], minutes: Option<f64>) -> Option<Meant> {
        if let Some(danger) = self.no_danger(words).or_else(|| self.is_danger(words)) {
            return Some(danger);
        }
        let (verb, number) = match verbs::verb(&words.join(" ")) {
            Some(verb) => (verb, None),
            None => {
                let (verb, number) = verbs::verb_with_number(words)?;
                (verb, Some(number))
            }
        };
        let asks = |request| Some(Meant::Asks(request));
        match verb {
            Verb::Help => asks(Request::Help),
            Verb::More => asks(Request::More),
            Verb::Again => asks(Request::Again),
            Verb::Undo => asks(Request::Undo),
            Verb::Next => asks(Request::Next),
            Verb::Leave => asks(Request::Leave),
            Verb::Close => asks(Request::Close),
            _ if self.state.end.is_some() => None,
            Verb::HandOn => Some(Meant::Acts(vec![Act::End(Outcome::HandedOn)])),
            Verb::Drop => Some(Meant::Acts(vec![Act::End(Outcome::Dropped)])),
            Verb::NoDanger => Some(Meant::Unclear(
                "no danger was found in this case".to_owned(),
            )),
            _ if !self.context.advice.stops.is_empty() => Some(danger_first()),
            Verb::FixedElse => Some(Meant::Acts(vec![Act::Try {
                fix: None,
                result: TryResult::Resolved,
                minutes,
            }])),
            Verb::NoChange => Some(self.tried(TryResult::NoChange, number, minutes)),
            Verb::Fixed => Some(self.tried(TryResult::Resolved, number, minutes)),
            Verb::CouldNot => Some(self.could_not(number)),
        }
    }

    fn could_not(&self, number: Option<usize>) -> Meant {
        match (self.at_hand(), number) {
            (AtHand::Check(check), None) => Meant::Acts(vec![Act::Skip(check)]),
            _ => self.tried(TryResult::NotPossible, number, None),
        }
    }

    fn tried(&self, result: TryResult, number: Option<usize>, minutes: Option<f64>) -> Meant {
        let fix = match (number, self.at_hand()) {
            (Some(number), _) => match self.listed(number) {
                Ok(ranked) => ranked.fix.clone(),
                Err(unclear) => return unclear,
            },
            (None, AtHand::Fix(fix)) => fix,
            (None, _) => {
                let example = match result {
                    TryResult::Resolved => "`fixed 2`, or `something else fixed it`",
                    TryResult::NoChange => "`no change 2`",
                    TryResult::NotPossible => "`could not 2`",
                };
                let why = format!("no fix is at hand: say which one, such as {example}");
                return Meant::Unclear(why);
            }
        };
        Meant::Acts(vec![Act::Try {
            fix: Some(fix),
            result,
            minutes,
        }])
    }

    /// "could not, …": what is at hand cannot be done, and what stands behind it is what was said.
    fn could_not_because(&self, line: &str) -> Option<Understood> {
        let (beginning, rest) = line.split_once([',', ';'])?;
        if verbs::verb(&split(beginning).join(" ")) != Some(Verb::CouldNot) {
            return None;
        }
        let Meant::Acts(mut acts) = self.could_not(None) else {
            return None;
        };
        match parts::facts_and_words(rest.trim(), self.state, self.context) {
            Understood::Acts { acts: told, .. } => {
                acts.extend(told);
                let text = self.context.scrubber.text(line);
                Some(Understood::Acts { text, acts })
            }
            _ => None,
        }
    }

    fn listed(&self, number: usize) -> Result<&RankedFix, Meant> {
        let fixes = &self.context.advice.fixes;
        let found = number.checked_sub(1).and_then(|n| fixes.get(n));
        found.ok_or_else(|| {
            Meant::Unclear(match fixes.len() {
                0 => "no fix is listed yet: say more".to_owned(),
                n => format!("there is no fix {number}: they go from 1 to {n}"),
            })
        })
    }

    fn courtesy(&self, words: &[String]) -> Option<Meant> {
        let idle = self.state.end.is_none() && verbs::is_courtesy(&words.join(" "));
        idle.then(|| {
            Meant::Unclear(
                "that tells nothing of the case; `said: …` if the caller means it".into(),
            )
        })
    }

    /// A number, or the full id of a fix.
    fn pick(&self, line: &str, words: &[String]) -> Option<Meant> {
        if self.state.end.is_some() {
            return None;
        }
        let fixes = &self.context.advice.fixes;
        let named = |ranked: &&RankedFix| ranked.fix.as_str() == line;
        let ranked = match (verbs::number(words), fixes.iter().find(named)) {
            _ if !self.context.advice.stops.is_empty() && verbs::number(words).is_some() => {
                return Some(danger_first());
            }
            (_, Some(ranked)) => ranked,
            (Some(number), None) => match self.listed(number) {
                Ok(ranked) => ranked,
                Err(unclear) => return Some(unclear),
            },
            (None, None) => return self.begun_answer(words),
        };
        Some(self.take_up(ranked))
    }

    fn take_up(&self, ranked: &RankedFix) -> Meant {
        if ranked.allowed {
            return Meant::Acts(vec![Act::Pick(ranked.fix.clone())]);
        }
        let catalog = self.context.ground.catalog;
        let fix = &catalog.fixes[&ranked.fix];
        let possible = self.state.done().not_possible;
        Meant::Unclear(if possible.contains(&Before::Fix(ranked.fix.clone())) {
            format!(
                "\"{}\" could not be done before: `undo`, or hand on",
                fix.title
            )
        } else {
            format!(
                "\"{}\" is work for: {}. It is not for this call; say `hand on`, or who is there: `for {}`",
                fix.title, fix.work.who, fix.work.who
            )
        })
    }

    /// The only answer of the check at hand that begins so; or an answer to nothing.
    fn begun_answer(&self, words: &[String]) -> Option<Meant> {
        if let AtHand::Check(check) = self.at_hand() {
            let known = self.context.ground.catalog.checks.get(&check)?;
            let answer = answers::begun(known, words)?;
            return Some(Meant::Acts(vec![Act::Answer { check, answer }]));
        }
        answers::is_bare(&words.join(" ")).then(|| {
            Meant::Unclear("no check was asked just now; name it, such as `trips-empty yes`".into())
        })
    }
}
