//! Files written whole or not at all.

use super::{Failure, Session};
use crate::view::backtest_plot::NotDrawn;
use std::io::{self, Write};
use std::path::Path;

/// Writes a new file: under another name first, then renamed. One that is there is not touched.
///
/// # Errors
/// Where it is there already, or the folder cannot be written.
pub(crate) fn whole(path: &Path, text: &str) -> io::Result<()> {
    written(path, text.as_bytes())?
        .persist_noclobber(path)
        .map_err(|e| e.error)?;
    Ok(())
}

/// As [`whole`], in the place of a file that may be there.
///
/// # Errors
/// Where the folder cannot be written.
pub(crate) fn over(path: &Path, content: &[u8]) -> io::Result<()> {
    written(path, content)?.persist(path).map_err(|e| e.error)?;
    Ok(())
}

/// Writes drawings by name, over those of an earlier run; a folder that is missing is made.
///
/// # Errors
/// Where a drawing failed or the folder cannot be written.
pub(crate) fn drawings(
    folder: &Path,
    drawings: impl Iterator<Item = (String, Result<String, NotDrawn>)>,
    session: &Session,
) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|e| Failure::file("make the folder", folder, &e))?;
    for (name, drawn) in drawings {
        let svg = drawn.map_err(|e| Failure::because("cannot draw", &e))?;
        let path = folder.join(format!("{name}.svg"));
        over(&path, svg.as_bytes()).map_err(|e| Failure::file("write", &path, &e))?;
        session.notice(&format!("Drew {}.", session.short(&path).display()));
    }
    Ok(())
}

/// A file beside its place, with everything in it.
fn written(path: &Path, content: &[u8]) -> io::Result<tempfile::NamedTempFile> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    if !folder.is_dir() {
        let missing = format!("there is no folder `{}`", folder.display());
        return Err(io::Error::new(io::ErrorKind::NotFound, missing));
    }
    let mut builder = tempfile::Builder::new();
    builder.prefix(".new-");
    // A file for people to edit is as open as any other they make; temporary ones are their owner's.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    // The reader knows the place; the name of the file beside it says nothing.
    let mut file = builder
        .tempfile_in(folder)
        .map_err(|e| io::Error::from(e.kind()))?;
    file.write_all(content)?;
    file.as_file().sync_all()?;
    Ok(file)
}
