//! What the tickets say about how the articles are written: an order they refute, articles and
//! symptoms nobody needs, callers' words that stand nowhere, abbreviations for `words.toml`.
//!
//! Each piece of advice is a note like lint's own: it keeps nothing from being served. What is said
//! rests on the last twelve months; where the tickets do not reach back so far, nothing is said to be
//! unused. Callers' words are told only where tickets of three days and more use them.

mod abbreviations;
mod orders;
mod reach;
mod symptoms;
mod words;

use super::Material;
use crate::articles::Article;
use crate::articles::parse::Parsed;
use crate::articles::words_file;
use crate::base::ids::ArticleId;
use crate::base::problem::{Place, Problem};
use crate::evidence::keeping::{self, Said};
use crate::evidence::{Case, Evidence};
use crate::tickets::Ticket;

/// Days that are looked at.
const DAYS: f64 = 365.0;

/// Every rule with what it asks for, as [`crate::articles::lint::RULES`].
pub const RULES: &[(&str, &str)] = &[
    (
        "order-refuted",
        "the author's order is not the opposite of what tickets show",
    ),
    ("never-reached", "an article has cases"),
    (
        "symptom-unused",
        "callers use the words of an article's symptoms",
    ),
    (
        "callers-word",
        "words that callers use stand in an article or in words.toml",
    ),
    ("abbreviation", "words.toml knows the desk's abbreviations"),
];

/// Where in an article.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum At {
    /// Its head.
    Head,
    /// One of its symptoms, by number.
    Symptom(usize),
    /// The block whose heading stands in this line.
    Block(usize),
}

/// One piece of advice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advice {
    /// The rule's short name.
    pub rule: &'static str,
    /// The article and the place in it; none for `words.toml`.
    pub place: Option<(ArticleId, At)>,
    /// What was found, lower case, no full stop.
    pub message: String,
    /// What would put it right.
    pub help: String,
}

/// What every rule is made from.
struct Ground<'a> {
    from: &'a Material<'a>,
    evidence: &'a Evidence,
    /// What was said in each case, of `from.cases`: only words that may be told.
    said: Vec<Said>,
    /// Terms that the articles use.
    public: std::collections::HashSet<String>,
}

impl<'a> Ground<'a> {
    /// Cases of the last twelve months with what was said in them.
    fn lately(&self) -> impl Iterator<Item = (&'a Case, &Said)> {
        let cases = self.from.cases.iter().zip(&self.said);
        cases.filter(|(case, _)| case.age_days < DAYS)
    }

    /// Live articles that have fixes.
    fn articles(&self) -> impl Iterator<Item = &'a Article> {
        let all = self.from.catalog.articles.values();
        all.filter(|article| article.danger.is_none())
    }

    /// Whether the tickets reach back for all the time that is looked at.
    fn reaches_back(&self) -> bool {
        let oldest = self.from.cases.iter().map(|case| case.age_days);
        oldest.fold(0.0, f64::max) >= DAYS
    }
}

/// So many of the newest tickets are read for abbreviations.
pub const NEWEST: usize = abbreviations::MOST;

/// Everything that the tickets advise, by rule and article; `newest` are the [`NEWEST`] tickets.
#[must_use]
pub fn advice(from: &Material<'_>, newest: &[Ticket], evidence: &Evidence) -> Vec<Advice> {
    use crate::evidence::{layout::Layout, texts};
    let layout = Layout::new(from.catalog);
    let public = texts::public_terms(from.catalog, &layout, from.analyzer);
    let ground = Ground {
        said: keeping::said(from.cases, from.analyzer, &public),
        public,
        from,
        evidence,
    };
    let mut found = orders::advice(&ground);
    if ground.reaches_back() {
        found.extend(reach::advice(&ground));
        found.extend(symptoms::advice(&ground));
    }
    found.extend(words::advice(&ground));
    found.extend(abbreviations::advice(&ground, newest));
    found
}

/// Advice as a note of lint; `parsed` is the article's file, where the advice is about one.
#[must_use]
pub fn placed(advice: &Advice, parsed: Option<&Parsed>) -> Problem {
    let message = advice.message.clone();
    let problem = match (&advice.place, parsed) {
        (Some((_, at)), Some(parsed)) => {
            let spot = match at {
                At::Head => parsed.front.id.as_ref().map(|id| id.at.clone()),
                At::Symptom(number) => parsed.front.symptoms.get(*number).map(|s| s.at.clone()),
                At::Block(line) => parsed.block_at(*line).map(|block| block.heading.clone()),
            };
            parsed
                .source
                .note(advice.rule, spot.unwrap_or(0..0), message)
        }
        (Some((id, _)), None) => Problem::note(advice.rule, Place::file(id.as_str()), message),
        (None, _) => Problem::note(advice.rule, Place::file(words_file::FILE), message),
    };
    problem.help(advice.help.clone())
}

/// A part as whole percent.
fn percent(part: f64) -> String {
    format!("{:.0} %", 100.0 * part)
}
