//! `fixtally rising`: symptoms that arrive faster than they used to.

use super::{Exit, Failure, Session};
use crate::cli::desk::records::Records;
use crate::cli::write;
use crate::curate::rising::rising;
use crate::view::{curate_plot, curate_text};
use std::path::PathBuf;

/// Show symptoms that callers bring up more often than they used to
///
/// Each article's part of all cases in the last 7, 14 and 28 days is compared with the 26 weeks before
/// and with the same days a year earlier; both must show the rise, so that a season is none. What is
/// shown was adjusted for everything that was asked. Exit code 1 where nothing rises.
/// Example: `fixtally rising --as-of 2026-10-31`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Also draw each finding week by week into this folder
    #[arg(long, value_name = "DIR")]
    svg: Option<PathBuf>,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let records = Records::read(session)?;
    let report = rising(&records.material());
    if let Some(folder) = &args.svg {
        let drawn = report.rising.iter();
        let drawn = drawn.map(|rise| (rise.article.to_string(), curate_plot::rise(rise)));
        write::drawings(folder, drawn, session)?;
    }
    session.print(&report, || curate_text::rising(&report))?;
    Ok(Exit::findings_if(report.rising.is_empty()))
}
