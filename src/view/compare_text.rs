//! What a change of the articles means, as text for a terminal.

use super::curate_text::Lines;
use super::numbers::{counted, counted_as};
use crate::base::escape::terminal_line;
use crate::base::ids::FixId;
use crate::base::problem::Problem;
use crate::curate::compare::{Changed, Fate, Part, Protection, Report};
use crate::curate::wording::marked;

/// Moved answers shown.
const MOVED: usize = 20;

/// The report: what protects people first.
#[must_use]
pub fn compare(report: &Report) -> String {
    let mut out = Lines::default();
    removals(report, &mut out);
    faults(&report.faults, ("new error", "NEW"), &mut out);
    faults(&report.mended, ("error", "OLD that NEW has not"), &mut out);
    if report.articles.is_empty() {
        out.para("No article changed.");
    } else {
        let changed = report.articles.len() as u64;
        out.para(&format!("{} changed.", counted(changed, "article")));
    }
    for dropped in &report.dropped {
        let words = format!(
            "Dropped: {} [{}]. It ended {} of {}.",
            terminal_line(&dropped.title),
            dropped.fix,
            dropped.ended,
            counted_as(dropped.tries, "try", "tries")
        );
        out.hanging(&words, "", "  ");
    }
    for (name, tries) in &report.orphaned {
        let words = format!(
            "Orphaned evidence: tickets name `{}` {}.",
            terminal_line(name),
            counted(*tries, "time")
        );
        out.hanging(&words, "", "  ");
    }
    for article in &report.articles {
        out.blank();
        one(article, &mut out);
    }
    moved(report, &mut out);
    out.text
}

fn removals(report: &Report, out: &mut Lines) {
    if report.removals.is_empty() {
        out.para("Nothing that protects people was removed.");
        return;
    }
    let number = counted(report.removals.len() as u64, "protection");
    out.para(&format!("LOOK FIRST: {number} removed or weakened."));
    for removal in &report.removals {
        let what = match removal.what {
            Protection::Danger => "danger",
            Protection::StopWord => "stop-word",
            Protection::Saying => "saying",
            Protection::DoNow => "do now",
            Protection::Hazard => "hazard",
            Protection::Caution => "caution",
            Protection::Role => "role",
            Protection::FirstStep => "first step",
            Protection::After => "after",
        };
        let words = format!(
            "{what}: {}: {}",
            removal.place,
            terminal_line(&removal.words)
        );
        out.hanging(&words, "  ! ", "    ");
    }
    out.blank();
}

/// Errors, what one of them is called, and the side they are of.
fn faults(faults: &[Problem], (one, side): (&str, &str), out: &mut Lines) {
    if faults.is_empty() {
        return;
    }
    let errors = counted(faults.len() as u64, one);
    out.para(&format!(
        "{errors} in {side}; what has an error is not served."
    ));
    for fault in faults {
        let file = fault.place.file.to_string_lossy().replace('\\', "/");
        let words = format!("{file}:{}: {}", fault.place.line, fault.message);
        out.hanging(&terminal_line(&words), "  ", "    ");
    }
    out.blank();
}

fn one(article: &Changed, out: &mut Lines) {
    let fate = match article.fate {
        Fate::New => "new",
        Fate::Gone => "no longer served",
        Fate::Changed => "changed",
    };
    let cases = counted(article.cases, "case");
    let head = format!(
        "{} [{}]: {fate}, {cases}",
        terminal_line(&article.title),
        article.id
    );
    out.hanging(&head, "", "  ");
    let ids = |fixes: &[FixId]| {
        fixes
            .iter()
            .map(FixId::as_str)
            .collect::<Vec<_>>()
            .join(", ")
    };
    if !article.removed.is_empty() {
        out.hanging(
            &format!("no longer lists {}", ids(&article.removed)),
            "  ",
            "    ",
        );
    }
    if !article.added.is_empty() {
        out.hanging(&format!("now lists {}", ids(&article.added)), "  ", "    ");
    }
    if let Some((before, after)) = &article.order {
        let short = |fixes: &[FixId]| {
            fixes
                .iter()
                .map(FixId::short)
                .collect::<Vec<_>>()
                .join(", ")
        };
        out.hanging(&format!("order was {}", short(before)), "  ", "    ");
        out.hanging(&format!("order is {}", short(after)), "  ", "    ");
    }
    for part in &article.parts {
        words(part, out);
    }
}

fn words(part: &Part, out: &mut Lines) {
    let marked = marked(&part.words);
    let text = format!("{}: {}", part.name, terminal_line(&marked));
    out.hanging(&text, "  ", "    ");
    if !(part.figures_gone.is_empty() && part.figures_new.is_empty()) {
        let list = |figures: &[String]| {
            if figures.is_empty() {
                "none".to_owned()
            } else {
                terminal_line(&figures.join(", "))
            }
        };
        let figures = format!(
            "figures: {} were, {} are",
            list(&part.figures_gone),
            list(&part.figures_new)
        );
        out.hanging(&figures, "    ", "    ");
    }
}

fn moved(report: &Report, out: &mut Lines) {
    if report.asked == 0 {
        return;
    }
    out.blank();
    let asked = counted(report.asked as u64, "caller");
    out.para(&format!(
        "First answers to the last {asked}: {} moved (both versions answered with the shipped weights).",
        report.moved.len()
    ));
    for moved in report.moved.iter().take(MOVED) {
        let words = format!("{}: {} → {}", moved.ticket, moved.before, moved.after);
        out.hanging(&terminal_line(&words), "  ", "    ");
    }
    if report.moved.len() > MOVED {
        out.para(&format!(
            "  and {} more; `--json` has them all.",
            report.moved.len() - MOVED
        ));
    }
}
