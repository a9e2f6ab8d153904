//! One export file as text: unpacked, in UTF-8, with its digest and what was told from its bytes.
//!
//! An ordinary file is read twice: once for its digest and its encoding, once for its rows. A pipe
//! can be read only once, so its encoding is told from its first bytes and it has no digest.

use crate::tickets::encoding::{Decoded, Encoding, Looker};
use flate2::read::MultiGzDecoder;
use indicatif::ProgressBar;
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::{self, BufReader, Cursor, Read, Seek};
use std::path::Path;

/// How many bytes of text tell the form and the delimiter.
const START: usize = 1 << 16;

/// The first bytes of a gzip file (RFC 1952, section 2.3.1).
const GZIP: [u8; 2] = [0x1f, 0x8b];

/// An export that was looked at.
#[derive(Debug)]
pub(super) struct Source {
    file: File,
    /// The bytes of a pipe that were read to look at it.
    read: Vec<u8>,
    /// Its size in bytes, as it lies on the disk.
    pub(super) length: u64,
    /// Whether gzip packed it.
    pub(super) packed: bool,
    /// The encoding of its text.
    pub(super) encoding: Encoding,
    /// The digest of its bytes, as they lie on the disk.
    pub(super) digest: Option<Vec<u8>>,
}

/// The text of an export, and how it begins.
pub(super) struct Text {
    /// The first [`START`] bytes, or less.
    pub(super) start: String,
    /// All of it.
    pub(super) all: Box<dyn Read + Send>,
}

/// Looks at a file. `encoding` is what somebody says it is in.
pub(super) fn look(path: &Path, encoding: Option<Encoding>) -> io::Result<Source> {
    let mut file = File::open(path)?;
    let about = file.metadata()?;
    if about.is_dir() {
        return Err(io::Error::other("it is a folder"));
    }
    let mut looker = Looker::default();
    if !about.is_file() {
        let mut read = vec![0; START];
        let length = file.read(&mut read)?;
        read.truncate(length);
        looker.feed(&read);
        return Ok(Source {
            packed: read.starts_with(&GZIP),
            encoding: encoding.unwrap_or_else(|| looker.encoding(false)),
            file,
            read,
            length: 0,
            digest: None,
        });
    }
    let mut digested = Digested(BufReader::new(file), Sha256::new());
    let packed = io::BufRead::fill_buf(&mut digested.0)?.starts_with(&GZIP);
    if packed {
        feed(&mut looker, MultiGzDecoder::new(&mut digested))?;
        // The reader of gzip may leave bytes behind its end.
        io::copy(&mut digested, &mut io::sink())?;
    } else {
        feed(&mut looker, &mut digested)?;
    }
    let Digested(reader, digest) = digested;
    let mut file = reader.into_inner();
    file.rewind()?;
    Ok(Source {
        file,
        read: Vec::new(),
        length: about.len(),
        packed,
        encoding: encoding.unwrap_or_else(|| looker.encoding(true)),
        digest: Some(digest.finalize().to_vec()),
    })
}

fn feed(looker: &mut Looker, mut reader: impl Read) -> io::Result<()> {
    let mut buffer = vec![0; 1 << 16];
    loop {
        match reader.read(&mut buffer)? {
            0 => return Ok(()),
            read => looker.feed(&buffer[..read]),
        }
    }
}

/// Bytes that are digested as they pass.
struct Digested(BufReader<File>, Sha256);

impl Read for Digested {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let read = self.0.read(buffer)?;
        self.1.update(&buffer[..read]);
        Ok(read)
    }
}

impl Source {
    /// Its text; the bar follows the bytes on the disk.
    pub(super) fn text(self, bar: &ProgressBar) -> io::Result<Text> {
        let once = self.digest.is_none();
        let raw = Cursor::new(self.read).chain(bar.wrap_read(self.file));
        let plain: Box<dyn Read + Send> = if self.packed {
            Box::new(MultiGzDecoder::new(BufReader::new(raw)))
        } else {
            Box::new(raw)
        };
        let mut all: Box<dyn Read + Send> = match self.encoding {
            Encoding::Utf8 => plain,
            other => Box::new(Decoded::new(plain, other)),
        };
        let mut start = vec![0; START];
        let mut read = 0;
        while read < START {
            let more = all.read(&mut start[read..])?;
            read += more;
            // More of a pipe may be long in coming.
            if more == 0 || once {
                break;
            }
        }
        start.truncate(read);
        Ok(Text {
            start: String::from_utf8_lossy(&start).into_owned(),
            all: Box::new(Cursor::new(start).chain(all)),
        })
    }
}
