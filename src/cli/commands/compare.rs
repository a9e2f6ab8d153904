//! `fixtally compare`: what a change of the articles means, before it goes live.

use super::{Exit, Failure, Session};
use crate::articles::sayings::Saying;
use crate::articles::{Catalog, folder};
use crate::base::ids::FixId;
use crate::base::problem::Problem;
use crate::base::text::Words;
use crate::call::InHand;
use crate::cli::desk::readings::FILE as READINGS;
use crate::cli::desk::{Desk, records::Records};
use crate::cli::{ledger, place};
use crate::curate::compare::{Moved, Report, Version, compare};
use crate::evidence::Case;
use crate::evidence::question::Said;
use crate::tickets::ledger::FILE;
use crate::view::compare_text;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Callers whose questions are asked of both versions.
const ASKED: usize = 500;

/// Say what a change of the articles means, before it goes live
///
/// OLD and NEW are two folders, or two git revisions of the knowledge base. What protects people and
/// was removed stands first: hazards and their cautions, roles, `after`, stop-words. Then new errors, and
/// dropped fixes with the cases they ended, evidence that nothing lists any more, words, figures and orders, and the
/// first answers to the last 500 callers that become others. Exit code 1 where something that protects
/// people was removed, else 0. Example: `fixtally compare main HEAD`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// A folder, or a git revision
    #[arg(value_name = "OLD")]
    old: String,
    /// A folder, or a git revision
    #[arg(value_name = "NEW")]
    new: String,
    /// Ask no questions: only articles and evidence are compared
    #[arg(long)]
    no_answers: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let scratch =
        tempfile::tempdir().map_err(|e| Failure::because("cannot make a temporary folder", &e))?;
    let old = side(&args.old, ("OLD", "old"), scratch.path(), session)?;
    let new = side(&args.new, ("NEW", "new"), scratch.path(), session)?;
    let (before, after) = (Desk::open_counted(&old)?, Desk::open_counted(&new)?);
    let (was, is) = (Written::read(&old)?, Written::read(&new)?);
    let mut report = compare(version(&before, &was), version(&after, &is));
    if !args.no_answers {
        let newest = Records::of(before, &old)?;
        answers(&newest, &after, &mut report, session)?;
    }
    session.print(&report, || compare_text::compare(&report))?;
    Ok(Exit::findings_if(!report.removals.is_empty()))
}

/// The articles of a version as they are written, whatever is wrong with them.
struct Written {
    all: Catalog,
    words: Words,
    sayings: Vec<Saying>,
    problems: Vec<Problem>,
}

impl Written {
    fn read(session: &Session) -> Result<Self, Failure> {
        let folder = folder::read(&session.kb, crate::cli::desk::now(session)?)?;
        Ok(Self {
            all: Catalog::join(folder.articles),
            words: folder.words,
            sayings: folder.sayings,
            problems: folder.problems,
        })
    }
}

fn version<'a>(desk: &'a Desk, written: &'a Written) -> Version<'a> {
    Version {
        catalog: &desk.catalog,
        written: &written.all,
        problems: &written.problems,
        settings: &desk.settings,
        words: &written.words,
        sayings: &written.sayings,
        evidence: &desk.evidence,
    }
}

/// One version as a session of its own: its folder, and a state of its own with a copy of the ledger.
/// `shown` is what people call it.
fn side(
    name: &str,
    (shown, which): (&'static str, &str),
    scratch: &Path,
    session: &Session,
) -> Result<Session, Failure> {
    let given = PathBuf::from(name);
    let kb = if given.join("kb.toml").is_file() {
        given
    } else {
        revision(name, &scratch.join(which), session)?
    };
    let state = scratch.join(format!("{which}-state"));
    std::fs::create_dir_all(&state).map_err(|e| Failure::file("make the folder", &state, &e))?;
    // Opening the ledger of the session's own knowledge base loads a demo's tickets where that is due.
    drop(ledger::open(session)?);
    for file in [FILE, READINGS] {
        let from = place::state_dir(session)?.join(file);
        if from.exists() {
            std::fs::copy(&from, state.join(file)).map_err(|e| Failure::file("copy", &from, &e))?;
        }
    }
    let mut side = Session::quiet(&kb, &state);
    side.side = Some(shown);
    side.as_of = Some(crate::cli::desk::now(session)?);
    Ok(side)
}

/// The knowledge base as it was in a git revision, written below `into`.
fn revision(name: &str, into: &Path, session: &Session) -> Result<PathBuf, Failure> {
    let unknown = |why: String| {
        let mut failure = Failure::new(format!(
            "`{name}` is no folder with a `kb.toml`, and no git revision of `{}`",
            session.kb.display()
        ));
        failure.causes.extend((!why.is_empty()).then_some(why));
        failure.hint("fixtally compare OLD-FOLDER NEW-FOLDER")
    };
    if name.starts_with('-') {
        return Err(unknown(String::new()));
    }
    std::fs::create_dir_all(into).map_err(|e| Failure::file("make the folder", into, &e))?;
    let git = |index: &Path, arguments: &[&str]| -> Result<String, Failure> {
        let run = Command::new("git")
            .current_dir(&session.kb)
            .args(["-c", "core.symlinks=false"])
            .args(arguments)
            .env("GIT_INDEX_FILE", index)
            .output()
            .map_err(|e| {
                Failure::because("cannot run git", &e).hint("install git, or compare two folders")
            })?;
        if !run.status.success() {
            let said = String::from_utf8_lossy(&run.stderr);
            return Err(unknown(said.lines().next().unwrap_or("").to_owned()));
        }
        Ok(String::from_utf8_lossy(&run.stdout).trim().to_owned())
    };
    // An index of its own, so that nothing of the user's is touched.
    let index = into.with_extension("index");
    let commit = git(
        &index,
        &[
            "rev-parse",
            "--verify",
            "--quiet",
            &format!("{name}^{{commit}}"),
        ],
    )?;
    let prefix = git(&index, &["rev-parse", "--show-prefix"])?;
    let tree = format!("{commit}:{}", prefix.trim_end_matches('/'));
    git(&index, &["read-tree", &tree])?;
    let target = format!("--prefix={}/", into.display());
    let top = git(&index, &["rev-parse", "--show-toplevel"])?;
    git(
        &index,
        &["-C", &top, "checkout-index", "--all", "--force", &target],
    )?;
    if !into.join("kb.toml").is_file() {
        return Err(unknown(format!("there is no `kb.toml` in {name}")));
    }
    Ok(into.to_owned())
}

/// Asks both versions what the last callers asked.
fn answers(
    old: &Records,
    after: &Desk,
    report: &mut Report,
    session: &Session,
) -> Result<(), Failure> {
    let newest = old.cases.list.iter().rev();
    let cases: Vec<&Case> = newest
        .filter(|case| !case.said.trim().is_empty())
        .take(ASKED)
        .collect();
    let step = session.steps("Asking both versions", cases.len() as u64);
    for case in &cases {
        let (first, second) = (first_answer(&old.desk, case)?, first_answer(after, case)?);
        step.advance();
        let renamed = |id: &String| after.catalog.fix_id(&FixId::new(id)).to_string();
        if first == second || first.as_ref().map(renamed) == second {
            continue;
        }
        let shown = |answer: Option<String>| answer.unwrap_or_else(|| "nothing".to_owned());
        report.moved.push(Moved {
            ticket: case.id.to_string(),
            before: shown(first),
            after: shown(second),
        });
    }
    step.finish();
    report.asked = cases.len();
    Ok(())
}

/// The first fix, or the danger, that a version answers with.
fn first_answer(desk: &Desk, case: &Case) -> Result<Option<String>, Failure> {
    let said = Said::of(case);
    let answer = desk.answer(
        &InHand {
            said,
            ..InHand::default()
        },
        1,
    )?;
    let danger = answer.danger.first().map(|danger| danger.id.clone());
    Ok(danger.or_else(|| answer.fixes.first().map(|fix| fix.id.clone())))
}
