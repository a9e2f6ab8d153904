//! `fixtally backtest`: how well would this have answered the tickets it had not seen.

use super::{Exit, Failure, Session};
use crate::articles::folder;
use crate::backtest::past::as_when_asked;
use crate::backtest::report::{Report, SEED};
use crate::backtest::run::{STEPS_A_BLOCK, Task, run as answer_all};
use crate::backtest::split::BLOCKS;
use crate::cli::write;
use crate::cli::{desk, ledger};
use crate::evidence::cases::day;
use crate::evidence::ear::Ear;
use crate::evidence::readings::tries_alone;
use crate::view::numbers::counted;
use crate::view::{backtest_plot, backtest_text};
use std::path::{Path, PathBuf};

/// Say how well past tickets would have been answered from the tickets before them
///
/// The later half of the closed tickets is answered in blocks of about equal count, each from what
/// was closed before its first day and nothing else. Cases whose article and fix a person recorded
/// are scored: how often that fix stood first or among the first three, how honest the chances were,
/// how many minutes the order would have cost; the same for three simpler ways of answering. The same
/// tickets give the same report. Example: `fixtally backtest --svg plots`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Into how many blocks the later half is cut; with more, each answer knows more of its past
    #[arg(long, value_name = "N", default_value_t = BLOCKS, value_parser = at_least_one)]
    blocks: usize,
    /// Also draw `calibration.svg` and `hits.svg` into this folder
    #[arg(long, value_name = "DIR")]
    svg: Option<PathBuf>,
}

fn at_least_one(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(number) if (1..=1000).contains(&number) => Ok(number),
        _ => Err(format!(
            "expected a number from 1 to 1000, but found `{text}`"
        )),
    }
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let report = report(args, session)?;
    if let Some(folder) = &args.svg {
        draw(&report, folder, session)?;
    }
    session.print(&report, || backtest_text::text(&report))?;
    Ok(Exit::Done)
}

/// The report with the usual number of blocks.
///
/// # Errors
/// Where there are too few tickets to test on.
pub(super) fn usual(session: &Session) -> Result<Report, Failure> {
    let args = Args {
        blocks: BLOCKS,
        svg: None,
    };
    report(&args, session)
}

fn report(args: &Args, session: &Session) -> Result<Report, Failure> {
    let store = ledger::open(session)?;
    let kb = folder::read(&session.kb, session.today()).map_err(|e| {
        Failure::because("cannot read the knowledge base", &e).hint("name its folder: `--kb DIR`")
    })?;
    let tickets = ledger::Joined::of(&store)?.all()?;
    let as_of = desk::today(session, &kb.settings, &store)?;
    let later = tickets.iter().filter(|t| day(t.closed) > as_of);
    let later = u64::try_from(later.count()).unwrap_or(u64::MAX);
    if later > 0 {
        let later = counted(later, "ticket");
        session.notice(&format!("{later} closed after {as_of} ignored."));
    }
    let ear = Ear::learn(&kb.sayings, &kb.catalog);
    let task = Task {
        tickets: &tickets,
        catalog: &kb.catalog,
        settings: &kb.settings,
        analyzer: &kb.analyzer,
        as_of,
        blocks: args.blocks,
        ear: ear.as_ref(),
        read: &|past| tries_alone(past, &kb.catalog, &kb.analyzer),
    };
    let parts = u64::try_from(args.blocks)
        .unwrap_or(u64::MAX)
        .saturating_mul(STEPS_A_BLOCK);
    let steps = session.steps("Answering past tickets", parts);
    let outcome = answer_all(&task, &as_when_asked, &|| steps.advance())
        .map_err(|e| Failure::because("cannot test on these tickets", &e))?;
    steps.finish();
    Ok(Report::new(&outcome, SEED))
}

fn draw(report: &Report, folder: &Path, session: &Session) -> Result<(), Failure> {
    let drawn = [
        ("calibration", backtest_plot::calibration(report)),
        ("hits", backtest_plot::hits(report)),
    ];
    let drawn = drawn.into_iter().map(|(name, svg)| (name.to_owned(), svg));
    write::drawings(folder, drawn, session)
}
