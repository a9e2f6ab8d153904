//! `fixtally lint`: what is wrong with the articles.

use super::tickets::maps;
use super::{Exit, Failure, Session};
use crate::articles::folder::{self, Folder};
use crate::articles::lint::any_error;
use crate::articles::mend::{Mended, mended};
use crate::base::escape::terminal_line;
use crate::base::problem::{Grade, Problem};
use crate::cli::desk::{self, counted};
use crate::cli::problem;
use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Say what is wrong with the articles, the words, the maps and the settings
///
/// Every problem is shown with its file, line and column, and with what puts it right. An error
/// keeps the article, or the check or fix it stands in, from being served; a note changes nothing.
///
/// With --mend, slips of the pen in names are put right in the files: keys, attributes, devices,
/// signs, their states and the answers of checks, where only one name can have been meant. Roles,
/// hazards, minutes and order are never touched: they are for a person to decide.
///
/// Ends with 1 where there is an error, with --strict where there is anything at all.
/// Example: `fixtally lint --strict`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Let notes count as well
    #[arg(long)]
    strict: bool,
    /// Put right what can only be a slip of the pen
    #[arg(long)]
    mend: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let mut folder = read(session)?;
    if args.mend {
        let done = mend(&session.kb, &folder.problems)?;
        if !done.is_empty() {
            folder = read(session)?;
        }
        show_mended(session, &done, &folder.problems)?;
    } else {
        problem::print(session, &folder.problems)?;
    }
    if !session.json {
        writeln!(session.out(), "{}", summary(&folder))?;
    }
    let strict = args.strict && !folder.problems.is_empty();
    Ok(Exit::findings_if(strict || any_error(&folder.problems)))
}

/// The knowledge base with all that is wrong with it, its maps included.
fn read(session: &Session) -> Result<Folder, Failure> {
    let mut folder = folder::read(&session.kb, desk::now(session)?)?;
    for known in maps::all(&session.kb)? {
        folder.problems.extend(known.map.err().unwrap_or_default());
    }
    let by_place = |p: &Problem| (p.place.clone(), p.grade);
    folder.problems.sort_by_key(by_place);
    Ok(folder)
}

/// What was put right, by file.
type Done = BTreeMap<PathBuf, Vec<Mended>>;

fn mend(kb: &Path, problems: &[Problem]) -> Result<Done, Failure> {
    let mut by_file: BTreeMap<&Path, Vec<&Problem>> = BTreeMap::new();
    for problem in problems.iter().filter(|p| p.mend.is_some()) {
        by_file
            .entry(&problem.place.file)
            .or_default()
            .push(problem);
    }
    let mut done = Done::new();
    for (file, slips) in by_file {
        let path = kb.join(file);
        let text = std::fs::read_to_string(&path).map_err(|e| Failure::file("read", &path, &e))?;
        let (text, changed) = mended(&text, &slips);
        if !changed.is_empty() {
            replace(&path, &text).map_err(|e| Failure::file("write", &path, &e))?;
            done.insert(file.to_owned(), changed);
        }
    }
    Ok(done)
}

/// Writes a file whole or not at all; who may read it stays as it was.
fn replace(path: &Path, text: &str) -> std::io::Result<()> {
    // A link keeps being one: what it leads to is written.
    let path = path.canonicalize()?;
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut file = tempfile::Builder::new()
        .prefix(".mend-")
        .tempfile_in(folder)?;
    file.write_all(text.as_bytes())?;
    file.as_file()
        .set_permissions(std::fs::metadata(&path)?.permissions())?;
    file.as_file().sync_all()?;
    file.persist(&path).map_err(|e| e.error)?;
    Ok(())
}

fn show_mended(session: &Session, done: &Done, left: &[Problem]) -> Result<(), Failure> {
    let mut out = session.out();
    if session.json {
        let json = serde_json::json!({ "mended": done, "problems": left });
        writeln!(out, "{json:#}")?;
        return Ok(());
    }
    for (file, places) in done {
        for place in places {
            writeln!(
                out,
                "mended {}:{}:{}: `{}` is now `{}`",
                terminal_line(&file.to_string_lossy().replace('\\', "/")),
                place.line,
                place.column,
                terminal_line(&place.was),
                terminal_line(&place.now),
            )?;
        }
    }
    if !done.is_empty() {
        writeln!(out)?;
    }
    problem::print(session, left)
}

fn summary(folder: &Folder) -> String {
    let problems = &folder.problems;
    let errors = problems.iter().filter(|p| p.grade == Grade::Error).count();
    let notes = problems.len() - errors;
    format!(
        "{}, {} in {}",
        counted(errors as u64, "error"),
        counted(notes as u64, "note"),
        counted(folder.files as u64, "article")
    )
}
