//! `fixtally show`: one article, cautions first.

use super::{Exit, Failure, Session};
use crate::articles::folder;
use crate::view::show::{self, Shelf};
use std::io::Write;

/// Columns of the text.
const WIDTH: usize = 80;

/// Read an article, or one fix or check of it, cautions first
///
/// Drafts, withdrawn articles and articles with errors are shown too and say what they are. Old
/// names work. Ends with 1 where there is nothing of that name.
///
/// Example: `fixtally show rcd-trips-on-plug-in#reseal-gland`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The article's id, with `#` and the id of a fix or a check for that alone
    #[arg(value_name = "ARTICLE[#FIX]")]
    name: String,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let folder = folder::read(&session.kb, session.today())?;
    let shelf = Shelf {
        articles: &folder.articles,
        settings: &folder.settings,
        left_out: &folder.left_out,
    };
    let page = match show::page(&shelf, &args.name) {
        Ok(page) => page,
        Err(unknown) => {
            let help = unknown.help.map(|h| format!("; {h}")).unwrap_or_default();
            session.notice(&format!("nothing found: {}{help}", unknown.message));
            return Ok(Exit::Findings);
        }
    };
    let mut out = session.out();
    if session.json {
        let json = serde_json::to_string_pretty(&page)
            .map_err(|e| Failure::because("cannot write the article as JSON", &e))?;
        writeln!(out, "{json}")?;
    } else {
        write!(out, "{}", show::text(&page, WIDTH))?;
    }
    Ok(Exit::Done)
}
