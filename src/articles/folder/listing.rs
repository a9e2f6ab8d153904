//! Which files a knowledge base is read from: one walk over its folder.

use super::{SourceStamp, whole};
use crate::articles::{lint, sayings, settings_file, words_file};
use crate::base::problem::{Place, Problem};
use std::fs;
use std::path::Path;

/// What was found.
#[derive(Default)]
pub(super) struct Listing {
    pub(super) articles: Vec<SourceStamp>,
    pub(super) sayings: Vec<SourceStamp>,
    /// All files that anything is read from, pictures among them.
    pub(super) sources: Vec<SourceStamp>,
    pub(super) problems: Vec<Problem>,
}

/// One walk: Markdown files outside of `img` folders are articles; pictures count as sources, as
/// a missing one keeps its article from being served.
pub(super) fn list(dir: &Path) -> Listing {
    let mut listing = Listing::default();
    for name in [settings_file::FILE, words_file::FILE] {
        if let Ok(about) = fs::metadata(dir.join(name)) {
            listing.sources.push(stamp_of(name.to_owned(), &about));
        }
    }
    listing.sayings = sayings_files(dir);
    listing.sources.extend(listing.sayings.iter().cloned());
    let top = dir.join("articles");
    if !top.is_dir() {
        return listing;
    }
    let hidden =
        |e: &walkdir::DirEntry| e.depth() > 0 && e.file_name().to_string_lossy().starts_with('.');
    let walk = walkdir::WalkDir::new(&top)
        .follow_links(true)
        .sort_by_file_name();
    for entry in walk.into_iter().filter_entry(|e| !hidden(e)) {
        match entry {
            Ok(entry) => listing.take(dir, &entry),
            Err(error) => {
                let path = error
                    .path()
                    .map_or_else(|| "articles".to_owned(), |p| relative(dir, p));
                let why = error.io_error().map_or_else(
                    || "the folder links back to itself".to_owned(),
                    |e| format!("cannot be read: {e}"),
                );
                listing.problems.push(whole(&path, why));
            }
        }
    }
    listing.articles.sort();
    listing.sources.sort();
    listing
}

/// The files of sayings, by name. A folder that is missing or cannot be read has none.
fn sayings_files(dir: &Path) -> Vec<SourceStamp> {
    let entries = fs::read_dir(dir.join(sayings::FOLDER));
    let mut files: Vec<SourceStamp> = entries
        .into_iter()
        .flatten()
        .filter_map(|entry| {
            let path = entry.ok()?.path();
            let about = fs::metadata(&path).ok()?;
            let fit = about.is_file() && path.extension().is_some_and(|e| e == "jsonl");
            fit.then(|| stamp_of(relative(dir, &path), &about))
        })
        .collect();
    files.sort();
    files
}

impl Listing {
    fn take(&mut self, dir: &Path, entry: &walkdir::DirEntry) {
        let path = relative(dir, entry.path());
        let markdown = path.ends_with(".md");
        if entry.file_type().is_dir() {
            if markdown {
                let problem = whole(
                    &path,
                    "this is a folder, but is called like an article".to_owned(),
                );
                self.problems.push(problem.help("rename it without `.md`"));
            }
            return;
        }
        let Ok(about) = entry.metadata() else { return };
        if !markdown && path.to_lowercase().ends_with(".md") {
            let what =
                "the file is called like an article, but for its large letters, and is not read";
            let note = Problem::note("ending", Place::file(&path), what);
            self.problems
                .push(note.help("rename it so that it ends in `.md`"));
        }
        let in_img = path.split('/').any(|part| part == "img");
        if markdown && !in_img {
            if !about.is_file() {
                self.problems
                    .push(whole(&path, "this is no ordinary file".to_owned()));
                return;
            }
            self.articles.push(stamp_of(path.clone(), &about));
        }
        if (markdown && !in_img) || lint::is_picture(&path) {
            self.sources.push(stamp_of(path, &about));
        }
    }
}

fn stamp_of(path: String, about: &fs::Metadata) -> SourceStamp {
    let since = about
        .modified()
        .ok()
        .and_then(|time| time.duration_since(std::time::UNIX_EPOCH).ok());
    SourceStamp {
        path,
        size: about.len(),
        mtime_ns: since.map_or(0, |d| u64::try_from(d.as_nanos()).unwrap_or(u64::MAX)),
    }
}

/// The path below the folder with `/` between its parts, on every system.
fn relative(dir: &Path, path: &Path) -> String {
    let inside = path.strip_prefix(dir).unwrap_or(path);
    let parts: Vec<_> = inside
        .components()
        .map(|c| c.as_os_str().to_string_lossy())
        .collect();
    parts.join("/")
}
