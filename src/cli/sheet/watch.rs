//! Keeps the desk fresh: hears from the system what changes on disk, builds the next desk beside the one
//! that answers, and swaps. Nobody waits for it.

use super::opened::{Key, Opened, key};
use super::{Warm, broken};
use crate::cli::desk::running::Running;
use crate::cli::{Failure, place};
use crate::tickets::ledger::FILE;
use notify::{EventKind, RecursiveMode, Watcher};
use std::path::Path;
use std::sync::{Arc, PoisonError};
use std::thread::JoinHandle;
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

fn keep_fresh(warm: &Arc<Warm>, built_from: Key) {
    let mut fresh = Fresh {
        running: count(warm),
        warm,
        built_from,
        building: None,
        index_is_old: false,
        rests_until: Instant::now(),
    };
    let mut swept = Instant::now();
    loop {
        wait(warm);
        if swept.elapsed() > IDLE / 4 {
            warm.slots.put_idle_away(IDLE);
            swept = Instant::now();
        }
        fresh.take_built();
        match key(&warm.session) {
            Ok(now) if now == fresh.built_from => {}
            Ok(now) => fresh.look(now),
            Err(failure) => {
                tracing::error!(why = ?broken(&failure), "the knowledge base cannot be looked at");
            }
        }
        fresh.build_index();
    }
}

/// Counts all cases; where that cannot be done, each change is counted from the beginning.
fn count(warm: &Warm) -> Option<Running> {
    match warm.opened().room.desk.running(&warm.session) {
        Ok(running) => Some(running),
        Err(failure) => {
            tracing::warn!(why = ?broken(&failure), "the tickets cannot be counted");
            None
        }
    }
}

/// What the thread that keeps the desk fresh knows.
struct Fresh<'a> {
    warm: &'a Arc<Warm>,
    built_from: Key,
    /// The count of all cases: what was closed is added to it.
    running: Option<Running>,
    /// A desk with a new index, being made by a thread of its own: that takes a minute with a million
    /// tickets, and cases are closed meanwhile.
    building: Option<JoinHandle<Result<Opened, Failure>>>,
    /// Tickets were counted in whose words the index does not know.
    index_is_old: bool,
    rests_until: Instant,
}

impl Fresh<'_> {
    /// Something changed on disk.
    fn look(&mut self, now: Key) {
        let started = Instant::now();
        if now.other_files(&self.built_from) {
            match self.warm.opened().read_again(&self.warm.session) {
                Ok(opened) => self.warm.swap(opened),
                Err(failure) => tracing::warn!(why = ?broken(&failure), "articles cannot be read"),
            }
        } else if self.count_in() {
            let ms = started.elapsed().as_millis();
            tracing::info!(ms, "what was closed counts");
            self.built_from = now;
            self.index_is_old = true;
            return;
        }
        match Opened::open(&self.warm.session) {
            Ok(opened) => {
                let (articles, tickets) = (
                    opened.room.desk.catalog.articles.len(),
                    opened.room.desk.evidence.tickets,
                );
                self.warm.swap(opened);
                let ms = started.elapsed().as_millis();
                tracing::info!(articles, tickets, ms, "the desk is fresh");
                self.built_from = now;
                self.index_is_old = false;
                // What is being built is of other articles.
                self.building = None;
                self.running = count(self.warm);
            }
            // What answered before goes on answering.
            Err(failure) => tracing::error!(why = ?broken(&failure), "the desk stays as it was"),
        }
        std::thread::sleep(started.elapsed() * REST);
    }

    /// Counts in the tickets that were added; says whether that is all there was to do.
    fn count_in(&mut self) -> bool {
        let Some(running) = &mut self.running else {
            return false;
        };
        let caught_up = self.warm.opened().caught_up(running, &self.warm.session);
        match caught_up {
            Ok(Some(opened)) => {
                self.warm.swap(opened);
                true
            }
            Ok(None) => false,
            Err(failure) => {
                tracing::warn!(why = ?broken(&failure), "counted from the beginning");
                self.running = None;
                false
            }
        }
    }

    /// Begins to make the index anew where it is old; by then the counts are kept, and are not counted
    /// again.
    fn build_index(&mut self) {
        if !self.index_is_old || self.building.is_some() || Instant::now() < self.rests_until {
            return;
        }
        let warm = Arc::clone(self.warm);
        let build = move || {
            let opened = Opened::open(&warm.session);
            warm.look_again();
            opened
        };
        let named = std::thread::Builder::new().name("index".to_owned());
        match named.spawn(build) {
            Ok(building) => {
                self.building = Some(building);
                self.index_is_old = false;
                self.rests_until = Instant::now();
            }
            Err(error) => tracing::warn!(%error, "the index stays as it was"),
        }
    }

    /// Takes a desk with a new index, if there is one by now, with what was counted in meanwhile.
    fn take_built(&mut self) {
        let Some(building) = self.building.take_if(|building| building.is_finished()) else {
            return;
        };
        let took = self.rests_until.elapsed();
        self.rests_until = Instant::now() + took * REST;
        let Ok(Ok(opened)) = building.join() else {
            tracing::warn!("the index stays as it was");
            return;
        };
        let desk = &self.warm.opened().room.desk;
        if opened.room.desk.fingerprint != desk.fingerprint {
            return;
        }
        let Some(running) = &mut self.running else {
            return;
        };
        match opened.caught_up(running, &self.warm.session) {
            Ok(Some(opened)) => {
                self.warm.swap(opened);
                tracing::info!(ms = took.as_millis(), "the index is fresh");
            }
            Ok(None) => {}
            Err(failure) => tracing::warn!(why = ?broken(&failure), "the index stays as it was"),
        }
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
