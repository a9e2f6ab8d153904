//! Which map reads a table: the one asked for, else the one of the knowledge base that fits.

use super::{Failure, Session};
use crate::base::problem::{Problem, nearest};
use crate::cli::problem;
use crate::tickets::csv::{CsvRows, delimiter_of};
use crate::tickets::map::Map;
use crate::tickets::times::Times;
use std::path::{Path, PathBuf};

/// The folder of the maps in the knowledge base.
pub(crate) const FOLDER: &str = "maps";

/// A map of the knowledge base.
#[derive(Debug)]
pub(crate) struct Known {
    /// Its name: that of its file without the ending.
    pub(crate) name: String,
    /// The map, or what is wrong with it. Places are relative to the knowledge base.
    pub(crate) map: Result<Map, Vec<Problem>>,
}

/// All maps of the knowledge base, by name.
///
/// # Errors
/// Where one cannot be read from the disk.
pub(crate) fn all(kb: &Path) -> Result<Vec<Known>, Failure> {
    let folder = kb.join(FOLDER);
    let mut files: Vec<PathBuf> = std::fs::read_dir(&folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .collect();
    files.sort();
    files.iter().map(|path| known(path)).collect()
}

fn known(path: &Path) -> Result<Known, Failure> {
    let text = std::fs::read_to_string(path).map_err(|e| Failure::file("read", path, &e))?;
    let name = path.file_stem().unwrap_or_default().to_string_lossy();
    Ok(Known {
        map: Map::parse(format!("{FOLDER}/{name}.toml"), &text),
        name: name.into_owned(),
    })
}

/// The maps a call may use.
#[derive(Debug)]
pub(super) struct Maps {
    asked: Option<Map>,
    known: Vec<Known>,
    /// How times are read in a file that needs no map.
    times: Times,
}

/// Why no map is known for a table.
#[derive(Debug)]
pub(super) enum NoMap {
    /// There is none at all.
    None,
    /// None of these fits.
    NoneFits(Vec<String>),
    /// These fit, and one must be chosen.
    Several(Vec<String>),
}

impl Maps {
    /// The map `asked` for, a file or a name in the knowledge base; all of the knowledge base where
    /// none is.
    pub(super) fn open(session: &Session, asked: Option<&Path>) -> Result<Self, Failure> {
        let Some(asked) = asked else {
            return Ok(Self {
                asked: None,
                known: all(&session.kb)?,
                times: super::times(session)?,
            });
        };
        let file = find(session, asked)?;
        let text =
            std::fs::read_to_string(&file).map_err(|e| Failure::file("read the map", &file, &e))?;
        match Map::parse(&file, &text) {
            Ok(map) => Ok(Self {
                times: map.times().clone(),
                asked: Some(map),
                known: Vec::new(),
            }),
            Err(problems) => {
                problem::print(session, &problems)?;
                let message = format!("the map `{}` cannot be used", file.display());
                Err(Failure::new(message))
            }
        }
    }

    /// This map, or none; `zone` is that of times that name none in a file that needs no map.
    pub(super) fn only(map: Option<Map>, zone: &str) -> Self {
        Self {
            asked: map,
            known: Vec::new(),
            times: super::times_of(Some(zone)),
        }
    }

    /// How times are read in a file that needs no map: as the map asked for says, or `kb.toml`.
    pub(super) fn times(&self) -> &Times {
        &self.times
    }

    /// The map for the table that begins so, and its name where it is one of the knowledge base.
    pub(super) fn of_table(&self, start: &str) -> Result<(&Map, Option<&str>), NoMap> {
        if let Some(map) = &self.asked {
            return Ok((map, None));
        }
        if self.known.is_empty() {
            return Err(NoMap::None);
        }
        let fits = |known: &&Known| {
            known.map.as_ref().is_ok_and(|map| {
                let delimiter = map.delimiter().unwrap_or_else(|| delimiter_of(start));
                CsvRows::open("", start.as_bytes(), map, delimiter).is_ok()
            })
        };
        let fitting: Vec<&Known> = self.known.iter().filter(fits).collect();
        let names = |all: &[&Known]| all.iter().map(|known| known.name.clone()).collect();
        match fitting[..] {
            [one] => match &one.map {
                Ok(map) => Ok((map, Some(&one.name))),
                Err(_) => Err(NoMap::None),
            },
            [] => Err(NoMap::NoneFits(names(
                &self.known.iter().collect::<Vec<_>>(),
            ))),
            _ => Err(NoMap::Several(names(&fitting))),
        }
    }
}

/// The file of a map asked for.
fn find(session: &Session, asked: &Path) -> Result<PathBuf, Failure> {
    let own = session
        .kb
        .join(FOLDER)
        .join(format!("{}.toml", asked.display()));
    // A name is no path, so it cannot lead out of the folder.
    let is_name = asked.components().count() == 1;
    if asked.is_file() || !is_name {
        return Ok(asked.to_owned());
    }
    if own.is_file() {
        return Ok(own);
    }
    let names: Vec<String> = all(&session.kb)?.into_iter().map(|k| k.name).collect();
    let name = asked.display().to_string();
    let failure = Failure::new(format!(
        "there is neither a file `{name}` nor a map of this name in `{}`",
        session.kb.join(FOLDER).display()
    ));
    let near = nearest(&name, names.iter().map(String::as_str));
    Err(match (near.first(), names.is_empty()) {
        (Some(near), _) => failure.hint(format!("`--map {near}`")),
        (None, false) => failure.hint(format!("one of `{}`", names.join("`, `"))),
        (None, true) => failure.hint("fixtally tickets map EXPORT"),
    })
}
