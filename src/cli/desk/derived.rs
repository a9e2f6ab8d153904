//! Derived files: written whole under another name and renamed, read back only where they are
//! whole, of this format and made from the same sources.

use serde::{Serialize, de::DeserializeOwned};
use sha2::{Digest, Sha256};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;

/// Raised with every change of what any derived file holds.
const FORMAT: u32 = 7;

/// Bytes of the checksum behind the content.
const SUM: usize = 16;

/// Why a derived file was not used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unused {
    /// There is none.
    Missing,
    /// It was made from other sources or by another version; the usual reason.
    Stale,
    /// Its bytes are not what was written.
    Damaged,
}

/// Reads what [`write`] wrote from the sources that `key` names.
pub(super) fn read<T: DeserializeOwned>(path: &Path, key: &str) -> Result<T, Unused> {
    let content = whole(path)?;
    let (found, rest) = head(&content)?;
    if found != key {
        return Err(Unused::Stale);
    }
    postcard::from_bytes(rest).map_err(|_| Unused::Stale)
}

/// Reads what [`write`] wrote, whatever the sources, with their key.
pub(super) fn read_any<T: DeserializeOwned>(path: &Path) -> Result<(String, T), Unused> {
    let content = whole(path)?;
    let (found, rest) = head(&content)?;
    Ok((
        found,
        postcard::from_bytes(rest).map_err(|_| Unused::Stale)?,
    ))
}

/// The checksum that a file carries, hexadecimal, without reading all of it: it changes with the
/// content.
pub(super) fn mark(path: &Path) -> Result<String, Unused> {
    let read = || {
        let mut file = std::fs::File::open(path)?;
        file.seek(SeekFrom::End(-i64::try_from(SUM).unwrap_or(0)))?;
        let mut sum = [0; SUM];
        file.read_exact(&mut sum)?;
        Ok::<_, io::Error>(super::hex(&sum))
    };
    read().map_err(|_| Unused::Missing)
}

fn whole(path: &Path) -> Result<Vec<u8>, Unused> {
    let mut bytes = std::fs::read(path).map_err(|_| Unused::Missing)?;
    let at = bytes.len().checked_sub(SUM).ok_or(Unused::Damaged)?;
    let sum = bytes.split_off(at);
    if sum_of(&bytes) == sum {
        Ok(bytes)
    } else {
        Err(Unused::Damaged)
    }
}

fn head(content: &[u8]) -> Result<(String, &[u8]), Unused> {
    match postcard::take_from_bytes::<(u32, String)>(content) {
        Ok(((FORMAT, key), rest)) => Ok((key, rest)),
        _ => Err(Unused::Stale),
    }
}

/// Writes a value made from the sources that `key` names.
///
/// # Errors
/// Where the folder cannot be written.
pub(super) fn write<T: Serialize>(path: &Path, key: &str, value: &T) -> io::Result<()> {
    let mut content = postcard::to_stdvec(&(FORMAT, key)).map_err(io::Error::other)?;
    content.extend(postcard::to_stdvec(value).map_err(io::Error::other)?);
    let sum = sum_of(&content);
    content.extend(sum);
    replace(path, &content)
}

/// Writes a file whole or not at all.
///
/// # Errors
/// Where the folder cannot be written.
pub(crate) fn replace(path: &Path, content: &[u8]) -> io::Result<()> {
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut file = tempfile::Builder::new()
        .prefix("new-")
        .tempfile_in(folder)?;
    file.write_all(content)?;
    file.as_file().sync_all()?;
    file.persist(path).map_err(|e| e.error)?;
    Ok(())
}

fn sum_of(content: &[u8]) -> Vec<u8> {
    Sha256::digest(content)[..SUM].to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_comes_back_only_whole_and_for_its_own_sources() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("file");
        assert_eq!(read::<String>(&path, "k"), Err(Unused::Missing));
        write(&path, "k", &"value").unwrap();
        assert_eq!(read::<String>(&path, "k").as_deref(), Ok("value"));
        assert_eq!(read::<String>(&path, "other"), Err(Unused::Stale));
        let mut bytes = std::fs::read(&path).unwrap();
        bytes[3] ^= 1;
        std::fs::write(&path, &bytes).unwrap();
        assert_eq!(read::<String>(&path, "k"), Err(Unused::Damaged));
        std::fs::write(&path, b"x").unwrap();
        assert_eq!(read::<String>(&path, "k"), Err(Unused::Damaged));
    }
}
