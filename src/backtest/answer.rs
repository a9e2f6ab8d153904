//! One case answered from the past, as `ask` and `call` would have, and by each rival.
//!
//! First the offer, from what was said alone; then how it stands to what the case turned out to be.

use super::measure::Forecast;
use super::past::Past;
use super::rivals::{self, Rival};
use super::truth::{Exam, Truth};
use crate::base::ids::{ArticleId, FixId, TicketId};
use crate::call::{Advice, By, Ground, InHand, advise_fixes};
use crate::evidence::chance::{Chances, of_table};
use crate::evidence::counted::CountsError;
use crate::evidence::danger::Alarms;
use crate::evidence::features::{Table, table};
use crate::evidence::question::{Question, Said};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// What was answered.
#[derive(Clone, Debug, PartialEq)]
pub struct Answered {
    /// The case.
    pub case: TicketId,
    /// The day it was asked.
    pub day: Date,
    /// The likeliest alternative ("none of the listed" of each article and `unlisted` among them), and
    /// whether it was the one.
    pub top: Forecast,
    /// The chance that no listed fix ends it, and whether none did.
    pub none_listed: Forecast,
    /// How the fixes stood; none where no listed fix ended the case.
    pub scored: Option<Scored>,
}

/// How the fixes stood in a case that a listed fix ended.
#[derive(Clone, Debug, PartialEq)]
pub struct Scored {
    /// A danger stopped the answer: no fix was offered.
    pub stopped: bool,
    /// How ours did.
    pub ours: Standing,
    /// The chance that was given to the fix that ended it.
    pub chance: f64,
    /// The first fix: its chance among listed fixes, and whether it was the one. None where none was
    /// offered.
    pub first: Option<Forecast>,
    /// How the rivals did, in the order of [`Rival::ALL`].
    pub rivals: Vec<Standing>,
}

/// How one way of answering did in one case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// The place of the fix that ended the case in the order of chance, from 1; none where absent.
    pub rank: Option<usize>,
    /// Minutes of the fixes in the order of time up to that fix; up to the stop and the minutes of
    /// handing on where it lies beyond.
    pub minutes: f64,
}

/// What is offered in a case while its end is open.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// As `ask` answers.
    pub list: Advice,
    /// As `call` answers.
    pub call: Advice,
    table: Table,
    in_hand: InHand,
}

impl Past<'_> {
    /// The minutes a fix takes, as known.
    #[must_use]
    pub fn minutes(&self, fix: &FixId) -> f64 {
        self.evidence.fixes.get(fix).map_or(0.0, |f| f.minutes)
    }

    fn ground(&self) -> Ground<'_> {
        Ground {
            catalog: self.field.catalog,
            layout: self.field.layout,
            evidence: &self.evidence,
        }
    }

    /// Answers what was said and shown; how the case ended is not asked.
    ///
    /// # Errors
    /// Where counts cannot be read.
    pub fn offer(&self, said: &Said) -> Result<Offer, CountsError> {
        let field = self.field;
        let question = Question::new(said.clone(), field.catalog, field.analyzer, &self.known);
        let alarms = self
            .stop_words
            .find(&said.words, field.analyzer, &self.known);
        let table = table(&question, self.sources())?;
        let chances = of_table(table.clone(), &self.model.weights, self.evidence.unlisted);
        let in_hand = InHand {
            said: question.said,
            ..InHand::default()
        };
        Ok(Offer {
            list: self.advise(&in_hand, By::Chance, &chances, &alarms),
            call: self.advise(&in_hand, By::Time, &chances, &alarms),
            table,
            in_hand,
        })
    }

    /// Answers a case and looks up how it ended.
    ///
    /// # Errors
    /// Where counts cannot be read.
    pub fn answer(&self, exam: &Exam) -> Result<Answered, CountsError> {
        let offer = self.offer(&exam.said)?;
        let believed = Believed::of(&offer.list, self);
        let scored = match &exam.truth {
            Truth::Fix(article, fix) => Some(Scored {
                stopped: !offer.list.stops.is_empty(),
                ours: self.of_advice(&offer.list, &offer.call, fix),
                chance: believed.of_fix(fix, self),
                first: offer.list.fixes.first().map(|first| Forecast {
                    chance: (first.chance.share / believed.listed).min(1.0),
                    happened: first.fix == *fix,
                }),
                rivals: self.rivals(exam, &offer, article, fix),
            }),
            Truth::Other(_) | Truth::Unlisted => None,
        };
        Ok(Answered {
            case: exam.case.clone(),
            day: exam.day,
            top: believed.top(&exam.truth, self),
            none_listed: Forecast {
                chance: 1.0 - believed.listed,
                happened: scored.is_none(),
            },
            scored,
        })
    }

    fn rivals(
        &self,
        exam: &Exam,
        offer: &Offer,
        article: &ArticleId,
        truth: &FixId,
    ) -> Vec<Standing> {
        let of_rival = |rival: Rival| match rival {
            Rival::OwnWords => {
                let chances = rivals::own_words(&offer.table, self.field.layout);
                self.unstopped(&offer.in_hand, &chances, truth)
            }
            Rival::Frequency => {
                let chances = rivals::frequency(exam, self);
                self.unstopped(&offer.in_hand, &chances, truth)
            }
            Rival::DeskOrder => {
                let heard = self.likeliest_article(&offer.list);
                self.in_desk_order(heard.unwrap_or(article), exam, truth)
            }
            Rival::DeskTold => self.in_desk_order(article, exam, truth),
        };
        Rival::ALL.map(of_rival).to_vec()
    }

    fn in_desk_order(&self, article: &ArticleId, exam: &Exam, truth: &FixId) -> Standing {
        let (order, stop) = rivals::desk_order(article, exam, self);
        self.standing(&order, (&order, stop), truth)
    }

    /// The article with the largest chance, dangers left out; ties in order of ids.
    fn likeliest_article(&self, advice: &Advice) -> Option<&ArticleId> {
        let field = self.field;
        let ids = advice
            .belief
            .by_article(field.layout)
            .into_iter()
            .map(|(number, chance)| (&field.layout.articles[number], chance))
            .filter(|(id, _)| field.catalog.articles[*id].danger.is_none());
        let best = ids.reduce(|best, next| if next.1 > best.1 { next } else { best });
        best.map(|(id, _)| id)
    }

    fn advise(&self, case: &InHand, by: By, chances: &Chances, alarms: &Alarms) -> Advice {
        let case = InHand { by, ..case.clone() };
        advise_fixes(&case, chances, alarms, self.field.settings, self.ground())
    }

    /// How a rival with these chances does; no danger stops it.
    fn unstopped(&self, case: &InHand, chances: &Chances, truth: &FixId) -> Standing {
        let dangers: BTreeSet<ArticleId> =
            self.field.catalog.dangers().map(|a| a.id.clone()).collect();
        let case = InHand {
            not_danger: dangers,
            ..case.clone()
        };
        let list = self.advise(&case, By::Chance, chances, &Alarms::default());
        let call = self.advise(&case, By::Time, chances, &Alarms::default());
        self.of_advice(&list, &call, truth)
    }

    fn of_advice(&self, list: &Advice, call: &Advice, truth: &FixId) -> Standing {
        let fixes = |advice: &Advice| -> Vec<FixId> {
            advice.fixes.iter().map(|f| f.fix.clone()).collect()
        };
        let stop = call.stop.map_or(0, |stop| stop.after);
        self.standing(&fixes(list), (&fixes(call), stop), truth)
    }

    fn standing(&self, list: &[FixId], call: (&[FixId], usize), truth: &FixId) -> Standing {
        let (order, stop) = call;
        let place = order.iter().position(|fix| fix == truth);
        let (done, hand_on) = match place.filter(|at| *at < stop) {
            Some(at) => (&order[..=at], 0.0),
            None => (
                &order[..stop.min(order.len())],
                self.field.settings.hand_on_minutes,
            ),
        };
        Standing {
            rank: list.iter().position(|fix| fix == truth).map(|at| at + 1),
            minutes: done.iter().map(|fix| self.minutes(fix)).sum::<f64>() + hand_on,
        }
    }
}

/// The chances of all alternatives, put together.
struct Believed {
    /// By fix number.
    fixes: BTreeMap<usize, f64>,
    /// "None of the listed", by article number.
    others: BTreeMap<usize, f64>,
    unlisted: f64,
    /// The chance that a listed fix ends the case.
    listed: f64,
}

impl Believed {
    fn of(advice: &Advice, past: &Past<'_>) -> Self {
        let layout = past.field.layout;
        let belief = &advice.belief;
        let others: BTreeMap<usize, f64> = belief
            .pairs
            .iter()
            .zip(&belief.chance)
            .filter(|(pair, _)| layout.pairs[**pair].fix.is_none())
            .map(|(pair, chance)| (layout.pairs[*pair].article, *chance))
            .collect();
        let none: f64 = others.values().sum::<f64>() + belief.unlisted;
        Self {
            fixes: belief.by_fix(layout),
            others,
            unlisted: belief.unlisted,
            listed: (1.0 - none).clamp(f64::MIN_POSITIVE, 1.0),
        }
    }

    fn of_fix(&self, fix: &FixId, past: &Past<'_>) -> f64 {
        let number = past.field.layout.fix(fix);
        number
            .and_then(|number| self.fixes.get(&number))
            .copied()
            .unwrap_or(0.0)
    }

    /// The likeliest alternative, and whether it was the one.
    fn top(&self, truth: &Truth, past: &Past<'_>) -> Forecast {
        let layout = past.field.layout;
        let fixes = self.fixes.iter().map(|(number, chance)| {
            let right = matches!(truth, Truth::Fix(_, fix) if *fix == layout.fixes[*number]);
            (*chance, right)
        });
        let others = self.others.iter().map(|(number, chance)| {
            let right = matches!(truth, Truth::Other(id) if *id == layout.articles[*number]);
            (*chance, right)
        });
        let unlisted = (self.unlisted, *truth == Truth::Unlisted);
        let mut best = unlisted;
        for found in fixes.chain(others) {
            if found.0 > best.0 {
                best = found;
            }
        }
        Forecast {
            chance: best.0,
            happened: best.1,
        }
    }
}
