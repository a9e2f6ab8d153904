//! Reads the folder of a knowledge base. The only file of this room that touches the disk.
//!
//! Bad files become problems, never failures: only a folder without `kb.toml` is refused, since
//! it is most likely the wrong one.

use super::catalog::Catalog;
use super::finding::Finding;
use super::lint::{Input, Pictures, lint};
use super::model::{Article, State};
use super::parse::{self, Parsed};
use super::sayings::{self, Saying};
use super::settings::Settings;
use super::source::Source;
use super::{settings_file, words_file};
use crate::base::problem::{Place, Problem};
use crate::base::text::{Analyzer, Words};
use jiff::civil::Date;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

mod listing;

use listing::list;

/// The largest article that is read, in bytes.
pub const LARGEST: u64 = 1 << 20;

/// A knowledge base as read from its folder.
#[derive(Debug)]
pub struct Folder {
    /// Where it lies.
    pub dir: PathBuf,
    /// What `kb.toml` says.
    pub settings: Settings,
    /// What `words.toml` says.
    pub words: Words,
    /// The text analysis with these words.
    pub analyzer: Analyzer,
    /// What is fit to serve.
    pub catalog: Catalog,
    /// What callers said and whether it was a danger, to learn hearing from.
    pub sayings: Vec<Saying>,
    /// All articles that could be read, drafts and faulty ones included, in the order of files.
    pub articles: Vec<Article>,
    /// Ids of articles and full ids of blocks that have errors and are not served.
    pub left_out: BTreeSet<String>,
    /// What is wrong, by place.
    pub problems: Vec<Problem>,
    /// How many Markdown files there are.
    pub files: usize,
    /// The files all this was read from, by path.
    pub sources: Vec<SourceStamp>,
}

/// A file as the disk describes it, without reading it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub struct SourceStamp {
    /// The file, relative to the folder, with `/` between folders.
    pub path: String,
    /// Its size in bytes.
    pub size: u64,
    /// When it was last changed, in nanoseconds since 1970; 0 where the disk does not say.
    pub mtime_ns: u64,
}

/// Why a folder cannot be read as a knowledge base.
#[derive(Debug, thiserror::Error)]
pub enum FolderError {
    /// There is no `kb.toml`.
    #[error("`{}` is no knowledge base: it holds no `kb.toml`", dir.display())]
    NoSettings {
        /// The folder asked for.
        dir: PathBuf,
    },
    /// A file or folder that must be there cannot be read.
    #[error("cannot read `{}`", path.display())]
    Unreadable {
        /// The file or folder.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
}

/// Reads, checks and joins a knowledge base; reviews are measured from `today`.
///
/// # Errors
/// Where there is no `kb.toml`, or it cannot be read at all.
pub fn read(dir: &Path, today: Date) -> Result<Folder, FolderError> {
    let (settings, mut problems) = settings(dir)?;
    let (words, more) = words(dir);
    problems.extend(more);
    let analyzer = Analyzer::new(&words);
    let listing = list(dir);
    problems.extend(listing.problems);
    let (sayings, more) = heard_before(dir, &listing.sayings);
    problems.extend(more);
    let first_role = settings.roles.first().map_or("", String::as_str);
    let parsed: Vec<Parsed> = listing
        .articles
        .par_iter()
        .map(|stamp| article(dir, stamp, first_role))
        .collect();
    let pictures = pictures(dir, &parsed);
    let checked = lint(&Input {
        parsed: &parsed,
        settings: &settings,
        analyzer: &analyzer,
        today,
        pictures: &pictures,
    });
    problems.extend(checked.problems);
    problems.extend(lacking(&checked.articles, parsed.is_empty()));
    problems.sort_by(|a, b| (&a.place, a.grade).cmp(&(&b.place, b.grade)));
    Ok(Folder {
        dir: dir.to_owned(),
        settings,
        words,
        analyzer,
        catalog: checked.catalog,
        sayings,
        articles: checked.articles,
        left_out: checked.left_out,
        problems,
        files: parsed.len(),
        sources: listing.sources,
    })
}

/// What the articles as a whole lack: any at all, or one that answers to danger.
fn lacking(articles: &[Article], no_files: bool) -> Option<Problem> {
    let note = |rule, what| Problem::note(rule, Place::file("articles"), what);
    if no_files {
        let empty = note("no-articles", "there is no article yet");
        return Some(empty.help("write the first one as `articles/NAME.md`; `fixtally start` makes a folder with an example"));
    }
    let mut live = articles
        .iter()
        .filter(|a| a.state == State::Live)
        .peekable();
    live.peek()?;
    if live.any(|article| article.danger.is_some()) {
        return None;
    }
    let silent = note(
        "no-danger",
        "no article answers to danger: a caller who tells of an electric shock, smoke, a burning smell, heat or gas is answered with fixes",
    );
    Some(silent.help("write an article with `danger: stop`, with `stop-words` as callers say it, and with a block `## Do now`"))
}

/// What [`Folder::sources`] would be, by asking the disk for sizes and times alone.
///
/// # Errors
/// Where there is no `kb.toml`.
pub fn stamp(dir: &Path) -> Result<Vec<SourceStamp>, FolderError> {
    if !dir.join(settings_file::FILE).is_file() {
        return Err(FolderError::NoSettings {
            dir: dir.to_owned(),
        });
    }
    Ok(list(dir).sources)
}

fn settings(dir: &Path) -> Result<(Settings, Vec<Problem>), FolderError> {
    let path = dir.join(settings_file::FILE);
    let missing = |kind| matches!(kind, io::ErrorKind::NotFound | io::ErrorKind::NotADirectory);
    match text(&path) {
        Ok(Ok(text)) => Ok(settings_file::read(&text)),
        Ok(Err(why)) => Ok((Settings::default(), vec![whole(settings_file::FILE, why)])),
        Err(error) if missing(error.kind()) => Err(FolderError::NoSettings {
            dir: dir.to_owned(),
        }),
        Err(source) => Err(FolderError::Unreadable { path, source }),
    }
}

fn words(dir: &Path) -> (Words, Vec<Problem>) {
    match text(&dir.join(words_file::FILE)) {
        Ok(Ok(text)) => words_file::read(&text),
        Ok(Err(why)) => (Words::default(), vec![whole(words_file::FILE, why)]),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Default::default(),
        Err(error) => {
            let why = format!("the file cannot be read: {error}");
            (Words::default(), vec![whole(words_file::FILE, why)])
        }
    }
}

fn heard_before(dir: &Path, files: &[SourceStamp]) -> (Vec<Saying>, Vec<Problem>) {
    let (mut all, mut problems) = (Vec::new(), Vec::new());
    for SourceStamp { path, .. } in files {
        match text(&dir.join(path)) {
            Ok(Ok(text)) => {
                let (sayings, more) = sayings::read(path, &text);
                all.extend(sayings);
                problems.extend(more);
            }
            Ok(Err(why)) => problems.push(whole(path, why)),
            Err(error) => problems.push(whole(path, format!("the file cannot be read: {error}"))),
        }
    }
    (all, problems)
}

fn whole(file: &str, why: String) -> Problem {
    Problem::error("unreadable", Place::file(file), why)
}

/// A file's text, or in words why it is none. Never reads more than [`LARGEST`].
fn text(path: &Path) -> io::Result<Result<String, String>> {
    let mut bytes = Vec::new();
    fs::File::open(path)?
        .take(LARGEST + 1)
        .read_to_end(&mut bytes)?;
    if u64::try_from(bytes.len()).unwrap_or(u64::MAX) > LARGEST {
        return Ok(Err(too_large()));
    }
    Ok(String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..good]
            .iter()
            .filter(|b| **b == b'\n')
            .count()
            + 1;
        format!("the file is not in UTF-8; line {line} holds the first wrong byte")
    }))
}

fn too_large() -> String {
    "the file is larger than 1 MB and was not read".to_owned()
}

fn article(dir: &Path, stamp: &SourceStamp, first_role: &str) -> Parsed {
    let unread = |rule, why: String| {
        let problem = Problem::error(rule, Place::file(&stamp.path), why);
        parse::bare(
            Source::new(stamp.path.clone(), ""),
            vec![Finding::article(problem)],
        )
    };
    if stamp.size > LARGEST {
        return unread("too-large", too_large());
    }
    match text(&dir.join(&stamp.path)) {
        Ok(Ok(text)) => parse::parse(&stamp.path, &text, first_role),
        Ok(Err(why)) => unread("unreadable", why),
        Err(error) => unread("unreadable", format!("the file cannot be read: {error}")),
    }
}

fn pictures(dir: &Path, parsed: &[Parsed]) -> Pictures {
    let shown = parsed
        .iter()
        .flat_map(|p| p.article.pictures.iter().map(|p| p.path.clone()));
    let linked = parsed.iter().flat_map(|p| {
        let from = &p.source.file;
        p.links
            .iter()
            .filter_map(|l| parse::resolve(from, &l.value))
    });
    let mut pictures = Pictures::new();
    for path in shown.chain(linked).filter(|p| !parse::is_outside(p)) {
        pictures.entry(path).or_insert_with_key(|path| {
            let about = fs::metadata(dir.join(path)).ok()?;
            about.is_file().then_some(about.len())
        });
    }
    pictures
}

#[cfg(test)]
mod tests {
    use super::*;

    const ARTICLE: &str = "---\nid: a\ntitle: A\n---\nText.\n";

    fn today() -> Date {
        jiff::civil::date(2026, 11, 1)
    }

    fn folder(files: &[(&str, &[u8])]) -> tempfile::TempDir {
        let dir = tempfile::tempdir().unwrap();
        for (name, content) in files {
            let path = dir.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, content).unwrap();
        }
        dir
    }

    #[test]
    fn a_folder_without_an_answer_to_danger_is_told_once() {
        let danger = "---\nid: d\ntitle: D\ndanger: stop\nstop-words: [smoke]\n---\n## Do now\n1. Keep away.\n";
        let draft = danger.replace("id: d", "id: d\nstate: draft");
        let b = ARTICLE.replace("id: a", "id: b");
        let (a, settings) = (("articles/a.md", ARTICLE.as_bytes()), ("kb.toml", &b""[..]));
        for (danger, told) in [(None, 1), (Some(&*draft), 1), (Some(danger), 0)] {
            let mut files = vec![settings, a, ("articles/b.md", b.as_bytes())];
            files.extend(danger.map(|text| ("articles/d.md", text.as_bytes())));
            let problems = read(folder(&files).path(), today()).unwrap().problems;
            let notes = problems.iter().filter(|p| p.rule == "no-danger");
            assert_eq!(notes.count(), told, "{problems:?}");
            assert!(!crate::articles::lint::any_error(&problems), "{problems:?}");
        }
        // Where nothing is live nobody is answered.
        let draft = ARTICLE.replace("id: a", "id: a\nstate: draft");
        let problems = read(
            folder(&[settings, ("articles/a.md", draft.as_bytes())]).path(),
            today(),
        );
        assert!(
            problems
                .unwrap()
                .problems
                .iter()
                .all(|p| p.rule != "no-danger")
        );
    }

    #[test]
    fn a_folder_without_settings_is_refused_and_without_words_is_fine() {
        let dir = folder(&[("articles/a.md", ARTICLE.as_bytes())]);
        let refused = read(dir.path(), today()).unwrap_err();
        assert!(refused.to_string().contains("holds no `kb.toml`"));
        assert!(stamp(dir.path()).is_err());
        fs::write(dir.path().join("kb.toml"), "name = 'x'").unwrap();
        let folder = read(dir.path(), today()).unwrap();
        assert_eq!(folder.catalog.articles.len(), 1);
    }

    #[test]
    fn odd_files_are_reported_and_hide_nothing() {
        let large = vec![b'x'; 1_100_000];
        let dir = folder(&[
            ("kb.toml", b"name = 'x'"),
            ("articles/p/a.md", ARTICLE.as_bytes()),
            ("articles/p/bytes.md", b"---\nid: bytes\n---\n\xff"),
            ("articles/p/empty.md", b""),
            ("articles/p/large.md", &large),
            ("articles/p/folder.md/x.txt", b"x"),
            ("articles/p/img/readme.md", b"no article"),
            ("articles/p/img/a.svg", b"<svg/>"),
            ("articles/.hidden/b.md", b"no article"),
        ]);
        let folder = read(dir.path(), today()).unwrap();
        let errors: Vec<_> = folder
            .problems
            .iter()
            .filter(|p| p.grade == crate::base::problem::Grade::Error)
            .map(|p| (p.rule, p.place.file.to_string_lossy().into_owned()))
            .collect();
        assert_eq!(
            errors,
            [
                ("unreadable", "articles/p/bytes.md".to_owned()),
                ("empty-article", "articles/p/empty.md".to_owned()),
                ("unreadable", "articles/p/folder.md".to_owned()),
                ("too-large", "articles/p/large.md".to_owned()),
            ]
        );
        assert_eq!(folder.catalog.articles.len(), 1);
        assert_eq!(folder.files, 4);
        assert_eq!(stamp(dir.path()).unwrap(), folder.sources);
        assert!(
            folder
                .sources
                .iter()
                .any(|s| s.path == "articles/p/img/a.svg")
        );
    }
}
