//! A draft article from a group of cases that no article covers.
//!
//! What callers say becomes symptoms; what the notes of resolved cases have in common becomes proposed
//! fixes, each with the cases it rests on. What only a person can know, who may do a work and what
//! endangers him, is left as a word that lint refuses. Only words that tickets of three days and more
//! use are written down: notes may hold names that the scrubber missed.

use super::Material;
use super::clusters::{Text, clusters};
use super::unwritten::Group;
use crate::articles::lint::TO_FILL;
use crate::base::ids::{ArticleId, TicketId};
use crate::evidence::{Case, keeping};
use crate::tickets::{Outcome, Ticket};
use std::collections::{BTreeSet, HashMap, HashSet};

/// Notes of so many cases make a proposed fix.
const LEAST: f64 = 3.0;

/// Proposed fixes.
const FIXES: usize = 4;

/// Words that name a proposed fix.
const NAMED_BY: usize = 4;

/// A device is named where at least this part of the cases was about it.
const DEVICE_PART: f64 = 0.1;

/// A draft.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draft {
    /// The article's id.
    pub id: ArticleId,
    /// Its file.
    pub text: String,
}

/// Writes the draft; `tickets` are those of the group, `taken` ids that are used.
#[must_use]
pub fn draft(
    group: &Group,
    from: &Material<'_>,
    tickets: &[Ticket],
    taken: &BTreeSet<ArticleId>,
) -> Draft {
    let id = free_id(&group.names, taken);
    let members: HashSet<&TicketId> = group.tickets.iter().collect();
    let cases: Vec<&Case> = from
        .cases
        .iter()
        .filter(|c| members.contains(&c.id))
        .collect();
    let ended = endings(&cases, from, tickets);
    let named = group.names.join(", ");
    let mut out = format!(
        "---\nid: {id}\ntitle: {}\n",
        yaml(&format!("To be written: {named}"))
    );
    let total: u64 = group.devices.iter().map(|(_, count)| count).sum();
    let devices = group.devices.iter();
    let devices = devices.filter(|(_, count)| *count as f64 >= DEVICE_PART * total as f64);
    let known = devices.filter(|(device, _)| from.settings.devices.contains_key(device));
    let known: Vec<&str> = known.map(|(device, _)| device.as_str()).collect();
    if !known.is_empty() {
        out += &format!("devices: [{}]\n", known.join(", "));
    }
    out += "symptoms:\n";
    if group.examples.is_empty() {
        out += &format!("  - {}\n", yaml(&group.names.join(" ")));
    }
    for example in &group.examples {
        out += &format!("  - {}\n", yaml(&example.said));
    }
    out += "state: draft\n---\n";
    out += &format!(
        "Begun from {:.0} cases of the {:.0} months to {}, about {:.0} minutes a month. Say here what \
         is going on.\n",
        group.cases, 12.0, from.as_of, group.minutes_a_month
    );
    for (at, ending) in ended.iter().enumerate() {
        out += &fix(at + 1, ending);
    }
    if ended.is_empty() {
        out += &fix(1, &Ending::default());
    }
    Draft { id, text: out }
}

/// What the notes of some resolved cases have in common.
#[derive(Default)]
struct Ending {
    names: Vec<String>,
    cases: Vec<TicketId>,
    minutes: Option<f64>,
}

fn fix(number: usize, ending: &Ending) -> String {
    let title = if ending.names.is_empty() {
        "To be written".to_owned()
    } else {
        format!("To be written: {}", ending.names.join(", "))
    };
    let minutes = ending.minutes.unwrap_or(10.0).round().max(1.0);
    let mut text = format!(
        "\n## Fix: {title} {{#fix-{number} kind=to-fill minutes={minutes} who={TO_FILL} hazard={TO_FILL}}}\n"
    );
    if !ending.cases.is_empty() {
        let cases: Vec<&str> = ending.cases.iter().map(TicketId::as_str).collect();
        text += &format!(
            "Ended {} of these cases by their notes: {}.\n\n",
            cases.len(),
            cases.join(", ")
        );
    }
    text + "1. To be written.\n\nDone when: to be written.\n"
}

/// Groups the notes of resolved cases by what they say.
fn endings(cases: &[&Case], from: &Material<'_>, tickets: &[Ticket]) -> Vec<Ending> {
    let tickets: HashMap<&TicketId, &Ticket> = tickets.iter().map(|t| (&t.id, t)).collect();
    let noted: Vec<Case> = cases
        .iter()
        .filter_map(|case| {
            let ticket = tickets.get(&case.id)?;
            let resolved = ticket.outcome == Some(Outcome::Resolved);
            let notes = ticket.notes.as_ref().filter(|_| resolved)?;
            Some(Case {
                said: notes.clone(),
                ..(*case).clone()
            })
        })
        .collect();
    let said = keeping::said(&noted, from.analyzer, &HashSet::new());
    let input: Vec<Text> = said
        .iter()
        .map(|said| Text {
            terms: said.folded.split(' ').map(str::to_owned).collect(),
            weight: f64::from(u8::from(!said.terms.is_empty())),
        })
        .collect();
    let groups = clusters(&input, LEAST, NAMED_BY);
    let ending = |cluster: &super::clusters::Cluster| {
        let members: Vec<&Case> = cluster.texts.iter().map(|at| &noted[*at]).collect();
        let minutes = members.iter().filter_map(|case| tickets.get(&case.id));
        let minutes: Vec<f64> = minutes
            .flat_map(|ticket| &ticket.tries)
            .filter_map(|tried| tried.minutes)
            .collect();
        Ending {
            names: cluster.names.iter().map(|(word, _)| word.clone()).collect(),
            minutes: (!minutes.is_empty())
                .then(|| minutes.iter().sum::<f64>() / minutes.len() as f64),
            cases: members.iter().map(|case| case.id.clone()).collect(),
        }
    };
    groups.iter().take(FIXES).map(ending).collect()
}

/// A text as YAML on one line: JSON's form is YAML's too.
fn yaml(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// An id of the first words' plain letters that no article has.
fn free_id(names: &[String], taken: &BTreeSet<ArticleId>) -> ArticleId {
    let plain = |name: &String| -> String {
        let letters = name.chars().filter(char::is_ascii_alphabetic);
        letters.collect::<String>().to_ascii_lowercase()
    };
    let parts = names.iter().map(plain).filter(|part| !part.is_empty());
    let parts: Vec<String> = parts.take(3).collect();
    let base = if parts.is_empty() {
        "draft".to_owned()
    } else {
        parts.join("-")
    };
    let numbered = (2..).map(|number| format!("{base}-{number}"));
    let mut ids = std::iter::once(base.clone()).chain(numbered);
    let free = ids.find(|id| !taken.contains(id.as_str()));
    ArticleId::new(&free.unwrap_or(base))
}
