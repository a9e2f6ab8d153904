//! Opens the ledger of a knowledge base and words what stands in the way.

use super::desk::demo;
use super::place::state_dir;
use super::{Failure, Session};
use crate::tickets::ledger::{FILE, SqliteLedger};
use crate::tickets::store::StoreError;

/// The ledger; it is made where there is none.
pub(crate) fn open(session: &Session) -> Result<SqliteLedger, Failure> {
    demo::load(session)?;
    SqliteLedger::open(&state_dir(session)?.join(FILE)).map_err(failure)
}

/// The ledger, or nothing where no ticket was ever imported.
pub(crate) fn open_existing(session: &Session) -> Result<Option<SqliteLedger>, Failure> {
    demo::load(session)?;
    SqliteLedger::open_existing(&state_dir(session)?.join(FILE)).map_err(failure)
}

/// A store's error with what to do.
pub(crate) fn failure(error: StoreError) -> Failure {
    let hint = match &error {
        StoreError::Stopped(_) | StoreError::Other { .. } => None,
        StoreError::Busy(_) => Some("wait until the other import is done, then do it again".to_owned()),
        StoreError::ReadOnly(_) | StoreError::Open { .. } => {
            Some("keep the state in a folder you may write: `--state DIR`".to_owned())
        }
        StoreError::Full(_) => Some(
            "make room, then do it again; files reported before are in, this one is not".to_owned(),
        ),
        StoreError::Damaged { path, .. } => Some(format!(
            "move `{}*` aside and import the tickets again; nothing of it was changed",
            path.display()
        )),
        StoreError::Foreign(_) => Some("keep the state elsewhere: `--state DIR`".to_owned()),
        StoreError::Newer { .. } => {
            Some("use the newer fixtally that wrote it; it was not changed".to_owned())
        }
        StoreError::Network { .. } => Some(
            "keep the state on a local disk, `--state DIR`; several computers share one `fixtally sheet`"
                .to_owned(),
        ),
    };
    let failure = Failure::new(error.to_string());
    match hint {
        Some(hint) => failure.hint(hint),
        None => failure,
    }
}
