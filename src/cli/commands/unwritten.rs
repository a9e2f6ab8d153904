//! `fixtally unwritten`: what callers ring about that no article covers.

use super::{Exit, Failure, Session};
use crate::base::ids::ArticleId;
use crate::cli::desk::records::Records;
use crate::cli::write;
use crate::curate::draft::draft;
use crate::curate::unwritten::{Report, unwritten};
use crate::view::curate_text;
use std::collections::BTreeSet;
use std::io::Write;

/// Show what callers ring about that no article covers, the costliest first
///
/// Cases of the last twelve months that people recorded as covered by no article, that something
/// unlisted ended, or that the articles most likely do not cover are grouped by what callers said.
/// --start writes a draft article from a group: `lint` refuses it until a person has said who may do
/// each work and what endangers him. Exit code 1 where there is no such group.
/// Example: `fixtally unwritten --start 1`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Write a draft article from the group of this number
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    start: Option<u64>,
    /// The folder below `articles/` for the draft
    #[arg(long, value_name = "AREA", default_value = "drafts", requires = "start", value_parser = area)]
    area: String,
    /// Show all groups, not only the ten costliest
    #[arg(long)]
    all: bool,
}

fn area(text: &str) -> Result<String, String> {
    let plain = crate::base::ids::is_plain_id(text);
    plain
        .then(|| text.to_owned())
        .ok_or_else(|| format!("expected small letters, digits and hyphens, but found `{text}`"))
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let records = Records::read(session)?;
    let step = session.step("Looking for what no article covers");
    let report = unwritten(&records.material(), &|case| records.desk.doubt(case))?;
    step.finish();
    if let Some(number) = args.start {
        return start(number, args, &report, &records, session);
    }
    session.print(&report, || curate_text::unwritten(&report, args.all))?;
    Ok(Exit::findings_if(report.groups.is_empty()))
}

fn start(
    number: u64,
    args: &Args,
    report: &Report,
    records: &Records,
    session: &Session,
) -> Result<Exit, Failure> {
    let at = usize::try_from(number - 1).unwrap_or(usize::MAX);
    let group = report.groups.get(at).ok_or_else(|| {
        let groups = report.groups.len();
        Failure::new(format!("there is no group {number}; there are {groups}"))
            .hint("fixtally unwritten --all")
    })?;
    let tickets = records.tickets(session, &group.tickets)?;
    let draft = draft(group, &records.material(), &tickets, &used_ids(session));
    let folder = session.kb.join("articles").join(&args.area);
    std::fs::create_dir_all(&folder).map_err(|e| Failure::file("make the folder", &folder, &e))?;
    let path = folder.join(format!("{}.md", draft.id));
    write::whole(&path, &draft.text).map_err(|e| Failure::file("write", &path, &e))?;
    let shown = session.short(&path).display().to_string();
    if session.json {
        let written = serde_json::json!({"id": draft.id, "path": shown, "group": group});
        session.print_json(&written)?;
    } else {
        writeln!(
            session.out(),
            "Wrote {shown}.\nIt is a draft: say what is going on, what to do, who may do it and what \
             endangers\nhim; `fixtally lint` says what is missing. Then set `state: live`."
        )?;
    }
    Ok(Exit::Done)
}

/// Ids of all articles, drafts and faulty ones included: a file's name is its article's id.
fn used_ids(session: &Session) -> BTreeSet<ArticleId> {
    walkdir::WalkDir::new(session.kb.join("articles"))
        .into_iter()
        .flatten()
        .filter(|entry| entry.path().extension().is_some_and(|e| e == "md"))
        .filter_map(|entry| Some(ArticleId::new(entry.path().file_stem()?.to_str()?)))
        .collect()
}
