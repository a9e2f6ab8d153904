//! Symptoms that arrive faster than they used to.
//!
//! An article's cases among all cases of the last 7, 14 and 28 days are compared with the 26 weeks
//! before, and with the same days a year earlier widened by four weeks on either side (a season comes
//! a little earlier or later, and the bare weeks hold too few cases to compare with). The larger
//! p-value counts, so that a season is no finding. The test is [`super::poisson_rates`] for
//! clumped counts, with the dispersion `φ = max(1, χ²/df)` of the weekly series about its own mean part
//! of all cases (`McCullagh` & Nelder 1989, §6.2.3, from memory). 26 weeks say little about φ, so
//! it is drawn towards that of all articles together, which counts as 50 more weeks, and never below it:
//! of 58 articles some look calmer than they are, and these would rise for nothing.
//!
//! Articles with fewer than 20 cases in the time looked at are not asked about: whether there are so
//! many does not depend on when they came, so the others' p-values keep their meaning.
//! All p-values are adjusted together by [`super::false_discovery`].
//!
//! Chosen by simulation: with seasons, clumped weeks (φ = 2) and nothing rising, something is found in
//! 15 of 200 ledgers of `tools/measure/curate_calibration.rs` (at most 16 are allowed); in 17 where φ may
//! fall below that of all articles, and in 18 where both counts are divided by φ besides.

use super::false_discovery::adjusted;
use super::poisson_rates::{Count, faster, ratio};
use super::{BAR, Material};
use crate::base::ids::{ArticleId, TicketId};
use crate::evidence::cases::{day, days_between};
use jiff::civil::Date;
use serde::Serialize;
use std::collections::BTreeMap;

/// The last days that are looked at.
const WINDOWS: [usize; 3] = [7, 14, 28];

/// Days that the last ones are compared with.
const BASE: usize = 26 * 7;

/// A year in whole weeks, so that the same days of the week are compared.
const YEAR: usize = 52 * 7;

/// Days added on either side of the same days a year earlier.
const MARGIN: usize = 28;

/// Days that are counted in all.
const DAYS: usize = YEAR + 28 + MARGIN;

/// Fewer cases in the time looked at are not asked about.
const LEAST: f64 = 20.0;

/// How many weeks of its own an article's dispersion weighs against, from all articles.
const SHARED_WEEKS: f64 = 50.0;

/// Weeks with cases before anything is compared with them.
const WEEKS_NEEDED: f64 = 4.0;

/// How many tickets a finding names.
const NAMED: usize = 8;

/// Weeks drawn.
const DRAWN: usize = 30;

/// Cases of the article among all cases.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Part {
    /// Its cases.
    pub cases: u64,
    /// All cases.
    pub of: u64,
}

/// An article that its callers bring up more often.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rise {
    /// The article.
    pub article: ArticleId,
    /// Its title.
    pub title: String,
    /// In the last so many days.
    pub days: usize,
    /// What came in them.
    pub now: Part,
    /// What came in the 26 weeks before.
    pub before: Part,
    /// What came around the same days a year earlier.
    pub year_before: Part,
    /// How many times as fast, against the base with the larger p-value; with its 95 % interval.
    pub times: (f64, f64, Option<f64>),
    /// `φ`.
    pub dispersion: f64,
    /// The larger p-value.
    pub p: f64,
    /// The same, adjusted for everything that was asked.
    pub q: f64,
    /// Its newest cases.
    pub tickets: Vec<TicketId>,
    /// Cases in each of the last weeks, oldest first; the last week ends today.
    pub weeks: Vec<u64>,
}

/// What was asked and found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// The day of the report.
    pub as_of: Date,
    /// Articles with enough cases to ask about.
    pub articles: usize,
    /// Questions asked.
    pub questions: usize,
    /// Whether there are cases of a year ago to tell a season by.
    pub knows_seasons: bool,
    /// What rises, each article once, surest first.
    pub rising: Vec<Rise>,
}

/// Looks at every article.
#[must_use]
pub fn rising(from: &Material<'_>) -> Report {
    let series = Series::of(from);
    let knows_seasons = series.all.between(YEAR - MARGIN, DAYS) > 0.0;
    let mut asked: Vec<(ArticleId, Question)> = Vec::new();
    if series.weeks_known() >= WEEKS_NEEDED {
        let shared = series.shared_dispersion();
        for (article, days) in &series.articles {
            let questions = WINDOWS.into_iter();
            let questions = questions.filter_map(|window| series.ask(days, window, shared));
            asked.extend(questions.map(|q| ((*article).clone(), q)));
        }
    }
    let p: Vec<f64> = asked.iter().map(|(_, question)| question.p).collect();
    let q = adjusted(&p);
    let mut best: BTreeMap<&ArticleId, usize> = BTreeMap::new();
    for (at, (article, question)) in asked.iter().enumerate() {
        let kept = best.entry(article).or_insert(at);
        if question.p < asked[*kept].1.p {
            *kept = at;
        }
    }
    let mut rising: Vec<Rise> = best
        .values()
        .filter(|at| q[**at] < BAR)
        .filter_map(|at| series.rise(&asked[*at].0, &asked[*at].1, q[*at], from))
        .collect();
    rising.sort_by(|a, b| a.p.total_cmp(&b.p).then_with(|| a.article.cmp(&b.article)));
    Report {
        as_of: from.as_of,
        articles: best.len(),
        questions: asked.len(),
        knows_seasons,
        rising,
    }
}

/// Cases by days back from today, summed so that any span is one subtraction.
#[derive(Clone, Debug)]
struct Days(Vec<f64>);

impl Days {
    fn new(counts: &[f64]) -> Self {
        let mut sums = vec![0.0];
        for count in counts {
            sums.push(sums[sums.len() - 1] + count);
        }
        Self(sums)
    }

    /// Cases at least `from` and less than `to` days ago.
    fn between(&self, from: usize, to: usize) -> f64 {
        let last = self.0.len() - 1;
        self.0[to.min(last)] - self.0[from.min(last)]
    }
}

struct Series<'a> {
    all: Days,
    articles: BTreeMap<&'a ArticleId, Days>,
}

/// One article in one window.
struct Question {
    window: usize,
    dispersion: f64,
    p: f64,
    /// Whether a year earlier is the base with the larger p-value.
    by_year: bool,
}

impl<'a> Series<'a> {
    fn of(from: &Material<'a>) -> Self {
        let mut all = vec![0.0; DAYS];
        let mut articles: BTreeMap<&ArticleId, Vec<f64>> = BTreeMap::new();
        for case in from.cases {
            let back = days_between(day(case.closed), from.as_of);
            if back < 0.0 || back >= DAYS as f64 {
                continue;
            }
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "whole days between 0 and DAYS"
            )]
            let back = back as usize;
            all[back] += 1.0;
            if let Some(article) = &case.article {
                articles.entry(article).or_insert_with(|| vec![0.0; DAYS])[back] += 1.0;
            }
        }
        Self {
            all: Days::new(&all),
            articles: articles
                .into_iter()
                .map(|(id, counts)| (id, Days::new(&counts)))
                .collect(),
        }
    }

    fn weeks_known(&self) -> f64 {
        let weeks = (0..BASE / 7).filter(|week| {
            let from = WINDOWS[2] + 7 * week;
            self.all.between(from, from + 7) > 0.0
        });
        weeks.count() as f64
    }

    /// Pearson's χ² of the weeks after `window` days back about their mean part, with its degrees of
    /// freedom.
    fn scatter(&self, days: &Days, window: usize) -> (f64, f64) {
        let part = days.between(window, window + BASE) / self.all.between(window, window + BASE);
        let (mut chi, mut weeks) = (0.0, 0.0);
        for week in 0..BASE / 7 {
            let (from, to) = (window + 7 * week, window + 7 * week + 7);
            let expected = part * self.all.between(from, to);
            if expected > 0.0 {
                chi += (days.between(from, to) - expected).powi(2) / expected;
                weeks += 1.0;
            }
        }
        (chi, f64::max(weeks - 1.0, 0.0))
    }

    fn shared_dispersion(&self) -> f64 {
        let (mut chi, mut freedom) = (0.0, 0.0);
        for days in self.articles.values() {
            let (own, weeks) = self.scatter(days, WINDOWS[2]);
            chi += own;
            freedom += weeks;
        }
        if freedom > 0.0 { chi / freedom } else { 1.0 }
    }

    fn ask(&self, days: &Days, window: usize, shared: f64) -> Option<Question> {
        let [now, before, year] = self.parts(days, window);
        if now.seen + before.seen < LEAST {
            return None;
        }
        let (chi, weeks) = self.scatter(days, window);
        let own = (chi + SHARED_WEEKS * shared) / (weeks + SHARED_WEEKS);
        let dispersion = own.max(shared).max(1.0);
        let by_base = faster(now, before, dispersion);
        // Nothing of a year ago is known where there are no cases at all.
        let by_year = if year.of > 0.0 {
            faster(now, year, dispersion)
        } else {
            0.0
        };
        Some(Question {
            window,
            dispersion,
            p: by_base.max(by_year),
            by_year: by_year > by_base,
        })
    }

    /// The window, the time before it, and the time around it a year earlier.
    fn parts(&self, days: &Days, window: usize) -> [Count; 3] {
        [
            (0, window),
            (window, window + BASE),
            (YEAR - MARGIN, YEAR + window + MARGIN),
        ]
        .map(|(from, to)| Count {
            seen: days.between(from, to),
            of: self.all.between(from, to),
        })
    }

    fn rise(
        &self,
        article: &ArticleId,
        question: &Question,
        q: f64,
        from: &Material<'_>,
    ) -> Option<Rise> {
        let days = &self.articles[article];
        let [now, before, year] = self.parts(days, question.window);
        let base = if question.by_year { year } else { before };
        let (first, second) = (
            thinned(now, question.dispersion),
            thinned(base, question.dispersion),
        );
        let (times, low, high) = ratio(first, second, 0.05);
        let newest = from.cases.iter().rev();
        let newest = newest.filter(|case| case.article.as_ref() == Some(article));
        let week = |at: usize| whole(days.between(7 * at, 7 * at + 7));
        Some(Rise {
            title: from.catalog.articles.get(article)?.title.clone(),
            article: article.clone(),
            days: question.window,
            now: part(now),
            before: part(before),
            year_before: part(year),
            times: (times, low, Some(high).filter(|high| high.is_finite())),
            dispersion: question.dispersion,
            p: question.p,
            q,
            tickets: newest.take(NAMED).map(|case| case.id.clone()).collect(),
            weeks: (0..DRAWN).rev().map(week).collect(),
        })
    }
}

/// A count divided by the dispersion; what it is a count of stays.
fn thinned(count: Count, dispersion: f64) -> Count {
    Count {
        seen: count.seen / dispersion,
        of: count.of,
    }
}

fn part(count: Count) -> Part {
    Part {
        cases: whole(count.seen),
        of: whole(count.of),
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "counts of cases, never negative and far below 2^53"
)]
fn whole(count: f64) -> u64 {
    count.round() as u64
}
