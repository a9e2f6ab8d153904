//! tantivy, and only here: which articles match, and how often terms stand in texts.
//!
//! The index is derived: it can always be built again from articles and tickets. It lives in a
//! folder that is written under a new name and never changed, so that readers of the old one are not
//! disturbed.

mod build;
mod kept;
mod query;
mod schema;
#[cfg(test)]
mod tests;
mod tokens;

pub use build::{TicketText, build};
pub use query::Index;

use std::path::PathBuf;
use thiserror::Error;

/// What can go wrong with an index; in every case building it again is the remedy.
#[derive(Debug, Error)]
pub enum SearchError {
    /// It was written by another version of fixtally.
    #[error("the index in `{0}` has another format")]
    Format(PathBuf),
    /// A file of it is missing, cut short or changed.
    #[error("the index in `{0}` is damaged")]
    Damaged(PathBuf),
    /// tantivy's own words.
    #[error("the index cannot be used")]
    Tantivy(#[from] tantivy::TantivyError),
    /// Its folder or side file could not be read or written.
    #[error("cannot use `{path}`")]
    File {
        /// The file or folder.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
}
