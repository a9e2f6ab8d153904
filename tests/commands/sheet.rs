//! `fixtally sheet`: cases over HTTP, and that they are the same cases as those of `fixtally call`.

use super::sheet_server::Server;
use crate::case::Case;
use serde_json::{Value, json};
use std::time::{Duration, Instant};

const TRIPS: &str = "breaker goes off as soon as the car is plugged in, post-22";

fn fixes(state: &Value) -> Vec<String> {
    let fixes = state["answer"]["fixes"].as_array().unwrap();
    fixes
        .iter()
        .map(|f| f["id"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn a_case_goes_from_its_first_word_to_a_ticket_and_back() {
    let case = Case::warm_demo();
    let server = Server::start(&case, &[]);
    let id = server.begin();
    let state = server.write(&id, 0, TRIPS).is(200);
    assert_eq!(state["lines"][0]["kind"], "said");
    assert_eq!(state["known"]["device"], "post-22");
    let first = fixes(&state)[0].clone();
    let taken = server.write(&id, 1, &first).is(200);
    assert_eq!(taken["showing"]["id"], json!(first));
    // The same line on the same sheet is not written twice; the answer says how it is.
    let again = server.write(&id, 1, &first).is(409);
    assert_eq!(again["state"]["on"], 2);
    let closed = server.write(&id, 2, "fixed").is(200);
    assert_eq!(closed["closed"]["ticket"], json!(id));
    case.run(&["tickets", "show", &id]).ok().says(&first);
    let summary = server.get(&format!("/api/cases/{id}/summary")).is(200);
    let text = summary["text"].as_str().unwrap();
    assert!(text.starts_with(&format!("{id}: resolved by ")), "{text}");
    let seen = server.get(&format!("/api/cases/{id}")).is(200);
    assert_eq!(seen["closed"], closed["closed"]);

    // A closed case takes no line, and none begins another case unseen.
    let late = server.write(&id, 3, "display dark").is(200);
    assert!(late["unclear"].is_string());
    assert_eq!(late["closed"], closed["closed"]);

    let back = server
        .post(&format!("/api/cases/{id}/undo"), &json!({"on": 3}))
        .is(200);
    assert_eq!(back["closed"], Value::Null);
    assert_eq!(back["on"], 2);
    case.run(&["tickets", "show", &id]).exits(1);
}

#[test]
fn what_is_typed_is_answered_as_if_it_were_written_and_not_kept() {
    let case = Case::warm_demo();
    let server = Server::start(&case, &[]);
    let peeked = server
        .post("/api/cases/new/peek", &json!({"seq": 7, "line": TRIPS}))
        .is(200);
    assert_eq!(peeked["seq"], 7);
    assert_eq!(peeked["state"]["case"], Value::Null);
    let id = server.begin();
    let written = server.write(&id, 0, TRIPS).is(200);
    assert_eq!(peeked["state"]["answer"], written["answer"]);
    let peek = format!("/api/cases/{id}/peek");
    let more = server
        .post(&peek, &json!({"seq": 8, "line": "K31"}))
        .is(200);
    assert_eq!(more["state"]["known"]["codes"], json!(["K31"]));
    // What would end or try something shows the case as it is.
    for line in [
        "fixed 1",
        "no change 2",
        "hand on",
        "1",
        "undo",
        "leave",
        "",
    ] {
        let peeked = server.post(&peek, &json!({"seq": 9, "line": line})).is(200);
        assert_eq!(peeked["state"]["answer"], written["answer"], "{line}");
        assert_eq!(peeked["state"]["closing"], Value::Null, "{line}");
    }
    assert_eq!(server.get(&format!("/api/cases/{id}")).is(200)["on"], 1);
}

#[test]
fn a_struck_line_says_nothing_until_it_is_put_back() {
    let case = Case::warm_demo();
    let server = Server::start(&case, &[]);
    let id = server.begin();
    let before = server.write(&id, 0, TRIPS).is(200);
    server.write(&id, 1, "only when it rains").is(200);
    let strike = format!("/api/cases/{id}/strike");
    let struck = server.post(&strike, &json!({"on": 2, "line": 1})).is(200);
    assert_eq!(struck["answer"], before["answer"]);
    assert_eq!(struck["lines"][1]["struck"], true);
    let back = server.post(&strike, &json!({"on": 2, "line": 1})).is(200);
    assert_ne!(back["answer"], before["answer"]);
    let none = server.post(&strike, &json!({"on": 2, "line": 9})).is(200);
    assert!(none["unclear"].is_string());
}

#[test]
fn a_danger_covers_the_sheet_and_handing_on_asks_which_article() {
    let case = Case::warm_demo();
    let server = Server::start(&case, &[]);
    let id = server.begin();
    let stop = server
        .write(&id, 0, "there is a burning smell from the post")
        .is(200);
    let danger = stop["answer"]["danger"][0]["id"]
        .as_str()
        .unwrap()
        .to_owned();
    assert_eq!(stop["answer"]["fixes"], json!([]));
    assert_eq!(stop["answer"]["next_check"], Value::Null);
    server.write(&id, 1, &format!("no danger {danger}")).is(200);
    let closing = server.write(&id, 2, "hand on").is(200);
    assert_eq!(closing["closing"]["asks"], "article");
    assert!(
        closing["summary"]
            .as_str()
            .unwrap()
            .contains("burning smell")
    );
    // A choice is named by its id, whatever its place.
    let choice = closing["closing"]["choices"][0]["id"].as_str().unwrap();
    let closed = server.write(&id, 3, choice).is(200);
    assert_eq!(closed["closed"]["article"], json!(choice));
    let ticket = case.run(&["tickets", "show", "--json", &id]).ok().json();
    assert_eq!(ticket["not_danger"], json!([danger]));
}

#[test]
fn a_case_goes_from_the_terminal_to_the_sheet_and_back() {
    let case = Case::warm_demo();
    let begun = case
        .run_with_input(&["call", "--json"], &format!("{TRIPS}\nleave\n"))
        .ok();
    let state: Value = serde_json::from_str(begun.stdout.lines().nth(1).unwrap()).unwrap();
    let id = state["case"].as_str().unwrap();
    let server = Server::start(&case, &[]);
    let pile = server.get("/api/changes").is(200);
    assert_eq!(pile["pile"][0]["id"], json!(id));
    let seen = server.get(&format!("/api/cases/{id}")).is(200);
    assert_eq!(seen["answer"], state["answer"]);
    server.write(id, 1, "K31").is(200);
    // While the sheet has it in hand no terminal can take it up.
    let refused = case
        .run_with_input(&["call", "--json"], &format!("go on {id}\n"))
        .ok();
    assert!(
        refused.stdout.contains("somebody else is at case"),
        "{}",
        refused.stdout
    );
    drop(server);
    let on = case
        .run_with_input(&["call", "--json"], &format!("go on {id}\nleave\n"))
        .ok();
    assert!(on.stdout.contains("\"codes\":[\"K31\"]"), "{}", on.stdout);
}

#[test]
fn lines_that_lead_to_other_cases_are_left_to_the_pile() {
    let case = Case::warm_demo();
    let server = Server::start(&case, &[]);
    let (one, other) = (server.begin(), server.begin());
    server.write(&one, 0, TRIPS).is(200);
    server.write(&other, 0, "display dark").is(200);
    for line in [
        &format!("go on {one}"),
        "take back ../../kb",
        "next",
        "leave",
    ] {
        let state = server.write(&other, 1, line).is(200);
        assert!(state["unclear"].is_string(), "{line}");
        assert_eq!(state["case"], json!(other), "{line}");
        assert_eq!(state["on"], 1, "{line}");
    }
    let similar = server.get(&format!("/api/cases/{one}/similar")).is(200);
    assert!(similar["tickets"].as_array().unwrap().len() > 2);
}

#[test]
fn a_killed_server_loses_nothing_that_it_answered() {
    let case = Case::warm_demo();
    let mut closed = Vec::new();
    let mut open = (String::new(), Value::Null);
    for round in 0..2 {
        let mut server = Server::start(&case, &[]);
        if round > 0 {
            let seen = server.get(&format!("/api/cases/{}", open.0)).is(200);
            assert_eq!(seen["lines"], open.1["lines"]);
            assert_eq!(seen["known"], open.1["known"]);
        }
        for _ in 0..3 {
            let id = server.begin();
            server.write(&id, 0, TRIPS).is(200);
            assert!(server.write(&id, 1, "fixed 1").is(200)["closed"].is_object());
            closed.push(id);
        }
        let id = server.begin();
        let state = server.write(&id, 0, "display dark after rain").is(200);
        open = (id, state);
        server.kill();
    }
    let all = case.run(&["tickets", "export"]).ok().stdout;
    for id in &closed {
        let mark = format!("\"id\":\"{id}\"");
        assert_eq!(all.matches(&mark).count(), 1, "{id}");
    }
}

#[test]
fn articles_and_tickets_that_change_count_without_a_restart() {
    let case = Case::warm_demo();
    let server = Server::start(&case, &[]);
    let article = "kb/articles/protection/rcd-trips-on-plug-in.md";
    let file = walkdir::WalkDir::new(case.path("kb/articles"))
        .into_iter()
        .flatten()
        .map(walkdir::DirEntry::into_path)
        .find(|path| path.ends_with("rcd-trips-on-plug-in.md"))
        .unwrap_or_else(|| panic!("no {article}"));
    let text = std::fs::read_to_string(&file).unwrap();
    let title = text.lines().find(|l| l.starts_with("title: ")).unwrap();
    std::fs::write(&file, text.replace(title, "title: An unheard-of title")).unwrap();
    let seen = || server.get("/api/articles/rcd-trips-on-plug-in").is(200)["page"]["title"].clone();
    eventually("the new title", || seen() == json!("An unheard-of title"));

    let tickets = || {
        let metrics = server.get("/metrics").body;
        let line = metrics
            .lines()
            .find(|l| l.starts_with("fixtally_tickets "))
            .unwrap();
        line.rsplit(' ').next().unwrap().parse::<u64>().unwrap()
    };
    let before = tickets();
    let id = server.begin();
    server.write(&id, 0, TRIPS).is(200);
    server.write(&id, 1, "fixed 1").is(200);
    eventually("one more ticket", || tickets() == before + 1);
}

#[test]
fn what_was_closed_is_added_to_the_counts_and_they_are_as_counted_anew() {
    let case = Case::warm_demo();
    let log = case.path("log");
    let mut server = Server::start_logging(&case, std::fs::File::create(&log).unwrap());
    for (number, end) in ["fixed 1", "hand on", "fixed 2"].iter().enumerate() {
        let id = server.begin();
        server.write(&id, 0, TRIPS).is(200);
        let mut state = server.write(&id, 1, end).is(200);
        if *end == "hand on" {
            state = server.write(&id, 2, "rcd-trips-on-plug-in").is(200);
        }
        assert_eq!(state["closed"]["ticket"], json!(id));
        eventually("the case counts", || {
            let text = std::fs::read_to_string(&log).unwrap();
            text.matches("what was closed counts").count() > number
        });
    }
    server.kill();
    let told = || case.run(&["evidence", "--json"]);
    let added = told();
    // The kept counts are those that were added to.
    assert!(!added.stderr.contains("Counting"), "{}", added.stderr);
    std::fs::remove_file(case.path("kb/.state/evidence")).unwrap();
    let anew = told();
    assert!(anew.stderr.contains("Counting"), "{}", anew.stderr);
    assert_eq!(added.stdout, anew.stdout);
}

/// Machines that run tests differ in speed: how long it takes is measured elsewhere.
fn eventually(what: &str, mut holds: impl FnMut() -> bool) {
    let started = Instant::now();
    while !holds() {
        assert!(
            started.elapsed() < Duration::from_secs(120),
            "never: {what}"
        );
        std::thread::sleep(Duration::from_millis(100));
    }
}
