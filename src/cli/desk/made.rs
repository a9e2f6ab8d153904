//! What is made from articles and tickets, each read back where it is fresh.

use super::derived::{self, Unused};
use super::flow::Flow;
use super::knowledge::Knowledge;
use super::model::{self, FitPoint};
use super::readings::{self, Kept};
use super::running::Running;
use super::{hex, no_index};
use crate::base::text::Analyzer;
use crate::cli::ledger::{self, Joined};
use crate::cli::{Failure, Session};
use crate::evidence::Evidence;
use crate::evidence::cases::day;
use crate::evidence::layout::Layout;
use crate::evidence::learning::{Field, Model};
use crate::evidence::spoken::Spoken;
use crate::search::{self, Index, SearchError, TicketText};
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::store::Ledger;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fs::File;
use std::path::{Path, PathBuf};

/// What the tickets say, and from which of them is to be learned.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Counted {
    pub(super) evidence: Evidence,
    pub(super) point: Option<FitPoint>,
    /// Tickets whose words tell more than was recorded, and those of them nobody read yet.
    pub(super) readable: u64,
    pub(super) unread: u64,
}

/// When to learn where what was learned is not of today's tickets and articles.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Learn {
    /// Never, and nothing that was learned is needed.
    Nothing,
    /// Only in a demo where nothing was learned yet: its first answer may take a moment, unless it is
    /// one of the past.
    First,
    /// Always.
    Now,
}

/// Whether an index has the texts of tickets, to find like ones by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tickets {
    /// It has.
    Indexed,
    /// It need not: nobody asks for like tickets.
    LeftOut,
}

/// What derived things are made from.
pub(super) struct Made<'a> {
    pub(super) session: &'a Session,
    pub(super) state: &'a Path,
    pub(super) store: &'a SqliteLedger,
    pub(super) as_of: Date,
    pub(super) knowledge: &'a Knowledge,
    pub(super) layout: &'a Layout,
    pub(super) analyzer: &'a Analyzer,
    /// What callers said, taken up while tickets were counted, with the key of the index it is for.
    spoken: Option<(String, Spoken<'a>)>,
    lock: Lock,
}

impl<'a> Made<'a> {
    pub(super) fn new(
        session: &'a Session,
        state: &'a Path,
        store: &'a SqliteLedger,
        as_of: Date,
        knowledge: &'a Knowledge,
        (layout, analyzer): (&'a Layout, &'a Analyzer),
    ) -> Self {
        let lock = Lock {
            path: state.join("lock"),
            held: None,
        };
        Self {
            session,
            state,
            store,
            as_of,
            knowledge,
            layout,
            analyzer,
            spoken: None,
            lock,
        }
    }

    /// Everything that counts rest on, as of a day.
    fn key(&self, day: Date) -> Result<String, Failure> {
        let read = readings::mark(self.state);
        Ok(key(&self.knowledge.digest, &self.of_ledger()?, day, &read))
    }

    pub(super) fn of_ledger(&self) -> Result<String, Failure> {
        self.store.fingerprint().map_err(ledger::failure)
    }

    /// What is learned about.
    pub(super) fn field(&self) -> Field<'a> {
        Field {
            catalog: &self.knowledge.catalog,
            layout: self.layout,
            analyzer: self.analyzer,
            settings: &self.knowledge.settings,
        }
    }

    /// All tickets, with what people confirmed.
    pub(super) fn joined(&self) -> Result<Joined<'a>, Failure> {
        Joined::of(self.store)
    }

    /// Something was read: what was counted before is counted again.
    pub(super) fn count_again(&self) {
        // Readings that were damaged and made again carry the checksum they had: what was counted
        // without them would pass for fresh. Where it cannot be removed, it cannot be written either.
        for file in [EVIDENCE, EVIDENCE_OF_PAST] {
            let _ = std::fs::remove_file(self.state.join(file));
        }
    }

    /// The right to make derived things.
    pub(super) fn alone(&mut self) -> Result<(), Failure> {
        self.lock.take()
    }

    /// The evidence. Where it has to be counted, what callers said is taken up in the same pass if the
    /// index `with` such texts is missing too.
    pub(super) fn counted(&mut self, with: Option<Tickets>) -> Result<Counted, Failure> {
        let path = self.state.join(evidence_file(self.session));
        let key = self.key(self.as_of)?;
        if let Ok(fresh) = derived::read(&path, &key) {
            return Ok(fresh);
        }
        self.lock.take()?;
        match derived::read(&path, &key) {
            Ok(fresh) => return Ok(fresh),
            Err(Unused::Damaged) => {
                self.session
                    .notice("The evidence was damaged and is counted again.");
            }
            Err(Unused::Missing | Unused::Stale) => {}
        }
        let step = self.session.step("Counting the tickets");
        let about = (&self.knowledge.catalog, &self.knowledge.settings);
        let indexed = match with {
            Some(tickets) => self.index_missing(tickets)?,
            None => None,
        };
        let (layout, analyzer) = (self.layout, self.analyzer);
        let empty = || {
            indexed
                .is_some()
                .then(|| Spoken::new(about.0, layout, analyzer))
        };
        let (running, spoken) =
            Running::listening(self.store, self.state, about, self.as_of, &empty)?;
        self.spoken = indexed.zip(spoken);
        let made = running.counted(about.0, about.1);
        drop(running);
        derived::write(&path, &key, &made).map_err(|e| Failure::file("write", &path, &e))?;
        step.finish();
        Ok(made)
    }

    /// The key of the index, where there is none yet.
    fn index_missing(&self, tickets: Tickets) -> Result<Option<String>, Failure> {
        let newest = self.joined()?.newest(1, self.as_of)?;
        let key = self.key(newest.last().map_or(Date::MIN, |ticket| day(ticket.closed)))?;
        let names = self.index_names(&key, tickets);
        let there = names.iter().any(|name| self.state.join(name).exists());
        Ok((!there).then_some(key))
    }

    /// The folders that may hold an index; the first is the one that is built.
    fn index_names(&self, key: &str, tickets: Tickets) -> Vec<String> {
        let sum = |key: &str| hex(&Sha256::digest(key.as_bytes()))[..16].to_owned();
        if self.session.as_of.is_none() {
            // Like tickets of today are asked for sooner or later.
            return vec![format!("{INDEX}{}", sum(key))];
        }
        let all = format!("{INDEX_OF_PAST}{}", sum(key));
        let articles = format!("{INDEX_OF_PAST}{}", sum(&format!("{key} articles")));
        match tickets {
            Tickets::Indexed => vec![all],
            Tickets::LeftOut => vec![articles, all],
        }
    }

    /// The index of the tickets closed up to a day. It follows the words alone; a later "today" without
    /// newer tickets changes none.
    pub(super) fn index(&mut self, to: Option<Date>, tickets: Tickets) -> Result<Index, Failure> {
        let key = self.key(to.unwrap_or(Date::MIN))?;
        let names = self.index_names(&key, tickets);
        let open = |name: &String| Index::open(&self.state.join(name), self.layout).ok();
        if let Some(index) = names.iter().find_map(open) {
            return Ok(index);
        }
        let left_out = names.len() > 1;
        let name = &names[0];
        let folder = self.state.join(name);
        self.lock.take()?;
        match Index::open(&folder, self.layout) {
            Ok(index) => return Ok(index),
            Err(SearchError::File { .. }) => {}
            Err(_) => self
                .session
                .notice("The index was damaged and is built again."),
        }
        let step = self.session.step("Building the index");
        let layout = self.layout;
        let spoken = match self.spoken.take().filter(|(of, _)| *of == key) {
            Some((_, spoken)) => spoken,
            None => self.spoken()?,
        };
        let tickets = (!left_out).then(|| spoken.tickets()).into_iter().flatten();
        let tickets = tickets.map(|(id, day, terms)| TicketText { id, day, terms });
        self.replace_index(&folder, name, |into| {
            search::build(into, layout, &spoken, tickets)
        })?;
        step.finish();
        Index::open(&folder, layout).map_err(|e| no_index(&e))
    }

    fn spoken(&self) -> Result<Spoken<'a>, Failure> {
        let (joined, kept) = (self.joined()?, Kept::open(self.state));
        self.flow(&joined, &kept, self.as_of).spoken(
            &self.knowledge.catalog,
            self.layout,
            self.analyzer,
        )
    }

    /// The tickets closed up to a day, with these readings.
    pub(super) fn flow<'f>(
        &'f self,
        joined: &'f Joined<'f>,
        kept: &'f Kept,
        as_of: Date,
    ) -> Flow<'f> {
        Flow {
            joined,
            kept,
            catalog: &self.knowledge.catalog,
            model: &self.knowledge.settings.model,
            as_of,
        }
    }

    /// Builds beside and renames, so that a reader finds the old index or the new one.
    fn replace_index(
        &self,
        folder: &Path,
        name: &str,
        build: impl FnOnce(&Path) -> Result<(), SearchError>,
    ) -> Result<(), Failure> {
        let beside = tempfile::Builder::new()
            .prefix("new-index-")
            .tempdir_in(self.state)
            .map_err(|e| Failure::file("make a folder in", self.state, &e))?;
        build(beside.path()).map_err(|e| no_index(&e))?;
        if folder.exists() {
            std::fs::remove_dir_all(folder).map_err(|e| Failure::file("remove", folder, &e))?;
        }
        let built = beside.keep();
        std::fs::rename(&built, folder).map_err(|e| Failure::file("rename", &built, &e))?;
        remove_others(self.state, name);
        Ok(())
    }

    /// What was learned by "now"; learned anew where `learn` says so.
    pub(super) fn model(&mut self, counted: &Counted, learn: Learn) -> Result<Model, Failure> {
        let (Some(point), true) = (&counted.point, learn != Learn::Nothing) else {
            return Ok(Model::shipped());
        };
        let key = model::key(&self.knowledge.digest, point);
        let kept = model::find(self.state, point, &key, self.as_of);
        if kept.damaged {
            self.session
                .notice("The learned weights were damaged and are left aside.");
        }
        if let Some(fresh) = kept.fresh {
            return Ok(fresh);
        }
        let in_past = counted.evidence.ignored_later > 0;
        let first = kept.older.is_none() && self.knowledge.settings.demo && !in_past;
        if learn != Learn::Now && !first {
            self.session
                .notice(&stale(kept.older.as_ref(), in_past.then_some(self.as_of)));
            return Ok(kept.older.unwrap_or_else(Model::shipped));
        }
        self.lock.take()?;
        // Somebody else may have learned while this process waited for the lock.
        if let Some(fresh) = model::find(self.state, point, &key, self.as_of).fresh {
            return Ok(fresh);
        }
        let (state, session, field) = (self.state, self.session, self.field());
        let joined = self.joined()?;
        let kept = Kept::default();
        let flow = self.flow(&joined, &kept, point.day);
        model::learn(state, &key, &flow, point, field, session)
    }
}

/// The key of what is made from articles and a ledger of these digests, as of a day, with what was read.
pub(super) fn key(articles: &str, ledger: &str, day: Date, read: &str) -> String {
    let version = env!("CARGO_PKG_VERSION");
    format!("{version} {articles} {ledger} {day} {read}")
}

/// The files of the evidence of today, and of a day that was asked for: who looks back lets nobody wait
/// afterwards.
const EVIDENCE: &str = "evidence";
const EVIDENCE_OF_PAST: &str = "past-evidence";

/// How the folders of their indexes begin.
const INDEX: &str = "index-";
const INDEX_OF_PAST: &str = "past-index-";

/// The file of a session's evidence.
pub(super) fn evidence_file(session: &Session) -> &'static str {
    if session.as_of.is_some() {
        EVIDENCE_OF_PAST
    } else {
        EVIDENCE
    }
}

/// What to say where the weights are not those of the fit point reached. `past` is the day taken as
/// today where later tickets are known.
fn stale(answering: Option<&Model>, past: Option<Date>) -> String {
    let until = answering.and_then(|model| model.until);
    match (until, past) {
        (Some(_), None) => "Answered with weights learned from fewer tickets or older articles; \
            the next import learns anew."
            .to_owned(),
        (None, None) => "Answered with the shipped weights; the next import learns from the \
            tickets."
            .to_owned(),
        (Some(until), Some(past)) => format!(
            "Answered with weights learned up to {until}; \
             `fixtally evidence --weights --as-of {past}` learns those of {past}."
        ),
        (None, Some(past)) => format!(
            "Answered with the shipped weights; \
             `fixtally evidence --weights --as-of {past}` learns those of {past}."
        ),
    }
}

/// Old indexes, and halves of anything that a killed process left. An index of a past day takes the
/// place of such a one only; today's of all. One that cannot be removed now, because a reader holds it on
/// Windows, is removed after the next build.
fn remove_others(state: &Path, keep: &str) {
    let Ok(entries) = std::fs::read_dir(state) else {
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let of_today = name.starts_with(INDEX) && !keep.starts_with(INDEX_OF_PAST);
        let old = of_today || name.starts_with(INDEX_OF_PAST);
        if name != keep && (old || name.starts_with("new-")) {
            let path = entry.path();
            let _ = std::fs::remove_dir_all(&path).or_else(|_| std::fs::remove_file(&path));
        }
    }
}

/// The right to make derived things; taken at the first need, given back at the end.
struct Lock {
    path: PathBuf,
    held: Option<File>,
}

impl Lock {
    fn take(&mut self) -> Result<(), Failure> {
        if self.held.is_none() {
            let file =
                File::create(&self.path).map_err(|e| Failure::file("write", &self.path, &e))?;
            file.lock()
                .map_err(|e| Failure::file("lock", &self.path, &e))?;
            self.held = Some(file);
        }
        Ok(())
    }
}
