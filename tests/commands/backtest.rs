//! `fixtally backtest` on the demo and on too few tickets.

use crate::case::Case;

#[test]
fn the_demo_is_answered_from_its_past_in_words_numbers_and_drawings() {
    let case = Case::demo();
    // Three quarters are enough to see everything, and are answered three times as fast.
    for entry in std::fs::read_dir(case.path("kb/tickets")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        if !["2025-q2.jsonl", "2025-q3.jsonl", "2025-q4.jsonl"].contains(&name) {
            std::fs::remove_file(path).unwrap();
        }
    }
    let ran = case
        .run(&["backtest", "--blocks", "1", "--svg", "plots"])
        .ok()
        .says(" tickets.")
        .says(" cases from")
        .says("Scored:")
        .says("desk's order")
        .complains("Drew plots/hits.svg.");
    for line in ran.stdout.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    for name in ["calibration.svg", "hits.svg"] {
        let svg = std::fs::read_to_string(case.path("plots").join(name)).unwrap();
        assert!(svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>"));
        for colour in svg.split("=\"#").skip(1) {
            let colour = &colour[..6];
            assert!(["000000", "FFFFFF"].contains(&colour), "{name}: {colour}");
        }
    }
    let json = case
        .run(&["backtest", "--blocks", "1", "--json"])
        .ok()
        .json();
    let counts = &json["counts"];
    let number = |key: &str| counts[key].as_u64().unwrap();
    assert!(number("scored") > 150 && number("scored") < number("known"));
    assert!(number("known") < number("cases") && number("cases") < number("tickets"));
    let hit = |scores: &serde_json::Value| scores["hit_1"].as_f64().unwrap();
    let words = &json["rivals"][0];
    assert_eq!(words["rival"], "own-words");
    assert!(hit(&json["ours"]) > hit(&words["scores"]));
    assert_eq!(json["calibration"]["bins"].as_array().unwrap().len(), 10);
}

#[test]
fn too_few_tickets_are_said_to_be_too_few() {
    let ticket = r#"{"id":"T-1","closed":"2026-01-01T10:00:00Z","said":"it is dead"}"#;
    let case = Case::new()
        .file("kb/kb.toml", "name = \"small\"\n")
        .file("tickets.jsonl", ticket);
    case.run(&["tickets", "import", "tickets.jsonl"]).ok();
    case.run(&["backtest", "--as-of", "2026-02-01"])
        .exits(2)
        .complains("needs 50 tickets before the first day it answers, but found 0");
    case.run(&["backtest", "--blocks", "0"])
        .exits(2)
        .complains("expected a number from 1 to 1000, but found `0`");
}
