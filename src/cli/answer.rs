//! The answer on a terminal: 80 columns, readable without colour, the answer first.

use crate::base::escape::terminal_line;
use crate::view::answer::{Answer, Basis, CheckLine, FixLine};
use crate::view::percent;
use crate::view::table::cut;
use anstyle::Style;
use std::io::{self, Write};
use unicode_width::UnicodeWidthStr;

const WIDTH: usize = 80;
const BOLD: Style = Style::new().bold();
const ALARM: Style = Style::new().bold().invert();
const FAINT: Style = Style::new().dimmed();

/// Prints the answer.
///
/// # Errors
/// Where standard output cannot be written.
pub(super) fn print(out: &mut impl Write, answer: &Answer) -> io::Result<()> {
    if !answer.danger.is_empty() {
        return print_danger(out, answer);
    }
    for asked in &answer.ask_first {
        writeln!(
            out,
            "{ALARM} ASK FIRST {ALARM:#} {BOLD}{}{BOLD:#}",
            terminal_line(&asked.title)
        )?;
        wrapped(
            out,
            "  ",
            &format!(
                "\"{}\" was said, perhaps not as a fact: make sure of it before anything else.",
                asked.why
            ),
        )?;
    }
    if let Some(ask) = answer.hardly_known {
        wrapped(out, "", ask)?;
    }
    print_articles(out, answer)?;
    if answer.fixes.is_empty() {
        writeln!(
            out,
            "\nNo fix is known for this. Say more, or hand the case on."
        )?;
    } else {
        writeln!(out)?;
        print_fixes(out, answer)?;
    }
    writeln!(out)?;
    if let Some(check) = &answer.next_check {
        print_check(out, check)?;
    }
    if let Some(stop) = &answer.stop {
        wrapped(out, "Hand on:  ", &stop.why)?;
    }
    // Beside no fix at all the figure would leave open what the rest is.
    if !answer.fixes.is_empty() {
        writeln!(
            out,
            "No article covers it: {}",
            percent::chance(answer.unlisted)
        )?;
    }
    if !answer.similar.is_empty() {
        wrapped(out, "Cases like it: ", &answer.similar.join(", "))?;
    }
    writeln!(
        out,
        "{FAINT}Local codes and licensed practice prevail.{FAINT:#}"
    )
}

fn print_danger(out: &mut impl Write, answer: &Answer) -> io::Result<()> {
    for danger in &answer.danger {
        writeln!(
            out,
            "{ALARM} STOP - DANGER {ALARM:#} {BOLD}{}{BOLD:#}",
            terminal_line(&danger.title)
        )?;
        wrapped(out, "  ", &danger.why)?;
        writeln!(out, "\nDo now:")?;
        for (i, step) in danger.do_now.iter().enumerate() {
            wrapped(out, &format!("  {}. ", i + 1), step)?;
        }
        writeln!(out)?;
    }
    let ids: Vec<String> = answer
        .danger
        .iter()
        .map(|d| format!("--not-danger {}", d.id))
        .collect();
    wrapped(
        out,
        "",
        "Nothing else is offered until somebody on site says that it does not apply:",
    )?;
    writeln!(out, "  ask again with {}", ids.join(" "))
}

fn print_articles(out: &mut impl Write, answer: &Answer) -> io::Result<()> {
    for article in &answer.articles {
        let chance = percent::chance(article.chance);
        let title = cut(&terminal_line(&article.title), WIDTH - 8);
        writeln!(out, "{chance:>5}  {BOLD}{title}{BOLD:#}")?;
    }
    Ok(())
}

fn print_fixes(out: &mut impl Write, answer: &Answer) -> io::Result<()> {
    let mut beyond = false;
    for (i, fix) in answer.fixes.iter().enumerate() {
        if let Some(stop) = &answer.stop
            && i == stop.after
            && fix.allowed
            && i > 0
        {
            writeln!(
                out,
                "{FAINT}    -- from here handing on is cheaper --{FAINT:#}"
            )?;
        }
        if !fix.allowed && !beyond {
            beyond = true;
            writeln!(out, "{FAINT}    -- not for this role --{FAINT:#}")?;
        }
        print_fix(out, fix)?;
    }
    Ok(())
}

fn print_fix(out: &mut impl Write, fix: &FixLine) -> io::Result<()> {
    let chance = match fix.basis {
        Basis::Tickets => percent::chance(fix.chance),
        Basis::Author => "-".to_owned(),
    };
    let minutes = format!("{:.0} min", fix.minutes);
    let title = cut(&terminal_line(&fix.title), WIDTH - 22);
    let gap = WIDTH - 20 - title.width().min(WIDTH - 20);
    writeln!(
        out,
        "{:>2}. {BOLD}{title}{BOLD:#}{:gap$}{chance:>6} {minutes:>9}",
        fix.rank, ""
    )?;
    let proof = match (fix.basis, fix.tries) {
        (Basis::Author, _) => "no cases yet, author's order".to_owned(),
        (Basis::Tickets, 0) => "never tried yet".to_owned(),
        (Basis::Tickets, 1) => format!("fixed {} of 1 try", fix.resolved),
        (Basis::Tickets, tries) => format!("fixed {} of {tries} tries", fix.resolved),
    };
    let mut words = vec![proof, fix.who.clone()];
    if !fix.hazards.is_empty() {
        words.push(format!("HAZARD: {}", fix.hazards.join(", ")));
    }
    if !fix.after.is_empty() {
        let short = |id: &String| id.rsplit('#').next().unwrap_or(id).to_owned();
        words.push(format!(
            "after {}",
            fix.after.iter().map(short).collect::<Vec<_>>().join(", ")
        ));
    }
    writeln!(
        out,
        "    {FAINT}{}{FAINT:#}",
        cut(&terminal_line(&words.join(" · ")), WIDTH - 4)
    )?;
    Ok(())
}

fn print_check(out: &mut impl Write, check: &CheckLine) -> io::Result<()> {
    let hazards = if check.hazards.is_empty() {
        String::new()
    } else {
        format!(", HAZARD: {}", check.hazards.join(", "))
    };
    let text = format!(
        "{} ({}) - {:.0} min, {}{hazards}, saves {:.0} min [{}]",
        check.question,
        check.answers.join(" / "),
        check.minutes,
        check.who,
        check.saves_minutes.round(),
        check.id
    );
    wrapped(out, "Ask next: ", &text)
}

/// Prints a text behind a first word, wrapped, the following lines indented below it.
pub(super) fn wrapped(out: &mut impl Write, first: &str, text: &str) -> io::Result<()> {
    let indent = " ".repeat(first.width());
    let options = textwrap::Options::new(WIDTH)
        .initial_indent(first)
        .subsequent_indent(&indent)
        // Ids and options are copied by hand or mouse and stay whole.
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    for line in textwrap::wrap(&terminal_line(text), options) {
        writeln!(out, "{line}")?;
    }
    Ok(())
}
