//! What callers ring about that no article covers: groups of like cases, the costliest first.
//!
//! Cases of the last twelve months go in with a weight:
//! - 1 where a person found no article that covers it, or something that is not listed ended it;
//! - unresolved ones the chance that the cause is not listed or not covered, where it is at least ½;
//! - those without a recorded article, whose likeliest one has a chance below [`ARTICLE_BAR`], what
//!   this chance leaves over.
//!
//! They are grouped by [`super::clusters`], those of up to [`GROUPED_DAYS`] days together, since the more
//! ways of saying a thing are known the surer they are one; what is told of a group is of the last
//! twelve months. They are costed with the minutes recorded in them, or the minutes
//! of handing on where none are. Where there are very many, every so-manieth is taken and counts for
//! all it stands for.
//!
//! Privacy: names and examples hold only words that tickets of three days and more use, or the articles.

use super::Material;
use super::clusters::{Cluster, Text, topics};
use crate::base::ids::{ArticleId, TicketId};
use crate::evidence::keeping::{Keeping, Said};
use crate::evidence::layout::Layout;
use crate::evidence::texts;
use crate::evidence::{Case, End};
use crate::notes::ARTICLE_BAR;
use jiff::civil::Date;
use rayon::prelude::*;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// Days that are looked at.
const DAYS: f64 = 365.0;

/// Days whose cases are grouped, so that groups know more ways of saying one thing.
const GROUPED_DAYS: f64 = 3.0 * 365.0;

/// Days in a month, on average.
const MONTH: f64 = 365.0 / 12.0;

/// An unresolved case goes in from this chance on.
const UNCOVERED_BAR: f64 = 0.5;

/// Less weight is no reason for an article; as many cases as decide an order of fixes.
const LEAST: f64 = 5.0;

/// Words that name a group.
const NAMED_BY: usize = 5;

/// Cases shown of a group.
const EXAMPLES: usize = 3;

/// The longest example, in words.
const LONGEST: usize = 24;

/// At most so many cases are asked about, and so many grouped.
const MOST_ASKED: usize = 4_000;
const MOST_GROUPED: usize = 6_000;

/// What the equation makes of a case.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Doubt {
    /// The likeliest article's chance.
    pub best: f64,
    /// The chance that nothing listed ends it: no listed fix of its article, or no article at all.
    pub uncovered: f64,
}

/// One case of a group, in words anybody may read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Example {
    /// The ticket.
    pub ticket: TicketId,
    /// What the caller said.
    pub said: String,
}

/// A group of cases that no article covers.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Group {
    /// Its most distinctive words.
    pub names: Vec<String>,
    /// Cases of the last twelve months, by weight.
    pub cases: f64,
    /// What they cost.
    pub minutes_a_month: f64,
    /// Cases a month in the last three months.
    pub lately: f64,
    /// Cases a month before.
    pub earlier: f64,
    /// How many a person recorded as covered by no article.
    pub recorded: u64,
    /// Articles they were recorded under, most often first.
    pub under: Vec<(ArticleId, u64)>,
    /// Devices, most often first.
    pub devices: Vec<(String, u64)>,
    /// Some of them.
    pub examples: Vec<Example>,
    /// All of them, the most typical first.
    pub tickets: Vec<TicketId>,
}

/// What was found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// The day of the report.
    pub as_of: Date,
    /// Months that are looked at.
    pub months: f64,
    /// All cases of this time.
    pub cases: u64,
    /// Those that went in, by weight.
    pub uncovered: f64,
    /// What they cost, grouped or not.
    pub minutes_a_month: f64,
    /// Every so-manieth case was asked about, for time's sake.
    pub every: usize,
    /// Groups, the costliest first.
    pub groups: Vec<Group>,
}

/// Whether the equation has to be asked about a case.
#[must_use]
pub fn is_asked(case: &Case) -> bool {
    let nobody_said = case.article.is_none() && !case.unlisted;
    case.end != End::Other && (nobody_said || (case.end == End::Unresolved && !case.unlisted))
}

/// Gathers what no article covers; `doubt` answers for the cases that [`is_asked`].
///
/// # Errors
/// The first of `doubt`.
pub fn unwritten<E: Send>(
    from: &Material<'_>,
    doubt: &(dyn Fn(&Case) -> Result<Doubt, E> + Sync),
) -> Result<Report, E> {
    let recent: Vec<usize> = (0..from.cases.len())
        .filter(|at| from.cases[*at].age_days < GROUPED_DAYS)
        .filter(|at| !stops(&from.cases[*at], from))
        .collect();
    let cases = from
        .cases
        .iter()
        .filter(|case| case.age_days < DAYS)
        .count();
    let (asked, known): (Vec<usize>, Vec<usize>) =
        recent.iter().partition(|at| is_asked(&from.cases[**at]));
    let every = asked.len().div_ceil(MOST_ASKED).max(1);
    let asked: Vec<usize> = asked.into_iter().step_by(every).collect();
    let answers: Result<Vec<f64>, E> = asked
        .par_iter()
        .map(|at| {
            let case = &from.cases[*at];
            Ok(weight(case, &doubt(case)?) * every as f64)
        })
        .collect();
    let mut weighed: Vec<(usize, f64)> = asked.into_iter().zip(answers?).collect();
    let sure = known.into_iter().filter(|at| {
        let case = &from.cases[*at];
        case.unlisted || case.end == End::Other
    });
    weighed.extend(sure.map(|at| (at, 1.0)));
    weighed.retain(|(_, weight)| *weight > 0.0);
    weighed.sort_by_key(|(at, _)| *at);
    let oldest = from.cases.iter().map(|case| case.age_days);
    let months = (oldest.fold(0.0, f64::max).min(DAYS) / MONTH).max(1.0);
    Ok(report(from, &weighed, (cases as u64, months, every)))
}

/// Whether its article stops the telephone: that has no fixes, and covers its cases all the same.
fn stops(case: &Case, from: &Material<'_>) -> bool {
    let article = case
        .article
        .as_ref()
        .and_then(|id| from.catalog.articles.get(id));
    article.is_some_and(|article| article.danger.is_some())
}

fn weight(case: &Case, doubt: &Doubt) -> f64 {
    if case.end == End::Unresolved && doubt.uncovered >= UNCOVERED_BAR {
        return doubt.uncovered;
    }
    if case.article.is_none() && doubt.best < ARTICLE_BAR {
        return 1.0 - doubt.best;
    }
    0.0
}

fn report(
    from: &Material<'_>,
    weighed: &[(usize, f64)],
    (cases, months, every): (u64, f64, usize),
) -> Report {
    let layout = Layout::new(from.catalog);
    let public = texts::public_terms(from.catalog, &layout, from.analyzer);
    let keeping = Keeping::of(from.cases, from.analyzer, &public);
    let stride = weighed.len().div_ceil(MOST_GROUPED).max(1);
    let grouped: Vec<(usize, f64)> = weighed
        .iter()
        .step_by(stride)
        .map(|(at, weight)| (*at, weight * stride as f64))
        .collect();
    let said: Vec<Said> = grouped
        .iter()
        .map(|(at, _)| keeping.said(&from.cases[*at]))
        .collect();
    let texts = grouped.iter().zip(&said);
    let input: Vec<Text> = texts
        .map(|((_, weight), said)| Text {
            terms: said.terms.clone(),
            weight: *weight,
        })
        .collect();
    let around = Around {
        from,
        said: &said,
        surfaces: surfaces(&said),
        grouped: &grouped,
        months,
    };
    let mut groups: Vec<Group> = topics(&input, LEAST, NAMED_BY)
        .iter()
        .filter_map(|cluster| around.group(cluster))
        .collect();
    groups.sort_by(|a, b| {
        b.minutes_a_month
            .total_cmp(&a.minutes_a_month)
            .then_with(|| a.names.cmp(&b.names))
    });
    let lately = |(at, _): &&(usize, f64)| from.cases[*at].age_days < DAYS;
    let minutes = weighed.iter().filter(lately);
    let minutes = minutes.map(|(at, weight)| weight * around.minutes(&from.cases[*at]));
    Report {
        as_of: from.as_of,
        months,
        cases,
        uncovered: weighed
            .iter()
            .filter(lately)
            .map(|(_, weight)| weight)
            .sum(),
        minutes_a_month: minutes.sum::<f64>() / months,
        every,
        groups,
    }
}

/// How each term is mostly written.
fn surfaces(said: &[Said]) -> HashMap<String, String> {
    let mut written: HashMap<&str, BTreeMap<&str, u64>> = HashMap::new();
    for said in said {
        for (term, word) in said.terms.iter().zip(said.folded.split(' ')) {
            *written.entry(term).or_default().entry(word).or_default() += 1;
        }
    }
    let most = |words: BTreeMap<&str, u64>| {
        let most = words
            .into_iter()
            .max_by(|a, b| a.1.cmp(&b.1).then(b.0.cmp(a.0)));
        most.map_or_else(String::new, |(word, _)| word.to_owned())
    };
    written
        .into_iter()
        .map(|(term, words)| (term.to_owned(), most(words)))
        .collect()
}

struct Around<'a> {
    from: &'a Material<'a>,
    /// Of each case of `grouped`.
    said: &'a [Said],
    surfaces: HashMap<String, String>,
    grouped: &'a [(usize, f64)],
    months: f64,
}

impl Around<'_> {
    /// What a case took: the minutes recorded in it, else those of handing on.
    fn minutes(&self, case: &Case) -> f64 {
        if case.spent > 0.0 {
            case.spent
        } else {
            self.from.settings.hand_on_minutes
        }
    }

    /// What is told of a group; none where too little of it is of the last twelve months.
    fn group(&self, cluster: &Cluster) -> Option<Group> {
        let members: Vec<(&Case, f64)> = cluster
            .texts
            .iter()
            .map(|text| self.grouped[*text])
            .map(|(at, weight)| (&self.from.cases[at], weight))
            .filter(|(case, _)| case.age_days < DAYS)
            .collect();
        let total: f64 = members.iter().map(|(_, weight)| weight).sum();
        if total < LEAST {
            return None;
        }
        let lately = 3.0_f64.min(self.months);
        let new: f64 = members
            .iter()
            .filter(|(case, _)| case.age_days < lately * MONTH)
            .map(|(_, weight)| weight)
            .sum();
        let earlier = self.months - lately;
        let minutes = members.iter();
        let minutes = minutes.map(|(case, weight)| weight * self.minutes(case));
        let surface = |term: &String| self.surfaces.get(term).unwrap_or(term).clone();
        Some(Group {
            names: cluster
                .names
                .iter()
                .map(|(term, _)| surface(term))
                .collect(),
            cases: total,
            minutes_a_month: minutes.sum::<f64>() / self.months,
            lately: new / lately,
            earlier: if earlier > 0.0 {
                (total - new) / earlier
            } else {
                0.0
            },
            recorded: members.iter().filter(|(case, _)| case.unlisted).count() as u64,
            under: most_often(members.iter().filter_map(|(case, _)| case.article.clone())),
            devices: most_often(
                members
                    .iter()
                    .filter_map(|(case, _)| Some(case.device.as_deref()?.to_owned())),
            ),
            examples: self.examples(cluster),
            tickets: members.iter().map(|(case, _)| case.id.clone()).collect(),
        })
    }

    /// The most typical texts of which every word may be shown, each wording once.
    fn examples(&self, cluster: &Cluster) -> Vec<Example> {
        let mut seen = BTreeSet::new();
        let mut examples = Vec::new();
        for text in &cluster.texts {
            let (at, _) = self.grouped[*text];
            let case = &self.from.cases[at];
            let words = self.from.analyzer.words(&case.said);
            let public = words.len() == self.said[*text].terms.len();
            let short = case.said.split_whitespace().count() <= LONGEST;
            if public && short && !words.is_empty() && seen.insert(words) {
                examples.push(Example {
                    ticket: case.id.clone(),
                    said: case.said.split_whitespace().collect::<Vec<_>>().join(" "),
                });
            }
            if examples.len() == EXAMPLES {
                break;
            }
        }
        examples
    }
}

fn most_often<T: Ord>(of: impl Iterator<Item = T>) -> Vec<(T, u64)> {
    let mut counts: BTreeMap<T, u64> = BTreeMap::new();
    for one in of {
        *counts.entry(one).or_default() += 1;
    }
    let mut counts: Vec<(T, u64)> = counts.into_iter().collect();
    counts.sort_by_key(|(_, times)| std::cmp::Reverse(*times));
    counts
}
