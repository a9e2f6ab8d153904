//! The command line as typed: global options and the list of commands.

use super::commands::Command;
use clap::{Args, Parser, ValueEnum};
use jiff::civil::Date;
use std::path::PathBuf;

/// What fixed it last time, ranked by proof
///
/// Finds the troubleshooting article for what a caller says and ranks its fixes by how often each
/// one really ended such cases in the closed tickets.
///
/// Local codes and licensed practice prevail over anything an article says.
#[derive(Debug, Parser)]
#[command(
    name = "fixtally",
    version,
    disable_help_subcommand = true,
    max_term_width = 100
)]
pub(super) struct Cli {
    #[command(flatten)]
    pub(super) global: Global,
    #[command(subcommand)]
    pub(super) command: Command,
}

/// Options every command takes.
#[derive(Debug, Args)]
#[command(next_help_heading = "Everywhere")]
pub(super) struct Global {
    /// Folder of the knowledge base
    #[arg(
        long,
        global = true,
        env = "FIXTALLY_KB",
        default_value = "kb",
        value_name = "DIR"
    )]
    pub(super) kb: PathBuf,
    /// Folder for the ledger and all derived files, instead of `.state` in the knowledge base
    #[arg(long, global = true, value_name = "DIR")]
    pub(super) state: Option<PathBuf>,
    /// Print JSON for machines
    #[arg(long, global = true)]
    pub(super) json: bool,
    /// The day taken as today, such as `2026-11-01`; later tickets are ignored
    #[arg(long, global = true, value_name = "DATE", value_parser = date)]
    pub(super) as_of: Option<Date>,
    /// When to colour
    #[arg(
        long,
        global = true,
        value_enum,
        default_value = "auto",
        value_name = "WHEN"
    )]
    pub(super) color: Color,
    /// No progress and no notices on standard error
    #[arg(short, long, global = true, conflicts_with = "verbose")]
    pub(super) quiet: bool,
    /// More notices on standard error
    #[arg(short, long, global = true)]
    pub(super) verbose: bool,
}

/// When to colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Color {
    Auto,
    Always,
    Never,
}

/// A date as every command takes it.
pub(super) fn date(text: &str) -> Result<Date, String> {
    text.parse()
        .map_err(|_| format!("expected a date such as `2026-11-01`, but found `{text}`"))
}
