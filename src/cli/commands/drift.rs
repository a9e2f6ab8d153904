//! `fixtally drift`: fixes that work less, or more, than they did.

use super::{Exit, Failure, Session};
use crate::cli::desk::records::Records;
use crate::cli::write;
use crate::curate::drift::drift;
use crate::view::{curate_plot, curate_text};
use std::path::PathBuf;

/// Show fixes that work less, or better, since a firmware or a date
///
/// Tries of each fix are compared before and since every firmware with enough tries, and before and
/// since the start of each of the last twelve months. Only tries before which the same had failed, on
/// the same device, are compared with each other, so that a changed order of the desk is no finding;
/// and what is shown was adjusted for everything that was asked. Exit code 1 where nothing changed.
/// Example: `fixtally drift --svg plots`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Also draw each finding month by month into this folder
    #[arg(long, value_name = "DIR")]
    svg: Option<PathBuf>,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let records = Records::read(session)?;
    let report = drift(&records.material());
    if let Some(folder) = &args.svg {
        let drawn = report.changes.iter().map(|change| {
            let name = change.fix.as_str().replace('#', "--");
            (name, curate_plot::change(change))
        });
        write::drawings(folder, drawn, session)?;
    }
    session.print(&report, || curate_text::drift(&report))?;
    Ok(Exit::findings_if(report.changes.is_empty()))
}
