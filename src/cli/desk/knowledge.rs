//! The articles, settings and words, parsed once and kept until a file changes.
//!
//! Staleness is decided on path, size and time of change; contents are hashed only where those
//! differ, or where a file was changed so shortly before it was read that a second change could
//! carry the same time.

use super::derived::{self, Unused};
use crate::articles::folder::{self, Folder, FolderError, SourceStamp};
use crate::articles::{Catalog, Settings};
use crate::base::problem::Grade;
use crate::base::text::{Analyzer, Words};
use crate::cli::Session;
use crate::evidence::danger::StopWords;
use crate::evidence::ear::Ear;
use jiff::{Timestamp, civil::Date};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::path::Path;

const FILE: &str = "articles";

/// Changes within this many nanoseconds of reading may hide behind an equal time.
const YOUNG: u64 = 2_000_000_000;

/// How often a folder that changes while it is read is read again.
const ATTEMPTS: usize = 3;

/// What the knowledge base's own files say.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Knowledge {
    stamps: Vec<SourceStamp>,
    read_at: u64,
    /// Digest of all files, hexadecimal.
    pub(super) digest: String,
    pub(super) settings: Settings,
    pub(super) words: Words,
    pub(super) catalog: Catalog,
    /// What stops a call, and how dangers sound: reading the phrases takes longer than answering.
    pub(super) stop_words: StopWords,
    /// How many problems keep something from being served.
    pub(super) errors: usize,
}

/// Reads the knowledge base, from `state` where nothing changed.
///
/// # Errors
/// Where the folder is none.
pub(super) fn read(session: &Session, state: &Path) -> Result<Knowledge, FolderError> {
    let kb = &session.kb;
    let path = state.join(FILE);
    let stamps = folder::stamp(kb)?;
    let now = nanoseconds();
    match derived::read::<Knowledge>(&path, env!("CARGO_PKG_VERSION")) {
        Ok(mut kept) => {
            let young = stamps
                .iter()
                .any(|s| s.mtime_ns.saturating_add(YOUNG) > kept.read_at);
            if kept.stamps == stamps && !young {
                return Ok(kept);
            }
            if kept.stamps.len() == stamps.len() && digest(kb, &stamps) == kept.digest {
                kept.stamps = stamps;
                kept.read_at = now;
                keep(&path, &kept);
                return Ok(kept);
            }
        }
        Err(Unused::Damaged) => {
            session.notice("The kept articles were damaged and are read again.");
        }
        Err(Unused::Missing | Unused::Stale) => {}
    }
    let (read, digest) = settled(kb, stamps, session.today())?;
    let (analyzer, ear) = (
        Analyzer::new(&read.words),
        Ear::learn(&read.sayings, &read.catalog),
    );
    let knowledge = Knowledge {
        digest,
        stamps: read.sources,
        read_at: now,
        settings: read.settings,
        words: read.words,
        stop_words: StopWords::new(&read.catalog, &analyzer, ear),
        catalog: read.catalog,
        errors: read
            .problems
            .iter()
            .filter(|p| p.grade == Grade::Error)
            .count(),
    };
    keep(&path, &knowledge);
    Ok(knowledge)
}

/// The folder with the digest of what was read: a file that changes between the two would pass
/// its old content off under the digest of the new one, and then everything is read once more.
fn settled(
    kb: &Path,
    mut stamps: Vec<SourceStamp>,
    today: Date,
) -> Result<(Folder, String), FolderError> {
    let mut attempt = 1;
    loop {
        let read = folder::read(kb, today)?;
        let digest = digest(kb, &read.sources);
        let after = folder::stamp(kb)?;
        if (read.sources == stamps && after == stamps) || attempt == ATTEMPTS {
            return Ok((read, digest));
        }
        stamps = after;
        attempt += 1;
    }
}

/// A copy that cannot be kept costs time at the next start and nothing else.
fn keep(path: &Path, knowledge: &Knowledge) {
    let _ = derived::write(path, env!("CARGO_PKG_VERSION"), knowledge);
}

fn digest(kb: &Path, stamps: &[SourceStamp]) -> String {
    let mut hash = Sha256::new();
    for stamp in stamps {
        let content = std::fs::read(kb.join(&stamp.path)).unwrap_or_default();
        hash.update(stamp.path.as_bytes());
        hash.update([0]);
        hash.update((content.len() as u64).to_le_bytes());
        hash.update(&content);
    }
    super::hex(&hash.finalize())
}

fn nanoseconds() -> u64 {
    u64::try_from(Timestamp::now().as_nanosecond()).unwrap_or(0)
}
