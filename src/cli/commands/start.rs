//! `fixtally start`: a new knowledge base, with a map and drafts from an export.

use super::tickets::Sample;
use super::{Exit, Failure, Session};
use crate::base::escape::terminal_line;
use crate::cli::write;
use crate::tickets::Scrubber;
use crate::tickets::map::Map;
use crate::view::numbers::counted;
use drafts::Draft;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write as _;
use std::path::{Path, PathBuf};

mod drafts;
mod language;

/// Begin a new knowledge base
///
/// Makes a folder with commented settings, an empty list of words and one article that shows the
/// form. With --from it also proposes the map of the export, names the devices that stand in it, and
/// gathers tickets that say the same into draft articles to fill in.
///
/// Nothing is written where the folder holds anything already.
///
/// Exit code 1: rows of the export are no tickets, or no column was found for what a ticket needs.
/// Example: `fixtally start desk --from export.csv`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The new folder
    #[arg(value_name = "DIR")]
    dir: PathBuf,
    /// An export of closed tickets to begin from
    #[arg(long, value_name = "EXPORT")]
    from: Option<PathBuf>,
}

const SETTINGS: &str = include_str!("start/kb.toml");
const DEVICE: &str = include_str!("start/device.toml");
const WORDS: &str = include_str!("start/words.toml");
const ARTICLE: &str = include_str!("start/article.md");

/// What an export brought.
#[derive(Default)]
struct Brought {
    /// The name and the text of the map.
    map: Option<(String, String)>,
    /// Device ids and titles.
    devices: BTreeMap<String, String>,
    /// Their firmware, by their ids.
    firmware: BTreeMap<String, BTreeSet<String>>,
    /// The language of its texts; that of the first article where there is no export.
    language: Option<&'static str>,
    drafts: Vec<Draft>,
    notices: Vec<String>,
    missing: bool,
    /// Whether rows of the export are no tickets.
    rejected: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    refuse_full(&args.dir)?;
    let brought = match &args.from {
        Some(export) => bring(session, export)?,
        None => Brought::default(),
    };
    let files = files(&args.dir, session, &brought);
    write_all(&args.dir, &files)?;
    report(args, session, &brought)?;
    Ok(Exit::findings_if(brought.missing || brought.rejected))
}

fn refuse_full(dir: &Path) -> Result<(), Failure> {
    let full = match std::fs::read_dir(dir) {
        Ok(mut entries) => entries.next().is_some(),
        Err(_) => dir.exists(),
    };
    if full {
        let message = format!("`{}` is not empty; nothing was written", dir.display());
        return Err(Failure::new(message).hint("name a new folder"));
    }
    Ok(())
}

fn bring(session: &Session, export: &Path) -> Result<Brought, Failure> {
    let scrubber = Scrubber::default();
    let mut brought = Brought::default();
    let mut map = None;
    if super::tickets::is_table(export) {
        let proposed = super::tickets::map::with_own_devices(export, &scrubber)?;
        let stem = export.file_stem().unwrap_or_default().to_string_lossy();
        let name: String = stem
            .trim_end_matches(".csv")
            .chars()
            .map(|c| {
                if c.is_alphanumeric() || c == '-' {
                    c
                } else {
                    '-'
                }
            })
            .collect();
        map = Map::parse("", &proposed.text).ok();
        brought.map = Some((name, proposed.text));
        brought.devices = proposed.devices;
        brought.firmware = proposed.firmware;
        brought.notices = proposed.notices;
        brought.missing = !proposed.missing.is_empty();
    }
    if !brought.missing {
        let step = session.step("Gathering tickets that say the same");
        let zone = super::tickets::map::zone();
        let sample = super::tickets::sample(export, map, &zone, &scrubber)?;
        brought.drafts = drafts::of(&sample.tickets);
        brought.language = Some(language::of(&sample.tickets));
        brought.rejected = sample.rejected > 0;
        brought.notices.extend(rejected(&sample));
        step.finish();
    }
    Ok(brought)
}

/// How many rows are no tickets, and why the first is none.
fn rejected(sample: &Sample) -> Option<String> {
    let first = sample.first.as_ref()?;
    let rows = counted(sample.read, "row");
    let many = if sample.rejected == sample.read {
        format!("None of {rows} is a ticket, so nothing was gathered.")
    } else if sample.rejected == 1 {
        format!("Of {rows}, 1 is no ticket.")
    } else {
        format!("Of {rows}, {} are no tickets.", sample.rejected)
    };
    let help = first.help.as_ref();
    let help = help.map_or_else(String::new, |help| format!("; {help}"));
    let (line, message) = (first.place.line, &first.message);
    Some(format!("{many} The first, line {line}: {message}{help}."))
}

/// All files by their path in the new folder.
fn files(dir: &Path, session: &Session, brought: &Brought) -> Vec<(PathBuf, String)> {
    let name = dir.file_name().unwrap_or_default().to_string_lossy();
    let name = name.replace(['"', '\\'], "");
    let mut devices = DEVICE.to_owned();
    for (id, title) in &brought.devices {
        let title = serde_json::Value::from(title.as_str());
        devices += &format!("[devices.{id}]\ntitle = {title}\n");
        if let Some(firmware) = brought.firmware.get(id).filter(|all| !all.is_empty()) {
            devices += &format!("firmware = {}\n", serde_json::json!(firmware));
        }
    }
    let settings = SETTINGS
        .replace("{name}", &format!("{name} support"))
        .replace("{language}", brought.language.unwrap_or("en"))
        .replace("{zone}", &super::tickets::map::zone())
        .replace("{devices}", &devices);
    let article = ARTICLE.replace("{today}", &session.today().to_string());
    let mut files = vec![
        (PathBuf::from("kb.toml"), settings),
        (PathBuf::from("words.toml"), WORDS.to_owned()),
        (PathBuf::from("articles/first/no-sign-of-life.md"), article),
        (PathBuf::from(".gitignore"), ".state\n".to_owned()),
    ];
    if let Some((name, text)) = &brought.map {
        files.push((PathBuf::from(format!("maps/{name}.toml")), text.clone()));
    }
    for draft in &brought.drafts {
        let path = PathBuf::from(format!("articles/drafts/{}.md", draft.id));
        files.push((path, draft.text.clone()));
    }
    files
}

/// Writes beside and renames, so that there is a whole knowledge base or none.
fn write_all(dir: &Path, files: &[(PathBuf, String)]) -> Result<(), Failure> {
    let failed = |e: &std::io::Error| Failure::file("write", dir, e);
    let parent = match dir.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    };
    std::fs::create_dir_all(parent).map_err(|e| Failure::file("make the folder", parent, &e))?;
    let mut builder = tempfile::Builder::new();
    builder.prefix(".new-kb-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        builder.permissions(std::fs::Permissions::from_mode(0o777));
    }
    let beside = builder.tempdir_in(parent).map_err(|e| failed(&e))?;
    for (path, text) in files {
        let path = beside.path().join(path);
        let folder = path.parent().unwrap_or(dir);
        std::fs::create_dir_all(folder).map_err(|e| failed(&e))?;
        write::whole(&path, text).map_err(|e| failed(&e))?;
    }
    if dir.exists() {
        std::fs::remove_dir(dir).map_err(|e| failed(&e))?;
    }
    std::fs::rename(beside.keep(), dir).map_err(|e| failed(&e))
}

fn report(args: &Args, session: &Session, brought: &Brought) -> Result<(), Failure> {
    let dir = terminal_line(&args.dir.display().to_string());
    let drafts: Vec<&str> = brought.drafts.iter().map(|d| d.id.as_str()).collect();
    if session.json {
        let map = brought.map.as_ref().map(|(name, _)| name);
        return session.print_json(&serde_json::json!({
            "kb": args.dir, "map": map, "devices": brought.devices, "drafts": drafts,
            "notices": brought.notices,
        }));
    }
    let mut out = session.out();
    let mut line = |path: &str, what: &str| writeln!(out, "{:<41} {what}", format!("{dir}/{path}"));
    line("kb.toml", "settings; read them over first")?;
    line("words.toml", "words of your trade")?;
    line("articles/first/no-sign-of-life.md", "an article to copy")?;
    if let Some((name, _)) = &brought.map {
        line(&format!("maps/{name}.toml"), "how the export is read")?;
    }
    if !drafts.is_empty() {
        line(
            "articles/drafts/",
            &format!("{} to fill in:", counted(drafts.len() as u64, "draft")),
        )?;
        for draft in &brought.drafts {
            let tickets = counted(draft.tickets, "ticket");
            writeln!(out, "  {:<40}{tickets}", terminal_line(&draft.id))?;
        }
    }
    for notice in &brought.notices {
        writeln!(out, "{}", textwrap::fill(&terminal_line(notice), 80))?;
    }
    writeln!(out, "\nNext:")?;
    if let Some(export) = &args.from {
        let export = terminal_line(&export.display().to_string());
        if brought.rejected {
            let map = brought.map.as_ref().map(|(name, _)| name);
            let what = map.map_or("the export".to_owned(), |map| {
                format!("{dir}/maps/{map}.toml")
            });
            writeln!(out, "  mend {what}; this shows how rows are read:")?;
            writeln!(out, "  fixtally --kb {dir} tickets import {export} --look")?;
        }
        writeln!(out, "  fixtally --kb {dir} tickets import {export}")?;
    }
    writeln!(out, "  fixtally --kb {dir} lint")?;
    writeln!(out, "  fixtally --kb {dir} ask nothing lights up")?;
    Ok(())
}
