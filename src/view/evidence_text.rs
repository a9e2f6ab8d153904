//! The evidence table as text for a terminal.

use super::answer::Basis;
use super::curate_text::WIDTH;
use super::evidence_table::{ArticleTable, EvidenceTable, FixRow};
use super::markdown::options;
use super::numbers::counted;
use super::percent::percent;
use super::table::lines;
use crate::base::escape::terminal_line;
use crate::base::explain::Explain;
use crate::evidence::Share;

/// The whole table, `width` columns wide.
#[must_use]
pub fn text(table: &EvidenceTable, width: usize) -> String {
    let mut out = String::new();
    for article in &table.articles {
        out.push_str(&article_text(article, width));
        out.push('\n');
    }
    if table.articles.iter().any(|a| !a.fixes.is_empty()) {
        out.push_str(&notes(table, width));
    }
    out.push_str(&format!(
        "{} make {}, as of {}{}.\n",
        tickets(table.tickets),
        counted(table.cases, "case"),
        table.as_of,
        table
            .evidence_to
            .map_or(String::new(), |to| format!(", the newest closed on {to}")),
    ));
    if table.ignored_later > 0 {
        out.push_str(&format!(
            "Closed later and not counted: {}.\n",
            tickets(table.ignored_later)
        ));
    }
    for orphan in &table.orphans {
        out.push_str(&format!(
            "Orphaned evidence: `{}` is in no article any more; it fixed {} of {} tries.\n",
            terminal_line(&orphan.fix),
            orphan.resolved,
            orphan.tries
        ));
    }
    for (article, tickets) in &table.gone_articles {
        out.push_str(&format!(
            "Not served: tickets name the article `{}` {tickets} times.\n",
            terminal_line(article.as_str())
        ));
    }
    for moved in &table.moved {
        out.push_str(&textwrap::fill(
            &terminal_line(&moved.to_string()),
            options(width),
        ));
        out.push('\n');
    }
    out
}

/// What the columns mean.
fn notes(table: &EvidenceTable, width: usize) -> String {
    let mut notes =
        "Range: 95 % range of fixed/tries, in percent. Share: the estimated part of the \
        article's cases that the fix ends, with its 90 % range."
            .to_owned();
    let mut fixes = table.articles.iter().flat_map(|article| &article.fixes);
    if fixes.any(|fix| !fix.shared_with.is_empty()) {
        notes.push_str(
            " *: the fix is also in other articles, and what was fixed and tried there is \
             counted here too.",
        );
    }
    textwrap::fill(&notes, options(width)) + "\n\n"
}

fn article_text(article: &ArticleTable, width: usize) -> String {
    if article.fixes.is_empty() {
        return format!(
            "{}\n{}: {}, no fixes to count\n",
            terminal_line(&article.title),
            article.id,
            tickets(article.cases)
        );
    }
    let basis = match article.basis {
        Basis::Tickets => "shares from tickets",
        Basis::Author => "too few cases yet, author's order",
    };
    let mut rows: Vec<Vec<String>> = article.fixes.iter().map(fix_row).collect();
    if let Some(other) = article.other {
        rows.push(vec![
            "none of these".to_owned(),
            String::new(),
            String::new(),
            String::new(),
            share(other),
        ]);
    }
    let head = [
        "fix",
        "fixed",
        "tries",
        "range",
        "share (90 %)",
        "min",
        "who",
    ];
    let head: Vec<String> = head.iter().map(|h| (*h).to_owned()).collect();
    format!(
        "{}\n{}: {}, {basis}\n\n{}\n",
        terminal_line(&article.title),
        article.id,
        tickets(article.cases),
        lines(&head, &rows, width).join("\n")
    )
}

fn tickets(number: u64) -> String {
    counted(number, "ticket")
}

fn fix_row(row: &FixRow) -> Vec<String> {
    let interval = if row.tries == 0 {
        "-".to_owned()
    } else {
        format!("{}-{}", whole(row.raw_low), whole(row.raw_high))
    };
    vec![
        format!(
            "{} [{}]{}",
            terminal_line(&row.title),
            row.id.short(),
            if row.shared_with.is_empty() { "" } else { "*" }
        ),
        row.resolved.to_string(),
        row.tries.to_string(),
        interval,
        row.share.map_or_else(|| "-".to_owned(), share),
        format!("{:.0}", row.minutes),
        row.who.clone(),
    ]
}

fn share(share: Share) -> String {
    format!(
        "{} ({}-{})",
        percent(share.share),
        whole(share.low),
        whole(share.high)
    )
}

fn whole(part: f64) -> String {
    format!("{:.0}", part * 100.0)
}

/// A tree of reasons, indented.
#[must_use]
pub fn reasons(explain: &Explain) -> String {
    let mut out = String::new();
    add_reasons(explain, 0, &mut out);
    out
}

fn add_reasons(explain: &Explain, depth: usize, out: &mut String) {
    let mut before = format!("{}{:>8.4}  ", "  ".repeat(depth), explain.value);
    let words = terminal_line(&explain.words);
    for line in textwrap::wrap(&words, options(WIDTH - before.len())) {
        out.push_str(&format!("{before}{line}\n"));
        before = " ".repeat(before.len());
    }
    for part in &explain.parts {
        add_reasons(part, depth + 1, out);
    }
}
