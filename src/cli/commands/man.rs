//! `fixtally man`: manual pages.

use super::{Exit, Failure, Session};
use std::path::PathBuf;

/// Write the manual pages into a folder
///
/// One page for fixtally and one for each command; the folder is made where it is missing.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The folder
    #[arg(value_name = "DIR")]
    dir: PathBuf,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    std::fs::create_dir_all(&args.dir)
        .map_err(|e| Failure::file("make the folder", &args.dir, &e))?;
    clap_mangen::generate_to(crate::cli::command_line(), &args.dir)
        .map_err(|e| Failure::file("write manual pages into", &args.dir, &e))?;
    session.notice(&format!("Manual pages written to {}.", args.dir.display()));
    Ok(Exit::Done)
}
