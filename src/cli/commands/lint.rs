//! `fixtally lint`: what is wrong with the articles.

use super::tickets::maps;
use super::{Exit, Failure, Session};
use crate::articles::folder::{self, Folder};
use crate::articles::lint::{self, any_error};
use crate::articles::mend::{Mended, mended};
use crate::articles::parse::{Parsed, parse};
use crate::base::escape::terminal_line;
use crate::base::problem::{Grade, Problem};
use crate::cli::desk::{self, records::Records};
use crate::cli::problem;
use crate::curate::advice::{self, Advice};
use crate::view::numbers::counted;
use crate::view::sarif::sarif;
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
/// With --with-tickets, tickets are read as well, and more notes say what they advise: an author's
/// order that they refute, with a better one; articles that no case of the last 12 months has;
/// symptoms that no caller used, and callers' words that no article has; abbreviations for `words.toml`.
///
/// --sarif prints SARIF 2.1.0, an open standard, for tools that show problems in a review.
///
/// Ends with 1 where there is an error, with --strict where there is anything at all.
/// Example: `fixtally lint --strict --with-tickets`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Let notes count as well
    #[arg(long)]
    strict: bool,
    /// Put right what can only be a slip of the pen
    #[arg(long)]
    mend: bool,
    /// Also say what the tickets advise
    #[arg(long)]
    with_tickets: bool,
    /// Print SARIF 2.1.0
    #[arg(long, conflicts_with = "mend")]
    sarif: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let mut folder = read(args, session)?;
    if args.mend {
        let done = mend(&session.kb, &folder.problems)?;
        if !done.is_empty() {
            folder = read(args, session)?;
        }
        show_mended(session, &done, &folder.problems)?;
    } else if args.sarif {
        let about = lint::RULES.iter().map(|rule| (rule.name, rule.about));
        let about = about.chain(advice::RULES.iter().copied()).collect();
        let folder_seen = seen_from_here(&session.kb);
        session.print_json(&sarif(&folder.problems, &folder_seen, &about))?;
    } else {
        problem::print(session, &folder.problems)?;
    }
    if !(session.json || args.sarif) {
        writeln!(session.out(), "{}", summary(&folder))?;
    }
    let strict = args.strict && !folder.problems.is_empty();
    Ok(Exit::findings_if(strict || any_error(&folder.problems)))
}

/// The knowledge base with all that is wrong with it, its maps included.
fn read(args: &Args, session: &Session) -> Result<Folder, Failure> {
    let mut folder = folder::read(&session.kb, desk::now(session)?)?;
    for known in maps::all(&session.kb)? {
        folder.problems.extend(known.map.err().unwrap_or_default());
    }
    if args.with_tickets {
        folder.problems.extend(advised(session)?);
    }
    let by_place = |p: &Problem| (p.place.clone(), p.grade);
    folder.problems.sort_by_key(by_place);
    Ok(folder)
}

/// What the tickets advise, each at its place.
fn advised(session: &Session) -> Result<Vec<Problem>, Failure> {
    let records = Records::read(session)?;
    let desk = &records.desk;
    let newest = records.newest(session, advice::NEWEST)?;
    let step = session.step("Looking for what the tickets advise");
    let found = advice::advice(&records.material(), &newest, &desk.evidence);
    step.finish();
    let role = desk.settings.roles.first().map_or("", String::as_str);
    let mut files: BTreeMap<&str, Parsed> = BTreeMap::new();
    for (id, _) in found.iter().filter_map(|advice| advice.place.as_ref()) {
        let path = &desk.catalog.articles[id].path;
        if !files.contains_key(path.as_str()) {
            let file = session.kb.join(path);
            let text =
                std::fs::read_to_string(&file).map_err(|e| Failure::file("read", &file, &e))?;
            files.insert(path, parse(path, &text, role));
        }
    }
    let parsed = |advice: &Advice| {
        let (id, _) = advice.place.as_ref()?;
        files.get(desk.catalog.articles[id].path.as_str())
    };
    Ok(found.iter().map(|a| advice::placed(a, parsed(a))).collect())
}

/// The folder of the knowledge base as seen from the working folder, where it lies below; else as it
/// was given.
fn seen_from_here(kb: &Path) -> String {
    let below = std::env::current_dir().ok().and_then(|here| {
        let (here, kb) = (here.canonicalize().ok()?, kb.canonicalize().ok()?);
        Some(kb.strip_prefix(here).ok()?.to_owned())
    });
    let path = below.unwrap_or_else(|| kb.to_owned());
    path.to_string_lossy().replace('\\', "/")
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
