//! `fixtally tickets correct`, `remove`, `forget`: what people do outlasts imports, and is undone.

use crate::case::Case;
use serde_json::Value;

const LINES: &str = r#"{"id":"A","ref":"77","closed":"2024-03-02T09:00:00Z","said":"breaker trips","outcome":"resolved","notes":"old note","tries":[{"fix":"other","result":"resolved"}]}
{"id":"B","closed":"2026-03-02T09:00:00Z","said":"no lamp","outcome":"dropped"}
"#;

fn desk() -> Case {
    let case = Case::new()
        .file("kb/kb.toml", "")
        .file("a.jsonl", LINES)
        .file("b.jsonl", LINES.replace("trips", "trips again"));
    case.run(&["tickets", "import", "a.jsonl"]).ok();
    case
}

fn ticket(case: &Case, id: &str) -> Value {
    case.run(&["--json", "tickets", "show", id]).json()
}

fn export(case: &Case) -> String {
    case.run(&["tickets", "export"]).stdout
}

#[test]
fn a_correction_is_undone_and_outlasts_imports() {
    let case = desk();
    let before = export(&case);
    case.run(&[
        "tickets",
        "correct",
        "77",
        "--outcome",
        "handed-on",
        "--said",
        "call Mr Smith",
        "--without",
        "tries",
    ])
    .ok()
    .says("A: outcome, said, tries corrected (`fixtally tickets correct A --undo` takes it back)");
    let corrected = export(&case);
    assert_eq!(ticket(&case, "A")["outcome"], "handed-on");
    assert_eq!(ticket(&case, "A")["said"], "call Mr [name]");
    case.run(&["tickets", "correct", "A", "--undo"])
        .ok()
        .says("A: as it was before it was corrected");
    assert_eq!(export(&case), before);

    case.run(&[
        "tickets",
        "correct",
        "A",
        "--outcome",
        "handed-on",
        "--said",
        "call Mr Smith",
        "--without",
        "tries",
    ])
    .ok();
    case.run(&["tickets", "import", "a.jsonl", "--again"]).ok();
    assert_eq!(export(&case), corrected);
    // What was not corrected follows the export.
    case.run(&["tickets", "import", "b.jsonl"]).ok();
    assert_eq!(ticket(&case, "A")["said"], "call Mr [name]");
    case.run(&["tickets", "correct", "A", "--undo"])
        .ok()
        .says("the next import of its file brings it back");
    case.run(&["tickets", "import", "b.jsonl"]).ok();
    assert_eq!(ticket(&case, "A")["said"], "breaker trips again");
    case.run(&["tickets", "correct", "A", "--undo"])
        .exits(1)
        .says("nothing to undo");
}

#[test]
fn a_correction_must_leave_a_ticket() {
    let case = desk();
    let before = export(&case);
    for (args, why) in [
        (
            &["B", "--without", "said"][..],
            "both `said` and `notes` are missing",
        ),
        (
            &["B", "--outcome", "gone"],
            "expected `resolved`, `handed-on` or `dropped`",
        ),
        (&["B", "--without", "color"], "unknown key `color`"),
        (&["B", "--without", "closed"], "`closed` is missing"),
        (&["B"], "nothing to correct"),
        (
            &["B", "--undo", "--said", "x"],
            "`--undo` goes with no other field",
        ),
    ] {
        case.run(&[&["tickets", "correct"], args].concat())
            .exits(2)
            .complains(why);
    }
    case.run(&["tickets", "correct", "BB", "--said", "x"])
        .exits(1)
        .complains("there is no ticket `BB`");
    case.run(&["tickets", "correct", "B", "--said", "no lamp"])
        .ok()
        .says("B: nothing changed");
    assert_eq!(export(&case), before);
}

#[test]
fn a_removed_ticket_stays_out_until_it_is_put_back() {
    let case = desk();
    let before = export(&case);
    case.run(&["tickets", "remove", "77"])
        .ok()
        .says("A: removed, also from later imports");
    assert_eq!(export(&case).lines().count(), 1);
    for asked in ["A", "a", "77"] {
        case.run(&["tickets", "show", asked])
            .exits(1)
            .complains("`A` was removed; `fixtally tickets remove A --undo` puts it back");
    }
    case.run(&["tickets", "remove", "A", "--undo"])
        .ok()
        .says("A: as it was before it was removed");
    assert_eq!(export(&case), before);
    // Capitals are no reason not to find it.
    case.run(&["tickets", "show", "a"]).ok().says("id        A");

    case.run(&["tickets", "remove", "A", "B", "C"])
        .exits(1)
        .complains("there is no ticket `C`");
    let ran = case.run(&["tickets", "import", "b.jsonl"]).ok();
    assert!(
        ran.stdout.contains("2 tickets removed before, left out"),
        "{}",
        ran.stdout
    );
    assert_eq!(export(&case), "");
    let json = case
        .run(&["--json", "tickets", "import", "b.jsonl", "--again"])
        .ok()
        .json();
    assert_eq!(
        (
            json["files"][0]["read"].as_u64(),
            json["files"][0]["left_out"].as_u64()
        ),
        (Some(2), Some(2))
    );
    case.run(&["tickets", "remove", "77", "--undo"])
        .ok()
        .says("no longer removed");
    case.run(&["tickets", "import", "b.jsonl"]).ok();
    assert_eq!(ticket(&case, "A")["said"], "breaker trips again");
    // Adding a ticket under the id of a removed one wants it again.
    case.run(&["tickets", "add", "--id", "B", "--said", "dead"])
        .ok();
    case.run(&["tickets", "remove", "B", "--undo"]).exits(1);
}

/// No file below the state folder has one of these words.
fn none_in_state(case: &Case, words: &[&str]) {
    for entry in walkdir::WalkDir::new(case.path("kb/.state")) {
        let entry = entry.unwrap();
        if entry.file_type().is_file() {
            let bytes = std::fs::read(entry.path()).unwrap();
            for word in words {
                let found = bytes.windows(word.len()).any(|w| w == word.as_bytes());
                assert!(!found, "`{word}` in {}", entry.path().display());
            }
        }
    }
}

#[test]
fn of_many_forgotten_texts_no_page_keeps_a_copy() {
    let case = desk();
    let tickets: String = (0..300)
        .map(|n| {
            format!(
                "{{\"id\":\"M-{n}\",\"closed\":\"2024-03-01T10:00:00Z\",\"said\":\"quixotic lamp\",\
                 \"notes\":\"switched on in zanzibar\",\"article\":\"no-light\"}}\n"
            )
        })
        .collect();
    case.write("many.jsonl", tickets);
    case.run(&["tickets", "import", "many.jsonl"]).ok();
    case.run(&["ask", "quixotic lamp"]);
    case.run(&["tickets", "forget", "--before", "2025-01-01", "--yes"])
        .ok();
    // What was learned goes with the next answer.
    case.run(&["ask", "quixotic lamp"]);
    none_in_state(&case, &["quixotic", "zanzibar"]);
}

#[test]
fn forgotten_text_is_gone_from_the_disk_and_stays_gone() {
    let case = desk();
    case.run(&["tickets", "correct", "A", "--notes", "peculiar words"])
        .ok();
    case.run(&["tickets", "forget", "--before", "2025-01-01"])
        .ok()
        .says(
            "1 ticket closed before 2025-01-01 would lose their text for good; do it with `--yes`",
        );
    assert!(export(&case).contains("peculiar"));
    case.run(&["tickets", "forget", "--before", "2025-01-01", "--yes"])
        .ok()
        .says("1 ticket closed before 2025-01-01 lost their text; their counts stay");
    let forgotten = ticket(&case, "A");
    assert_eq!(forgotten["notes"], "[forgotten]");
    assert!(forgotten.get("said").is_none());
    assert_eq!(forgotten["tries"][0]["result"], "resolved");
    none_in_state(&case, &["peculiar", "breaker trips", "old note"]);
    case.run(&["tickets", "import", "b.jsonl"]).ok();
    assert_eq!(ticket(&case, "A")["notes"], "[forgotten]");
    assert_eq!(ticket(&case, "B")["said"], "no lamp");
    // What is exported reads back.
    case.write("again.jsonl", export(&case));
    case.run(&["--state", "other", "tickets", "import", "again.jsonl"])
        .ok();
    assert_eq!(
        case.run(&["--state", "other", "tickets", "export"]).stdout,
        export(&case)
    );
    case.run(&["tickets", "forget", "--undo"])
        .ok()
        .says("text before 2025-01-01 is no longer kept out");
    case.run(&["tickets", "import", "b.jsonl"]).ok();
    assert_eq!(ticket(&case, "A")["said"], "breaker trips again");
    case.run(&["tickets", "forget", "--undo"])
        .exits(1)
        .says("nothing to undo");
    case.run(&["tickets", "forget"]).exits(2);
}

#[test]
fn forgetting_changes_no_count() {
    let case = Case::warm_demo();
    // Resolved, tries, and tries that were only read, of each fix.
    let counted = |case: &Case, state: &str| -> Vec<(String, [u64; 3])> {
        let ran = case
            .run(&[
                "-q",
                "--json",
                "--state",
                state,
                "evidence",
                "rcd-trips-on-plug-in",
            ])
            .ok();
        let table: Value = serde_json::from_str(&ran.stdout).unwrap();
        let fixes = table["articles"][0]["fixes"].as_array().unwrap();
        let counts = |f: &Value| {
            let count = |key: &str| f[key].as_u64().unwrap();
            let counts = ["resolved", "tries", "inferred"].map(count);
            (f["id"].as_str().unwrap().to_owned(), counts)
        };
        fixes.iter().map(counts).collect()
    };
    let before = counted(&case, "kb/.state");
    let read = |counts: &[(String, [u64; 3])]| counts.iter().map(|(_, c)| c[2]).sum::<u64>();
    assert!(read(&before) > 10, "{before:?}");
    case.run(&["-q", "tickets", "forget", "--before", "2027-01-01", "--yes"])
        .ok()
        .says("read from it among them");
    assert_eq!(counted(&case, "kb/.state"), before);
    // What is exported is the same ledger again, with what was read.
    let exported = export(&case);
    assert!(exported.contains("\"read\":{\"article\":"));
    case.write("again.jsonl", &exported);
    case.run(&["-q", "--state", "other", "tickets", "import", "again.jsonl"])
        .ok();
    let again = case.run(&["-q", "--state", "other", "tickets", "export"]);
    assert_eq!(again.stdout, exported);
    assert_eq!(counted(&case, "other"), before);
    // The nightly import of the old files brings no text, and takes nothing of what was read.
    case.write(
        "old.jsonl",
        std::fs::read_to_string("kb/tickets/2026-q1.jsonl").unwrap(),
    );
    case.run(&["-q", "tickets", "import", "old.jsonl"]).ok();
    assert_eq!(export(&case), exported);
}

#[test]
fn similar_tickets_show_what_ended_them() {
    let case = Case::shared_demo();
    let ran = case
        .run(&[
            "-q", "tickets", "similar", "breaker", "trips", "in", "the", "rain", "--device",
            "post-22", "--limit", "3",
        ])
        .ok();
    insta::assert_snapshot!("similar", ran.stdout);
    let json = case
        .run(&["-q", "--json", "tickets", "similar", "card", "refused"])
        .ok()
        .json();
    let similar = json["similar"].as_array().unwrap();
    assert_eq!(similar.len(), 5);
    // The answer names the first of the same.
    let asked = case
        .run(&["-q", "--json", "ask", "card", "refused"])
        .ok()
        .json();
    let ids: Vec<&Value> = similar.iter().map(|s| &s["ticket"]["id"]).take(3).collect();
    assert_eq!(
        asked["similar"]
            .as_array()
            .unwrap()
            .iter()
            .collect::<Vec<_>>(),
        ids
    );
    case.run(&["-q", "tickets", "similar", "zzzz"]).exits(1);
    case.run(&["-q", "tickets", "similar", ""])
        .exits(2)
        .complains("there are no words to look for");
    case.run(&["-q", "tickets", "similar", "card", "--device", "post-99"])
        .exits(2)
        .complains("post-99");
}
