//! `fixtally show` from the outside, on the small valid knowledge base of `tests/data`.

use crate::case::{Case, Ran};
use std::path::Path;

fn case() -> Case {
    let mut case = Case::new();
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/articles/valid");
    for entry in walkdir::WalkDir::new(&from) {
        let entry = entry.unwrap();
        if entry.file_type().is_file() {
            let inside = entry.path().strip_prefix(&from).unwrap().to_str().unwrap();
            let inside = inside.replace('\\', "/");
            case = case.file(
                &format!("kb/{inside}"),
                std::fs::read(entry.path()).unwrap(),
            );
        }
    }
    case
}

fn show(case: &Case, more: &[&str]) -> Ran {
    case.run(&[&["show", "--as-of", "2026-11-01"], more].concat())
}

#[test]
fn the_valid_articles_have_only_their_expected_notes() {
    let ran = case().run(&["lint", "--as-of", "2026-11-01"]).ok();
    insta::assert_snapshot!(ran.stdout);
}

#[test]
fn an_article_is_shown_whole_with_cautions_before_steps() {
    let ran = show(&case(), &["rcd-trips"]).ok();
    assert!(ran.stdout.lines().all(|l| l.chars().count() <= 80));
    insta::assert_snapshot!(ran.stdout);
}

#[test]
fn a_danger_article_begins_with_what_to_do() {
    insta::assert_snapshot!(show(&case(), &["smoke"]).ok().stdout);
}

#[test]
fn one_fix_is_shown_alone() {
    let case = case();
    let ran = show(&case, &["rcd-trips#reseal-gland"]).ok();
    insta::assert_snapshot!(ran.stdout);
    show(&case, &["rcd-trips#restart"])
        .ok()
        .says("from controller-restart");
    show(&case, &["rcd-trips#trips-empty"])
        .ok()
        .says("Check: Does it also trip");
}

#[test]
fn old_names_work_and_say_so() {
    let case = case();
    show(&case, &["breaker-falls"])
        .ok()
        .says("`breaker-falls` is an old name");
    show(&case, &["breaker-falls#seal"])
        .ok()
        .says("Fix: Dry and reseal")
        .says("old name");
}

#[test]
fn drafts_are_shown_and_say_so() {
    show(&case(), &["new-meter"])
        .ok()
        .says("DRAFT: this article is not served");
}

#[test]
fn an_unknown_name_offers_near_ones() {
    let case = case();
    show(&case, &["rcd-trip"])
        .exits(1)
        .complains("did you mean `rcd-trips`?");
    show(&case, &["rcd-trips#reseal"])
        .exits(1)
        .complains("did you mean `reseal-gland`");
}

#[test]
fn a_fix_with_errors_shows_no_steps() {
    let case = case();
    let path = case.path("kb/articles/power/rcd-trips.md");
    let text = std::fs::read_to_string(path).unwrap();
    let text = text.replace(
        "kind=reseal minutes=20 who=electrician hazard=mains",
        "minutes=20 who=caller",
    );
    case.write("kb/articles/power/rcd-trips.md", text);
    let ran = show(&case, &["rcd-trips#reseal-gland"])
        .ok()
        .says("Not shown: it has errors");
    assert!(!ran.stdout.contains("Fit a new seal"));
}

#[test]
fn an_unreadable_article_and_a_spoilt_fix_say_so() {
    let case = case()
        .file("kb/articles/x/broken.md", "---\ntitle: [\n---\nText.\n")
        .file(
            "kb/articles/x/spoilt.md",
            "---\nid: spoilt\ntitle: Spoilt\n---\n## Fix: Look {#look minutes=1 who=caller}\n1. Look.\n\n\
             ## Fiks: Open it {#open minutes=1 who=electrician hazard=mains}\n1. Unscrew it.\n",
        );
    show(&case, &["broken"])
        .exits(1)
        .complains("broken.md` cannot be read");
    let ran = show(&case, &["spoilt"]).ok().says("NOT SERVED");
    assert!(!ran.stdout.contains("Unscrew it"), "{}", ran.stdout);
}

#[test]
fn json_holds_the_same_values() {
    let json = show(&case(), &["rcd-trips#reseal-gland", "--json"])
        .ok()
        .json();
    let fix = &json["fixes"][0];
    assert_eq!(fix["id"], "rcd-trips#reseal-gland");
    assert_eq!(fix["after"][0], "rcd-trips#insulation-test");
    assert!(
        fix["cautions"][0]
            .as_str()
            .unwrap()
            .starts_with("DANGER OF DEATH")
    );
    assert_eq!(json["fixes"].as_array().unwrap().len(), 1);
    assert_eq!(
        json["footer"],
        "Local codes and licensed practice prevail over anything this page says."
    );
}
