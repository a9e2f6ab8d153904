//! What all acts of a case together say: a plain value that follows from the acts alone.

use super::acts::{Act, Choice};
use super::advice::{By, InHand};
use super::steps::Done;
use crate::articles::model::Before;
use crate::base::ids::{ArticleId, CheckId, FixId, TicketId};
use crate::evidence::question::{MOST_WORDS, Said};
use crate::tickets::{Outcome, TryResult};
use std::collections::{BTreeMap, BTreeSet};

/// Words of one line that are weighed at most, so that a long paste leaves room for others.
const MOST_OF_A_LINE: usize = 200;

/// A case at one moment.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct State {
    /// What the caller said, line by line.
    pub said: Vec<String>,
    /// The device.
    pub device: Option<String>,
    /// Its firmware.
    pub firmware: Option<String>,
    /// Codes shown, each once, in order.
    pub codes: Vec<String>,
    /// Indicators and their states, as last stated.
    pub signs: BTreeMap<String, String>,
    /// Who does the work.
    pub role: Option<String>,
    /// The id in the office's own system.
    pub reference: Option<String>,
    /// Digests that tell the site.
    pub sites: BTreeSet<String>,
    /// The agent's notes.
    pub notes: Vec<String>,
    /// Dangers that do not apply.
    pub not_danger: BTreeSet<ArticleId>,
    /// Dangers that somebody made sure of, or told anew after they had been denied.
    pub danger: BTreeSet<ArticleId>,
    /// Checks and their answers, as last stated.
    pub seen: BTreeMap<CheckId, String>,
    /// Checks that could not be done.
    pub skipped: BTreeSet<CheckId>,
    /// Fixes attempted, in order.
    pub tries: Vec<Tried>,
    /// The fix taken up and not yet told of.
    pub picked: Option<FixId>,
    /// How the case ends; none while it goes on.
    pub end: Option<Outcome>,
    /// Which article it was, once a person said.
    pub article: Option<Choice>,
    /// What it continues, once a person said.
    pub follows: Option<Option<TicketId>>,
}

/// A fix attempted.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// The fix; none for something that no article lists.
    pub fix: Option<FixId>,
    /// What came of it.
    pub result: TryResult,
    /// Minutes it took, where told.
    pub minutes: Option<f64>,
}

impl State {
    /// What these acts say, in their order.
    #[must_use]
    pub fn of<'a>(acts: impl IntoIterator<Item = &'a Act>) -> Self {
        let mut state = Self::default();
        for act in acts {
            state.take(act);
        }
        state
    }

    fn take(&mut self, act: &Act) {
        match act {
            Act::Say(words) => self.said.push(words.clone()),
            Act::Device(device) => self.device = Some(device.clone()),
            Act::Firmware(version) => self.firmware = Some(version.clone()),
            Act::Code(code) => {
                if !self.codes.contains(code) {
                    self.codes.push(code.clone());
                }
            }
            Act::Sign { lamp, state } => {
                self.signs.insert(lamp.clone(), state.clone());
            }
            Act::Role(role) => self.role = Some(role.clone()),
            Act::Reference(id) => self.reference = Some(id.clone()),
            Act::NoReference => self.reference = None,
            Act::Site(digest) => {
                self.sites.insert(digest.clone());
            }
            Act::Note(text) => self.notes.push(text.clone()),
            Act::NotDanger(article) => {
                self.danger.remove(article);
                self.not_danger.insert(article.clone());
            }
            Act::IsDanger(article) => {
                self.not_danger.remove(article);
                self.danger.insert(article.clone());
            }
            Act::Pick(fix) => self.picked = Some(fix.clone()),
            Act::Answer { check, answer } => {
                self.skipped.remove(check);
                self.seen.insert(check.clone(), answer.clone());
                self.picked = None;
            }
            Act::Skip(check) => {
                self.seen.remove(check);
                self.skipped.insert(check.clone());
                self.picked = None;
            }
            Act::Try {
                fix,
                result,
                minutes,
            } => self.attempt(fix.as_ref(), *result, *minutes),
            Act::End(outcome) => {
                self.end = Some(*outcome);
                self.picked = None;
            }
            Act::Article(choice) => self.article = Some(choice.clone()),
            Act::Follows(ticket) => self.follows = Some(ticket.clone()),
        }
    }

    fn attempt(&mut self, fix: Option<&FixId>, result: TryResult, minutes: Option<f64>) {
        self.tries.push(Tried {
            fix: fix.cloned(),
            result,
            minutes,
        });
        self.picked = None;
        if result == TryResult::Resolved {
            self.end = Some(Outcome::Resolved);
        }
    }

    /// The fix that ended the case.
    #[must_use]
    pub fn resolved_by(&self) -> Option<&FixId> {
        let last = self
            .tries
            .iter()
            .rfind(|t| t.result == TryResult::Resolved)?;
        last.fix.as_ref()
    }

    /// Whether there is nothing to go by yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.said.is_empty()
            && self.codes.is_empty()
            && self.signs.is_empty()
            && self.seen.is_empty()
            && self.danger.is_empty()
    }

    /// The caller's words as they are weighed: line after line. Of a long case the newest lines
    /// count first, and no line takes more than half of the [`MOST_WORDS`] that are read.
    #[must_use]
    pub fn words(&self) -> String {
        let mut room = MOST_WORDS;
        let mut kept = Vec::new();
        for line in self.said.iter().rev() {
            let words: Vec<&str> = line.split_whitespace().collect();
            let take = words.len().min(MOST_OF_A_LINE).min(room);
            if take == 0 {
                break;
            }
            room -= take;
            kept.push(if take == words.len() {
                line.clone()
            } else {
                words[..take].join(" ")
            });
        }
        kept.reverse();
        kept.join("\n")
    }

    /// The case as it is advised on, in the order of time.
    #[must_use]
    pub fn in_hand(&self) -> InHand {
        InHand {
            said: Said {
                words: self.words(),
                device: self.device.clone(),
                firmware: self.firmware.clone(),
                codes: self.codes.clone(),
                signs: self.signs.clone(),
                about: BTreeSet::new(),
            },
            done: self.done(),
            not_danger: self.not_danger.clone(),
            danger: self.danger.clone(),
            role: self.role.clone(),
            by: By::Time,
        }
    }

    /// What was tried and answered, and what cannot be.
    #[must_use]
    pub fn done(&self) -> Done {
        let with = |result: TryResult| {
            self.tries
                .iter()
                .filter(move |t| t.result == result)
                .filter_map(|t| t.fix.clone())
        };
        let tried: BTreeSet<FixId> = with(TryResult::NoChange).collect();
        let not_possible = with(TryResult::NotPossible)
            .filter(|fix| !tried.contains(fix))
            .map(Before::Fix)
            .chain(self.skipped.iter().cloned().map(Before::Check))
            .collect();
        Done {
            tried,
            seen: self.seen.clone(),
            not_possible,
        }
    }
}
