//! `fixtally lint`: what is wrong with the articles.

use super::{Exit, Failure, Session};
use crate::articles::folder;
use crate::articles::lint::any_error;
use crate::base::problem::{Grade, Problem};
use crate::cli::desk::{self, counted};
use crate::cli::problem;
use std::io::Write;

/// Say what is wrong with the articles, the words and the settings
///
/// Every problem is shown with its file, line and column, and with what puts it right. An error
/// keeps the article, or the check or fix it stands in, from being served; a note changes nothing.
///
/// Ends with 1 where there is an error, with --strict where there is anything at all.
/// Example: `fixtally lint --strict`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Let notes count as well
    #[arg(long)]
    strict: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let folder = folder::read(&session.kb, desk::now(session)?)?;
    problem::print(session, &folder.problems)?;
    if !session.json {
        writeln!(session.out(), "{}", summary(&folder.problems, folder.files))?;
    }
    let strict = args.strict && !folder.problems.is_empty();
    Ok(Exit::findings_if(strict || any_error(&folder.problems)))
}

fn summary(problems: &[Problem], files: usize) -> String {
    let errors = problems.iter().filter(|p| p.grade == Grade::Error).count();
    let notes = problems.len() - errors;
    format!(
        "{}, {} in {}",
        counted(errors as u64, "error"),
        counted(notes as u64, "note"),
        counted(files as u64, "article")
    )
}
