//! How a month went: what came, how long it took, what was fixed at once, what was handed on, and
//! what callers could learn to do themselves.
//!
//! A case belongs to the month in which its last ticket was closed. Everything is as it was known on
//! the month's last day, or today where the month is not over.

use super::{Material, drift, rising, unwritten};
use crate::base::ids::{ArticleId, FixId};
use crate::evidence::cases::day;
use crate::evidence::{Case, End, Evidence};
use crate::tickets::Outcome;
use jiff::civil::Date;
use serde::Serialize;
use std::collections::BTreeMap;

/// Months drawn before the one reported.
const BEFORE: i32 = 11;

/// Most symptoms shown one by one.
pub const SYMPTOMS: usize = 12;

/// Most symptoms to teach.
const TAUGHT: usize = 8;

/// Upper ends of the spans from opening to closing, in minutes, with their names.
const SPANS: [(&str, f64); 5] = [
    ("up to 15 min", 15.0),
    ("up to 1 h", 60.0),
    ("up to 4 h", 240.0),
    ("up to 1 day", 1_440.0),
    ("up to 1 week", 10_080.0),
];

/// Cases of one symptom.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Symptom {
    /// The article; none for cases without one.
    pub article: Option<ArticleId>,
    /// Its title.
    pub title: String,
    /// Cases.
    pub cases: u64,
}

/// The numbers of one month.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Numbers {
    /// Cases closed.
    pub cases: u64,
    /// Cases with a listed fix that was tried and an end that is known.
    pub tried: u64,
    /// Those that the first listed fix tried ended.
    pub first_try: u64,
    /// Cases whose last ticket says how it ended.
    pub stated: u64,
    /// Those handed on.
    pub handed_on: u64,
    /// Median minutes from opening to closing; none where no case states both.
    pub median_minutes: Option<f64>,
}

/// A symptom whose commonest fix a caller may do.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Lesson {
    /// The article.
    pub article: ArticleId,
    /// Its title.
    pub title: String,
    /// The fix with the largest share.
    pub fix: FixId,
    /// Its title.
    pub fix_title: String,
    /// Its share of the article's cases.
    pub share: f64,
    /// Cases of the article in this month.
    pub cases: u64,
    /// Those that this fix ended.
    pub ended: u64,
}

/// An article whose review is overdue.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Overdue {
    /// The article.
    pub article: ArticleId,
    /// When it was last reviewed; none for never.
    pub reviewed: Option<Date>,
    /// Who keeps it true.
    pub owner: Option<String>,
}

/// Everything about a month that the tickets and articles say.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Month {
    /// Its first day.
    pub from: Date,
    /// Its last day, or today where it is not over.
    pub to: Date,
    /// Its numbers.
    pub numbers: Numbers,
    /// Cases by symptom, most first.
    pub symptoms: Vec<Symptom>,
    /// How long cases took from opening to closing: span and cases.
    pub spans: Vec<(String, u64)>,
    /// The numbers of the months up to this one, oldest first.
    pub months: Vec<(Date, Numbers)>,
    /// What callers could do before they call.
    pub lessons: Vec<Lesson>,
    /// Overdue reviews, longest first.
    pub overdue: Vec<Overdue>,
    /// Fixes that changed.
    pub drift: drift::Report,
    /// Symptoms that arrive faster.
    pub rising: rising::Report,
    /// What no article covers.
    pub unwritten: unwritten::Report,
}

/// Puts a month together. `from.as_of` is its last day, or today where it is not over.
#[must_use]
pub fn month(from: &Material<'_>, evidence: &Evidence, unwritten: unwritten::Report) -> Month {
    let first = from.as_of.first_of_month();
    let mut by_month: BTreeMap<Date, Vec<&Case>> = BTreeMap::new();
    for case in from.cases {
        let month = day(case.closed).first_of_month();
        by_month.entry(month).or_default().push(case);
    }
    let of = |month: Date| by_month.get(&month).map_or(&[][..], |cases| cases);
    let months: Vec<(Date, Numbers)> = (0..=BEFORE)
        .rev()
        .filter_map(|back| first.checked_sub(jiff::Span::new().months(back)).ok())
        .map(|start| (start, numbers(of(start))))
        .skip_while(|(_, numbers)| numbers.cases == 0)
        .collect();
    let cases = of(first);
    Month {
        from: first,
        to: from.as_of,
        numbers: months
            .last()
            .map(|(_, numbers)| numbers.clone())
            .unwrap_or_default(),
        symptoms: symptoms(cases, from),
        spans: spans(cases),
        months,
        lessons: lessons(cases, from, evidence),
        overdue: overdue(from),
        drift: drift::drift(from),
        rising: rising::rising(from),
        unwritten,
    }
}

fn numbers(cases: &[&Case]) -> Numbers {
    let mut numbers = Numbers::default();
    let mut minutes = Vec::new();
    for case in cases {
        numbers.cases += 1;
        if let Some(first) = case.order.first() {
            numbers.tried += 1;
            numbers.first_try += u64::from(matches!(&case.end, End::Fix(by) if by == first));
        }
        numbers.stated += u64::from(case.outcome.is_some());
        numbers.handed_on += u64::from(case.outcome == Some(Outcome::HandedOn));
        minutes.extend(took(case));
    }
    minutes.sort_by(f64::total_cmp);
    numbers.median_minutes = minutes.get(minutes.len() / 2).copied();
    numbers
}

/// Minutes from the first opening to the last closing.
fn took(case: &Case) -> Option<f64> {
    let seconds = case.closed.as_second() - case.opened?.as_second();
    (seconds >= 0).then_some(seconds as f64 / 60.0)
}

fn symptoms(cases: &[&Case], from: &Material<'_>) -> Vec<Symptom> {
    let mut counts: BTreeMap<Option<&ArticleId>, u64> = BTreeMap::new();
    for case in cases {
        *counts.entry(case.article.as_ref()).or_default() += 1;
    }
    let title = |id: &ArticleId| from.catalog.articles.get(id).map(|a| a.title.clone());
    let mut all: Vec<Symptom> = counts
        .into_iter()
        .map(|(article, cases)| Symptom {
            title: article
                .and_then(title)
                .unwrap_or_else(|| "no article recorded".to_owned()),
            article: article.cloned(),
            cases,
        })
        .collect();
    all.sort_by(|a, b| {
        b.cases
            .cmp(&a.cases)
            .then_with(|| a.article.cmp(&b.article))
    });
    all
}

fn spans(cases: &[&Case]) -> Vec<(String, u64)> {
    let mut counts = vec![0; SPANS.len() + 1];
    for minutes in cases.iter().filter_map(|case| took(case)) {
        let at = SPANS.iter().position(|(_, most)| minutes <= *most);
        counts[at.unwrap_or(SPANS.len())] += 1;
    }
    let names = SPANS.iter().map(|(name, _)| (*name).to_owned());
    names.chain(["longer".to_owned()]).zip(counts).collect()
}

/// Symptoms whose fix with the largest share the first role may do, those that ended most cases first.
fn lessons(cases: &[&Case], from: &Material<'_>, evidence: &Evidence) -> Vec<Lesson> {
    let Some(caller) = from.settings.roles.first() else {
        return Vec::new();
    };
    let mut counts: BTreeMap<&ArticleId, Vec<&Case>> = BTreeMap::new();
    for case in cases {
        if let Some(article) = &case.article {
            counts.entry(article).or_default().push(case);
        }
    }
    let mut lessons: Vec<Lesson> = counts
        .into_iter()
        .filter(|(id, _)| !evidence.only_author(id))
        .filter_map(|(id, cases)| {
            let article = from.catalog.articles.get(id)?;
            let fixes = from.catalog.fixes_of.get(id)?;
            let shares = evidence.share_of(id, None);
            let (best, share) = fixes
                .iter()
                .zip(&shares)
                .max_by(|a, b| a.1.share.total_cmp(&b.1.share).then_with(|| b.0.cmp(a.0)))?;
            let fix = from.catalog.fixes.get(best)?;
            let may = fix.work.who == *caller && fix.work.hazards.is_empty();
            let by = |case: &&&Case| matches!(&case.end, End::Fix(by) if by == best);
            may.then(|| Lesson {
                article: id.clone(),
                title: article.title.clone(),
                fix: best.clone(),
                fix_title: fix.title.clone(),
                share: share.share,
                cases: cases.len() as u64,
                ended: cases.iter().filter(by).count() as u64,
            })
        })
        .collect();
    lessons.sort_by(|a, b| {
        b.ended
            .cmp(&a.ended)
            .then_with(|| a.article.cmp(&b.article))
    });
    lessons.truncate(TAUGHT);
    lessons
}

fn overdue(from: &Material<'_>) -> Vec<Overdue> {
    let months = i32::try_from(from.settings.review_months).unwrap_or(i32::MAX);
    let due = |reviewed: Date| {
        let due = reviewed.checked_add(jiff::Span::new().months(months.min(12_000)));
        due.is_ok_and(|due| due < from.as_of)
    };
    let mut overdue: Vec<Overdue> = from
        .catalog
        .articles
        .values()
        .filter(|article| article.reviewed.is_none_or(due))
        .map(|article| Overdue {
            article: article.id.clone(),
            reviewed: article.reviewed,
            owner: article.owner.clone(),
        })
        .collect();
    overdue.sort_by(|a, b| (a.reviewed, &a.article).cmp(&(b.reviewed, &b.article)));
    overdue
}
