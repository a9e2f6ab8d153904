//! Every file of `tests/data/articles/invalid` with the problems it is expected to have, and the
//! rules that need several files.

use super::*;
use crate::articles::parse::parse;
use crate::articles::settings_file;
use crate::base::problem::{Grade, Problem};
use std::fmt::Write as _;
use std::path::Path;

const DRAFT: &str = "---\nid: draft\ntitle: Draft\nstate: draft\nsymptoms: [x]\n---\nText.\n\n## Fix: Try {#try minutes=1 who=caller}\n1. Try.\n\nDone when: tried.\n";

fn settings() -> Settings {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/articles/valid/kb.toml");
    let (settings, problems) = settings_file::read(&std::fs::read_to_string(path).unwrap());
    assert_eq!(problems, []);
    settings
}

fn check(files: &[(&str, &str)]) -> Checked {
    let settings = settings();
    let parsed: Vec<Parsed> = files.iter().map(|(p, t)| parse(p, t, "caller")).collect();
    let pictures = [
        ("articles/bad/img/none.png".to_owned(), None),
        ("articles/bad/img/big.png".to_owned(), Some(400_000)),
    ];
    lint(&Input {
        parsed: &parsed,
        settings: &settings,
        analyzer: &Analyzer::default(),
        today: jiff::civil::date(2026, 11, 1),
        pictures: &pictures.into(),
    })
}

fn fix(id: &str, attributes: &str) -> String {
    format!(
        "## Fix: Do {id} {{#{id} minutes=1 who=caller {attributes}}}\n1. Do it.\n\nDone when: done.\n\n"
    )
}

fn article(id: &str, front: &str, blocks: &str) -> String {
    format!(
        "---\nid: {id}\ntitle: T\nsymptoms: [x]\nreviewed: 2026-09-01\n{front}---\nText.\n\n{blocks}"
    )
}

fn brief(problems: &[Problem]) -> Vec<(&str, usize)> {
    problems.iter().map(|p| (p.rule, p.place.line)).collect()
}

#[test]
fn every_invalid_article_has_its_problems() {
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
    let files: Vec<(&str, &str)> = files
        .iter()
        .map(|(p, t)| (p.as_str(), t.as_str()))
        .collect();
    let checked = check(&files);
    let mut shown = String::new();
    for (path, _) in &files {
        let name = path.rsplit('/').next().unwrap();
        writeln!(shown, "# {name}").unwrap();
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
            let (line, column) = (problem.place.line, problem.place.column);
            writeln!(
                shown,
                "{line}:{column} {grade}[{}] {}",
                problem.rule, problem.message
            )
            .unwrap();
            if let Some(help) = &problem.help {
                writeln!(shown, "    {help}").unwrap();
            }
        }
        shown.push('\n');
    }
    insta::assert_snapshot!("invalid_articles", shown);
}

#[test]
fn doubles_and_old_ids_count_against_the_later_article() {
    let a = article("a", "", &fix("x", "was=y"));
    let b = article("b", "was: [a, c]\n", &fix("x", "was=a#y"));
    let c = article("a", "", "");
    let checked = check(&[
        ("articles/a.md", &a),
        ("articles/b.md", &b),
        ("articles/z/a.md", &c),
    ]);
    assert_eq!(
        brief(&checked.problems),
        [("old-id", 6), ("old-id", 10), ("double-id", 2)]
    );
    assert_eq!(checked.catalog.articles.len(), 1);
    assert!(checked.left_out.contains("b"));
}

#[test]
fn what_must_come_after_an_unserved_block_is_not_served() {
    let a = article(
        "a",
        "",
        &(fix("first", "hazard=nonsense") + &fix("second", "after=first")),
    );
    let b = article(
        "b",
        "",
        &(fix("third", "after=a#second") + &fix("free", "")),
    );
    let checked = check(&[("articles/a.md", &a), ("articles/b.md", &b)]);
    assert_eq!(
        brief(&checked.problems),
        [
            ("unknown-hazard", 9),
            ("after-left-out", 14),
            ("after-left-out", 9)
        ]
    );
    let served: Vec<&str> = checked.catalog.fixes.keys().map(|f| f.as_str()).collect();
    assert_eq!(served, ["b#free"]);
}

#[test]
fn a_cycle_over_two_articles_is_found_once_for_each_member() {
    let a = article("a", "", &(fix("x", "after=b#y") + &fix("z", "")));
    let b = article("b", "", &fix("y", "after=a#x"));
    let checked = check(&[("articles/a.md", &a), ("articles/b.md", &b)]);
    assert_eq!(
        brief(&checked.problems),
        [("after-cycle", 9), ("after-cycle", 9)]
    );
    assert_eq!(checked.catalog.fixes.len(), 1);
}

#[test]
fn order_and_answers_follow_renames_and_tell_checks_from_fixes() {
    let check_block = "## Check: On? {#on answers=yes,no was=lit}\n\n";
    let a = article("a", "was: [old]\n", check_block);
    let b = article("b", "", &fix("y", "after=old#lit expect=a#lit:no"));
    let checked = check(&[("articles/a.md", &a), ("articles/b.md", &b)]);
    assert_eq!(brief(&checked.problems), []);
    let fix = &checked.catalog.fixes[&crate::base::ids::FixId::new("b#y")];
    assert_eq!(
        fix.after,
        [crate::articles::model::Before::Check("a#on".into())]
    );
    assert_eq!(fix.expect[0].0.as_str(), "a#on");
}

#[test]
fn a_long_chain_of_order_is_quick_and_has_no_cycle() {
    let mut blocks = fix("f0", "");
    for i in 1..2000 {
        blocks.push_str(&fix(&format!("f{i}"), &format!("after=f{}", i - 1)));
    }
    let text = article("a", "", &blocks);
    let checked = check(&[("articles/a.md", &text)]);
    assert_eq!(checked.problems, []);
    assert_eq!(checked.catalog.fixes.len(), 2000);
}

#[test]
fn reviews_are_due_after_the_months_of_the_settings() {
    for (reviewed, notes) in [
        ("2025-11-01", 0),
        ("2025-10-31", 1),
        ("9999-12-31", 0),
        ("-009999-01-01", 1),
    ] {
        let text =
            format!("---\nid: a\ntitle: T\nsymptoms: [x]\nreviewed: {reviewed}\n---\nText.\n");
        assert_eq!(
            check(&[("articles/a.md", &text)]).problems.len(),
            notes,
            "{reviewed}"
        );
    }
}
