//! What stops a command: what happened, why, and what to do.

use std::error::Error;
use std::fmt::{self, Display};
use std::io;
use std::path::Path;

/// One failure as a person reads it: a message, its causes, hints.
#[derive(Debug)]
pub struct Failure {
    /// What could not be done, lower case, no full stop, values in backticks.
    pub message: String,
    /// Why, outermost first.
    pub causes: Vec<String>,
    /// Exact commands or edits to try.
    pub hints: Vec<String>,
    broken_pipe: bool,
}

impl Failure {
    /// A failure with nothing but a message.
    pub fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            causes: Vec::new(),
            hints: Vec::new(),
            broken_pipe: false,
        }
    }

    /// A failure caused by an error; the error's own chain follows.
    pub fn because(message: impl Into<String>, error: &(dyn Error + 'static)) -> Self {
        let mut failure = Self::new(message);
        let mut cause: Option<&(dyn Error + 'static)> = Some(error);
        while let Some(e) = cause {
            failure.causes.push(e.to_string());
            cause = e.source();
        }
        failure
    }

    /// A file that could not be read or written.
    pub fn file(doing: &str, path: &Path, error: &io::Error) -> Self {
        Self::because(format!("cannot {doing} `{}`", path.display()), error)
    }

    /// Adds what to do.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Whether the reader of our output went away, which is no failure.
    #[must_use]
    pub fn is_broken_pipe(&self) -> bool {
        self.broken_pipe
    }
}

impl Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

/// Writing to standard output is the only bare I/O in commands; everything else names its file.
impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        let broken_pipe = error.kind() == io::ErrorKind::BrokenPipe;
        Self {
            broken_pipe,
            ..Self::because("cannot write the answer", &error)
        }
    }
}
