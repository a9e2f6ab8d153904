//! Draft articles from tickets that say the same.
//!
//! A word stands in a draft only where tickets of three days and more use it: what the scrubber missed
//! is a name or a number that hardly anybody else uses.

use crate::base::common::is_common;
use crate::base::text::{Analyzer, fold};
use crate::curate::clusters::{Cluster, Text, clusters, distinctive_in};
use crate::evidence::cases::day;
use crate::tickets::Ticket;
use crate::tickets::care::FORGOTTEN;
use crate::tickets::scrub::{placeholders, without_placeholders};
use crate::view::numbers::counted;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet, HashMap};

const DRAFT: &str = include_str!("draft.md");

/// At most so many drafts: more are not read.
const MOST: usize = 12;

/// Fewer tickets are no reason for an article.
const LEAST: f64 = 5.0;

/// Words that name a draft, and words that describe it.
const NAMED_BY: usize = 3;
const DESCRIBED_BY: usize = 8;

/// How many callers' sentences a draft quotes.
const SYMPTOMS: usize = 3;

/// A word must be used on so many days.
const DAYS: usize = 3;

/// A draft.
#[derive(Debug)]
pub(super) struct Draft {
    /// The article's id.
    pub(super) id: String,
    /// Its file.
    pub(super) text: String,
    /// How many tickets of the sample it is drawn from.
    pub(super) tickets: u64,
}

/// Drafts for the largest groups of tickets.
pub(super) fn of(tickets: &[Ticket]) -> Vec<Draft> {
    let analyzer = Analyzer::default();
    let mut words = Words::default();
    let said: Vec<Vec<String>> = tickets
        .iter()
        .map(|t| {
            words.of(
                &analyzer,
                t.said.as_ref().or(t.notes.as_ref()),
                day(t.closed),
            )
        })
        .collect();
    let mut noted = Words::default();
    let notes: Vec<Vec<String>> = tickets
        .iter()
        .map(|t| {
            let notes = t.notes.as_ref().filter(|_| t.said.is_some());
            noted.of(&analyzer, notes, day(t.closed))
        })
        .collect();
    // The same words are one text of more weight.
    let mut distinct: BTreeMap<Vec<String>, Vec<usize>> = BTreeMap::new();
    for (at, terms) in said.into_iter().enumerate() {
        let public = words.public(terms);
        if !public.is_empty() {
            distinct.entry(public).or_default().push(at);
        }
    }
    let texts: Vec<Text> = distinct
        .iter()
        .map(|(terms, at)| Text {
            terms: terms.clone(),
            weight: at.len() as f64,
        })
        .collect();
    let members: Vec<&Vec<usize>> = distinct.values().collect();
    let notes: Vec<Text> = notes
        .into_iter()
        .map(|terms| Text {
            terms: noted.public(terms),
            weight: 1.0,
        })
        .collect();
    let mut taken = BTreeSet::from(["no-sign-of-life".to_owned()]);
    let all = texts.iter().map(|text| text.weight).sum::<f64>();
    clusters(&texts, LEAST, DESCRIBED_BY)
        .iter()
        .take(MOST)
        .filter_map(|cluster| {
            let tickets_in: Vec<usize> = cluster
                .texts
                .iter()
                .flat_map(|text| members[*text].iter().copied())
                .collect();
            let noted_words = distinctive_in(&notes, &tickets_in, DESCRIBED_BY);
            let around = Around {
                tickets,
                words: &words,
                noted: noted_words.iter().map(|(w, _)| noted.surface(w)).collect(),
                all,
            };
            draft(cluster, &tickets_in, &around, &mut taken)
        })
        .collect()
}

struct Around<'a> {
    tickets: &'a [Ticket],
    words: &'a Words,
    noted: Vec<String>,
    all: f64,
}

fn draft(
    cluster: &Cluster,
    members: &[usize],
    around: &Around<'_>,
    taken: &mut BTreeSet<String>,
) -> Option<Draft> {
    // Small words are much of what callers say and tell nothing of what is wrong.
    let telling = cluster.names.iter().filter(|(term, _)| {
        let folded = around.words.folded(term);
        !is_common(&folded)
    });
    let mut names: Vec<String> = telling
        .map(|(term, _)| around.words.surface(term))
        .collect();
    if names.is_empty() {
        let all = cluster.names.iter();
        names = all.map(|(term, _)| around.words.surface(term)).collect();
    }
    let named: Vec<&str> = names.iter().take(NAMED_BY).map(String::as_str).collect();
    let id = free_id(&named, taken)?;
    let mut symptoms = Vec::new();
    let mut seen = BTreeSet::new();
    for at in members {
        let Some(said) = around.tickets[*at].said.as_deref() else {
            continue;
        };
        // Of several columns the first is the subject.
        let first = said.lines().next().unwrap_or_default();
        for line in [said, first] {
            let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
            let good = (3..=16).contains(&line.split(' ').count())
                && !placeholders().iter().any(|p| line.contains(p))
                && around.words.all_public(&line);
            if good {
                if seen.insert(line.to_lowercase()) {
                    symptoms.push(line);
                }
                break;
            }
        }
        if symptoms.len() == SYMPTOMS {
            break;
        }
    }
    if symptoms.is_empty() {
        symptoms.push(names.join(" "));
    }
    let symptoms: Vec<String> = symptoms
        .iter()
        .map(|s| format!("  - {}", yaml(s)))
        .collect();
    let tickets = members.len() as u64;
    let share = format!("{:.0} %", 100.0 * cluster.weight / around.all.max(1.0));
    let list = |words: &[String]| {
        if words.is_empty() {
            "none that are peculiar".to_owned()
        } else {
            words.join(", ")
        }
    };
    let text = DRAFT
        .replace("{id}", &id)
        .replace(
            "{title}",
            &yaml(&format!("To be written: {}", named.join(", "))),
        )
        .replace("{symptoms}", &symptoms.join("\n"))
        .replace("{tickets}", &counted(tickets, "ticket"))
        .replace("{share}", &share)
        .replace("{words}", &list(&names))
        .replace("{notes}", &list(&around.noted))
        .replace("{ask}", &named.join(" "));
    Some(Draft { id, text, tickets })
}

/// A text as YAML on one line: JSON's form is YAML's too.
fn yaml(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// An id of plain letters that no draft has yet.
fn free_id(words: &[&str], taken: &mut BTreeSet<String>) -> Option<String> {
    let plain = |word: &&str| -> String {
        let folded = fold(word);
        folded.chars().filter(char::is_ascii_alphanumeric).collect()
    };
    let parts: Vec<String> = words.iter().map(plain).filter(|p| !p.is_empty()).collect();
    let base = if parts.is_empty() {
        "draft".to_owned()
    } else {
        parts.join("-")
    };
    (1..1000)
        .map(|n| {
            if n == 1 {
                base.clone()
            } else {
                format!("{base}-{n}")
            }
        })
        .find(|id| taken.insert(id.clone()))
}

/// On how many days each term was used, and how it was written.
#[derive(Default)]
struct Words {
    days: HashMap<String, BTreeSet<Date>>,
    written: HashMap<String, BTreeMap<String, u64>>,
    /// Folded words as they were spelled, umlauts and capitals and all.
    spelled: HashMap<String, BTreeMap<String, u64>>,
}

impl Words {
    /// The terms of a text, counted.
    fn of(&mut self, analyzer: &Analyzer, text: Option<&String>, day: Date) -> Vec<String> {
        let told = text.filter(|t| *t != FORGOTTEN);
        let plain = told
            .map(|text| without_placeholders(text))
            .unwrap_or_default();
        let words = plain.split(|c: char| !c.is_alphanumeric());
        for word in words.filter(|word| !word.is_empty()) {
            let spelled = self.spelled.entry(fold(word)).or_default();
            *spelled.entry(word.to_owned()).or_default() += 1;
        }
        let mut terms = Vec::new();
        for word in analyzer.words(&plain) {
            if !word.chars().any(char::is_alphabetic) {
                continue;
            }
            let term = analyzer.stem(&word);
            let days = self.days.entry(term.clone()).or_default();
            if days.len() < DAYS {
                days.insert(day);
            }
            let written = self.written.entry(term.clone()).or_default();
            *written.entry(word).or_default() += 1;
            terms.push(term);
        }
        terms
    }

    fn is_public(&self, term: &str) -> bool {
        self.days.get(term).is_some_and(|days| days.len() >= DAYS)
    }

    fn public(&self, mut terms: Vec<String>) -> Vec<String> {
        terms.retain(|term| self.is_public(term));
        terms.sort();
        terms
    }

    /// Whether everything in a line may be shown, numbers aside.
    fn all_public(&self, line: &str) -> bool {
        let analyzer = Analyzer::default();
        analyzer.words(line).iter().all(|word| {
            let letters = word.chars().any(char::is_alphabetic);
            letters && self.is_public(&analyzer.stem(word))
        })
    }

    /// How a term is mostly written, folded.
    fn folded(&self, term: &str) -> String {
        let most = self.written.get(term).and_then(most);
        most.unwrap_or_else(|| term.to_owned())
    }

    /// How a term is mostly written.
    fn surface(&self, term: &str) -> String {
        let folded = self.folded(term);
        self.spelled.get(&folded).and_then(most).unwrap_or(folded)
    }
}

/// The most frequent; of equals the first by the alphabet.
fn most(counts: &BTreeMap<String, u64>) -> Option<String> {
    let most = counts
        .iter()
        .max_by(|a, b| a.1.cmp(b.1).then_with(|| b.0.cmp(a.0)));
    most.map(|(word, _)| word.clone())
}
