//! One file per command: its arguments, whose doc comments are the help, and one function.

mod ask;
mod backtest;
mod call;
mod compare;
mod completions;
mod drift;
mod evidence;
mod lint;
mod man;
mod month;
mod pack;
mod remarks;
mod rising;
mod sheet;
mod show;
mod start;
mod tickets;
mod twins;
mod unwritten;

use super::{Exit, Failure, Session};
use clap::Subcommand;

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Ask(ask::Args),
    Backtest(backtest::Args),
    Call(call::Args),
    Compare(compare::Args),
    Completions(completions::Args),
    Drift(drift::Args),
    Evidence(evidence::Args),
    Lint(lint::Args),
    Man(man::Args),
    Month(month::Args),
    Pack(pack::Args),
    Remarks(remarks::Args),
    Rising(rising::Args),
    Sheet(sheet::Args),
    Show(show::Args),
    Start(start::Args),
    Tickets(tickets::Args),
    Twins(twins::Args),
    Unwritten(unwritten::Args),
}

/// From command to function.
pub(super) fn run(command: &Command, session: &Session) -> Result<Exit, Failure> {
    match command {
        Command::Ask(args) => ask::run(args, session),
        Command::Backtest(args) => backtest::run(args, session),
        Command::Call(args) => call::run(args, session),
        Command::Compare(args) => compare::run(args, session),
        Command::Completions(args) => completions::run(args, session),
        Command::Drift(args) => drift::run(args, session),
        Command::Evidence(args) => evidence::run(args, session),
        Command::Lint(args) => lint::run(args, session),
        Command::Man(args) => man::run(args, session),
        Command::Month(args) => month::run(args, session),
        Command::Pack(args) => pack::run(args, session),
        Command::Remarks(args) => remarks::run(args, session),
        Command::Rising(args) => rising::run(args, session),
        Command::Sheet(args) => sheet::run(args, session),
        Command::Show(args) => show::run(args, session),
        Command::Start(args) => start::run(args, session),
        Command::Tickets(args) => tickets::run(args, session),
        Command::Twins(args) => twins::run(args, session),
        Command::Unwritten(args) => unwritten::run(args, session),
    }
}
