//! Where the state of a knowledge base lies.

use super::{Failure, Session};
use crate::articles::folder::FolderError;
use crate::articles::settings_file;
use sha2::{Digest, Sha256};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// The folder for the ledger and all derived files; it is made where it is missing.
///
/// `--state`, else `.state` in the knowledge base, else, where that may not be written, a folder of
/// the user's cache named by a hash of the knowledge base's path.
pub(crate) fn state_dir(session: &Session) -> Result<PathBuf, Failure> {
    let kb = &session.kb;
    if !kb.is_dir() {
        return Err(
            Failure::new(format!("there is no knowledge base in `{}`", kb.display()))
                .hint("name its folder: `--kb DIR`, or set FIXTALLY_KB"),
        );
    }
    // A folder named by mistake is left as it is.
    if !kb.join(settings_file::FILE).is_file() {
        let none = FolderError::NoSettings { dir: kb.clone() };
        return Err(Failure::new(none.to_string()).hint("name its folder: `--kb DIR`"));
    }
    if let Some(state) = &session.state {
        std::fs::create_dir_all(state).map_err(|e| Failure::file("make the folder", state, &e))?;
        return Ok(state.clone());
    }
    let own = kb.join(".state");
    match writable(&own) {
        Ok(()) => Ok(own),
        Err(error) if may_not(error.kind()) => in_cache(session, kb),
        Err(error) => Err(Failure::file("make the folder", &own, &error)
            .hint("choose another one: `--state DIR`")),
    }
}

fn may_not(kind: ErrorKind) -> bool {
    matches!(
        kind,
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem
    )
}

fn writable(folder: &Path) -> std::io::Result<()> {
    std::fs::create_dir_all(folder)?;
    tempfile::tempfile_in(folder).map(drop)
}

fn in_cache(session: &Session, kb: &Path) -> Result<PathBuf, Failure> {
    let whole = kb
        .canonicalize()
        .map_err(|e| Failure::file("find the folder", kb, &e))?;
    let digest = Sha256::digest(whole.as_os_str().as_encoded_bytes());
    let name: String = digest.iter().take(8).map(|b| format!("{b:02x}")).collect();
    let state = cache_dir().map(|cache| cache.join("fixtally").join(name));
    let Some(state) = state else {
        let message = format!(
            "`{}` may not be written, and no cache folder is known",
            kb.display()
        );
        return Err(Failure::new(message).hint("choose a folder: `--state DIR`"));
    };
    std::fs::create_dir_all(&state).map_err(|e| {
        Failure::file("make the folder", &state, &e).hint("choose another one: `--state DIR`")
    })?;
    if session.verbose {
        session.notice(&format!("State is kept in {}.", state.display()));
    }
    Ok(state)
}

/// The user's cache folder, as the system names it.
fn cache_dir() -> Option<PathBuf> {
    let from = |name: &str| {
        std::env::var_os(name)
            .map(PathBuf::from)
            .filter(|path| path.is_absolute())
    };
    if cfg!(windows) {
        return from("LOCALAPPDATA");
    }
    from("XDG_CACHE_HOME").or_else(|| Some(from("HOME")?.join(".cache")))
}
