//! `fixtally lint --with-tickets` on the demo, against its truth file; and `--sarif`, against the
//! standard.

use crate::case::Case;
use serde_json::Value;
use std::collections::BTreeSet;

fn truth() -> Value {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/demo/truth.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn quoted(text: &str) -> Vec<&str> {
    text.split('`').skip(1).step_by(2).collect()
}

#[test]
fn orders_that_tickets_refute_are_the_planted_ones_and_no_false_ones() {
    let case = Case::shared_demo();
    let found = case.run(&["lint", "--with-tickets", "--json"]).ok().json();
    let truth = truth();
    let mut refuted = BTreeSet::new();
    let orders = found.as_array().unwrap().iter();
    for problem in orders.filter(|p| p["rule"] == "order-refuted") {
        assert_eq!(problem["grade"], "note");
        assert!(problem["place"]["line"].as_u64().unwrap() > 0);
        let file = problem["place"]["file"].as_str().unwrap();
        let article = file.rsplit('/').next().unwrap().trim_end_matches(".md");
        let shares = truth["articles"][article]["share"].as_object().unwrap();
        let share = |short: &str| {
            let full = |name: &str| name.rsplit('#').next() == Some(short);
            let of = shares.iter().find(|(name, _)| full(name)).unwrap();
            of.1.as_f64().unwrap()
        };
        let names = quoted(problem["message"].as_str().unwrap());
        for behind in &names[1..] {
            assert!(share(names[0]) > share(behind), "{article}: {names:?}");
        }
        let help = problem["help"].as_str().unwrap();
        let order = help
            .trim_start_matches("a better order: ")
            .split(';')
            .next()
            .unwrap();
        let place = |name: &str| order.split(", ").position(|other| other == name).unwrap();
        assert!(
            names[1..]
                .iter()
                .all(|behind| place(names[0]) < place(behind)),
            "{help}"
        );
        refuted.insert((article.to_owned(), names[0].to_owned()));
    }
    for planted in truth["planted"]["wrong_order"].as_array().unwrap() {
        let text = |key: &str| planted[key].as_str().unwrap().to_owned();
        let planted = (text("article"), text("first"));
        assert!(refuted.contains(&planted), "{planted:?} in {refuted:?}");
    }
}

#[test]
fn advice_holds_no_word_that_few_tickets_use_and_stays_out_of_plain_lint() {
    let case = Case::shared_demo();
    let found = case.run(&["lint", "--with-tickets", "--json"]).ok().json();
    let rules: BTreeSet<&str> = found
        .as_array()
        .unwrap()
        .iter()
        .map(|p| p["rule"].as_str().unwrap())
        .collect();
    for rule in ["symptom-unused", "callers-word", "abbreviation", "review"] {
        assert!(rules.contains(rule), "{rules:?}");
    }
    // Every article of the demo has cases.
    assert!(!rules.contains("never-reached"));
    let abbreviations: Vec<&str> = found
        .as_array()
        .unwrap()
        .iter()
        .filter(|p| p["rule"] == "abbreviation")
        .map(|p| p["message"].as_str().unwrap())
        .collect();
    // What the demo's generator makes of words in one agent's notes (tools/demo_parts/hands.py).
    for (short, long) in [
        ("cbl", "cable"),
        ("ctrlr", "controller"),
        ("addr", "address"),
    ] {
        let told = |m: &&&str| quoted(m)[..] == [short, long];
        assert!(abbreviations.iter().any(|m| told(&m)), "{abbreviations:?}");
    }
    case.run(&["lint", "--with-tickets", "--strict", "-q"])
        .exits(1);
}

#[test]
fn without_a_year_of_tickets_nothing_is_said_to_be_unused() {
    let case = Case::new()
        .file("kb/kb.toml", "name = \"t\"\n[roles]\norder = [\"desk\"]\n")
        .file(
            "kb/articles/a/dark.md",
            "---\nid: dark\ntitle: Dark\nsymptoms: [no lamp]\nreviewed: 2026-01-01\n---\nDark.\n",
        );
    let run = || {
        case.run(&["lint", "--with-tickets", "--as-of", "2026-02-01"])
            .ok()
    };
    run().says("0 errors, 1 note in 1 article");
    case.write(
        "some.jsonl",
        "{\"id\":\"T-1\",\"closed\":\"2024-01-05T10:00:00Z\",\"said\":\"hello there\"}\n",
    );
    case.run(&["tickets", "import", "some.jsonl"]).ok();
    run()
        .says("note[never-reached]")
        .says("no case of the last 12 months");
}

/// What the standard requires of a log, by the sections of "Static Analysis Results Interchange Format
/// (SARIF) Version 2.1.0", OASIS standard, 27 March 2020 (sections from memory; its schema has the same
/// under `required`).
fn is_sarif(log: &Value) {
    let text = |value: &Value| value.as_str().filter(|s| !s.is_empty()).map(str::to_owned);
    // 3.13.2 version, 3.13.4 runs
    assert_eq!(log["version"], "2.1.0");
    for run in log["runs"].as_array().unwrap() {
        // 3.14.6 tool, 3.18.2 driver, 3.19.8 name
        let driver = &run["tool"]["driver"];
        assert!(text(&driver["name"]).is_some());
        // 3.14.17 columnKind
        assert!(
            ["utf16CodeUnits", "unicodeCodePoints"].contains(&run["columnKind"].as_str().unwrap())
        );
        // 3.19.23 rules; 3.49.3 id
        let rules = driver["rules"].as_array().unwrap();
        let ids: BTreeSet<String> = rules.iter().map(|r| text(&r["id"]).unwrap()).collect();
        assert_eq!(ids.len(), rules.len());
        for rule in rules
            .iter()
            .filter(|rule| rule.get("shortDescription").is_some())
        {
            // 3.12.3 text of a multiformat message
            assert!(text(&rule["shortDescription"]["text"]).is_some());
        }
        for result in run["results"].as_array().unwrap() {
            // 3.27.5 ruleId, 3.27.6 ruleIndex: the same rule
            let at = usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap();
            assert_eq!(rules[at]["id"], result["ruleId"]);
            // 3.27.10 level
            let levels = ["none", "note", "warning", "error"];
            assert!(levels.contains(&result["level"].as_str().unwrap()));
            // 3.27.11 message, 3.11.8 text
            assert!(text(&result["message"]["text"]).is_some());
            // 3.27.12 locations, 3.28.3 physicalLocation
            for location in result["locations"].as_array().unwrap() {
                is_place(&location["physicalLocation"]);
            }
            for fix in result["fixes"].as_array().into_iter().flatten() {
                // 3.55.3 artifactChanges, 3.56.2 and 3.56.3, 3.57.3 deletedRegion
                let changes = fix["artifactChanges"].as_array().unwrap();
                assert!(!changes.is_empty());
                for change in changes {
                    is_uri(&change["artifactLocation"]);
                    let replacements = change["replacements"].as_array().unwrap();
                    assert!(!replacements.is_empty());
                    for one in replacements {
                        is_region(&one["deletedRegion"]);
                        assert!(one["insertedContent"]["text"].is_string());
                    }
                }
            }
        }
    }
}

fn is_place(place: &Value) {
    // 3.29.3 artifactLocation, 3.29.4 region
    is_uri(&place["artifactLocation"]);
    if place.get("region").is_some() {
        is_region(&place["region"]);
    }
}

fn is_uri(location: &Value) {
    // 3.4.3 uri: a reference as RFC 3986 has it, so without spaces and letters beyond ASCII
    let uri = location["uri"].as_str().unwrap();
    let plain = |c: char| c.is_ascii_alphanumeric() || "-._~/%:".contains(c);
    assert!(!uri.is_empty() && uri.chars().all(plain), "{uri}");
}

fn is_region(region: &Value) {
    // 3.30.5 startLine and 3.30.6 startColumn from 1; 3.30.8 endColumn, one beyond the last
    let number = |key: &str| region.get(key).map(|n| n.as_u64().unwrap());
    assert!(number("startLine").unwrap() >= 1);
    if let (Some(start), Some(end)) = (number("startColumn"), number("endColumn")) {
        assert!(1 <= start && start <= end);
    }
}

#[test]
fn sarif_says_the_same_as_the_problems_and_is_as_the_standard_wants_it() {
    let bad = "---\nid: bäd one\ntitle: Bad\nsymtoms: [x]\ndevices: [post7]\nreviewed: 2026-09-01\n---\nText.\n";
    let case = Case::new()
        .file("kb/kb.toml", "name = \"Test\"\n[devices.post-7]\n")
        .file("kb/words.toml", "[sam]\n")
        .file("kb/articles/p/bäd one.md", bad)
        .file("kb/articles/p/other.MD", "x");
    let problems = case.run(&["lint", "--json"]).exits(1).json();
    let log = case.run(&["lint", "--sarif"]).exits(1).json();
    is_sarif(&log);
    let results = log["runs"][0]["results"].as_array().unwrap();
    let problems = problems.as_array().unwrap();
    assert_eq!(results.len(), problems.len());
    for (result, problem) in results.iter().zip(problems) {
        assert_eq!(result["ruleId"], problem["rule"]);
        assert_eq!(result["level"], problem["grade"]);
        let region = &result["locations"][0]["physicalLocation"]["region"];
        let line = problem["place"]["line"].as_u64().unwrap();
        assert_eq!(region["startLine"].as_u64().unwrap_or(0), line);
    }
    let all = log.to_string();
    assert!(all.contains("kb/articles/p/b%C3%A4d%20one.md"), "{all}");
    assert!(
        all.contains("\"insertedContent\":{\"text\":\"post-7\"}"),
        "{all}"
    );
    // The whole demo with all advice is one as well.
    let demo = Case::shared_demo();
    let log = demo.run(&["lint", "--sarif", "--with-tickets"]).ok().json();
    is_sarif(&log);
    assert!(log["runs"][0]["results"].as_array().unwrap().len() > 10);
    case.run(&["lint", "--sarif", "--mend"]).exits(2);
}
