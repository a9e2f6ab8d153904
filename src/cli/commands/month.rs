//! `fixtally month`: how a month went, on one page.

use super::{Exit, Failure, Session, backtest};
use crate::cli::desk::{Desk, now, records::Records};
use crate::cli::{ledger, place, write};
use crate::curate::month::month;
use crate::curate::unwritten::unwritten;
use crate::tickets::store::Remarks;
use crate::view::month_page::{Content, page};
use jiff::civil::Date;
use std::io::Write;
use std::path::PathBuf;

/// Write how a month went on one page
///
/// The page needs no other file and reads on paper: cases by symptom, time to close, fixed at first
/// try, handed on, what no article covers, fixes that changed, symptoms that arrive faster, what to
/// teach callers, open remarks, overdue reviews. Everything is as it was known on the month's last day.
/// --json prints the numbers. Example: `fixtally month 2026-10 -o october.html`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The month, such as `2026-10`
    #[arg(value_name = "YYYY-MM", value_parser = first_day)]
    month: Date,
    /// The file to write
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Also test how well past tickets would have been answered; takes a while
    #[arg(long)]
    backtest: bool,
}

fn first_day(text: &str) -> Result<Date, String> {
    format!("{text}-01")
        .parse()
        .map_err(|_| format!("expected a month such as `2026-10`, but found `{text}`"))
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    // The parser cannot ask for one of the two: `--json` may stand before the command.
    if args.output.is_none() && !session.json {
        return Err(Failure::new("no file is named for the page".to_owned())
            .hint("`-o FILE` writes the page, `--json` prints the numbers"));
    }
    let last = args.month.last_of_month().min(now(session)?);
    if last < args.month {
        return Err(Failure::new(format!(
            "{} has not begun on {last}",
            args.month.strftime("%Y-%m")
        )));
    }
    let mut then = Session::quiet(&session.kb, &place::state_dir(session)?);
    then.as_of = Some(last);
    let step = session.step("Counting the month");
    let records = Records::of(Desk::open_without_likes(&then)?, &then)?;
    let material = records.material();
    let uncovered = unwritten(&material, &|case| records.desk.doubt(case))?;
    let counted = month(&material, &records.desk.evidence, uncovered);
    step.finish();
    let report = if args.backtest {
        Some(backtest::usual(&then)?)
    } else {
        None
    };
    let mut remarks = ledger::open(session)?.remarks().map_err(ledger::failure)?;
    remarks.retain(|remark| remark.closed.is_none());
    if let Some(path) = &args.output {
        let content = Content {
            name: &records.desk.settings.name,
            month: &counted,
            remarks: &remarks,
            backtest: report.as_ref(),
        };
        let html = page(content).map_err(|e| Failure::because("cannot draw", &e))?;
        write::over(path, html.as_bytes()).map_err(|e| Failure::file("write", path, &e))?;
    }
    if session.json {
        session.print_json(&counted)?;
    } else if let Some(path) = &args.output {
        let cases = crate::view::numbers::counted(counted.numbers.cases, "case");
        writeln!(
            session.out(),
            "Wrote {}: {cases}.",
            session.short(path).display()
        )?;
    }
    Ok(Exit::Done)
}
