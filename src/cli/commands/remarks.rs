//! `fixtally remarks`: what people say is wrong.

use super::{Exit, Failure, Session};
use crate::base::escape::terminal_line;
use crate::cli::{desk, ledger};
use crate::evidence::cases::day;
use crate::tickets::Remark;
use crate::tickets::store::Remarks;
use jiff::Timestamp;
use std::collections::BTreeMap;

/// List what people say is wrong in the articles, and close it
///
/// Remarks are left in a call, `remark: step 3 comes too late`, on the fix or the article at hand.
/// Open ones are listed by article, oldest first. Exit code 1: there are open ones.
/// Example: `fixtally remarks --close 3 4`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Close these remarks, by their numbers: all of them or none
    #[arg(long, value_name = "N", num_args = 1..)]
    close: Vec<u64>,
    /// List closed ones too
    #[arg(long)]
    all: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    // Refuses a folder that is no knowledge base before anything is made in it.
    desk::now(session)?;
    let mut store = ledger::open(session)?;
    if !args.close.is_empty() {
        let missing = store
            .close_remarks(&args.close, Timestamp::now())
            .map_err(ledger::failure)?;
        if !missing.is_empty() {
            let numbers: Vec<String> = missing.iter().map(ToString::to_string).collect();
            return Err(Failure::new(format!(
                "no open remark {}; nothing was closed",
                numbers.join(", ")
            ))
            .hint("fixtally remarks"));
        }
    }
    let mut remarks = store.remarks().map_err(ledger::failure)?;
    remarks.retain(|r| args.all || r.closed.is_none());
    session.print(&remarks, || text(&remarks))?;
    let open = remarks.iter().any(|r| r.closed.is_none());
    Ok(Exit::findings_if(open && args.close.is_empty()))
}

fn text(remarks: &[Remark]) -> String {
    if remarks.is_empty() {
        return "No remarks.\n".to_owned();
    }
    let mut by_article: BTreeMap<String, Vec<&Remark>> = BTreeMap::new();
    for remark in remarks {
        let article = remark.article.as_ref();
        let article = article.map_or_else(|| "no article".to_owned(), ToString::to_string);
        by_article.entry(article).or_default().push(remark);
    }
    let mut lines = Vec::new();
    for (article, remarks) in by_article {
        lines.push(terminal_line(&article));
        for remark in remarks {
            let first = format!("{:>4}  ", remark.number);
            let on = remark
                .fix
                .as_ref()
                .map_or_else(String::new, |fix| format!("on {}: ", fix.short()));
            let case = remark
                .case
                .as_ref()
                .map_or_else(String::new, |case| format!(", {case}"));
            let closed = remark
                .closed
                .map_or_else(String::new, |at| format!(", closed {}", day(at)));
            let words = format!("{on}{} ({}{case}{closed})", remark.text(), day(remark.at));
            let options = textwrap::Options::new(80)
                .initial_indent(&first)
                .subsequent_indent("      ")
                .word_splitter(textwrap::WordSplitter::NoHyphenation);
            let words = terminal_line(&words);
            let wrapped = textwrap::wrap(&words, options);
            lines.extend(wrapped.into_iter().map(std::borrow::Cow::into_owned));
        }
    }
    lines.join("\n") + "\n"
}
