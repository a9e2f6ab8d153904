//! A month on one page: HTML that needs no other file, readable on a telephone and on paper.

use super::backtest_plot::{NotDrawn, hits};
use super::curate_plot::{self, Bar, upright};
use super::curate_text::{cases, change_words, rise_words, significance, since};
use super::numbers::counted;
use super::percent::percent;
use crate::backtest::report::Report as Backtest;
use crate::base::escape::html;
use crate::curate::month::{Month, Numbers, SYMPTOMS};
use crate::tickets::remark::Remark;

mod writing;

use writing::{Page, hundredths, minutes, part};

const STYLE: &str = include_str!("month_page.css");

/// Groups of unwritten cases, overdue reviews and remarks shown.
const ROWS: usize = 12;

/// What is shown.
#[derive(Clone, Copy, Debug)]
pub struct Content<'a> {
    /// The knowledge base's name.
    pub name: &'a str,
    /// The month.
    pub month: &'a Month,
    /// Open remarks, newest last.
    pub remarks: &'a [Remark],
    /// How well past tickets would have been answered, where that was asked for.
    pub backtest: Option<&'a Backtest>,
}

/// The page.
///
/// # Errors
/// Where the drawing library refuses; never seen.
pub fn page(content: Content<'_>) -> Result<String, NotDrawn> {
    let month = content.month;
    let title = format!("{}: {}", content.name, &month.from.to_string()[..7]);
    let mut page = Page::default();
    page.numbers(month);
    page.symptoms(month)?;
    page.times(month)?;
    page.course(month)?;
    page.unwritten(month);
    page.drift(month)?;
    page.rising(month)?;
    page.lessons(month);
    page.backtest(content.backtest)?;
    page.remarks(content.remarks);
    page.overdue(month);
    Ok(format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{0}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{0}</h1>\n\
         <p class=\"what\">Cases closed from {1} to {2}. A case is a ticket, or several that continue \
         each other; it belongs to the month in which the last of them was closed.</p>\n{3}</main>\n\
         <footer><p>Local codes and licensed practice prevail over anything this page says.</p></footer>\n\
         </body>\n</html>\n",
        html(&title),
        month.from,
        month.to,
        page.text
    ))
}

impl Page {
    fn numbers(&mut self, month: &Month) {
        let now = &month.numbers;
        self.text += "<dl class=\"numbers\">\n";
        for (name, value) in [
            ("Cases", now.cases.to_string()),
            ("Fixed at first try", part(now.first_try, now.tried)),
            ("Handed on", part(now.handed_on, now.stated)),
            ("Median time to close", minutes(now.median_minutes)),
        ] {
            self.text += &format!("<div><dt>{name}</dt><dd>{value}</dd></div>\n");
        }
        self.text += "</dl>\n";
        self.para(&format!(
            "Fixed at first try: of {} with a listed fix tried, those that the first one ended and \
             that did not come back. Handed on: of {} whose last ticket says how it ended. Time to \
             close: from the first opening to the last closing.",
            counted(now.tried, "case"),
            counted(now.stated, "case")
        ));
    }

    fn symptoms(&mut self, month: &Month) -> Result<(), NotDrawn> {
        self.section(
            "Cases by symptom",
            "Each article's cases, most first; “so far” adds them up as a part of all.",
        );
        if month.numbers.cases == 0 {
            self.para("No cases.");
            return Ok(());
        }
        let shown = &month.symptoms[..month.symptoms.len().min(SYMPTOMS)];
        let bars: Vec<Bar> = shown
            .iter()
            .enumerate()
            .map(|(at, symptom)| Bar {
                name: (at + 1).to_string(),
                all: symptom.cases as f64,
                part: symptom.cases as f64,
            })
            .collect();
        let svg = upright(
            "Cases by symptom",
            ("place in the table below", "cases"),
            &bars,
        )?;
        self.figure(
            "Bars: cases by symptom, most first, as in the table below",
            &svg,
        );
        let mut sum = 0;
        let mut rows: Vec<Vec<String>> = Vec::new();
        for (at, symptom) in shown.iter().enumerate() {
            sum += symptom.cases;
            rows.push(vec![
                (at + 1).to_string(),
                symptom.title.clone(),
                symptom.cases.to_string(),
                part(sum, month.numbers.cases),
            ]);
        }
        let rest = month.numbers.cases - sum;
        if rest > 0 {
            let others = month.symptoms.len() - shown.len();
            let row = [
                String::new(),
                counted(others as u64, "other"),
                rest.to_string(),
                "100 %".to_owned(),
            ];
            rows.push(row.to_vec());
        }
        self.table(&["No.#", "Symptom", "Cases#", "So far#"], &rows);
        Ok(())
    }

    fn times(&mut self, month: &Month) -> Result<(), NotDrawn> {
        self.section(
            "Time to close",
            "From the first opening to the last closing of a case, where tickets state both.",
        );
        let bars: Vec<Bar> = month
            .spans
            .iter()
            .map(|(name, count)| Bar {
                name: name.trim_start_matches("up to ").to_owned(),
                all: *count as f64,
                part: *count as f64,
            })
            .collect();
        let below = "from opening to closing, up to";
        let svg = upright("Time to close", (below, "cases"), &bars)?;
        self.figure("Bars: cases by time from opening to closing", &svg);
        let rows: Vec<Vec<String>> = month
            .spans
            .iter()
            .map(|(name, count)| vec![name.clone(), count.to_string()])
            .collect();
        self.table(&["Time", "Cases#"], &rows);
        Ok(())
    }

    fn course(&mut self, month: &Month) -> Result<(), NotDrawn> {
        self.section(
            "The year so far",
            "The same figures for each of the last twelve months with cases. First: fixed at first \
             try. On: handed on.",
        );
        let drawn = |title: &str, value: &dyn Fn(&Numbers) -> f64| {
            let bars: Vec<Bar> = month
                .months
                .iter()
                .map(|(first, numbers)| Bar {
                    name: first.to_string()[..7].to_owned(),
                    all: 100.0,
                    part: value(numbers),
                })
                .collect();
            upright(title, ("month", "percent"), &bars)
        };
        let first = drawn("Fixed at first try", &|n| hundredths(n.first_try, n.tried))?;
        self.figure(
            "Bars: part fixed at first try, month by month, as in the table below",
            &first,
        );
        let on = drawn("Handed on", &|n| hundredths(n.handed_on, n.stated))?;
        self.figure(
            "Bars: part handed on, month by month, as in the table below",
            &on,
        );
        let rows: Vec<Vec<String>> = month
            .months
            .iter()
            .map(|(first, n)| {
                vec![
                    first.to_string()[..7].to_owned(),
                    n.cases.to_string(),
                    part(n.first_try, n.tried),
                    part(n.handed_on, n.stated),
                    minutes(n.median_minutes),
                ]
            })
            .collect();
        self.table(&["Month", "Cases#", "First#", "On#", "Median time#"], &rows);
        Ok(())
    }

    fn unwritten(&mut self, month: &Month) {
        self.section(
            "What no article covers",
            "Groups of like cases of the last twelve months, named by the words that set them apart. \
             Minutes are those recorded, or the minutes of handing on where none are.",
        );
        let rows: Vec<Vec<String>> = month
            .unwritten
            .groups
            .iter()
            .take(ROWS)
            .map(|group| {
                vec![
                    group.names.join(", "),
                    cases(group.cases),
                    format!("{:.0}", group.minutes_a_month),
                ]
            })
            .collect();
        if rows.is_empty() {
            self.para("No such group.");
        } else {
            self.table(&["Words", "Cases#", "Minutes a month#"], &rows);
        }
    }

    fn drift(&mut self, month: &Month) -> Result<(), NotDrawn> {
        self.section(
            "Fixes that changed",
            "Fixes that work less, or better, since a firmware or a date, compared only where the same \
             had failed before and the device is the same. Points: hundredths of all tries, with the \
             95 % interval. Significance: the chance of such a difference where nothing changed, \
             adjusted for everything asked; below 0.05 it is shown.",
        );
        if month.drift.changes.is_empty() {
            self.para("None for sure.");
        }
        for change in &month.drift.changes {
            self.para(&format!(
                "{} [{}] {} {}. Significance {}.",
                change.title,
                change.fix,
                change_words(change),
                since(&change.since),
                significance(change.q)
            ));
            let svg = curate_plot::change(change)?;
            self.figure(
                &format!(
                    "Bars: tries month by month, the lower part what worked: {}",
                    change.title
                ),
                &svg,
            );
        }
        Ok(())
    }

    fn rising(&mut self, month: &Month) -> Result<(), NotDrawn> {
        self.section(
            "Symptoms that arrive faster",
            "An article's part of all cases, against the 26 weeks before and the same days a year \
             earlier, four weeks wider on either side; both must show it.",
        );
        if month.rising.rising.is_empty() {
            self.para("None for sure.");
        }
        for rise in &month.rising.rising {
            self.para(&format!(
                "{}: {}. Significance {}.",
                rise.title,
                rise_words(rise),
                significance(rise.q)
            ));
            let svg = curate_plot::rise(rise)?;
            self.figure(&format!("Bars: cases week by week: {}", rise.title), &svg);
        }
        Ok(())
    }

    fn lessons(&mut self, month: &Month) {
        self.section(
            "What to teach callers next",
            "Symptoms whose fix with the largest share a caller may do, without any hazard. Share: the \
             estimated part of the article's cases that the fix ends. Ended: by this fix, this month.",
        );
        let rows: Vec<Vec<String>> = month
            .lessons
            .iter()
            .map(|lesson| {
                vec![
                    lesson.title.clone(),
                    lesson.fix_title.clone(),
                    percent(lesson.share),
                    lesson.cases.to_string(),
                    lesson.ended.to_string(),
                ]
            })
            .collect();
        if rows.is_empty() {
            self.para("None this month.");
        } else {
            self.table(&["Symptom", "Fix", "Share#", "Cases#", "Ended#"], &rows);
        }
    }

    fn backtest(&mut self, backtest: Option<&Backtest>) -> Result<(), NotDrawn> {
        let Some(report) = backtest else {
            return Ok(());
        };
        self.section(
            "Would the answers have been right?",
            "Past cases answered from what was known before them: how often the fix that ended them \
             stood first, and among the first three. Only cases whose article and fix a person recorded.",
        );
        let svg = hits(report)?;
        self.figure(
            "Lines: part of cases whose fix stood first and among the first three, over time",
            &svg,
        );
        Ok(())
    }

    fn remarks(&mut self, remarks: &[Remark]) {
        self.section(
            "Open remarks",
            "What people said is wrong and nobody has closed yet, newest first.",
        );
        let rows: Vec<Vec<String>> = remarks
            .iter()
            .rev()
            .take(ROWS)
            .map(|remark| {
                let about = remark.fix.as_ref().map(ToString::to_string);
                let about = about.or_else(|| remark.article.as_ref().map(ToString::to_string));
                vec![
                    remark.number.to_string(),
                    about.unwrap_or_default(),
                    remark.text().to_owned(),
                ]
            })
            .collect();
        if rows.is_empty() {
            self.para("None.");
        } else {
            self.table(&["No.#", "About", "Remark"], &rows);
        }
    }

    fn overdue(&mut self, month: &Month) {
        self.section(
            "Overdue reviews",
            "Articles that nobody has read against the product for longer than the knowledge base allows.",
        );
        let rows: Vec<Vec<String>> = month
            .overdue
            .iter()
            .take(ROWS)
            .map(|one| {
                let reviewed = one
                    .reviewed
                    .map_or_else(|| "never".to_owned(), |day| day.to_string());
                vec![
                    one.article.to_string(),
                    reviewed,
                    one.owner.clone().unwrap_or_default(),
                ]
            })
            .collect();
        if rows.is_empty() {
            self.para("None.");
        } else {
            self.table(&["Article", "Reviewed", "Owner"], &rows);
        }
        if month.overdue.len() > ROWS {
            self.para(&format!("And {} more.", month.overdue.len() - ROWS));
        }
    }
}
