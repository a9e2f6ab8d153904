//! `fixtally show`: one article, cautions first.

use super::{Exit, Failure, Session};
use crate::articles::folder::{self, Folder};
use crate::cli::desk;
use crate::view::show::{self, Shelf, Unknown};

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
    let folder = folder::read(&session.kb, desk::now(session)?)?;
    let shelf = Shelf {
        articles: &folder.articles,
        settings: &folder.settings,
        left_out: &folder.left_out,
    };
    let page = match show::page(&shelf, &args.name) {
        Ok(page) => page,
        Err(unknown) => {
            session.notice(&not_found(&folder, &args.name, unknown));
            return Ok(Exit::Findings);
        }
    };
    session.print(&page, || show::text(&page, WIDTH))?;
    Ok(Exit::Done)
}

/// A file of that name may be there and be unreadable: then that is the better answer.
fn not_found(folder: &Folder, name: &str, unknown: Unknown) -> String {
    let id = name.split('#').next().unwrap_or(name);
    let file = folder
        .problems
        .iter()
        .map(|p| &p.place.file)
        .find(|f| f.file_stem().is_some_and(|stem| stem == id));
    let known = folder.articles.iter().any(|a| a.id.as_str() == id);
    match (file.filter(|_| !known), unknown.help) {
        (Some(file), _) => format!(
            "nothing to show: `{}` cannot be read; `fixtally lint` says why",
            file.display()
        ),
        (_, Some(help)) => format!("nothing found: {}; {help}", unknown.message),
        (None, None) => format!("nothing found: {}", unknown.message),
    }
}
