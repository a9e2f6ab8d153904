//! Every file of `tests/data/articles/invalid` with the problems it is expected to have. To add a
//! case, add a file and look at the snapshot.

use fixtally::articles::lint::{Input, lint};
use fixtally::articles::parse::{Parsed, parse};
use fixtally::articles::settings_file;
use fixtally::base::problem::Grade;
use fixtally::base::text::Analyzer;
use std::fmt::Write as _;
use std::path::Path;

const DRAFT: &str = "---\nid: draft\ntitle: Draft\nstate: draft\nsymptoms: [x]\n---\nText.\n\n\
    ## Fix: Try {#try minutes=1 who=caller}\n1. Try.\n\nDone when: tried.\n";

fn files() -> Vec<(String, String)> {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/articles/invalid");
    let mut files: Vec<(String, String)> = walkdir::WalkDir::new(dir)
        .sort_by_file_name()
        .into_iter()
        .map(Result::unwrap)
        .filter(|e| e.file_type().is_file())
        .map(|e| {
            let name = e.file_name().to_str().unwrap();
            let text = std::fs::read_to_string(e.path()).unwrap();
            (format!("articles/bad/{name}"), text)
        })
        .collect();
    files.push(("articles/good/draft.md".to_owned(), DRAFT.to_owned()));
    files
}

#[test]
fn every_invalid_article_has_its_problems() {
    let (settings, _) = settings_file::read(include_str!("data/articles/valid/kb.toml"));
    let files = files();
    let parsed: Vec<Parsed> = files.iter().map(|(p, t)| parse(p, t, "caller")).collect();
    let pictures = [
        ("articles/bad/img/none.png".to_owned(), None),
        ("articles/bad/img/big.png".to_owned(), Some(400_000)),
    ];
    let checked = lint(&Input {
        parsed: &parsed,
        settings: &settings,
        analyzer: &Analyzer::default(),
        today: jiff::civil::date(2026, 11, 1),
        pictures: &pictures.into(),
    });
    let mut shown = String::new();
    for (path, _) in &files {
        writeln!(shown, "# {}", path.rsplit('/').next().unwrap()).unwrap();
        let own = checked
            .problems
            .iter()
            .filter(|p| p.place.file == Path::new(path));
        for problem in own {
            let grade = if problem.grade == Grade::Error {
                "error"
            } else {
                "note"
            };
            let place = format!("{}:{}", problem.place.line, problem.place.column);
            writeln!(
                shown,
                "{place} {grade}[{}] {}",
                problem.rule, problem.message
            )
            .unwrap();
            if let Some(help) = &problem.help {
                writeln!(shown, "    {help}").unwrap();
            }
        }
        shown.push('\n');
    }
    insta::assert_snapshot!(shown);
}
