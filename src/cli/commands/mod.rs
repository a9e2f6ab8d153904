//! One file per command: its arguments, whose doc comments are the help, and one function.

mod completions;
mod lint;
mod man;
mod show;

use super::{Exit, Failure, Session};
use clap::Subcommand;

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Completions(completions::Args),
    Lint(lint::Args),
    Man(man::Args),
    Show(show::Args),
}

/// From command to function.
pub(super) fn run(command: &Command, session: &Session) -> Result<Exit, Failure> {
    match command {
        Command::Completions(args) => completions::run(args, session),
        Command::Lint(args) => lint::run(args, session),
        Command::Man(args) => man::run(args, session),
        Command::Show(args) => show::run(args, session),
    }
}
