//! The lead tech's reports as text for a terminal: what was found first, then what the words mean.

use super::markdown::wrap;
use super::numbers::{counted, counted_as};
use super::percent::percent;
use crate::base::escape::terminal_line;
use crate::base::ids::TicketId;
use crate::curate::drift::{self, Change, Side, Since};
use crate::curate::rising::{self, Part, Rise};
use crate::curate::unwritten::{self, Group};

/// Columns.
pub(super) const WIDTH: usize = 80;

/// Groups shown unless all are asked for.
const GROUPS: usize = 10;

/// What no article covers.
#[must_use]
pub fn unwritten(report: &unwritten::Report, all: bool) -> String {
    let mut out = Lines::default();
    if report.groups.is_empty() {
        out.para(&format!(
            "No group of like cases that no article covers, in {} of the {} to {}.",
            counted(report.cases, "case"),
            months(report.months),
            report.as_of
        ));
        return out.text;
    }
    let minutes: f64 = report
        .groups
        .iter()
        .map(|group| group.minutes_a_month)
        .sum();
    out.para(&format!(
        "{} that no article covers, in the {} to {}. They cost about {minutes:.0} of the {:.0} \
         minutes a month that such cases take.",
        counted_as(
            report.groups.len() as u64,
            "group of like cases",
            "groups of like cases"
        ),
        months(report.months),
        report.as_of,
        report.minutes_a_month
    ));
    let shown = if all { report.groups.len() } else { GROUPS };
    for (at, group) in report.groups.iter().enumerate().take(shown) {
        out.blank();
        out.group(at + 1, group);
    }
    out.blank();
    if report.groups.len() > shown {
        let more = report.groups.len() - shown;
        out.para(&format!("{more} more with less cost: `--all` shows them."));
    }
    out.para("Begin an article from one of them: `fixtally unwritten --start 1`.");
    out.para(
        "Minutes: those recorded, or the minutes of handing on where none are. Uncertain cases count \
         by their chance to be covered by nothing, so numbers of cases may be broken.",
    );
    if report.every > 1 {
        out.para(&format!(
            "Of the uncertain cases one in {} was looked at and stands for all.",
            report.every
        ));
    }
    out.text
}

/// Fixes that changed.
#[must_use]
pub fn drift(report: &drift::Report) -> String {
    let mut out = Lines::default();
    let asked = format!(
        "{} about {}",
        counted(report.questions as u64, "question"),
        counted_as(report.fixes as u64, "fix", "fixes")
    );
    if report.changes.is_empty() {
        out.para(&format!(
            "No fix changed for sure, as of {}: {asked}.",
            report.as_of
        ));
    } else {
        let count = counted_as(report.changes.len() as u64, "fix", "fixes");
        out.para(&format!(
            "{count} changed, as of {}: {asked}.",
            report.as_of
        ));
    }
    for change in &report.changes {
        out.blank();
        out.change(change);
    }
    if !report.changes.is_empty() {
        out.blank();
        out.para(
            "Points: hundredths of all tries, with the 95 % interval. Tries are compared only where \
             the same had failed before them and the device is the same, so that a changed order is no \
             finding. Significance: the chance of such a difference where nothing changed, adjusted \
             for all questions; below 0.05 it is shown.",
        );
    }
    out.text
}

/// Symptoms that arrive faster.
#[must_use]
pub fn rising(report: &rising::Report) -> String {
    let mut out = Lines::default();
    let asked = format!(
        "{} about {}",
        counted(report.questions as u64, "question"),
        counted(report.articles as u64, "article")
    );
    if report.rising.is_empty() {
        out.para(&format!(
            "No symptom arrives faster for sure, as of {}: {asked}.",
            report.as_of
        ));
    } else {
        let symptoms = match report.rising.len() {
            1 => "1 symptom arrives".to_owned(),
            many => format!("{many} symptoms arrive"),
        };
        out.para(&format!(
            "{symptoms} faster, as of {}: {asked}.",
            report.as_of
        ));
    }
    for rise in &report.rising {
        out.blank();
        out.rise(rise);
    }
    if report.questions > 0 && !report.knows_seasons {
        out.blank();
        out.para("There are no cases of a year ago, so a season may look like a rise.");
    }
    if !report.rising.is_empty() {
        out.blank();
        out.para(
            "Cases are compared as parts of all cases, with the 26 weeks before and with the same days \
             a year earlier, four weeks wider on either side; the less sure comparison counts. \
             Significance: the chance of such a rise where nothing changed, adjusted for all \
             questions; below 0.05 it is shown.",
        );
    }
    out.text
}

/// "of the month to …", "of the 12 months to …".
fn months(months: f64) -> String {
    let number = format!("{months:.0}");
    if number == "1" {
        "month".to_owned()
    } else {
        format!("{number} months")
    }
}

/// A significance as people read it.
pub(super) fn significance(q: f64) -> String {
    if q < 0.0001 {
        "below 0.0001".to_owned()
    } else {
        format!("{q:.4}")
    }
}

/// A number of cases that may be broken.
pub(super) fn cases(number: f64) -> String {
    let whole = (number - number.round()).abs() < 0.05;
    if whole {
        format!("{number:.0}")
    } else {
        format!("{number:.1}")
    }
}

pub(super) fn tickets(ids: &[TicketId]) -> String {
    let ids: Vec<String> = ids.iter().map(|id| terminal_line(id.as_str())).collect();
    ids.join(", ")
}

/// Since when, in words.
pub(super) fn since(since: &Since) -> String {
    match since {
        Since::Date(date) => format!("since {date}"),
        Since::Firmware { version, devices } => {
            format!("since firmware {version} on {}", devices.join(", "))
        }
    }
}

/// "ended 49 of 52 tries before, 11 of 23 since: -46 points (-64 to -24)".
pub(super) fn change_words(change: &Change) -> String {
    let side = |side: Side| {
        format!(
            "{} of {}",
            side.worked,
            counted_as(side.tries, "try", "tries")
        )
    };
    let (difference, low, high) = change.difference;
    format!(
        "ended {} before, {} since: {:+.0} points ({:+.0} to {:+.0})",
        side(change.before),
        side(change.after),
        100.0 * difference,
        100.0 * low,
        100.0 * high
    )
}

/// "36 of 234 cases in the last 28 days; …".
pub(super) fn rise_words(rise: &Rise) -> String {
    let part = |part: Part| {
        let share = percent(part.cases as f64 / (part.of as f64).max(1.0));
        format!("{} of {} ({share})", part.cases, part.of)
    };
    let (times, low, high) = rise.times;
    let high = high.map_or_else(|| "any".to_owned(), |high| format!("{high:.1}"));
    format!(
        "{} in the last {} days, {} in the 26 weeks before, {} around these days a year earlier: \
         ×{times:.1} ({low:.1} to {high})",
        part(rise.now),
        rise.days,
        part(rise.before),
        part(rise.year_before),
    )
}

/// Text that grows line by line.
#[derive(Default)]
pub(super) struct Lines {
    pub(super) text: String,
}

impl Lines {
    pub(super) fn blank(&mut self) {
        self.text.push('\n');
    }

    pub(super) fn para(&mut self, words: &str) {
        self.hanging(words, "", "");
    }

    pub(super) fn hanging(&mut self, words: &str, first: &str, rest: &str) {
        let width = WIDTH - first.chars().count().max(rest.chars().count());
        for (at, line) in wrap(words, width).into_iter().enumerate() {
            let before = if at == 0 { first } else { rest };
            self.text += &format!("{before}{line}\n");
        }
    }

    fn group(&mut self, number: usize, group: &Group) {
        let mark = format!("{number}. ");
        let indent = " ".repeat(mark.len());
        let names = group.names.join(", ");
        let cost = format!("{:.0} minutes a month", group.minutes_a_month);
        self.hanging(&format!("{names}: {cost}"), &mark, &indent);
        let months = format!(
            "{} cases; {:.1} a month in the last 3 months, {:.1} before",
            cases(group.cases),
            group.lately,
            group.earlier
        );
        self.hanging(&months, &indent, &indent);
        for example in &group.examples {
            let said = format!("“{}” {}", example.said, example.ticket);
            self.hanging(&said, &indent, &format!("{indent} "));
        }
        if let Some((article, count)) = group.under.first() {
            let under = format!("{count} recorded under {article}");
            self.hanging(&under, &indent, &indent);
        }
    }

    fn change(&mut self, change: &Change) {
        let title = terminal_line(&change.title);
        self.hanging(&format!("{title} [{}]", change.fix), "", "  ");
        let worse = change.difference.0 < 0.0;
        let how = if worse { "works less" } else { "works better" };
        self.hanging(&format!("{how} {}", since(&change.since)), "  ", "  ");
        self.hanging(&change_words(change), "  ", "  ");
        self.hanging(
            &format!("significance {}", significance(change.q)),
            "  ",
            "  ",
        );
        self.hanging(&format!("see {}", tickets(&change.tickets)), "  ", "  ");
    }

    fn rise(&mut self, rise: &Rise) {
        let title = terminal_line(&rise.title);
        self.hanging(&format!("{title} [{}]", rise.article), "", "  ");
        self.hanging(&rise_words(rise), "  ", "  ");
        self.hanging(
            &format!("significance {}", significance(rise.q)),
            "  ",
            "  ",
        );
        self.hanging(
            &format!("weeks, oldest first: {}", weeks(&rise.weeks)),
            "  ",
            "  ",
        );
        self.hanging(&format!("newest {}", tickets(&rise.tickets)), "  ", "  ");
    }
}

fn weeks(weeks: &[u64]) -> String {
    let numbers: Vec<String> = weeks.iter().map(u64::to_string).collect();
    numbers.join(" ")
}
