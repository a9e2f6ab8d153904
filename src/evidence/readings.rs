//! What tickets' own words say: their article by the equation and the notes, their tries by the
//! note reader.
//!
//! Three parts, as each needs the one before: [`learn_reader`] learns to read notes from tickets
//! whose tries are recorded; [`tries`] reads the tries of tickets whose article is recorded, and the
//! weights of the equation are learned with them; [`ArticleReader`] finds the article of tickets
//! that record none, and reads their tries. An article that was only read never teaches anything.
//!
//! The article: `ln P(a) = ln chance(a | said, shown) + τ · (ln P(notes | a) − ln P(notes | none))`
//! up to a constant, over the likeliest articles, those whose fixes the notes name, and `none`.
//! `chance` is the equation that answers questions, `P(notes | a)` the note reader's. `τ < 1`
//! because the words of a note hang together while the reader takes them one by one.

use super::Evidence;
use super::chance::chances;
use super::counted::InMemory;
use super::features::Sources;
use super::layout::Layout;
use super::learning::{Field, Model};
use super::names::Names;
use super::question::{Question, Said};
use super::texts::Texts;
use crate::articles::Catalog;
use crate::articles::model::Check;
use crate::base::ids::{FixId, TicketId};
use crate::base::spelling::Vocabulary;
use crate::base::text::Analyzer;
use crate::notes::known::{Known, KnownArticle, KnownFix};
use crate::notes::{Cut, Example, Found, MOST_EXAMPLES, ReadTry, Reader, Reading, learn, told};
use crate::tickets::record::{OTHER, UNLISTED};
use crate::tickets::{RawTicket, Ticket};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// `τ`. Chosen on tickets whose article was hidden, by trying 0.3 to 1.
const NOTES_COUNT: f64 = 0.5;
/// How many articles are weighed by a ticket's notes, and from which chance on.
const MOST_WEIGHED: usize = 12;
const WEIGHED_FROM: f64 = 0.001;
/// Articles and fixes of smaller chance add nothing to the tries.
const HEARD_FROM: f64 = 0.02;

/// What the note reader needs of the articles.
#[must_use]
pub fn known(catalog: &Catalog) -> Known {
    let fixes: Vec<KnownFix> = catalog
        .fixes
        .values()
        .map(|fix| KnownFix {
            id: fix.id.clone(),
            title: fix.title.clone(),
            kind: fix.kind.clone(),
            steps: fix
                .work
                .steps
                .iter()
                .chain(&fix.done_when)
                .cloned()
                .collect(),
        })
        .collect();
    let number = |id: &FixId| fixes.binary_search_by(|f| f.id.cmp(id)).ok();
    let told = |check: &Check| {
        let named = check.id.short().replace('-', " ");
        format!("{} {named} {}", check.question, check.answers.join(" "))
    };
    let fixes_of = |id| catalog.fixes_of.get(id).into_iter().flatten();
    let articles = catalog
        .articles
        .iter()
        .map(|(id, article)| {
            let checks = catalog.checks_of.get(id).into_iter().flatten();
            KnownArticle {
                id: id.clone(),
                fixes: fixes_of(id).filter_map(number).collect(),
                checks: checks
                    .filter_map(|check| Some(told(catalog.checks.get(check)?)))
                    .collect(),
                done: fixes_of(id)
                    .filter_map(|fix| catalog.fixes.get(fix)?.done_when.clone())
                    .collect(),
                symptoms: [&article.title]
                    .into_iter()
                    .chain(&article.symptoms)
                    .cloned()
                    .collect(),
            }
        })
        .collect();
    Known { articles, fixes }
}

/// Learns to read notes from the tickets that record both an article and tries, oldest first.
#[must_use]
pub fn learn_reader<'a>(
    tickets: impl IntoIterator<Item = &'a Ticket>,
    catalog: &Catalog,
    analyzer: &Analyzer,
) -> Reader {
    let mut lessons = Lessons::new(catalog);
    lessons.add(tickets);
    lessons.learn(analyzer)
}

/// What a reader of notes is learned from: the newest of all tickets that passed by, oldest first.
pub struct Lessons<'a> {
    known: Known,
    catalog: &'a Catalog,
    names: Names<'a>,
    examples: VecDeque<Example>,
    /// Notes whose tries nobody knows.
    others: VecDeque<String>,
}

impl<'a> Lessons<'a> {
    /// Nothing yet.
    #[must_use]
    pub fn new(catalog: &'a Catalog) -> Self {
        Self {
            known: known(catalog),
            catalog,
            names: Names::new(catalog),
            examples: VecDeque::new(),
            others: VecDeque::new(),
        }
    }

    /// Takes the next tickets.
    pub fn add<'t>(&mut self, tickets: impl IntoIterator<Item = &'t Ticket>) {
        for ticket in tickets {
            match example(ticket, &self.known, self.catalog, &mut self.names) {
                Some(example) => self.examples.push_back(example),
                None => self.others.extend(ticket.notes.clone()),
            }
            let older = self.examples.len().saturating_sub(MOST_EXAMPLES);
            self.examples.drain(..older);
            let older = self.others.len().saturating_sub(MOST_EXAMPLES);
            self.others.drain(..older);
        }
    }

    /// The reader.
    #[must_use]
    pub fn learn(mut self, analyzer: &Analyzer) -> Reader {
        let others: Vec<&str> = self.others.iter().map(String::as_str).collect();
        let examples = self.examples.make_contiguous();
        learn(&self.known, analyzer, examples, &others)
    }
}

fn example(
    ticket: &RawTicket,
    known: &Known,
    catalog: &Catalog,
    names: &mut Names<'_>,
) -> Option<Example> {
    let article = &catalog.article(ticket.article.as_ref()?)?.id;
    if ticket.tries.is_empty() {
        return None;
    }
    let mut number = |name: &str| known.fix(&names.listed(Some(article), name.trim())?);
    let tries = ticket.tries.iter();
    Some(Example {
        article: known.article(article)?,
        notes: ticket.notes.clone().unwrap_or_default(),
        tries: tries.map(|t| (number(&t.fix), t.result)).collect(),
    })
}

/// Whether there is anything to read: no article, or notes and no tries.
#[must_use]
pub fn readable(ticket: &RawTicket) -> bool {
    ticket.article.is_none() || (ticket.tries.is_empty() && has_notes(ticket))
}

/// Whether reading needs the equation.
#[must_use]
pub fn needs_article(ticket: &RawTicket) -> bool {
    ticket.article.is_none()
}

fn has_notes(ticket: &RawTicket) -> bool {
    ticket.notes.as_ref().is_some_and(|n| !n.trim().is_empty())
}

/// Reads the tries of a ticket whose article is recorded. Without notes, or where its article is
/// `unlisted` or no longer served, there is nothing to find.
#[must_use]
pub fn tries(
    ticket: &RawTicket,
    catalog: &Catalog,
    reader: &Reader,
    analyzer: &Analyzer,
) -> Reading {
    let recorded = ticket.article.as_ref().filter(|a| a.as_str() != UNLISTED);
    let article = recorded
        .and_then(|id| catalog.article(id))
        .and_then(|article| reader.known.article(&article.id));
    let (Some(article), true, true) = (article, ticket.tries.is_empty(), has_notes(ticket)) else {
        return Reading::default();
    };
    let cut = reader.cut(ticket.notes.as_deref().unwrap_or_default(), analyzer);
    let weighed = reader.weigh(&cut, Some(article), ticket.outcome);
    Reading {
        article: None,
        tries: read_tries(&weighed.found, ticket, reader),
    }
}

fn read_tries(found: &[Found], ticket: &RawTicket, reader: &Reader) -> Vec<ReadTry> {
    told(found, ticket.outcome)
        .into_iter()
        .map(|(fix, result, chance)| ReadTry {
            fix: fix.map_or_else(
                || FixId::new(OTHER),
                |fix| reader.known.fixes[fix].id.clone(),
            ),
            result,
            chance,
        })
        .collect()
}

/// Finds the article of tickets that record none.
#[derive(Debug)]
pub struct ArticleReader<'a> {
    reader: &'a Reader,
    field: Field<'a>,
    model: &'a Model,
    evidence: Evidence,
    counts: InMemory,
    words: Vocabulary,
}

impl<'a> ArticleReader<'a> {
    /// From what callers said in the cases that people recorded up to a day, and what these cases say;
    /// inferred articles must not be among them.
    #[must_use]
    pub fn new(
        said: &dyn Texts,
        evidence: Evidence,
        field: Field<'a>,
        model: &'a Model,
        reader: &'a Reader,
    ) -> Self {
        let counts = InMemory::of(said, field.layout);
        Self {
            reader,
            field,
            model,
            evidence,
            words: counts.vocabulary(),
            counts,
        }
    }

    fn layout(&self) -> &Layout {
        self.field.layout
    }

    /// The likeliest article of a ticket, and the tries its notes tell.
    #[must_use]
    pub fn read(&self, ticket: &RawTicket) -> Reading {
        let notes = ticket.notes.as_deref().unwrap_or_default();
        let cut = self.reader.cut(notes, self.field.analyzer);
        let (asked, unlisted) = self.asked(ticket);
        let none = self.reader.weigh(&cut, None, ticket.outcome).log;
        let mut weighed: Vec<(usize, f64, Vec<Found>)> = self
            .candidates(&asked, &cut)
            .into_iter()
            .map(|article| {
                let weighed = self.reader.weigh(&cut, Some(article), ticket.outcome);
                let log = asked[article].ln() + NOTES_COUNT * (weighed.log - none);
                (article, log, weighed.found)
            })
            .collect();
        let most = weighed.iter().map(|w| w.1).fold(unlisted.ln(), f64::max);
        let sum: f64 =
            weighed.iter().map(|w| (w.1 - most).exp()).sum::<f64>() + (unlisted.ln() - most).exp();
        for (_, log, _) in &mut weighed {
            *log = (*log - most).exp() / sum;
        }
        let Some(best) = weighed
            .iter()
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)))
        else {
            return Reading::default();
        };
        let article = self.layout().articles[best.0].clone();
        let tries = if ticket.tries.is_empty() {
            read_tries(&joined(&weighed), ticket, self.reader)
        } else {
            Vec::new()
        };
        Reading {
            article: Some((article, best.1)),
            tries,
        }
    }

    /// The chance of each article by the caller's words and what was shown, and of none.
    fn asked(&self, ticket: &RawTicket) -> (Vec<f64>, f64) {
        let said = ticket.said.as_deref().filter(|s| !s.trim().is_empty());
        let words = said.or(ticket.notes.as_deref()).unwrap_or_default();
        let said = Said {
            words: words.to_owned(),
            device: ticket.device.clone(),
            firmware: ticket.firmware.clone(),
            codes: ticket.codes.clone(),
            signs: ticket.signs.clone(),
            about: BTreeSet::new(),
        };
        let question = Question::new(said, self.field.catalog, self.field.analyzer, &self.words);
        let sources = Sources {
            catalog: self.field.catalog,
            layout: self.layout(),
            evidence: &self.evidence,
            candidates: &self.counts,
            words: &self.model.words,
        };
        let mut asked = vec![f64::MIN_POSITIVE; self.layout().articles.len()];
        // Counts in memory cannot fail to be read.
        let Ok(chances) = chances(&question, sources, &self.model.weights) else {
            return (asked, 1.0);
        };
        for (pair, chance) in chances.pairs.iter().zip(&chances.chance) {
            asked[self.layout().pairs[*pair].article] += chance;
        }
        (asked, chances.unlisted.max(f64::MIN_POSITIVE))
    }

    fn candidates(&self, asked: &[f64], cut: &Cut) -> BTreeSet<usize> {
        let mut by_chance: Vec<usize> = (0..asked.len())
            .filter(|article| asked[*article] >= WEIGHED_FROM)
            .collect();
        by_chance.sort_by(|a, b| asked[*b].total_cmp(&asked[*a]).then(a.cmp(b)));
        by_chance.truncate(MOST_WEIGHED);
        let named = self.reader.near_articles(cut);
        by_chance.into_iter().chain(named).collect()
    }
}

/// The tries over all articles, each by its chance.
fn joined(weighed: &[(usize, f64, Vec<Found>)]) -> Vec<Found> {
    let mut sums: BTreeMap<Option<usize>, Found> = BTreeMap::new();
    for (_, chance, found) in weighed.iter().filter(|w| w.1 >= HEARD_FROM) {
        for one in found {
            let sum = sums.entry(one.fix).or_insert_with(|| Found {
                fix: one.fix,
                results: [0.0; 3],
                place: one.place,
            });
            for (sum, result) in sum.results.iter_mut().zip(one.results) {
                *sum += chance * result;
            }
        }
    }
    sums.into_values().collect()
}

/// Reads the tries of all tickets that record an article, by ticket; those that tell none are left
/// out. Learns from nothing but these tickets.
#[must_use]
pub fn tries_alone(
    tickets: &[&Ticket],
    catalog: &Catalog,
    analyzer: &Analyzer,
) -> BTreeMap<TicketId, Reading> {
    let reader = learn_reader(tickets.iter().copied(), catalog, analyzer);
    tickets
        .par_iter()
        .filter(|ticket| !needs_article(ticket))
        .map(|ticket| (ticket.id.clone(), tries(ticket, catalog, &reader, analyzer)))
        .filter(|(_, reading)| !reading.is_empty())
        .collect()
}
