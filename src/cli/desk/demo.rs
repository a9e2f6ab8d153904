//! The demo brings its own tickets: they go into a ledger that does not exist yet, all or none.

use crate::articles::settings_file;
use crate::cli::{Failure, Session, ledger, place};
use crate::tickets::Scrubber;
use crate::tickets::jsonl::JsonLines;
use crate::tickets::ledger::{FILE, SqliteLedger};
use crate::tickets::row::Row;
use crate::tickets::store::{Ledger, Stop};
use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};

/// How folders of ledgers that are not whole yet begin.
const BESIDE: &str = "new-ledger-";

/// Loads the demo's tickets where the knowledge base is a demo and has no ledger yet.
///
/// They are written into a ledger of another name that is renamed when it is whole, so a run that
/// was stopped leaves none. One run at a time does so: a second rename would pull the file away
/// from under those who have opened the first.
///
/// # Errors
/// Where the state folder cannot be written.
pub(crate) fn load(session: &Session) -> Result<(), Failure> {
    let state = place::state_dir(session)?;
    let ledger_file = state.join(FILE);
    if ledger_file.exists() {
        return Ok(());
    }
    let Ok(text) = std::fs::read_to_string(session.kb.join("kb.toml")) else {
        return Ok(());
    };
    let settings = settings_file::read(&text).0;
    let files = files(&session.kb);
    if !settings.demo || files.is_empty() {
        return Ok(());
    }
    let _alone = alone(&state)?;
    if ledger_file.exists() {
        return Ok(());
    }
    let step = session.step("Loading the demo's tickets");
    let scrubber = Scrubber::new(settings.serial.as_deref())
        .map_err(|e| Failure::because("`serial` in `kb.toml` is no pattern", &e))?;
    let beside = tempfile::Builder::new()
        .prefix(BESIDE)
        .tempdir_in(&state)
        .map_err(|e| Failure::file("make a folder in", &state, &e))?;
    let new = beside.path().join(FILE);
    let mut store = SqliteLedger::open(&new).map_err(ledger::failure)?;
    let mut tickets = files.iter().flat_map(|file| rows(file, &scrubber));
    store.import(&mut tickets).map_err(ledger::failure)?;
    drop(store);
    std::fs::rename(&new, &ledger_file).map_err(|e| Failure::file("rename", &new, &e))?;
    step.finish();
    Ok(())
}

/// The right to load, with what killed runs left cleared away.
fn alone(state: &Path) -> Result<File, Failure> {
    let path = state.join("lock");
    let lock = File::create(&path).map_err(|e| Failure::file("write", &path, &e))?;
    lock.lock().map_err(|e| Failure::file("lock", &path, &e))?;
    for entry in std::fs::read_dir(state).into_iter().flatten().flatten() {
        if entry.file_name().to_string_lossy().starts_with(BESIDE) {
            let _ = std::fs::remove_dir_all(entry.path());
        }
    }
    Ok(lock)
}

fn files(kb: &Path) -> Vec<PathBuf> {
    walkdir::WalkDir::new(kb.join("tickets"))
        .sort_by_file_name()
        .into_iter()
        .flatten()
        .map(walkdir::DirEntry::into_path)
        .filter(|path| path.extension().is_some_and(|e| e == "jsonl"))
        .collect()
}

fn rows<'a>(
    file: &'a Path,
    scrubber: &'a Scrubber,
) -> impl Iterator<Item = Result<crate::tickets::Ticket, Stop>> + 'a {
    let opened =
        File::open(file).map_err(|e| Stop(format!("cannot read `{}`: {e}", file.display())));
    let (rows, failed) = match opened {
        Ok(opened) => (Some(JsonLines::new(file, BufReader::new(opened))), None),
        Err(stop) => (None, Some(Err(stop))),
    };
    failed
        .into_iter()
        .chain(rows.into_iter().flatten().map(move |row| match row {
            Ok(Row::Ticket(raw)) => Ok(scrubber.ticket(*raw).0),
            Ok(Row::Rejected(reject)) => Err(Stop(format!(
                "`{}` line {}: {}",
                file.display(),
                reject.line,
                reject.problem.message
            ))),
            Err(error) => Err(Stop(format!("cannot read `{}`: {error}", file.display()))),
        }))
}
