//! The terminal face: arguments, printing, progress. It decides nothing.

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "printing is this room's work"
)]

mod answer;
mod args;
mod call;
mod commands;
pub mod desk;
mod exit;
mod failure;
mod ledger;
mod names;
mod place;
pub mod problem;
mod session;
mod sheet;
mod stop;
mod write;

pub use desk::Desk;
pub use exit::Exit;
pub use failure::Failure;
pub use session::Session;

use clap::Parser;
use std::ffi::OsString;

/// Runs one command line and says how it went; prints what went wrong.
pub fn main(line: impl IntoIterator<Item = OsString>) -> Exit {
    let args = match args::Cli::try_parse_from(line) {
        Ok(args) => args,
        Err(problem) => {
            let exit = if problem.use_stderr() {
                Exit::Error
            } else {
                Exit::Done
            };
            return if problem.print().is_ok() {
                exit
            } else {
                Exit::Error
            };
        }
    };
    let session = Session::new(&args.global);
    match commands::run(&args.command, &session) {
        Ok(exit) => exit,
        Err(failure) if failure.is_broken_pipe() => Exit::Done,
        Err(failure) => {
            session.show_failure(&failure);
            Exit::Error
        }
    }
}

/// The whole command line, for completions, manual pages and the reference snapshot.
#[must_use]
pub fn command_line() -> clap::Command {
    <args::Cli as clap::CommandFactory>::command()
}
