//! `fixtally tickets map`: proposes the map of a table.

use super::input::{self, Form};
use super::maps::{self, FOLDER};
use super::source;
use super::{Exit, Failure, Session};
use crate::articles::{Catalog, Settings};
use crate::tickets::Scrubber;
use crate::tickets::csv::CsvRows;
use crate::tickets::encoding::Encoding;
use crate::tickets::map::Map;
use crate::tickets::propose::{Names, Proposal, Sheet, Unused, parted, propose, toml_text};
use crate::tickets::row::Row;
use crate::view::numbers::counted;
use indicatif::ProgressBar;
use jiff::tz::TimeZone;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write as _;
use std::path::{Path, PathBuf};

/// Propose the map of a table
///
/// Says which column feeds which field, how dates are written and what values mean, told from the
/// headings, in six languages, and from the contents. The map is printed, with a comment wherever it
/// should be looked at; --save puts it into `maps/` of the knowledge base, where `tickets import`
/// finds it by itself.
///
/// Exit code 1: something a ticket needs was not found. Example:
/// `fixtally tickets map north.csv --save north`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The table
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Keep the map under this name in the knowledge base, where there is none of it yet
    #[arg(long, value_name = "NAME")]
    save: Option<String>,
    /// The encoding of the file, such as `windows-1252`, where it is told wrongly
    #[arg(long, value_name = "NAME", value_parser = super::import::encoding)]
    encoding: Option<Encoding>,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let names = match crate::cli::desk::names(session) {
        Ok((settings, catalog)) => names(&settings, &catalog),
        Err(failure) if args.save.is_some() => return Err(failure),
        // A map can be proposed before there is a knowledge base.
        Err(_) => Names::default(),
    };
    let scrubber = super::scrubber(session)?;
    let proposed = proposed(&args.file, args.encoding, &names, &scrubber)?;
    match &args.save {
        None => write!(session.out(), "{}", proposed.text)?,
        Some(name) => {
            let path = save(&session.kb, name, &proposed.text)?;
            let shown = session.short(&path).display();
            writeln!(session.out(), "{shown}")?;
        }
    }
    for line in &proposed.notices {
        session.notice(line);
    }
    Ok(Exit::findings_if(!proposed.missing.is_empty()))
}

/// A map proposed for a file.
pub(crate) struct Proposed {
    /// The map as TOML.
    pub(crate) text: String,
    /// The fields a ticket needs and no column was found for.
    pub(crate) missing: Vec<&'static str>,
    /// What a person should know.
    pub(crate) notices: Vec<String>,
    /// The devices it knows, id to title.
    pub(crate) devices: BTreeMap<String, String>,
    /// The firmware that stands behind devices, by their ids.
    pub(crate) firmware: BTreeMap<String, BTreeSet<String>>,
}

/// The names a knowledge base knows.
pub(crate) fn names(settings: &Settings, catalog: &Catalog) -> Names {
    let devices = settings.devices.iter();
    let fixes = catalog.fixes.keys().map(ToString::to_string);
    let short = |id: &String| id.rsplit('#').next().unwrap_or(id).to_owned();
    let full: Vec<String> = fixes.collect();
    Names {
        devices: devices
            .map(|(id, device)| (id.clone(), device.title.clone()))
            .collect(),
        codes: settings
            .devices
            .values()
            .flat_map(|device| device.codes.iter().cloned())
            .collect(),
        articles: catalog.articles.keys().map(ToString::to_string).collect(),
        fixes: full.iter().map(short).chain(full.iter().cloned()).collect(),
    }
}

/// Looks at a table and proposes its map; all of it is read, a row at a time.
pub(crate) fn proposed(
    file: &Path,
    encoding: Option<Encoding>,
    names: &Names,
    scrubber: &Scrubber,
) -> Result<Proposed, Failure> {
    let sheet = sheet(file, encoding)?;
    Ok(of_sheet(file, encoding, &sheet, names, scrubber))
}

/// As [`proposed`], for a knowledge base to be: its devices are those that stand in the table.
pub(crate) fn with_own_devices(file: &Path, scrubber: &Scrubber) -> Result<Proposed, Failure> {
    let sheet = sheet(file, None)?;
    let first = propose(&sheet, &Names::default());
    let mut names = Names::default();
    let mut firmware: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let devices = first.unknown_devices();
    for written in devices.filter(|title| scrubber.text(title) == *title) {
        let (title, version) = parted(written).map_or((written, None), |(d, f)| (d, Some(f)));
        let Some(id) = slug(title) else { continue };
        firmware
            .entry(id.clone())
            .or_default()
            .extend(version.map(str::to_owned));
        names.devices.entry(id).or_insert_with(|| title.to_owned());
    }
    Ok(Proposed {
        firmware,
        ..of_sheet(file, None, &sheet, &names, scrubber)
    })
}

/// A device's id by its title: plain small letters, digits and hyphens.
fn slug(title: &str) -> Option<String> {
    let words = crate::base::text::split(title);
    let plain: Vec<String> = words
        .iter()
        .map(|word| word.chars().filter(char::is_ascii_alphanumeric).collect())
        .filter(|word: &String| !word.is_empty())
        .collect();
    (!plain.is_empty()).then(|| plain.join("-"))
}

fn of_sheet(
    file: &Path,
    encoding: Option<Encoding>,
    sheet: &Sheet,
    names: &Names,
    scrubber: &Scrubber,
) -> Proposed {
    let proposal = propose(sheet, names);
    let text = toml_text(&proposal, sheet, &zone(), scrubber);
    let missing = proposal.missing();
    let unused = proposal.unused(sheet, scrubber);
    let notices = notices(file, encoding, &text, &proposal, &unused);
    Proposed {
        text,
        missing,
        notices,
        devices: names.devices.clone(),
        firmware: BTreeMap::new(),
    }
}

/// The time zone of this computer, by name where it has one.
pub(crate) fn zone() -> String {
    let here = TimeZone::system();
    here.iana_name().unwrap_or("UTC").to_owned()
}

fn sheet(file: &Path, encoding: Option<Encoding>) -> Result<Sheet, Failure> {
    let unreadable = |e: std::io::Error| Failure::file("read", file, &e);
    let ending = input::ending_of(file).unwrap_or(input::Ending::Table);
    let looked = source::look(file, encoding).map_err(unreadable)?;
    let told = looked.encoding;
    let text = looked.text(&ProgressBar::hidden()).map_err(unreadable)?;
    let Form::Table(delimiter) = input::form_of(ending, &text.start, None) else {
        let message = format!("`{}` is JSON, which needs no map", file.display());
        return Err(Failure::new(message)
            .hint(format!("fixtally tickets import {} --look", file.display())));
    };
    let not_table = |e: &dyn std::error::Error| {
        let name = file.display();
        Failure::new(format!("cannot read `{name}` as a table: {e}"))
    };
    let mut rows = CsvRows::raw(text.all, delimiter).map_err(|e| not_table(&e))?;
    let header = rows.header().to_owned();
    let mut sheet = Sheet::new(header.iter().map(String::as_str), delimiter);
    sheet.encoding = (told != Encoding::Utf8 && told != Encoding::Mixed).then(|| told.name());
    while let Some(row) = rows.next_cells().map_err(|e| not_table(&e))? {
        sheet.add(row.iter());
    }
    Ok(sheet)
}

/// How the map does on the first rows, and what is to be checked.
fn notices(
    file: &Path,
    encoding: Option<Encoding>,
    text: &str,
    proposal: &Proposal,
    unused: &[Unused],
) -> Vec<String> {
    const TRIED: usize = 1000;
    let mut notices = Vec::new();
    let missing = proposal.missing();
    if !missing.is_empty() {
        notices.push(format!(
            "Nothing was found for `{}`; write its column into the map.",
            missing.join("`, `")
        ));
    }
    if proposal.numbers_rows() {
        notices.push(
            "No column holds an id, so rows are numbered: an export with one row more on top, or \
             under another name, brings every ticket in anew. Name the column of the case's number."
                .to_owned(),
        );
    }
    notices.extend(not_used(unused));
    let checks = text.matches("CHECK").count() - missing.len();
    if checks > 0 {
        let places = counted(checks as u64, "place");
        notices.push(format!("{places} marked CHECK should be looked at."));
    }
    let Ok(map) = Map::parse("", text) else {
        return notices;
    };
    let rows = source::look(file, encoding)
        .and_then(|looked| looked.text(&ProgressBar::hidden()))
        .ok()
        .and_then(|text| CsvRows::open(file, text.all, &map, b',').ok());
    let tried: Vec<_> = rows.into_iter().flatten().take(TRIED).flatten().collect();
    let rejected = tried.iter().filter(|row| matches!(row, Row::Rejected(_)));
    notices.push(format!(
        "Of the first {}, {} would be rejected with it.",
        counted(tried.len() as u64, "row"),
        rejected.count()
    ));
    notices
}

/// The columns nothing is taken from, with a value of each.
fn not_used(unused: &[Unused]) -> Option<String> {
    const NAMED: usize = 12;
    if unused.is_empty() {
        return None;
    }
    let named = unused
        .iter()
        .take(NAMED)
        .map(|column| match &column.sample {
            Some(sample) => format!("`{}` ({sample})", column.name),
            None => format!("`{}`", column.name),
        });
    let named: Vec<String> = named.collect();
    let more = match unused.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more, named in the map"),
    };
    Some(format!("Columns not used: {}{more}.", named.join(", ")))
}

/// Writes a map into the knowledge base; one that is there is never overwritten.
pub(crate) fn save(kb: &Path, name: &str, text: &str) -> Result<PathBuf, Failure> {
    let name = name.strip_suffix(".toml").unwrap_or(name);
    let good = |c: char| c.is_alphanumeric() || "-_.".contains(c);
    if name.is_empty() || name.starts_with('.') || !name.chars().all(good) {
        return Err(Failure::new(format!(
            "expected a name of letters, digits, `-`, `_` and `.`, but found `{name}`"
        )));
    }
    let folder = kb.join(FOLDER);
    std::fs::create_dir_all(&folder).map_err(|e| Failure::file("make the folder", &folder, &e))?;
    let path = folder.join(format!("{name}.toml"));
    if path.exists() {
        let names: Vec<String> = maps::all(kb)?.into_iter().map(|k| k.name).collect();
        return Err(
            Failure::new(format!("`{}` is there already", path.display())).hint(format!(
                "another name than `{}`, or remove it first",
                names.join("`, `")
            )),
        );
    }
    crate::cli::write::whole(&path, text).map_err(|e| Failure::file("write", &path, &e))?;
    Ok(path)
}
