//! One file per command: its arguments, whose doc comments are the help, and one function.

mod ask;
mod backtest;
mod call;
mod completions;
mod evidence;
mod lint;
mod man;
mod pack;
mod remarks;
mod sheet;
mod show;
mod start;
mod tickets;

use super::{Exit, Failure, Session};
use clap::Subcommand;

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Ask(ask::Args),
    Backtest(backtest::Args),
    Call(call::Args),
    Completions(completions::Args),
    Evidence(evidence::Args),
    Lint(lint::Args),
    Man(man::Args),
    Pack(pack::Args),
    Remarks(remarks::Args),
    Sheet(sheet::Args),
    Show(show::Args),
    Start(start::Args),
    Tickets(tickets::Args),
}

/// From command to function.
pub(super) fn run(command: &Command, session: &Session) -> Result<Exit, Failure> {
    match command {
        Command::Ask(args) => ask::run(args, session),
        Command::Backtest(args) => backtest::run(args, session),
        Command::Call(args) => call::run(args, session),
        Command::Completions(args) => completions::run(args, session),
        Command::Evidence(args) => evidence::run(args, session),
        Command::Lint(args) => lint::run(args, session),
        Command::Man(args) => man::run(args, session),
        Command::Pack(args) => pack::run(args, session),
        Command::Remarks(args) => remarks::run(args, session),
        Command::Sheet(args) => sheet::run(args, session),
        Command::Show(args) => show::run(args, session),
        Command::Start(args) => start::run(args, session),
        Command::Tickets(args) => tickets::run(args, session),
    }
}
