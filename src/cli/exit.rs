//! Exit codes.

use std::process::ExitCode;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done; something was found, nothing was wrong.
    Done,
    /// Nothing found, or findings reported.
    Findings,
    /// Usage, input or internal error.
    Error,
}

impl Exit {
    /// [`Exit::Findings`] where `found` holds, else [`Exit::Done`].
    #[must_use]
    pub fn findings_if(found: bool) -> Self {
        if found { Self::Findings } else { Self::Done }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(match exit {
            Exit::Done => 0,
            Exit::Findings => 1,
            Exit::Error => 2,
        })
    }
}
