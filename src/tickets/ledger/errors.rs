//! The database's errors in our words.

use crate::tickets::store::StoreError;
use rusqlite::{Error, ErrorCode};
use std::path::Path;

/// What the database says about the file at `path`.
pub(super) fn told(path: &Path, error: Error) -> StoreError {
    let path = path.to_owned();
    let reason = reason(&error);
    match error.sqlite_error_code() {
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => StoreError::Busy(path),
        Some(ErrorCode::ReadOnly) => StoreError::ReadOnly(path),
        Some(ErrorCode::DiskFull) => StoreError::Full(path),
        Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => {
            StoreError::Damaged { path, reason }
        }
        Some(ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => {
            StoreError::Open { path, reason }
        }
        // A table that is not there, a column of another type: the file is not as we left it.
        Some(ErrorCode::Unknown | ErrorCode::TypeMismatch | ErrorCode::ConstraintViolation) => {
            StoreError::Damaged { path, reason }
        }
        Some(_) => StoreError::Other { path, reason },
        None => StoreError::Damaged { path, reason },
    }
}

/// The message without the path, which our own words already give.
fn reason(error: &Error) -> String {
    match error {
        Error::SqliteFailure(code, None) => code.to_string(),
        Error::SqliteFailure(_, Some(message)) => {
            let end = message.find(": /").unwrap_or(message.len());
            message[..end].to_owned()
        }
        other => other.to_string(),
    }
}
