//! The rows of a file that became no tickets, kept for whoever mends the export.
//!
//! One JSON object on each line: the row's line, the reason, the row without personal data. The
//! file is written under a temporary name and renamed when the import is done; on Unix its owner
//! alone may read it.

use crate::base::problem::Problem;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;
use tempfile::NamedTempFile;

/// Rejected rows on their way to a file.
pub(super) struct Rejects {
    folder: PathBuf,
    file: Option<BufWriter<NamedTempFile>>,
}

#[derive(serde::Serialize)]
struct Line<'a> {
    line: usize,
    reason: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<&'a str>,
    text: &'a str,
}

impl Rejects {
    /// Nothing is written until a row is rejected.
    pub(super) fn new(state: &Path) -> Self {
        Self {
            folder: state.join("rejects"),
            file: None,
        }
    }

    /// Adds a row; all of it must be scrubbed.
    pub(super) fn add(&mut self, line: usize, problem: &Problem, text: &str) -> io::Result<()> {
        let file = match &mut self.file {
            Some(file) => file,
            none => {
                std::fs::create_dir_all(&self.folder)?;
                // Such files are made with mode 0600 on Unix.
                none.insert(BufWriter::new(
                    tempfile::Builder::new()
                        .prefix(UNFINISHED)
                        .tempfile_in(&self.folder)?,
                ))
            }
        };
        let line = Line {
            line,
            reason: &problem.message,
            help: problem.help.as_deref(),
            text,
        };
        serde_json::to_writer(&mut *file, &line)?;
        file.write_all(b"\n")
    }

    /// Gives the file its name, that of the export and the start of its digest, and removes what
    /// earlier imports of an export of this name rejected: those rows were mended or are in here.
    pub(super) fn keep(self, export: &Path, digest: &[u8]) -> io::Result<Option<PathBuf>> {
        let name = export.file_name().unwrap_or_default().to_string_lossy();
        let mut kept = None;
        if let Some(file) = self.file {
            let file = file.into_inner().map_err(io::IntoInnerError::into_error)?;
            file.as_file().sync_all()?;
            let digest: String = digest.iter().take(4).map(|b| format!("{b:02x}")).collect();
            let path = self.folder.join(format!("{name}-{digest}.jsonl"));
            file.persist(&path).map_err(|e| e.error)?;
            kept = Some(path);
        }
        remove_older(&self.folder, &name, kept.as_deref());
        Ok(kept)
    }
}

/// How a file begins that is not whole yet.
const UNFINISHED: &str = "new-";

/// After so long nobody writes an unfinished file any more: its import was killed.
const GIVEN_UP: Duration = Duration::from_secs(24 * 60 * 60);

/// Removes rejects of this export but `keep`, and what killed imports left.
fn remove_older(folder: &Path, export: &str, keep: Option<&Path>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let digest = name
            .strip_prefix(export)
            .and_then(|rest| rest.strip_prefix('-'))
            .and_then(|rest| rest.strip_suffix(".jsonl"));
        let same = digest.is_some_and(|d| d.len() == 8 && d.chars().all(|c| c.is_ascii_hexdigit()));
        let age = || entry.metadata().ok()?.modified().ok()?.elapsed().ok();
        let left = name.starts_with(UNFINISHED) && age() > Some(GIVEN_UP);
        if (same || left) && Some(entry.path().as_path()) != keep {
            // One that cannot be removed is only in the way of the eye.
            let _ = std::fs::remove_file(entry.path());
        }
    }
}
