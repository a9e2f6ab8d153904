//! `fixtally completions`: completion scripts for shells.

use super::{Exit, Failure, Session};
use clap_complete::Shell;
use std::io::Write;

/// Print the completion script of a shell
///
/// For bash: `fixtally completions bash > ~/.local/share/bash-completion/completions/fixtally`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(
        args.shell,
        &mut crate::cli::command_line(),
        "fixtally",
        &mut script,
    );
    session.out().write_all(&script)?;
    Ok(Exit::Done)
}
