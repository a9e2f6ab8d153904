//! Pairs of like articles as text for a terminal.

use super::curate_text::Lines;
use super::numbers::counted;
use super::percent::percent;
use crate::base::escape::terminal_line;
use crate::base::ids::FixId;
use crate::curate::twins::Pair;

/// Pairs shown unless all are asked for.
const PAIRS: usize = 10;

/// Pairs with why they may be one.
#[must_use]
pub fn twins(pairs: &[Pair], all: bool) -> String {
    let mut out = Lines::default();
    if pairs.is_empty() {
        out.para("No two articles say the same.");
        return out.text;
    }
    out.para(&format!(
        "{} of articles may say the same.",
        counted(pairs.len() as u64, "pair")
    ));
    let shown = if all { pairs.len() } else { PAIRS };
    for (at, pair) in pairs.iter().enumerate().take(shown) {
        out.blank();
        one(at + 1, pair, &mut out);
    }
    out.blank();
    if pairs.len() > shown {
        out.para(&format!(
            "{} more, less alike: `--all` shows them.",
            pairs.len() - shown
        ));
    }
    let first = &pairs[0];
    out.para(&format!(
        "Side by side: `fixtally twins {} {}`. One of two: `fixtally twins --merge {} {}`.",
        first.keep, first.other, first.keep, first.other
    ));
    out.para(
        "Alike: the mean of how alike callers' words, titles with symptoms, and the texts are; a fix \
         that both offer does not count.",
    );
    out.text
}

fn one(number: usize, pair: &Pair, out: &mut Lines) {
    let mark = format!("{number}. ");
    let indent = " ".repeat(mark.len());
    let names = format!("{} and {}: {}", pair.keep, pair.other, percent(pair.alike));
    out.hanging(&names, &mark, &indent);
    let titles = format!(
        "“{}” ({}); “{}” ({})",
        terminal_line(&pair.titles.0),
        counted(pair.cases.0, "case"),
        terminal_line(&pair.titles.1),
        counted(pair.cases.1, "case")
    );
    out.hanging(&titles, &indent, &indent);
    let callers = pair.callers.map_or_else(|| "unknown".to_owned(), percent);
    let why = format!(
        "callers {callers}, symptoms {}, text {}; callers say: {}",
        percent(pair.symptoms),
        percent(pair.text),
        pair.words.join(", ")
    );
    out.hanging(&why, &indent, &indent);
    let only = (pair.only.0.len(), pair.only.1.len());
    let fixes = format!(
        "fixes: {} in both{}, {} and {} in one",
        pair.shared.len(),
        listed(&pair.shared),
        only.0,
        only.1
    );
    out.hanging(&fixes, &indent, &indent);
}

fn listed(fixes: &[FixId]) -> String {
    if fixes.is_empty() {
        return String::new();
    }
    let ids: Vec<&str> = fixes.iter().map(FixId::as_str).collect();
    format!(" ({})", ids.join(", "))
}
