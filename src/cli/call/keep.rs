//! Cases on disk: one file each under `cases` in the state folder, written whole after every line,
//! for the user alone to read, removed 30 days after its last line.
//!
//! - `ID.json` is a case in progress, `ID.done` a closed one with its ticket, so that the close can
//!   be taken back; `ID.lock` is held by the process that works on it and reserves the id.
//! - `site-DIGEST-ID` is an empty file that says that the ticket ID was of that site.
//! - `key` makes digests that mean nothing outside this folder.

use crate::base::ids::TicketId;
use crate::call::Case;
use crate::cli::Failure;
use crate::cli::desk::derived::replace;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::fs::{File, OpenOptions, TryLockError};
use std::hash::{BuildHasher, RandomState};
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The version of case files: 2 since lines may be struck through.
const FORMAT: u32 = 2;

/// The oldest version that is read.
const OLDEST: u32 = 1;

/// How long a case is kept after its last line.
const KEPT: Duration = Duration::from_secs(30 * 86_400);

/// The folder of cases.
#[derive(Debug)]
pub(in crate::cli) struct Keep {
    folder: PathBuf,
    key: String,
}

/// A case this process works on; nobody else can take it up meanwhile.
#[derive(Debug)]
pub(in crate::cli) struct Held {
    /// Dropped with the case, which gives it free.
    _lock: File,
}

/// A case file.
#[derive(Debug, Serialize, Deserialize)]
struct Kept {
    format: u32,
    case: Case,
    /// The ticket as it went into the ledger.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ticket: Option<String>,
}

impl Keep {
    /// Opens the folder, makes it where there is none, and removes what is too old.
    pub(in crate::cli) fn open(state: &Path) -> Result<Self, Failure> {
        let folder = state.join("cases");
        std::fs::create_dir_all(&folder)
            .map_err(|e| Failure::file("make the folder", &folder, &e))?;
        let key_file = folder.join("key");
        let key = match std::fs::read_to_string(&key_file) {
            Ok(key) if key.len() >= 32 => key,
            _ => {
                // Two processes that begin at once may each write one; the last stays.
                let made = random_key();
                replace(&key_file, made.as_bytes())
                    .map_err(|e| Failure::file("write", &key_file, &e))?;
                std::fs::read_to_string(&key_file).unwrap_or(made)
            }
        };
        let keep = Self { folder, key };
        keep.remove_old();
        Ok(keep)
    }

    fn remove_old(&self) {
        for (name, path) in self.files() {
            let old = std::fs::metadata(&path)
                .and_then(|about| about.modified())
                .is_ok_and(|time| time.elapsed().is_ok_and(|age| age > KEPT));
            if old && name != "key" {
                let _ = std::fs::remove_file(path);
            }
        }
    }

    fn files(&self) -> Vec<(String, PathBuf)> {
        let entries = std::fs::read_dir(&self.folder)
            .into_iter()
            .flatten()
            .flatten();
        entries
            .map(|entry| {
                (
                    entry.file_name().to_string_lossy().into_owned(),
                    entry.path(),
                )
            })
            .collect()
    }

    fn path(&self, id: &TicketId, ending: &str) -> PathBuf {
        self.folder.join(format!("{id}.{ending}"))
    }

    /// A new id of this day that no other case has: `C-261126-1`.
    pub(in crate::cli) fn reserve(&self, now: Timestamp) -> Result<(TicketId, Held), Failure> {
        let day = now.strftime("%y%m%d").to_string();
        let prefix = format!("C-{day}-");
        let taken = self.files().into_iter().filter_map(|(name, _)| {
            let rest = name.strip_prefix(&prefix)?;
            rest.split('.').next()?.parse::<u64>().ok()
        });
        let mut number = taken.max().unwrap_or(0);
        loop {
            number += 1;
            let id = TicketId::new(&format!("{prefix}{number}"));
            let path = self.path(&id, "lock");
            match OpenOptions::new().write(true).create_new(true).open(&path) {
                Ok(file) => {
                    file.try_lock()
                        .map_err(|e| Failure::because("cannot lock a case", &e))?;
                    return Ok((id, Held { _lock: file }));
                }
                Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
                Err(error) => return Err(Failure::file("write", &path, &error)),
            }
        }
    }

    /// Whether an id was given out here.
    pub(in crate::cli) fn is_reserved(&self, id: &TicketId) -> bool {
        is_case_id(id.as_str()) && self.path(id, "lock").exists()
    }

    /// Takes up a case unless another process works on it.
    pub(in crate::cli) fn take_up(&self, id: &TicketId) -> Result<Option<Held>, Failure> {
        let path = self.path(id, "lock");
        let opened = OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(false)
            .open(&path);
        let file = opened.map_err(|e| Failure::file("write", &path, &e))?;
        match file.try_lock() {
            Ok(()) => Ok(Some(Held { _lock: file })),
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(error)) => Err(Failure::file("lock", &path, &error)),
        }
    }

    /// Writes a case in progress; one without lines leaves no file.
    pub(in crate::cli) fn save(&self, case: &Case) -> Result<(), Failure> {
        let path = self.path(&case.id, "json");
        if case.lines.is_empty() {
            let _ = std::fs::remove_file(path);
            return Ok(());
        }
        self.write(&path, case, None)
    }

    fn write(&self, path: &Path, case: &Case, ticket: Option<String>) -> Result<(), Failure> {
        let kept = Kept {
            format: FORMAT,
            case: case.clone(),
            ticket,
        };
        let written = serde_json::to_vec(&kept)
            .map_err(io::Error::other)
            .and_then(|bytes| replace(path, &bytes));
        written
            .and_then(|()| self.settle())
            .map_err(|e| Failure::file("keep the case in", path, &e))
    }

    /// A renamed file outlasts a power cut only once its folder is on disk too.
    fn settle(&self) -> io::Result<()> {
        if cfg!(unix) {
            return File::open(&self.folder)?.sync_all();
        }
        Ok(())
    }

    /// A case that is given up before it has lines.
    pub(in crate::cli) fn forget(&self, id: &TicketId) {
        for ending in ["json", "lock"] {
            let _ = std::fs::remove_file(self.path(id, ending));
        }
    }

    /// A case that is now in the ledger as `ticket`.
    pub(in crate::cli) fn close(&self, case: &Case, ticket: &str) -> Result<(), Failure> {
        self.write(&self.path(&case.id, "done"), case, Some(ticket.to_owned()))?;
        let _ = std::fs::remove_file(self.path(&case.id, "json"));
        for digest in case.state().sites {
            let _ = File::create(self.folder.join(format!("site-{digest}-{}", case.id)));
        }
        Ok(())
    }

    /// A closed case is open again.
    pub(in crate::cli) fn reopen(&self, case: &Case) -> Result<(), Failure> {
        self.save(case)?;
        let _ = std::fs::remove_file(self.path(&case.id, "done"));
        for (name, path) in self.files() {
            if name.starts_with("site-") && name.ends_with(&format!("-{}", case.id)) {
                let _ = std::fs::remove_file(path);
            }
        }
        Ok(())
    }

    /// A closed case with its ticket.
    pub(in crate::cli) fn closed(&self, id: &TicketId) -> Option<(Case, String)> {
        let kept = self.read(&self.path(id, "done"))?;
        Some((kept.case, kept.ticket?))
    }

    /// A case in progress.
    pub(in crate::cli) fn in_progress(&self, id: &TicketId) -> Option<Case> {
        self.read(&self.path(id, "json")).map(|kept| kept.case)
    }

    /// A file of another version or a damaged one is as good as none; it is left where it is.
    fn read(&self, path: &Path) -> Option<Kept> {
        // An id that somebody typed must not lead out of the folder.
        if path.parent() != Some(&self.folder) {
            return None;
        }
        let bytes = std::fs::read(path).ok()?;
        let kept: Kept = serde_json::from_slice(&bytes).ok()?;
        (OLDEST..=FORMAT).contains(&kept.format).then_some(kept)
    }

    /// Cases in progress that nobody works on, the newest line first.
    pub(in crate::cli) fn left_open(&self) -> Vec<Case> {
        let mut open: Vec<Case> = self
            .files()
            .into_iter()
            .filter(|(name, _)| name.ends_with(".json"))
            .filter_map(|(_, path)| self.read(&path))
            .map(|kept| kept.case)
            .filter(|case| matches!(self.take_up(&case.id), Ok(Some(_))))
            .collect();
        open.sort_by(|a, b| b.last().cmp(&a.last()).then_with(|| a.id.cmp(&b.id)));
        open
    }

    /// Tickets of these sites, closed in the last 30 days.
    pub(in crate::cli) fn of_sites(&self, digests: &BTreeSet<String>) -> BTreeSet<TicketId> {
        if digests.is_empty() {
            return BTreeSet::new();
        }
        self.files()
            .into_iter()
            .filter_map(|(name, _)| {
                let (digest, id) = name.strip_prefix("site-")?.split_once('-')?;
                digests.contains(digest).then(|| TicketId::new(id))
            })
            .collect()
    }

    /// A digest that tells equal texts and nothing else.
    pub(in crate::cli) fn digest(&self, text: &str) -> String {
        let mut hash = Sha256::new();
        for part in [self.key.as_str(), "\n", text] {
            hash.update(part.as_bytes());
        }
        crate::cli::desk::hex(&hash.finalize())[..24].to_owned()
    }
}

/// Whether a text has the form of the ids given out here, such as `C-261126-1`. What has it is safe as
/// a part of a file's name.
pub(in crate::cli) fn is_case_id(text: &str) -> bool {
    let digits = |part: &str, most: usize| {
        (1..=most).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit())
    };
    let parts: Vec<&str> = text.split('-').collect();
    matches!(parts[..], ["C", day, number] if day.len() == 6 && digits(day, 6) && digits(number, 12))
}

/// The standard library's hash maps are keyed by the system's randomness; so is this.
fn random_key() -> String {
    let part = |nth: u64| RandomState::new().hash_one(nth);
    (0..4).map(|nth| format!("{:016x}", part(nth))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_given_out_here_is_safe_in_a_path() {
        for (text, ours) in [
            ("C-261126-1", true),
            ("C-261126-000123", true),
            ("C-1-1", false),
            ("C-261126-", false),
            ("C-261126-1.json", false),
            ("C-261126-1/../../x", false),
            ("../C-261126-1", false),
            ("c-261126-1", false),
            ("T-10482", false),
            ("", false),
        ] {
            assert_eq!(is_case_id(text), ours, "{text}");
        }
    }
}
