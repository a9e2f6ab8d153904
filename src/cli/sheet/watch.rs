//! Keeps the desk fresh: hears from the system what changes on disk, builds the next desk beside the one
//! that answers, and swaps. Nobody waits for it.

use super::opened::{Key, Opened, key};
use super::{Warm, broken};
use crate::cli::{Failure, place};
use crate::tickets::ledger::FILE;
use notify::{EventKind, RecursiveMode, Watcher};
use std::path::Path;
use std::sync::{Arc, PoisonError};
use std::time::{Duration, Instant};

/// Changes within this time are taken together: editors write a file in several steps.
const GATHER: Duration = Duration::from_millis(150);

/// Where the system does not tell of changes, they are looked for this often.
const LOOK: Duration = Duration::from_secs(10);

/// Of the time that building takes, so much is waited before the next one: answers come first. With a
/// ledger of a million tickets a desk takes minutes, and another case closes every minute.
const REST: u32 = 2;

/// A case that nobody asked for this long is put away; it lies on disk, where a terminal may take it up.
const IDLE: Duration = Duration::from_secs(120);

/// Begins to watch, from a thread of its own that ends with the process.
pub(super) fn begin(warm: &Arc<Warm>, key: Key) -> Result<(), Failure> {
    let watcher = watcher(warm)?;
    let keeper = Arc::clone(warm);
    std::thread::Builder::new()
        .name("fresh".to_owned())
        .spawn(move || {
            let _watcher = watcher;
            keep_fresh(&keeper, key);
        })
        .map_err(|e| Failure::because("cannot begin to watch the articles", &e))?;
    Ok(())
}

/// Hears of changes. A system that cannot tell them is asked every [`LOOK`] all the same.
fn watcher(warm: &Arc<Warm>) -> Result<Option<notify::RecommendedWatcher>, Failure> {
    let state = place::state_dir(&warm.session)?;
    let heard = Arc::clone(warm);
    let own = state.clone();
    let made = notify::recommended_watcher(move |event: notify::Result<notify::Event>| {
        let Ok(event) = event else {
            return heard.look_again();
        };
        let reads = matches!(event.kind, EventKind::Access(_));
        if !reads && event.paths.iter().any(|path| matters(path, &own)) {
            heard.look_again();
        }
    });
    let mut watcher = match made {
        Ok(watcher) => watcher,
        Err(error) => {
            tracing::warn!(%error, "changes on disk are looked for every few seconds only");
            return Ok(None);
        }
    };
    let kb = &warm.session.kb;
    for (path, mode) in [
        (kb.join("articles"), RecursiveMode::Recursive),
        (kb.clone(), RecursiveMode::NonRecursive),
        (state, RecursiveMode::NonRecursive),
    ] {
        if let Err(error) = watcher.watch(&path, mode) {
            tracing::warn!(%error, "changes here are looked for every few seconds only");
        }
    }
    Ok(Some(watcher))
}

/// Of the state folder only the ledger matters: all else there is made from it.
fn matters(path: &Path, state: &Path) -> bool {
    let in_state =
        path.starts_with(state) || path.components().any(|part| part.as_os_str() == ".state");
    if !in_state {
        return true;
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    name.starts_with(FILE) && !name.ends_with("-shm")
}

fn keep_fresh(warm: &Warm, mut built_from: Key) {
    let mut swept = Instant::now();
    loop {
        wait(warm);
        if swept.elapsed() > IDLE / 4 {
            warm.slots.put_idle_away(IDLE);
            swept = Instant::now();
        }
        let now = match key(&warm.session) {
            Ok(now) => now,
            Err(failure) => {
                tracing::error!(why = ?broken(&failure), "the knowledge base cannot be looked at");
                continue;
            }
        };
        if now == built_from {
            continue;
        }
        let started = Instant::now();
        if now.other_files(&built_from) {
            match warm.opened().read_again(&warm.session) {
                Ok(opened) => warm.swap(opened),
                Err(failure) => tracing::warn!(why = ?broken(&failure), "articles cannot be read"),
            }
        }
        match Opened::open(&warm.session) {
            Ok(opened) => {
                let (articles, tickets) = (
                    opened.room.desk.catalog.articles.len(),
                    opened.room.desk.evidence.tickets,
                );
                warm.swap(opened);
                let ms = started.elapsed().as_millis();
                tracing::info!(articles, tickets, ms, "the desk is fresh");
                built_from = now;
            }
            // What answered before goes on answering.
            Err(failure) => tracing::error!(why = ?broken(&failure), "the desk stays as it was"),
        }
        std::thread::sleep(started.elapsed() * REST);
    }
}

fn wait(warm: &Warm) {
    let dirty = warm.dirty.lock().unwrap_or_else(PoisonError::into_inner);
    let woken = warm.woken.wait_timeout_while(dirty, LOOK, |dirty| !*dirty);
    let (mut dirty, timeout) = woken.unwrap_or_else(PoisonError::into_inner);
    *dirty = false;
    drop(dirty);
    if !timeout.timed_out() {
        std::thread::sleep(GATHER);
        *warm.dirty.lock().unwrap_or_else(PoisonError::into_inner) = false;
    }
}
