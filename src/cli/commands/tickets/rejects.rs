//! The rows of a file that became no tickets, kept for whoever mends the export.
//!
//! One JSON object on each line: the row's line, the reason, the row without personal data. The
//! file is written under a temporary name and renamed when the import is done; on Unix its owner
//! alone may read it.

use crate::base::problem::Problem;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};
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
                none.insert(BufWriter::new(NamedTempFile::new_in(&self.folder)?))
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

    /// Gives the file its name: that of the export and the start of its digest.
    pub(super) fn keep(self, export: &Path, digest: &[u8]) -> io::Result<Option<PathBuf>> {
        let Some(file) = self.file else {
            return Ok(None);
        };
        let file = file.into_inner().map_err(io::IntoInnerError::into_error)?;
        file.as_file().sync_all()?;
        let name = export.file_name().unwrap_or_default().to_string_lossy();
        let digest: String = digest.iter().take(4).map(|b| format!("{b:02x}")).collect();
        let path = self.folder.join(format!("{name}-{digest}.jsonl"));
        file.persist(&path).map_err(|e| e.error)?;
        Ok(Some(path))
    }
}
