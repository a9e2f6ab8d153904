//! What is read of tickets' words, and `fixtally tickets confirm`.

use crate::case::{Case, Ran};
use serde_json::{Value, json};

const TRIPS: &str = "---
id: trips
title: RCD trips when a vehicle is plugged in
symptoms: [RCD goes off as soon as the car is connected, residual current switch falls at plug in]
---
## Check: Does it trip empty too? {#trips-empty answers=yes,no}
Look.

## Fix: Swap the charging lead {#swap-lead kind=swap minutes=5 who=caller}
1. Lend another lead.

## Fix: Dry and reseal the gland {#reseal-gland kind=reseal minutes=20 who=electrician}
1. Fit a new seal.
";

const OFFLINE: &str = "---
id: offline
title: Controller is offline in the portal
symptoms: [portal shows the controller as offline, no connection to the portal]
---
## Fix: Restart the controller {#restart minutes=3 who=caller}
1. Press the restart key.

## Fix: Swap the network cord {#swap-cord kind=swap minutes=5 who=caller}
1. Use a cord that works elsewhere.
";

fn ticket(id: &str, day: u8, more: &Value) -> String {
    let mut ticket = json!({"id": id, "closed": format!("2026-03-{day:02}T09:00:00Z")});
    ticket
        .as_object_mut()
        .unwrap()
        .extend(more.as_object().unwrap().clone());
    format!("{ticket}\n")
}

fn tickets() -> String {
    let tripped = "RCD goes off as soon as the car is connected";
    let lost = "portal shows the controller as offline";
    [
        ticket("T-1", 1, &json!({"said": tripped, "article": "trips", "outcome": "resolved",
            "tries": [{"fix": "reseal-gland", "result": "resolved"}], "notes": "gland resealed, ok"})),
        ticket("T-2", 2, &json!({"said": tripped, "article": "trips", "outcome": "resolved",
            "notes": "swapped the charging lead, no change. dried and resealed gland, all good"})),
        ticket("T-3", 3, &json!({"said": lost, "outcome": "resolved",
            "notes": "restarted the controller with the restart key, works again"})),
        ticket("T-4", 4, &json!({"said": "something about the portal", "outcome": "dropped", "notes": "never called again"})),
        ticket("T-5", 5, &json!({"said": lost, "article": "offline", "outcome": "resolved",
            "notes": "zonked the doodah and off we went, tiptop"})),
    ]
    .concat()
}

fn desk() -> Case {
    let case = Case::new()
        .file("kb/kb.toml", "name = \"Desk\"\n[roles]\norder = [\"caller\", \"electrician\"]\n[devices.box]\ntitle = \"Box\"\n")
        .file("kb/articles/a/trips.md", TRIPS)
        .file("kb/articles/a/offline.md", OFFLINE)
        .file("north.jsonl", tickets());
    case.run(&["tickets", "import", "north.jsonl"]).ok();
    case
}

/// What is read or confirmed of a ticket, as `export --with-readings` writes it.
fn exported(case: &Case, id: &str, what: &str) -> Value {
    let all = case.run(&["tickets", "export", "--with-readings"]).ok();
    let lines = all
        .stdout
        .lines()
        .map(|l| serde_json::from_str::<Value>(l).unwrap());
    let found: Vec<Value> = lines.filter(|ticket| ticket["id"] == id).collect();
    found[0][what].clone()
}

fn shown(ran: &Ran) -> String {
    format!(
        "exit {}\n--- stdout\n{}--- stderr\n{}",
        ran.code, ran.stdout, ran.stderr
    )
}

#[test]
fn notes_are_read_at_the_end_of_an_import_and_marked_in_every_listing() {
    let case = desk();
    let tries = exported(&case, "T-2", "reading")["tries"].clone();
    let told: Vec<(&str, &str, bool)> = tries
        .as_array()
        .unwrap()
        .iter()
        .map(|t| {
            (
                t["fix"].as_str().unwrap(),
                t["result"].as_str().unwrap(),
                t["counts"].as_bool().unwrap(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            ("trips#swap-lead", "no-change", true),
            ("trips#reseal-gland", "resolved", true)
        ]
    );
    assert_eq!(exported(&case, "T-1", "reading"), Value::Null);
    assert_eq!(exported(&case, "T-3", "reading")["article"], "offline");
    insta::assert_snapshot!("read_list", shown(&case.run(&["tickets", "list"])));
    insta::assert_snapshot!("read_show", shown(&case.run(&["tickets", "show", "T-3"])));
    case.run(&["tickets", "list", "--unmatched"])
        .ok()
        .says("T-4");
    let unmatched = case
        .run(&["--json", "tickets", "list", "--unmatched"])
        .json();
    assert_eq!(unmatched["total"], 1);
    // What was read counts, and says so.
    let counts = case.run(&["--json", "evidence", "trips"]).ok().json();
    let fixes = counts["articles"][0]["fixes"].as_array().unwrap().clone();
    let reseal = fixes
        .iter()
        .find(|f| f["id"] == "trips#reseal-gland")
        .unwrap();
    assert_eq!(
        (&reseal["tries"], &reseal["inferred"]),
        (&json!(2), &json!(1))
    );
}

#[test]
fn plain_export_holds_nothing_that_was_read() {
    let case = desk();
    assert_eq!(
        case.run(&["tickets", "export"]).ok().stdout.lines().count(),
        5
    );
    assert!(
        !case
            .run(&["tickets", "export"])
            .ok()
            .stdout
            .contains("reading")
    );
}

#[test]
fn people_are_asked_one_by_one_and_what_they_say_stays() {
    let case = desk();
    let list = case.run(&["tickets", "confirm", "--list"]);
    list.ok().says("T-4");
    // T-5 is named; the first answer is a slip, and so is the first try.
    let said = "x\nhelp\ncorrect\nrestart=resolvd\nrestart=resolved, swap-cord=no-change\n";
    let ran = case.run_with_input(&["tickets", "confirm", "T-5"], said);
    insta::assert_snapshot!("confirm_asks", shown(&ran));
    let confirmed = exported(&case, "T-5", "confirmed");
    assert_eq!(
        confirmed["tries"][0],
        json!({"fix": "offline#restart", "result": "resolved"})
    );
    // It stays through the same import and a changed one.
    case.write(
        "north.jsonl",
        tickets().replace("something about", "good morning from"),
    );
    case.run(&["tickets", "import", "north.jsonl"]).ok();
    assert_eq!(exported(&case, "T-5", "confirmed"), confirmed);
    case.run(&["tickets", "show", "T-5"])
        .ok()
        .says("confirmed offline#restart: resolved");
    // And counts as recorded.
    let counts = case.run(&["--json", "evidence", "offline"]).ok().json();
    let fixes = counts["articles"][0]["fixes"].as_array().unwrap().clone();
    let restart = fixes.iter().find(|f| f["id"] == "offline#restart").unwrap();
    assert_eq!(
        (&restart["tries"], &restart["inferred"]),
        (&json!(2), &json!(1))
    );
}

#[test]
fn a_list_of_what_waits_cuts_nothing_and_fits() {
    let ran = Case::shared_demo()
        .run(&["tickets", "confirm", "--list"])
        .ok();
    for line in ran.stdout.lines() {
        assert!(line.chars().count() <= 80 && !line.contains('…'), "{line}");
    }
}

#[test]
fn what_was_confirmed_teaches_to_read_other_notes() {
    let case = desk();
    let like = |id: &str, day| {
        ticket(
            id,
            day,
            &json!({"said": "portal down", "article": "offline", "outcome": "resolved",
            "notes": "zonked the doodah and off we went, tiptop"}),
        )
    };
    case.write(
        "more.jsonl",
        (6..=13)
            .map(|number| like(&format!("T-{number}"), 6))
            .collect::<String>(),
    );
    case.run(&["tickets", "import", "more.jsonl"]).ok();
    let sure = |case: &Case| exported(case, "T-13", "reading")["tries"][0]["counts"] == true;
    assert!(!sure(&case));
    let answer = |id: &str| {
        let tries = json!([{"fix": "restart", "result": "resolved"}]);
        format!(
            "{}\n",
            json!({"id": id, "answer": "correct", "tries": tries})
        )
    };
    case.write(
        "answers.jsonl",
        (5..=12)
            .map(|number| answer(&format!("T-{number}")))
            .collect::<String>(),
    );
    case.run(&["tickets", "confirm", "--from", "answers.jsonl"])
        .ok()
        .says("8 readings confirmed, 0 rejected, 0 left for later.");
    assert!(sure(&case), "{}", exported(&case, "T-13", "reading"));
}

#[test]
fn many_are_answered_by_a_file_all_or_none() {
    let case = desk();
    let waiting = case
        .run(&["--json", "tickets", "confirm", "--list"])
        .ok()
        .stdout;
    let first: Value = serde_json::from_str(waiting.lines().next().unwrap()).unwrap();
    assert_eq!(
        (&first["id"], &first["answer"]),
        (&json!("T-5"), &json!("later"))
    );
    // As listed, nothing is said.
    case.write("answers.jsonl", &waiting);
    case.run(&["tickets", "confirm", "--from", "answers.jsonl"])
        .ok()
        .says("0 readings confirmed");
    assert_eq!(exported(&case, "T-4", "confirmed"), Value::Null);
    let wrong = [
        waiting.replace("\"later\"", "\"reject\""),
        json!({"id": "T-2", "answer": "correct", "tries": [{"fix": "swap-led", "result": "resolved"}]}).to_string(),
        json!({"id": "T-3", "answer": "correct", "article": "ofline"}).to_string(),
        json!({"id": "T-9", "answer": "accept"}).to_string(),
        json!({"id": "T-3", "answer": "yes"}).to_string(),
        "{".to_owned(),
    ]
    .join("\n");
    case.write("answers.jsonl", wrong);
    let ran = case.run(&["tickets", "confirm", "--from", "answers.jsonl"]);
    insta::assert_snapshot!("confirm_wrong", shown(&ran));
    assert_eq!(exported(&case, "T-4", "confirmed"), Value::Null);
    // Rejected: neither read nor asked for again.
    case.write("answers.jsonl", waiting.replace("\"later\"", "\"r\""));
    case.run(&["tickets", "confirm", "--from", "answers.jsonl"])
        .ok();
    assert_eq!(exported(&case, "T-4", "confirmed"), json!({}));
    case.run(&["tickets", "confirm"]).exits(1);
}

#[test]
fn an_export_with_readings_brings_confirmations_into_another_ledger() {
    let case = desk();
    case.write(
        "answers.jsonl",
        json!({"id": "T-3", "answer": "accept"}).to_string(),
    );
    case.run(&["tickets", "confirm", "--from", "answers.jsonl"])
        .ok();
    let confirmed = exported(&case, "T-3", "confirmed");
    assert_eq!(confirmed["article"], "offline");
    let plain = case.run(&["tickets", "export"]).ok().stdout;
    let whole = case
        .run(&["tickets", "export", "--with-readings"])
        .ok()
        .stdout;
    case.write("plain.jsonl", plain);
    case.write("whole.jsonl", whole);
    let elsewhere = ["--state", "elsewhere", "tickets"];
    case.run(&[&elsewhere[..], &["import", "plain.jsonl"]].concat())
        .ok();
    case.run(&[&elsewhere[..], &["confirm", "--from", "whole.jsonl"]].concat())
        .ok();
    let again = case
        .run(&[&elsewhere[..], &["export", "--with-readings"]].concat())
        .ok();
    assert_eq!(
        again.stdout,
        std::fs::read_to_string(case.path("whole.jsonl")).unwrap()
    );
}

#[test]
fn readings_are_the_same_bytes_whatever_the_history() {
    let case = desk();
    let bytes = |case: &Case| std::fs::read(case.path("kb/.state/readings")).unwrap();
    let first = bytes(&case);
    std::fs::remove_file(case.path("kb/.state/readings")).unwrap();
    std::fs::remove_file(case.path("kb/.state/reader")).unwrap();
    // Few missing readings are made before the answer.
    case.run(&["ask", "RCD", "trips"]).ok();
    assert_eq!(bytes(&case), first);
    // A torn file of a killed run, and one day's tickets after the other.
    let other = desk();
    std::fs::remove_file(other.path("kb/.state/readings")).unwrap();
    std::fs::write(other.path("kb/.state/readings.part"), [7; 100]).unwrap();
    other.run(&["tickets", "confirm", "--list"]).ok();
    assert_eq!(bytes(&other), first);
    // A damaged one is made again.
    let mut torn = first.clone();
    torn[20] ^= 1;
    std::fs::write(case.path("kb/.state/readings"), torn).unwrap();
    case.run(&["tickets", "confirm", "--list"]).ok();
    assert_eq!(bytes(&case), first);
}

#[test]
fn names_that_nobody_knows_are_said_in_one_line_and_listed() {
    let case = desk();
    let slip = json!({"said": "RCD goes off", "article": "trips", "outcome": "resolved", "device": "crate",
        "tries": [{"fix": "kick-it", "result": "resolved"}, {"fix": "other", "result": "no-change"}]});
    let gone =
        json!({"said": "no light", "article": "dark", "outcome": "dropped", "device": "Box"});
    let rows = [ticket("U-1", 8, &slip), ticket("U-2", 9, &gone)].concat();
    let case = case.file("south.jsonl", rows);
    let ran = case
        .run(&["tickets", "import", "south.jsonl", "--later"])
        .ok();
    assert_eq!(
        ran.stderr.trim(),
        "1 ticket names an article nobody serves: `dark`; \
         1 ticket names a fix no article has: `kick-it`; \
         1 ticket names a device `kb.toml` does not list: `crate`. \
         They are kept; `fixtally tickets list --unknown` lists them."
    );
    let listed = case
        .run(&["--json", "tickets", "list", "--unknown"])
        .ok()
        .json();
    let ids: Vec<&Value> = listed["tickets"]
        .as_array()
        .unwrap()
        .iter()
        .map(|ticket| &ticket["id"])
        .collect();
    assert_eq!(ids, ["U-2", "U-1"]);
    assert_eq!(listed["total"], 2);
}
