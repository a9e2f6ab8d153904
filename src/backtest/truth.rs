//! What a case turned out to be, as people recorded it, and what was known when it came in.

use crate::base::ids::{ArticleId, FixId, TicketId};
use crate::evidence::cases::day;
use crate::evidence::question::Said;
use crate::evidence::{Case, End};
use crate::tickets::RawTicket;
use jiff::civil::Date;
use std::collections::HashMap;

/// What a case turned out to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Truth {
    /// A listed fix ended it. These cases are scored.
    Fix(ArticleId, FixId),
    /// Something its article does not list ended it.
    Other(ArticleId),
    /// A person found no article that covers it.
    Unlisted,
}

impl Truth {
    /// From a case without readings, so that everything in it was recorded by a person. None where
    /// the end is not known.
    #[must_use]
    pub fn of(case: &Case) -> Option<Self> {
        if case.unlisted {
            return Some(Self::Unlisted);
        }
        let article = case.article.clone()?;
        match &case.end {
            End::Fix(fix) => Some(Self::Fix(article, fix.clone())),
            End::Other => Some(Self::Other(article)),
            End::Unresolved | End::Unknown => None,
        }
    }
}

/// One case to answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Exam {
    /// The case.
    pub case: TicketId,
    /// The closing day of its first ticket: on this day it was asked.
    pub day: Date,
    /// What was said and shown then.
    pub said: Said,
    /// What it turned out to be.
    pub truth: Truth,
}

impl Exam {
    /// What the first ticket says that a desk knows before it does anything: words, device, firmware,
    /// codes, signs. Not its notes, which tell the end, and not the answers to checks.
    #[must_use]
    pub fn of(case: &Case, tickets: &HashMap<&TicketId, &RawTicket>) -> Option<Self> {
        let first = tickets.get(case.first_ticket())?;
        Some(Self {
            case: case.id.clone(),
            day: day(first.closed),
            said: Said {
                words: first.said.clone().unwrap_or_default(),
                device: first.device.clone(),
                firmware: first.firmware.clone(),
                codes: first.codes.clone(),
                signs: first.signs.clone(),
                ..Said::default()
            },
            truth: Truth::of(case)?,
        })
    }
}
