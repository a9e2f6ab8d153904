//! Opening one export: which form, encoding and map it is read by, or why it cannot be read.

use super::Failure;
use super::input::{self, Form};
use super::maps::{Maps, NoMap};
use super::source::{self, Source, Text};
use crate::tickets::encoding::Encoding;
use crate::tickets::map::Map;
use crate::tickets::row::ReadError;
use crate::tickets::times::Times;
use indicatif::ProgressBar;
use std::path::Path;

/// A file that was opened, with everything that decides how its rows are read.
pub(super) struct Opened<'a> {
    pub(super) form: Form,
    pub(super) map: Option<&'a Map>,
    /// How times are read where there is no map.
    pub(super) times: &'a Times,
    pub(super) text: Text,
    pub(super) digest: Option<Vec<u8>>,
    /// In words.
    pub(super) read_as: String,
}

/// Opens one file; what is wrong with it as a whole is the failure.
pub(super) fn open<'a>(
    file: &Path,
    maps: &'a Maps,
    encoding: Option<Encoding>,
    bar: impl Fn(u64) -> ProgressBar,
) -> Result<Opened<'a>, Failure> {
    let unreadable = |e: std::io::Error| Failure::file("read", file, &e);
    let ending = input::ending_of(file).ok_or_else(|| unclear(file))?;
    let looked = source::look(file, encoding).map_err(unreadable)?;
    let bar = bar(looked.length);
    let (packed, told, digest) = (looked.packed, looked.encoding, looked.digest.clone());
    let text = looked.text(&bar).map_err(unreadable)?;
    let form = input::form_of(ending, &text.start, None);
    if !matches!(form, Form::Table(_)) {
        return Ok(Opened {
            form,
            map: None,
            times: maps.times(),
            read_as: read_as(told, None, packed, None),
            text,
            digest,
        });
    }
    let (map, name) = maps
        .of_table(&text.start)
        .map_err(|none| no_map(file, &none))?;
    // A map knows its table better than a guess does. A pipe cannot be read again.
    let (text, told) = match (encoding, map.encoding()) {
        (None, Some(said)) if said != told && digest.is_some() => {
            let again: Source = source::look(file, Some(said)).map_err(unreadable)?;
            (again.text(&bar).map_err(unreadable)?, said)
        }
        _ => (text, told),
    };
    let form = input::form_of(ending, &text.start, Some(map));
    Ok(Opened {
        form,
        map: Some(map),
        times: maps.times(),
        read_as: read_as(told, Some(form), packed, name),
        text,
        digest,
    })
}

/// How a file is read, in words.
fn read_as(encoding: Encoding, form: Option<Form>, packed: bool, map: Option<&str>) -> String {
    let mut words = vec![encoding.name().to_owned()];
    if let Some(Form::Table(delimiter)) = form {
        let shown = char::from(delimiter).escape_default();
        words.push(format!("columns parted by `{shown}`"));
    }
    if let Some(map) = map {
        words.push(format!("map `{map}`"));
    }
    if packed {
        words.push("packed with gzip".to_owned());
    }
    words.join(", ")
}

pub(super) fn unreadable(file: &Path, error: &ReadError) -> Failure {
    let failure = Failure::because(format!("cannot read `{}`", file.display()), error);
    match error.help() {
        Some(help) => failure.hint(help),
        None => failure,
    }
}

fn unclear(file: &Path) -> Failure {
    Failure::new(format!(
        "cannot tell the format of `{}` by its name, expected .jsonl, .ndjson, .json, .csv or .tsv, with or without .gz",
        file.display()
    ))
}

fn no_map(file: &Path, none: &NoMap) -> Failure {
    let shown = file.display();
    let propose = format!("fixtally tickets map {shown}");
    match none {
        NoMap::None => Failure::new(format!("`{shown}` is a table, and a table needs a map"))
            .hint("say which column is which field: `--map MAP.toml`")
            .hint(propose),
        NoMap::NoneFits(names) => Failure::new(format!(
            "`{shown}` has other columns than any map of the knowledge base: `{}`",
            names.join("`, `")
        ))
        .hint("see what is missing: `--map NAME`")
        .hint(propose),
        NoMap::Several(names) => Failure::new(format!(
            "several maps fit `{shown}`: `{}`",
            names.join("`, `")
        ))
        .hint(format!("choose one: `--map {}`", names[0])),
    }
}
