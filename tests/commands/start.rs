//! `fixtally start` and `fixtally tickets map`: from an export to a first ranked answer.

use crate::case::Case;

/// Calls about three things, in words of many callers, and some about nothing in particular.
fn export() -> String {
    let kinds = [
        [
            "breaker trips when it rains",
            "the breaker trips in the rain again",
            "rain and the breaker trips at once",
            "trips the breaker, only when it rains",
        ],
        [
            "the card is refused by the reader",
            "card refused, reader shows red",
            "reader refused every card today",
            "my card is always refused",
        ],
        [
            "portal shows the site offline",
            "site offline in the portal since morning",
            "offline on the portal, all of the site",
            "the portal says offline",
        ],
    ];
    let ends = [
        "resealed the gland, dry now",
        "cleaned the reader window",
        "restarted the router, back online",
    ];
    let mut out = String::from("Ticket No;Created;Resolved on;Product;Summary;Work notes;Status\n");
    for n in 0..120 {
        let kind = n % 3;
        let said = kinds[kind][n / 3 % 4];
        let (month, day) = (1 + n / 28, 1 + n % 28);
        let status = ["Solved", "Solved", "Field visit", "Cancelled"][n % 4];
        out += &format!(
            "N-{n};{day:02}/{month:02}/2026 08:00;{day:02}/{month:02}/2026 09:30;Box Two;{said};Mr Smith called, {};{status}\n",
            ends[kind]
        );
    }
    out
}

#[test]
fn a_new_knowledge_base_lints_clean_and_answers() {
    let case = Case::new();
    let ran = case.run(&["start", "desk", "--as-of", "2026-11-01"]).ok();
    insta::assert_snapshot!("start", ran.stdout);
    // All that lacks is what no template can know: the dangers of the desk's own work.
    case.run(&["--kb", "desk", "lint", "--as-of", "2026-11-01"])
        .ok()
        .says("note[no-danger]: no article answers to danger")
        .says("0 errors, 1 note in 1 article");
    case.run(&["--kb", "desk", "ask", "nothing", "lights", "up"])
        .ok()
        .says("Push the plug in fully");
    case.run(&["start", "desk"])
        .exits(2)
        .complains("`desk` is not empty; nothing was written");
    case.run(&["start", "desk/kb.toml"]).exits(2);
}

#[test]
fn four_commands_lead_from_an_export_to_a_ranked_answer() {
    let case = Case::new().file("export.csv", export());
    let ran = case
        .run(&["-q", "start", "desk", "--from", "export.csv"])
        .ok();
    insta::assert_snapshot!("start_from", ran.stdout);
    // The zone is this computer's.
    let map = std::fs::read_to_string(case.path("desk/maps/export.toml")).unwrap();
    let zone = map
        .lines()
        .find(|line| line.starts_with("zone = "))
        .unwrap();
    insta::assert_snapshot!("start_map", map.replace(zone, "zone = \"<here>\""));
    case.run(&["--kb", "desk", "tickets", "import", "export.csv"])
        .ok()
        .says("export.csv   120  120");
    let drafts: Vec<_> = std::fs::read_dir(case.path("desk/articles/drafts"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    assert_eq!(drafts.len(), 3, "{drafts:?}");
    let rain = drafts
        .iter()
        .find(|path| path.to_string_lossy().contains("rain"))
        .unwrap();
    let draft = std::fs::read_to_string(rain).unwrap();
    insta::assert_snapshot!("draft", draft);
    // Drafts are linted, and are in no answer.
    case.run(&["--kb", "desk", "lint"]).ok();
    let asked = case.run(&[
        "-q", "--kb", "desk", "ask", "breaker", "trips", "in", "rain",
    ]);
    assert!(!asked.stdout.contains("TO-FILL"), "{}", asked.stdout);
    // Nothing that nobody filled in goes live.
    let hasty = draft.replace("state: draft", "state: live");
    std::fs::write(rain, &hasty).unwrap();
    case.run(&["--kb", "desk", "lint"])
        .exits(1)
        .says("a live article has a place that nobody filled in");
    // What a person does between: writes the fix and lets the article live.
    let written = hasty
        .replace("TO-FILL, what ends such cases", "Dry and reseal the gland")
        .replace("kind=write", "kind=reseal")
        .replace("TO-FILL, the first step", "Dry it")
        .replace("TO-FILL, how one sees that it worked", "it is dry");
    std::fs::write(rain, written).unwrap();
    case.run(&[
        "-q", "--kb", "desk", "ask", "breaker", "trips", "in", "rain",
    ])
    .ok()
    .says("Dry and reseal the gland");
}

#[test]
fn nothing_is_written_where_the_export_cannot_be_read() {
    let case = Case::new().file("empty.csv", "");
    for export in ["gone.csv", "empty.csv"] {
        case.run(&["start", "desk", "--from", export])
            .exits(2)
            .complains(export);
        assert!(!case.path("desk").exists());
    }
    let case = Case::new().file("odd.csv", "a,b\n1,2\n");
    case.run(&["start", "desk", "--from", "odd.csv"])
        .exits(1)
        .says("Nothing was found for `closed`");
    assert!(case.path("desk/maps/odd.toml").exists());
}

#[test]
fn a_map_is_printed_or_kept() {
    let case = Case::new()
        .file("kb/kb.toml", "")
        .file("export.csv", export());
    let printed = case.run(&["tickets", "map", "export.csv"]).ok();
    assert!(
        printed.stdout.contains("closed = \"Resolved on\""),
        "{}",
        printed.stdout
    );
    assert!(
        printed
            .stderr
            .contains("Of the first 120 rows, 0 would be rejected"),
        "{}",
        printed.stderr
    );
    case.run(&["tickets", "map", "export.csv", "--save", "north"])
        .ok()
        .says("kb/maps/north.toml");
    let kept = std::fs::read_to_string(case.path("kb/maps/north.toml")).unwrap();
    assert_eq!(kept, printed.stdout);
    case.run(&["tickets", "map", "export.csv", "--save", "north"])
        .exits(2)
        .complains("is there already");
    case.run(&["tickets", "map", "export.csv", "--save", "../x"])
        .exits(2)
        .complains("expected a name");
    case.write("a.json", "[]");
    case.run(&["tickets", "map", "a.json"])
        .exits(2)
        .complains("is JSON, which needs no map");
}

/// A knowledge base stands, but nothing of the export can be used: that is no success.
#[test]
fn an_export_whose_rows_are_no_tickets_is_a_finding() {
    let mut odd = String::from("Ticket No,Created,Resolved on,Summary\n");
    let mut json = String::new();
    for n in 1..9 {
        odd += &format!("{n},2026-04-01,2026-03-0{n},dead again\n");
        json += &format!("{{\"id\":{n},\"closed\":\"week {n}\",\"said\":\"dead\"}}\n");
    }
    let case = Case::new()
        .file("odd.csv", odd)
        .file("odd.jsonl", json)
        .file(
            "half.csv",
            export() + "N-900;soon;soon;Box Two;no lamp;;Solved\n",
        );
    for (kb, file, snapshot) in [
        ("a", "odd.csv", "start_rejected_table"),
        ("b", "odd.jsonl", "start_rejected_json"),
    ] {
        let ran = case.run(&["-q", "start", kb, "--from", file]).exits(1);
        insta::assert_snapshot!(snapshot, ran.stdout);
        assert!(case.path(kb).join("kb.toml").exists());
        // The import says the same.
        case.run(&["--kb", kb, "tickets", "import", file]).exits(1);
    }
    case.run(&["-q", "start", "c", "--from", "half.csv"])
        .exits(1)
        .says("Of 121 rows, 1 is no ticket. The first, line 122: ");
}
