//! One row of an export: a record, or why it is none. Shared by the readers of JSON Lines and CSV.

use super::record::RawTicket;
use crate::base::problem::Problem;
use std::io;

/// What one row of an export became.
#[derive(Clone, Debug, PartialEq)]
pub enum Row {
    /// A record, not yet scrubbed.
    Ticket(Box<RawTicket>),
    /// No record, and why.
    Rejected(Box<Reject>),
}

/// A row that is no record.
#[derive(Clone, Debug, PartialEq)]
pub struct Reject {
    /// Its line in the file, counted from 1.
    pub line: usize,
    /// What is wrong; its message, help and excerpt may quote the row and are not scrubbed yet.
    pub problem: Problem,
    /// The row as it stood in the file, not scrubbed yet.
    pub text: String,
}

/// Why a file cannot be read at all, or not to its end.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// The disk, the network, the permissions.
    #[error("{0}")]
    Io(#[from] io::Error),
    /// Bytes that are no UTF-8.
    #[error("line {line} is not UTF-8 text")]
    NotUtf8 {
        /// The first such line.
        line: usize,
    },
    /// A byte order mark of UTF-16.
    #[error("the file is UTF-16, but UTF-8 was expected")]
    Utf16,
    /// No header in a CSV file.
    #[error("the file is empty, but a header line was expected")]
    NoHeader,
    /// A quote in the header of a CSV file that is not closed.
    #[error("the quote in column {column} of the header is not closed")]
    OpenHeader {
        /// Where it stands in its line, in characters counted from 1.
        column: usize,
    },
    /// A header of one column that holds another delimiter.
    #[error("the header is one column, `{header}`, so the delimiter is not `{used}`")]
    Delimiter {
        /// The header as it stands.
        header: String,
        /// The delimiter the file was read with.
        used: String,
        /// What the delimiter seems to be, as TOML writes it.
        seen: &'static str,
    },
    /// The map does not fit the header.
    #[error("the map does not fit the file's header")]
    Map(Vec<Problem>),
}

impl ReadError {
    /// What to do, where it is known.
    #[must_use]
    pub fn help(&self) -> Option<String> {
        match self {
            Self::NotUtf8 { .. } | Self::Utf16 => {
                Some("save or export the file as UTF-8".to_owned())
            }
            Self::OpenHeader { .. } => {
                Some("close it, or take it out: the rows below stand within it".to_owned())
            }
            Self::Delimiter { seen, .. } => {
                Some(format!("add `delimiter = \"{seen}\"` to the map"))
            }
            Self::Io(_) | Self::NoHeader | Self::Map(_) => None,
        }
    }
}

/// Refuses a start that says UTF-16; takes a UTF-8 byte order mark off.
pub(super) fn without_mark(bytes: &[u8]) -> Result<&[u8], ReadError> {
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(ReadError::Utf16);
    }
    Ok(bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes))
}
