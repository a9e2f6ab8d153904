//! `twins`, `compare` and `month`: what is double, what a change means, how a month went.

use crate::case::Case;
use serde_json::Value;
use std::process::Command;
use unicode_width::UnicodeWidthStr as _;

fn fits(text: &str) {
    for line in text.lines() {
        assert!(line.width() <= 80, "{line}");
    }
}

fn planted_pairs() -> Vec<[String; 2]> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/demo/truth.json");
    let truth: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    serde_json::from_value(truth["planted"]["twins"].clone()).unwrap()
}

#[test]
fn the_planted_twins_stand_among_the_first_five() {
    let case = Case::shared_demo();
    let ran = case.run(&["twins"]).ok();
    fits(&ran.stdout);
    insta::assert_snapshot!("twins", ran.stdout);
    let pairs = case.run(&["twins", "--json"]).ok().json();
    let first: Vec<[String; 2]> = pairs
        .as_array()
        .unwrap()
        .iter()
        .take(5)
        .map(|pair| {
            let mut both =
                [&pair["keep"], &pair["other"]].map(|id| id.as_str().unwrap().to_owned());
            both.sort();
            both
        })
        .collect();
    for mut pair in planted_pairs() {
        pair.sort();
        assert!(first.contains(&pair), "{pair:?} is not in {first:?}");
    }
}

#[test]
fn a_merged_article_keeps_all_evidence() {
    let case = Case::warm_demo();
    let ([keep, other], demo) = (["one-point-offline", "single-post-lost"], &case);
    let merged = demo
        .run(&["twins", "--merge", keep, other, "--json"])
        .ok()
        .json();
    let cases = |id: &str| -> u64 {
        let table = demo.run(&["evidence", id, "--json"]).ok().json();
        table["articles"][0]["cases"].as_u64().unwrap()
    };
    let both = cases(keep) + cases(other);
    let path = |key: &str| format!("kb/{}", merged[key].as_str().unwrap());
    demo.write(&path("keep"), merged["text"].as_str().unwrap());
    std::fs::remove_file(demo.path(&path("remove"))).unwrap();
    assert_eq!(cases(keep), both);
    let evidence = demo.run(&["evidence", "--json"]).ok().json();
    assert_eq!(evidence["orphans"], serde_json::json!([]));
    demo.run(&["twins", "--merge", keep, keep])
        .exits(2)
        .complains("cannot be merged");
}

/// Turns one thing of an article into another.
fn edit(case: &Case, path: &str, from: &str, to: &str) {
    let text = std::fs::read_to_string(case.path(path)).unwrap();
    assert!(text.contains(from), "no `{from}` in {path}");
    case.write(path, text.replacen(from, to, 1));
}

fn copy(from: &std::path::Path, to: &std::path::Path) {
    for entry in walkdir::WalkDir::new(from) {
        let entry = entry.unwrap();
        let to = to.join(entry.path().strip_prefix(from).unwrap());
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(to).unwrap();
        } else {
            std::fs::copy(entry.path(), to).unwrap();
        }
    }
}

const RCD: &str = "kb/articles/protection/rcd-trips-on-plug-in.md";

#[test]
fn compare_names_what_protects_people_first() {
    let case = Case::warm_demo();
    copy(&case.path("kb"), &case.path("new"));
    std::fs::remove_dir_all(case.path("new/.state")).unwrap();
    case.run(&["compare", "kb", "new", "--no-answers"])
        .ok()
        .says("Nothing that protects people was removed.")
        .says("No article changed.");
    edit(
        &case,
        "new/kb.toml",
        "roles = [\"installer\", \"electrician\"]",
        "roles = [\"desk\", \"installer\", \"electrician\"]",
    );
    let ran = case.run(&["compare", "kb", "new", "--no-answers"]).exits(1);
    fits(&ran.stdout);
    assert!(ran.stdout.starts_with("LOOK FIRST"), "{}", ran.stdout);
    assert!(
        ran.stdout.contains("`desk` may do such work now"),
        "{}",
        ran.stdout
    );
}

#[test]
fn compare_says_which_side_an_error_is_of() {
    let case = Case::warm_demo();
    copy(&case.path("kb"), &case.path("new"));
    std::fs::remove_dir_all(case.path("new/.state")).unwrap();
    edit(
        &case,
        "new/articles/bus/meter-not-found.md",
        "title: Energy",
        "title: [Energy",
    );
    let ran = case
        .run(&["compare", "kb", "new", "--no-answers"])
        .says("1 new error in NEW; what has an error is not served.")
        .complains("NEW: 1 error in the knowledge base");
    assert!(!ran.stderr.contains("OLD: "), "{}", ran.stderr);
    fits(&ran.stdout);
    let ran = case
        .run(&["compare", "new", "kb", "--no-answers"])
        .says("1 error in OLD that NEW has not; what has an error is not served.")
        .complains("OLD: 1 error in the knowledge base");
    assert!(!ran.stderr.contains("NEW: "), "{}", ran.stderr);
}

#[test]
fn compare_tells_what_a_dropped_fix_costs_and_which_answers_move() {
    let case = Case::warm_demo();
    copy(&case.path("kb"), &case.path("new"));
    std::fs::remove_dir_all(case.path("new/.state")).unwrap();
    let path = "new/articles/vehicle/detected-but-not-charging.md";
    let path = if case.path(path).exists() {
        path.to_owned()
    } else {
        found(&case, "detected-but-not-charging.md")
    };
    let text = std::fs::read_to_string(case.path(&path)).unwrap();
    let start = text.find("\n## Fix: ").unwrap() + 1;
    let end = text[start..]
        .find("\n## ")
        .map_or(text.len(), |at| start + at + 1);
    let head = text[start..end].lines().next().unwrap();
    let id = head
        .split("{#")
        .nth(1)
        .unwrap()
        .split([' ', '}'])
        .next()
        .unwrap();
    case.write(&path, format!("{}{}", &text[..start], &text[end..]));
    let report = case.run(&["compare", "kb", "new", "--json"]).json();
    let dropped = &report["dropped"][0];
    assert_eq!(dropped["fix"], format!("detected-but-not-charging#{id}"));
    assert!(dropped["ended"].as_u64().unwrap() > 10, "{dropped}");
    assert!(
        report["orphaned"]
            .as_array()
            .unwrap()
            .iter()
            .any(|o| o[0] == dropped["fix"])
    );
    assert_eq!(report["asked"], 500);
    assert!(!report["moved"].as_array().unwrap().is_empty());
}

fn found(case: &Case, name: &str) -> String {
    let root = case.path("new");
    let files = walkdir::WalkDir::new(&root).into_iter().map(Result::unwrap);
    let file = files.into_iter().find(|e| e.file_name() == name).unwrap();
    format!("new/{}", file.path().strip_prefix(&root).unwrap().display())
}

#[test]
fn compare_reads_two_git_revisions_and_says_where_there_is_none() {
    let case = Case::warm_demo();
    let git = |args: &[&str]| {
        let run = Command::new("git")
            .current_dir(case.path("kb"))
            .args(["-c", "user.name=t", "-c", "user.email=t@example.org"])
            .args(args)
            .output()
            .unwrap();
        assert!(
            run.status.success(),
            "{}",
            String::from_utf8_lossy(&run.stderr)
        );
    };
    case.run(&["compare", "HEAD", "HEAD"])
        .exits(2)
        .complains("no git revision");
    git(&["init", "-q"]);
    git(&["add", "kb.toml", "words.toml", "articles"]);
    git(&["commit", "-q", "-m", "first"]);
    edit(&case, RCD, "title: ", "title: Look ");
    git(&["commit", "-q", "-a", "-m", "second"]);
    case.run(&["compare", "HEAD~1", "HEAD", "--no-answers"])
        .ok()
        .says("1 article changed.")
        .says("{+Look+}");
    case.run(&["compare", "HEAD~7", "HEAD"])
        .exits(2)
        .complains("`HEAD~7`");
}

#[test]
fn a_month_is_one_page_with_every_number_also_as_json() {
    let case = Case::warm_demo();
    case.run(&["month", "2026-10", "-o", "october.html"])
        .ok()
        .says("Wrote october.html");
    let page = std::fs::read_to_string(case.path("october.html")).unwrap();
    assert!(page.starts_with("<!doctype html>"));
    for outside in ["<script", "src=", "href=", "url("] {
        assert!(!page.contains(outside), "{outside}");
    }
    let report = case.run(&["month", "2026-10", "--json"]).ok().json();
    // Where the option stands makes no difference.
    let before = case.run(&["--json", "month", "2026-10"]).ok().json();
    assert_eq!(before, report);
    case.run(&["month", "2026-10"])
        .exits(2)
        .complains("no file is named")
        .complains("-o FILE");
    let cases = report["numbers"]["cases"].as_u64().unwrap();
    let sum: u64 = report["symptoms"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s["cases"].as_u64().unwrap())
        .sum();
    assert_eq!(sum, cases);
    assert!(page.contains(&format!("<dd>{cases}</dd>")));
    assert_eq!(report["months"].as_array().unwrap().len(), 12);
    assert_eq!(report["drift"]["changes"].as_array().unwrap().len(), 2);
    case.run(&["month", "2026-13", "--json"])
        .exits(2)
        .complains("expected a month");
    case.run(&["month", "2027-01", "--json"])
        .exits(2)
        .complains("has not begun");
    // Before the first ticket there is nothing to count, and that is said.
    case.run(&["month", "2023-01", "-o", "none.html"])
        .ok()
        .says("0 cases");
}
