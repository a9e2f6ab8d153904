//! The questions, one ticket after the other, on a terminal or through a pipe.

use super::super::readings::{lines, result_name};
use super::{Answered, Failure, Session, Waiting};
use crate::articles::Catalog;
use crate::base::escape::terminal_line;
use crate::base::ids::ArticleId;
use crate::cli::ledger;
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::record::UNLISTED;
use crate::tickets::{Confirmed, Confirms, Try};
use jiff::tz::TimeZone;
use std::io::{BufRead, Write};

use super::answers::{self, Wrong};

/// What the answers mean.
const HELP: &str = "accept: it is as read. correct: say how it was. reject: nothing of what was read is so. \
    later: ask again another time. quit: leave the rest for later.";

/// What one answer line was.
enum Answer {
    Said(Confirmed),
    Rejected,
    Later,
    Quit,
}

/// Asks for each; every answer is kept at once.
pub(super) fn ask(
    waiting: &[Waiting],
    store: &mut SqliteLedger,
    catalog: &Catalog,
    session: &Session,
) -> Result<Answered, Failure> {
    let mut input = std::io::stdin().lock();
    let mut out = session.out();
    let mut done = Answered::default();
    for (at, one) in waiting.iter().enumerate() {
        show(one, (at + 1, waiting.len()), &mut out)?;
        let said = match answer(one, catalog, &mut input, &mut out)? {
            Answer::Said(said) => {
                done.confirmed += 1;
                said
            }
            Answer::Rejected => {
                done.rejected += 1;
                Confirmed::default()
            }
            Answer::Later => {
                done.later += 1;
                continue;
            }
            Answer::Quit => {
                done.later += (waiting.len() - at) as u64;
                break;
            }
        };
        let said = [(one.ticket.id.clone(), Some(said))];
        store.confirm(&said).map_err(ledger::failure)?;
    }
    Ok(done)
}

fn show(one: &Waiting, (at, of): (usize, usize), out: &mut impl Write) -> std::io::Result<()> {
    let Waiting { ticket, reading } = one;
    let closed = TimeZone::UTC.to_datetime(ticket.closed).date();
    let outcome = ticket.outcome.map_or("", super::super::list::name);
    let id = terminal_line(ticket.id.as_str());
    writeln!(out, "{id}  {closed}  {outcome}  ({at} of {of})")?;
    let recorded = ticket.article.as_ref().map(ToString::to_string);
    for (label, text) in [
        ("article", recorded.as_ref()),
        ("said", ticket.said.as_ref()),
        ("notes", ticket.notes.as_ref()),
    ] {
        if let Some(text) = text {
            paragraph(label, &terminal_line(text), out)?;
        }
    }
    let read = lines(reading);
    if read.is_empty() {
        paragraph("read", "nothing", out)?;
    }
    for (at, line) in read.iter().enumerate() {
        paragraph(if at == 0 { "read" } else { "" }, line, out)?;
    }
    Ok(())
}

fn paragraph(label: &str, text: &str, out: &mut impl Write) -> std::io::Result<()> {
    let first = format!("{label:<9}");
    let options = textwrap::Options::new(80)
        .initial_indent(&first)
        .subsequent_indent("         ");
    for line in textwrap::wrap(text, options) {
        writeln!(out, "{}", line.trim_end())?;
    }
    Ok(())
}

/// One line of input after a prompt; none at the end of the input.
fn prompt(
    words: &str,
    input: &mut impl BufRead,
    out: &mut impl Write,
) -> std::io::Result<Option<String>> {
    write!(out, "{words} > ")?;
    out.flush()?;
    let mut line = String::new();
    if input.read_line(&mut line)? == 0 {
        writeln!(out)?;
        return Ok(None);
    }
    Ok(Some(line.trim().to_owned()))
}

fn answer(
    one: &Waiting,
    catalog: &Catalog,
    input: &mut impl BufRead,
    out: &mut impl Write,
) -> std::io::Result<Answer> {
    loop {
        let keys = "a accept, c correct, r reject, l later, q quit";
        let Some(typed) = prompt(keys, input, out)? else {
            return Ok(Answer::Quit);
        };
        match typed.to_lowercase().as_str() {
            "a" | "accept" => return Ok(Answer::Said(answers::as_read(&one.reading))),
            "r" | "reject" => return Ok(Answer::Rejected),
            "l" | "later" => return Ok(Answer::Later),
            "q" | "quit" => return Ok(Answer::Quit),
            "c" | "correct" => {
                return Ok(match correct(one, catalog, input, out)? {
                    Some(said) => Answer::Said(said),
                    None => Answer::Quit,
                });
            }
            "h" | "help" | "?" => paragraph("", HELP, out)?,
            _ => writeln!(
                out,
                "expected one of these letters or words; `help` says more"
            )?,
        }
    }
}

/// Asks how it was; none at the end of the input.
fn correct(
    one: &Waiting,
    catalog: &Catalog,
    input: &mut impl BufRead,
    out: &mut impl Write,
) -> std::io::Result<Option<Confirmed>> {
    let read = answers::as_read(&one.reading);
    let article = if one.ticket.article.is_some() {
        None
    } else {
        let Some(article) = article(read.article, catalog, input, out)? else {
            return Ok(None);
        };
        article
    };
    let of = one.ticket.article.as_ref().or(article.as_ref()).cloned();
    let tries = tries(read.tries, of.as_ref(), catalog, input, out)?;
    Ok(tries.map(|tries| Confirmed { article, tries }))
}

fn article(
    read: Option<ArticleId>,
    catalog: &Catalog,
    input: &mut impl BufRead,
    out: &mut impl Write,
) -> std::io::Result<Option<Option<ArticleId>>> {
    let kept = read.as_ref().map_or("none", |article| article.as_str());
    let words =
        format!("article: Enter keeps {kept}, `{UNLISTED}` where none covers it, - for not known");
    loop {
        let Some(typed) = prompt(&words, input, out)? else {
            return Ok(None);
        };
        match typed.as_str() {
            "" => return Ok(Some(read)),
            "-" => return Ok(Some(None)),
            id => match answers::article(id, catalog) {
                Ok(article) => return Ok(Some(Some(article))),
                Err(wrong) => tell(&wrong, out)?,
            },
        }
    }
}

fn tries(
    read: Vec<Try>,
    article: Option<&ArticleId>,
    catalog: &Catalog,
    input: &mut impl BufRead,
    out: &mut impl Write,
) -> std::io::Result<Option<Vec<Try>>> {
    let fixes = article.and_then(|article| catalog.fixes_of.get(article));
    for fix in fixes.into_iter().flatten() {
        let title = catalog.fixes.get(fix).map_or("", |fix| fix.title.as_str());
        writeln!(out, "         {}: {}", fix.short(), terminal_line(title))?;
    }
    let words =
        "tries: FIX=resolved|no-change|not-possible, with commas; Enter keeps them, - for none";
    loop {
        let Some(typed) = prompt(words, input, out)? else {
            return Ok(None);
        };
        match typed.as_str() {
            "" => return Ok(Some(read)),
            "-" => return Ok(Some(Vec::new())),
            typed => match answers::tries(typed, article, catalog) {
                Ok(tries) => {
                    for one in &tries {
                        writeln!(out, "         {}: {}", one.fix, result_name(one.result))?;
                    }
                    return Ok(Some(tries));
                }
                Err(wrong) => tell(&wrong, out)?,
            },
        }
    }
}

fn tell(wrong: &Wrong, out: &mut impl Write) -> std::io::Result<()> {
    writeln!(out, "{}", terminal_line(&wrong.message))?;
    if let Some(help) = &wrong.help {
        writeln!(out, "{}", terminal_line(help))?;
    }
    Ok(())
}
