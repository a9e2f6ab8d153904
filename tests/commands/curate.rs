//! The lead tech's reports on the demo, against what its truth file says was planted.

use crate::case::Case;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use unicode_width::UnicodeWidthStr as _;

fn planted() -> Value {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/demo/truth.json");
    let text = std::fs::read_to_string(path).unwrap();
    serde_json::from_str::<Value>(&text).unwrap()["planted"].clone()
}

/// What each ticket was really about, where no article covers it.
fn topics() -> BTreeMap<String, String> {
    let mut topics = BTreeMap::new();
    for year in 2024..=2026 {
        let root = env!("CARGO_MANIFEST_DIR");
        let path = format!("{root}/tests/data/demo/cases-{year}.jsonl");
        for line in std::fs::read_to_string(path).unwrap().lines() {
            let case: Value = serde_json::from_str(line).unwrap();
            if let Some(topic) = case["topic"].as_str() {
                topics.insert(case["id"].as_str().unwrap().to_owned(), topic.to_owned());
            }
        }
    }
    topics
}

fn fits(text: &str) {
    for line in text.lines() {
        assert!(line.width() <= 80, "{line}");
    }
    assert!(!text.contains('\u{1b}'));
}

fn words(value: &Value) -> Vec<String> {
    let all = value.as_array().unwrap().iter();
    all.map(|v| v.as_str().unwrap().to_owned()).collect()
}

#[test]
fn drift_finds_the_two_planted_changes_and_nothing_else() {
    let case = Case::shared_demo();
    let ran = case.run(&["drift"]).ok();
    fits(&ran.stdout);
    insta::assert_snapshot!("drift", ran.stdout);
    let report = case.run(&["drift", "--json"]).ok().json();
    let planted = planted();
    let expected: BTreeSet<(String, bool, String)> = ["stopped", "started"]
        .iter()
        .flat_map(|kind| {
            planted[kind]
                .as_array()
                .unwrap()
                .iter()
                .map(move |p| (*kind, p))
        })
        .map(|(kind, p)| {
            let text = |key: &str| p[key].as_str().unwrap().to_owned();
            (text("fix"), kind == "started", text("firmware"))
        })
        .collect();
    let found: BTreeSet<(String, bool, String)> = report["changes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|change| {
            assert!(change["q"].as_f64().unwrap() < 0.05);
            let better = change["difference"][0].as_f64().unwrap() > 0.0;
            let firmware = change["since"]["firmware"]["version"]
                .as_str()
                .unwrap_or("a date");
            (
                change["fix"].as_str().unwrap().to_owned(),
                better,
                firmware.to_owned(),
            )
        })
        .collect();
    assert_eq!(found, expected);
}

#[test]
fn rising_finds_the_planted_symptom_and_nothing_else() {
    let case = Case::shared_demo();
    let ran = case.run(&["rising"]).ok();
    fits(&ran.stdout);
    insta::assert_snapshot!("rising", ran.stdout);
    let report = case.run(&["rising", "--json"]).ok().json();
    let found = report["rising"].as_array().unwrap();
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0]["article"], planted()["rising"][0]["article"]);
    // Before it began, it did not rise.
    let before = case.run(&["rising", "--as-of", "2026-09-30"]);
    assert!(
        !before.stdout.contains("detected-but-not-charging"),
        "{}",
        before.stdout
    );
}

#[test]
fn drawings_are_small_and_name_what_they_show() {
    let case = Case::warm_demo();
    case.run(&["drift", "--svg", "plots"]).ok();
    case.run(&["rising", "--svg", "plots"]).ok();
    let mut names = BTreeSet::new();
    for entry in std::fs::read_dir(case.path("plots")).unwrap() {
        let path = entry.unwrap().path();
        let svg = std::fs::read_to_string(&path).unwrap();
        assert!(
            svg.starts_with("<svg") && svg.len() < 60_000,
            "{}",
            svg.len()
        );
        names.insert(path.file_name().unwrap().to_str().unwrap().to_owned());
    }
    assert!(
        names.contains("update-refused--empty-store.svg"),
        "{names:?}"
    );
    assert!(names.contains("detected-but-not-charging.svg"), "{names:?}");
}

#[test]
fn the_costliest_unwritten_symptoms_are_those_that_no_article_covers() {
    let case = Case::shared_demo();
    let ran = case.run(&["unwritten"]).ok();
    fits(&ran.stdout);
    insta::assert_snapshot!("unwritten", ran.stdout);
    let report = case.run(&["unwritten", "--json"]).ok().json();
    let topics = topics();
    let expected: BTreeSet<String> = words(&planted()["uncovered"]).into_iter().collect();
    let of = |group: &Value| {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        let tickets = words(&group["tickets"]);
        for ticket in &tickets {
            *counts
                .entry(topics.get(ticket).map_or("covered", String::as_str))
                .or_default() += 1;
        }
        let (topic, count) = counts.into_iter().max_by_key(|(_, count)| *count).unwrap();
        assert!(2 * count > tickets.len(), "{group}");
        topic.to_owned()
    };
    let groups = report["groups"].as_array().unwrap();
    let first: BTreeSet<String> = groups.iter().take(2).map(of).collect();
    assert_eq!(first, expected);
    let costs: Vec<f64> = groups
        .iter()
        .map(|g| g["minutes_a_month"].as_f64().unwrap())
        .collect();
    assert!(costs.is_sorted_by(|a, b| a >= b), "{costs:?}");
}

#[test]
fn a_draft_is_refused_by_lint_until_a_person_has_filled_it_in() {
    let case = Case::warm_demo();
    let written = case
        .run(&["unwritten", "--start", "1", "--json"])
        .ok()
        .json();
    let path = written["path"].as_str().unwrap();
    let text = std::fs::read_to_string(case.path(path)).unwrap();
    insta::assert_snapshot!("unwritten_draft", text);
    let lint = case.run(&["lint"]).exits(1);
    assert!(lint.stdout.contains("TO-FILL"), "{}", lint.stdout);
    // Filled in, it is an article like any other.
    let filled = text
        .replace("who=TO-FILL", "who=desk")
        .replace(" hazard=TO-FILL", "")
        .replace("kind=to-fill", "kind=tighten");
    std::fs::write(case.path(path), filled).unwrap();
    case.run(&["lint"]);
    let errors = case.run(&["lint", "--json"]).json().to_string();
    assert!(!errors.contains("TO-FILL"), "{errors}");
    // The next draft of the same group takes another name, and none is overwritten.
    let second = case
        .run(&["unwritten", "--start", "1", "--json"])
        .ok()
        .json();
    assert_ne!(second["path"], written["path"]);
    case.run(&["unwritten", "--start", "999"])
        .exits(2)
        .complains("there is no group 999");
}

fn tiny() -> Case {
    Case::new()
        .file("kb/kb.toml", "name = \"t\"\n[roles]\norder = [\"desk\"]\n")
        .file(
            "kb/articles/a/no-light.md",
            "---\nid: no-light\ntitle: No light\nsymptoms:\n  - no lamp is lit\nstate: live\n---\nDark.\n\n\
             ## Fix: Switch it on {#switch-on kind=switch minutes=1 who=desk}\n1. Switch it on.\n\n\
             Done when: the lamp is lit.\n",
        )
}

#[test]
fn without_tickets_and_with_few_nothing_is_found_and_nothing_breaks() {
    let case = tiny();
    for command in ["unwritten", "drift", "rising"] {
        let ran = case.run(&[command]).exits(1);
        fits(&ran.stdout);
        assert!(ran.stdout.starts_with("No "), "{}", ran.stdout);
        assert!(case.run(&[command, "--json"]).exits(1).json().is_object());
    }
    case.run(&["twins", "no-light"])
        .exits(2)
        .complains("name another one beside it");
    let tickets: String = (1..=9)
        .map(|n| {
            format!(
                "{{\"id\":\"T-{n}\",\"closed\":\"2026-01-0{n}T10:00:00Z\",\"said\":\"no lamp is lit\",\
                 \"article\":\"no-light\",\"tries\":[{{\"fix\":\"switch-on\",\"result\":\"resolved\"}}]}}\n"
            )
        })
        .collect();
    case.write("some.jsonl", tickets);
    case.run(&["tickets", "import", "some.jsonl"]).ok();
    for command in ["unwritten", "drift", "rising"] {
        case.run(&[command, "--as-of", "2026-01-10"])
            .exits(1)
            .says("No ");
    }
}

/// Tickets of every second day of 2026; each tells by its number what device version it has and whether
/// the switch helped.
fn every_second_day(version: impl Fn(u32) -> &'static str, worked: impl Fn(u32) -> bool) -> String {
    (0..140)
        .map(|n| {
            let day = jiff::civil::date(2026, 1, 1) + jiff::Span::new().days(2 * n);
            let (outcome, result) = if worked(n as u32) {
                ("resolved", "resolved")
            } else {
                ("handed-on", "no-change")
            };
            format!(
                "{{\"id\":\"T-{n}\",\"closed\":\"{day}T10:00:00Z\",\"said\":\"no lamp is lit\",\
                 \"device\":\"post-7\",\"firmware\":\"{}\",\"article\":\"no-light\",\
                 \"outcome\":\"{outcome}\",\
                 \"tries\":[{{\"fix\":\"switch-on\",\"result\":\"{result}\"}}]}}\n",
                version(n as u32)
            )
        })
        .collect()
}

#[test]
fn a_change_is_laid_to_the_firmware_where_that_explains_it_and_else_to_the_date() {
    // Half of the devices have the new firmware from July on. In the first ledger it spoils the fix, in
    // the second something else does, on all of them.
    let new = |n: u32| n >= 90 && n.is_multiple_of(2);
    let version = |n: u32| if new(n) { "2.0.0" } else { "1.0.0" };
    let often = |n: u32| !n.is_multiple_of(5);
    type Fixed = Box<dyn Fn(u32) -> bool>;
    let ledgers: [(&str, Fixed, &str); 2] = [
        (
            "firmware",
            Box::new(move |n| often(n) && !new(n)),
            "/since/firmware/version",
        ),
        ("date", Box::new(move |n| often(n) && n < 90), "/since/date"),
    ];
    for (name, worked, at) in ledgers {
        let case = tiny();
        case.write("some.jsonl", every_second_day(version, worked));
        case.run(&["tickets", "import", "some.jsonl"]).ok();
        let report = case
            .run(&["drift", "--json", "--as-of", "2026-10-31"])
            .ok()
            .json();
        let changes = report["changes"].as_array().unwrap();
        assert_eq!(changes.len(), 1, "{name}: {report}");
        assert!(
            changes[0].pointer(at).is_some(),
            "{name}: {}",
            changes[0]["since"]
        );
        assert!(changes[0]["q"].as_f64() >= changes[0]["p"].as_f64());
    }
}
