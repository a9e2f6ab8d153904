//! An opened knowledge base: articles, evidence, index and weights, each taken from the state
//! folder where it is fresh and made again where it is not.
//!
//! Everything made again is derived: deleting it costs time and nothing else. One lock lets one
//! process at a time make things; readers never wait for it once everything is fresh.

pub(crate) mod demo;
pub(crate) mod derived;
mod knowledge;

use super::{Failure, Session, ledger, place};
use crate::articles::folder::FolderError;
use crate::articles::{Catalog, Settings};
use crate::base::explain::Explain;
use crate::base::ids::{ArticleId, FixId};
use crate::base::spelling::Vocabulary;
use crate::base::text::Analyzer;
use crate::call::{Advice, Ground, InHand, advise};
use crate::evidence::cases::{Cases, day};
use crate::evidence::chance::chances;
use crate::evidence::danger::StopWords;
use crate::evidence::equation::Weights;
use crate::evidence::features::Sources;
use crate::evidence::gather::gather;
use crate::evidence::layout::Layout;
use crate::evidence::question::Question;
use crate::evidence::why::why;
use crate::evidence::{Evidence, texts};
use crate::search::{self, Index, SearchError, TicketText};
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::store::{Filter, Ledger, Order};
use crate::view::answer::{Answer, Subject};
use derived::Unused;
use jiff::civil::Date;
use knowledge::Knowledge;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::File;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

/// How many like cases an answer names.
const SIMILAR: usize = 3;

/// Everything needed to answer.
#[derive(Debug)]
pub struct Desk {
    /// What `kb.toml` says.
    pub settings: Settings,
    /// The articles.
    pub catalog: Catalog,
    /// What the tickets say.
    pub evidence: Evidence,
    /// The day taken as today.
    pub as_of: Date,
    /// Changes with every change of the knowledge base's files.
    pub fingerprint: String,
    analyzer: Analyzer,
    layout: Layout,
    weights: Weights,
    index: Index,
    known: Vocabulary,
    stop_words: StopWords,
}

impl Desk {
    /// Opens the session's knowledge base; what is missing or stale is made first.
    ///
    /// # Errors
    /// Where the folder is no knowledge base, or the ledger or the state folder cannot be used.
    pub fn open(session: &Session) -> Result<Self, Failure> {
        let state = place::state_dir(session)?;
        let mut lock = Lock::new(&state);
        let knowledge = knowledge::read(&session.kb, &state).map_err(|e| no_folder(&e))?;
        if knowledge.errors > 0 {
            session.notice(&format!(
                "{} in the knowledge base: what they stand in is left out. See `fixtally lint`.",
                counted(knowledge.errors, "error")
            ));
        }
        let store = ledger::open(session)?;
        let as_of = today(session, &knowledge.settings, &store)?;
        let sources = Made {
            session,
            state: &state,
            store: &store,
            as_of,
            knowledge: &knowledge,
        };
        let layout = Layout::new(&knowledge.catalog);
        let analyzer = Analyzer::new(&knowledge.words);
        let mut cases = None;
        let evidence = sources.evidence(&mut cases, &mut lock)?;
        let index = sources.index(&evidence, &layout, &analyzer, &mut cases, &mut lock)?;
        if evidence.ignored_later > 0 {
            session.notice(&format!(
                "{} closed after {as_of} ignored.",
                counted(
                    usize::try_from(evidence.ignored_later).unwrap_or(usize::MAX),
                    "ticket"
                )
            ));
        }
        let known = index.vocabulary().map_err(|e| no_index(&e))?;
        let stop_words = StopWords::new(&knowledge.catalog, &analyzer);
        Ok(Self {
            as_of,
            fingerprint: knowledge.digest[..12].to_owned(),
            settings: knowledge.settings,
            catalog: knowledge.catalog,
            evidence,
            analyzer,
            layout,
            weights: Weights::shipped(),
            index,
            known,
            stop_words,
        })
    }

    /// The room to answer in.
    #[must_use]
    pub fn ground(&self) -> Ground<'_> {
        Ground {
            catalog: &self.catalog,
            layout: &self.layout,
            evidence: &self.evidence,
        }
    }

    fn sources(&self) -> Sources<'_> {
        Sources {
            catalog: &self.catalog,
            layout: &self.layout,
            evidence: &self.evidence,
            candidates: &self.index,
        }
    }

    /// Why a fix of an article (none: "none of the listed") has its share; none where it has not
    /// this fix.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn why(
        &self,
        session: &Session,
        article: &ArticleId,
        fix: Option<&FixId>,
    ) -> Result<Option<Explain>, Failure> {
        let tickets = ledger::open(session)?
            .list(&Filter::default())
            .map_err(ledger::failure)?;
        let model = &self.settings.model;
        let cases = Cases::of(&tickets, &BTreeMap::new(), &self.catalog, model, self.as_of);
        let subject = (article, fix);
        Ok(why(
            &cases,
            &self.evidence,
            &self.catalog,
            &self.settings,
            subject,
            None,
        ))
    }

    /// What to do in a case, and the closed cases most like it.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn advise(&self, case: &InHand) -> Result<(Advice, Vec<String>), Failure> {
        let question = Question::new(
            case.said.clone(),
            &self.catalog,
            &self.analyzer,
            &self.known,
        );
        let alarms = self
            .stop_words
            .find(&case.said.words, &self.analyzer, &self.known);
        let chances = chances(&question, self.sources(), &self.weights)
            .map_err(|e| Failure::because("cannot search", &e))?;
        let mut case = case.clone();
        case.said = question.said;
        let advice = advise(&case, &chances, &alarms, &self.settings, self.ground());
        let similar = self
            .index
            .similar(&question.all.words, SIMILAR)
            .map_err(|e| no_index(&e))?;
        Ok((advice, similar.iter().map(ToString::to_string).collect()))
    }

    /// The answer as every face shows it, with at most `limit` fixes.
    ///
    /// # Errors
    /// Where the index cannot be read.
    pub fn answer(&self, case: &InHand, limit: usize) -> Result<Answer, Failure> {
        let (advice, similar) = self.advise(case)?;
        let subject = Subject {
            settings: &self.settings,
            ground: self.ground(),
            fingerprint: &self.fingerprint,
            as_of: self.as_of,
            limit,
        };
        Ok(Answer::new(&advice, similar, &subject))
    }
}

/// "Now": what was asked for, else in a demo the newest closing day, else the real date.
///
/// # Errors
/// Where the ledger cannot be read.
pub(crate) fn today(
    session: &Session,
    settings: &Settings,
    store: &SqliteLedger,
) -> Result<Date, Failure> {
    if let (None, true) = (session.as_of, settings.demo) {
        let mut newest = None;
        let first = Filter {
            limit: Some(1),
            ..Filter::default()
        };
        store
            .each(&first, Order::NewestFirst, &mut |ticket| {
                newest = Some(day(ticket.closed));
                ControlFlow::Break(())
            })
            .map_err(ledger::failure)?;
        if let Some(newest) = newest {
            return Ok(newest);
        }
    }
    Ok(session.today())
}

/// What derived things are made from.
struct Made<'a> {
    session: &'a Session,
    state: &'a Path,
    store: &'a SqliteLedger,
    as_of: Date,
    knowledge: &'a Knowledge,
}

impl Made<'_> {
    fn key(&self, day: Date) -> Result<String, Failure> {
        let version = env!("CARGO_PKG_VERSION");
        let ledger = self.store.fingerprint().map_err(ledger::failure)?;
        Ok(format!(
            "{version} {} {ledger} {day}",
            self.knowledge.digest
        ))
    }

    fn cases<'c>(&self, kept: &'c mut Option<Cases>) -> Result<&'c Cases, Failure> {
        if kept.is_none() {
            let tickets = self
                .store
                .list(&Filter::default())
                .map_err(ledger::failure)?;
            let Knowledge {
                catalog, settings, ..
            } = self.knowledge;
            *kept = Some(Cases::of(
                &tickets,
                &BTreeMap::new(),
                catalog,
                &settings.model,
                self.as_of,
            ));
        }
        kept.as_ref()
            .ok_or_else(|| Failure::new("no cases were made; please report this"))
    }

    fn evidence(&self, cases: &mut Option<Cases>, lock: &mut Lock) -> Result<Evidence, Failure> {
        let path = self.state.join("evidence");
        let key = self.key(self.as_of)?;
        if let Ok(fresh) = derived::read(&path, &key) {
            return Ok(fresh);
        }
        lock.take()?;
        match derived::read(&path, &key) {
            Ok(fresh) => return Ok(fresh),
            Err(Unused::Damaged) => self
                .session
                .notice("The evidence was damaged and is counted again."),
            Err(Unused::Missing | Unused::Stale) => {}
        }
        let step = self.session.step("Counting the tickets");
        let cases = self.cases(cases)?;
        let made = gather(
            cases,
            &self.knowledge.catalog,
            &self.knowledge.settings,
            self.as_of,
        );
        derived::write(&path, &key, &made).map_err(|e| Failure::file("write", &path, &e))?;
        step.finish();
        Ok(made)
    }

    /// The index follows the words alone; a later "today" with no newer tickets changes none.
    fn index(
        &self,
        evidence: &Evidence,
        layout: &Layout,
        analyzer: &Analyzer,
        cases: &mut Option<Cases>,
        lock: &mut Lock,
    ) -> Result<Index, Failure> {
        let key = self.key(evidence.to.unwrap_or(Date::MIN))?;
        let name = format!("index-{}", &hex(&Sha256::digest(key.as_bytes()))[..16]);
        let folder = self.state.join(&name);
        if let Ok(index) = Index::open(&folder, layout) {
            return Ok(index);
        }
        lock.take()?;
        match Index::open(&folder, layout) {
            Ok(index) => return Ok(index),
            Err(SearchError::File { .. }) => {}
            Err(_) => self
                .session
                .notice("The index was damaged and is built again."),
        }
        let step = self.session.step("Building the index");
        let cases = self.cases(cases)?;
        let said = texts::said(&cases.list, analyzer);
        let bags = texts::bags(
            &self.knowledge.catalog,
            layout,
            analyzer,
            &cases.list,
            &said,
        );
        let texts: Vec<TicketText> = cases
            .list
            .iter()
            .zip(&said)
            .map(|(case, said)| TicketText {
                id: case.id.clone(),
                terms: said.terms.clone(),
            })
            .collect();
        self.replace_index(&folder, &name, |into| {
            search::build(into, layout, &bags, &texts)
        })?;
        step.finish();
        Index::open(&folder, layout).map_err(|e| no_index(&e))
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
}

/// Old indexes, and halves that a killed process left. One that cannot be removed now, because a
/// reader holds it on Windows, is removed after the next build.
fn remove_others(state: &Path, keep: &str) {
    let Ok(entries) = std::fs::read_dir(state) else {
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if name != keep && (name.starts_with("index-") || name.starts_with("new-index-")) {
            let _ = std::fs::remove_dir_all(entry.path());
        }
    }
}

/// The right to make derived things; taken at the first need, given back at the end.
struct Lock {
    path: PathBuf,
    held: Option<File>,
}

impl Lock {
    fn new(state: &Path) -> Self {
        Self {
            path: state.join("lock"),
            held: None,
        }
    }

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

fn no_folder(error: &FolderError) -> Failure {
    Failure::because("cannot read the knowledge base", error).hint("name its folder: `--kb DIR`")
}

fn no_index(error: &SearchError) -> Failure {
    Failure::because("cannot use the index", error)
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

/// "1 ticket", "3 tickets".
pub(crate) fn counted(number: usize, word: &str) -> String {
    if number == 1 {
        format!("1 {word}")
    } else {
        format!("{number} {word}s")
    }
}
