//! `fixtally tickets` on JSON Lines: import, list, show, export, and where state goes.

use crate::case::{Case, Ran};

const GOOD: &str = r#"{"id":"T-10482","ref":"88231","follows":null,"opened":"2026-03-02T09:14:00Z","closed":"2026-03-02T09:41:00Z","device":"post-22","firmware":"3.0.1","channel":"phone","said":"box trips the breaker as soon as they plug the car in, only when raining","codes":["K31"],"signs":{"status-lamp":"red-slow"},"seen":{"trips-empty":"yes"},"article":"rcd-trips-on-plug-in","tries":[{"fix":"swap-lead","result":"no-change","minutes":10},{"fix":"reseal-gland","result":"resolved","minutes":25}],"outcome":"resolved","reopened":null,"notes":"gland was wet\ndried it, resealed, all good since"}
{"id":"T-10483","closed":"2026-03-03T10:00:00Z","said":"portal offline","outcome":"handed-on"}

{"id":10484,"closed":"2026-03-04T11:00:00+01:00","notes":"lamp off after a power cut"}
"#;

fn desk() -> Case {
    Case::new()
        .file(
            "kb/kb.toml",
            "name = \"Brindlecott\"\nserial = 'BR[0-9]{8}'\n",
        )
        .file("north.jsonl", GOOD)
}

fn shown(ran: &Ran) -> String {
    format!(
        "exit {}\n--- stdout\n{}--- stderr\n{}",
        ran.code, ran.stdout, ran.stderr
    )
}

#[test]
fn tickets_are_imported_and_once_more_changes_nothing() {
    let case = desk();
    let first = case.run(&["tickets", "import", "north.jsonl"]).ok();
    insta::assert_snapshot!("import", shown(&first));
    let again = case
        .run(&["--json", "tickets", "import", "north.jsonl", "--again"])
        .ok();
    let report = again.json();
    assert_eq!(report["files"][0]["unchanged"], 3);
    assert_eq!(report["revision"], 1);
    case.write(
        "north.jsonl",
        GOOD.replace("T-10483", "T-9").replace("88231", "88232"),
    );
    let report = case
        .run(&["--json", "tickets", "import", "north.jsonl"])
        .ok();
    let file = &report.json()["files"][0];
    assert_eq!(
        (&file["new"], &file["changed"], &file["unchanged"]),
        (&1.into(), &1.into(), &1.into())
    );
}

#[test]
fn broken_lines_are_told_and_kept_and_the_rest_goes_in() {
    const T: &str = r#""closed":"2026-03-02T09:41:00Z","said":"dead""#;
    let lines = [
        format!("\u{feff}{{\"id\":\"1\",{T}}}"),
        "{\"id\":\"2\",".to_owned(),
        format!("{{\"id\":\"3\",{T},\"note\":\"this is Bob, 020 7946 0958\"}}"),
        "{\"id\":\"4\",\"closed\":\"02.03.2026\",\"said\":\"mail bob@example.com\"}".to_owned(),
        format!("{{{T}}}"),
        format!("{{\"id\":\"6\",{T},\"opened\":\"2026-03-02T09:42:00Z\"}}"),
        format!("{{\"id\":\"7\",{T},\"reopened\":\"2026-03-01T00:00:00Z\"}}"),
        format!("{{\"id\":\"8\",{T},\"outcome\":\"\u{1b}[31mdone\"}}"),
        format!(
            "{{\"id\":\"9\",{T},\"tries\":[{{\"fix\":\"a\",\"result\":\"resolved\",\"minutes\":-1}}]}}"
        ),
    ];
    let case = desk().file("odd.jsonl", lines.join("\n"));
    let ran = case
        .run(&["tickets", "import", "odd.jsonl", "north.jsonl"])
        .exits(1);
    insta::assert_snapshot!("import_broken", shown(&ran));
    let folder = case.path("kb/.state/rejects");
    let files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(Result::unwrap)
        .collect();
    assert_eq!(files.len(), 1);
    let kept = std::fs::read_to_string(files[0].path()).unwrap();
    assert_eq!(kept.lines().count(), 8);
    for private in ["Bob", "7946", "example.com"] {
        assert!(
            !kept.contains(private) && !ran.stdout.contains(private),
            "{private}"
        );
    }
    let again = case
        .run(&["--json", "tickets", "import", "odd.jsonl", "--again"])
        .exits(1);
    let file = &again.json()["files"][0];
    let number = |key: &str| file[key].as_u64().unwrap();
    let sum = number("new") + number("changed") + number("unchanged") + number("rejected");
    assert_eq!(number("read"), sum);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = files[0].metadata().unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
    }
}

#[test]
fn a_file_that_cannot_be_read_does_not_stop_the_others() {
    let mut latin = GOOD.as_bytes().to_vec();
    latin.extend(b"{\"id\":\"x\",\"said\":\"K\xfchler\"}\n");
    let case = desk()
        .file("latin.jsonl", latin)
        .file("list.json", "[\n{\"id\":\"1\"}\n]")
        .file("wide.jsonl", b"\xff\xfe{\0}\0")
        .file("table.csv", "a,b\n")
        .file("letter.doc", "dear desk");
    let files = [
        "latin.jsonl",
        "list.json",
        "wide.jsonl",
        "table.csv",
        "letter.doc",
        "kb",
    ];
    let mut args = vec!["tickets", "import", "gone.jsonl"];
    args.extend(files);
    args.push("north.jsonl");
    let ran = case.run(&args).exits(2);
    // The system's own words for a missing file differ.
    let shown = shown(&ran).replace("No such file or directory (os error 2)", "<not found>");
    if cfg!(unix) {
        insta::assert_snapshot!("import_unreadable", shown);
    }
    let count = case.run(&["--json", "tickets", "list"]).ok().json()["total"].clone();
    assert_eq!(count, 3);
}

#[test]
fn tickets_are_listed_newest_first() {
    let case = desk();
    case.run(&["tickets", "list"])
        .exits(1)
        .complains("No such tickets");
    case.run(&["tickets", "import", "north.jsonl"]).ok();
    insta::assert_snapshot!("list", shown(&case.run(&["tickets", "list"]).ok()));
    for (args, ids) in [
        (vec!["--since", "2026-03-03"], "10484 T-10483"),
        (vec!["--until", "2026-03-03"], "T-10483 T-10482"),
        (
            vec!["--since", "2026-03-03", "--until", "2026-03-03"],
            "T-10483",
        ),
        (vec!["--outcome", "handed-on"], "T-10483"),
        (vec!["--article", "rcd-trips-on-plug-in"], "T-10482"),
        (vec!["--limit", "1"], "10484"),
        (vec!["--as-of", "2026-03-02"], "T-10482"),
        (vec!["--article", "no-such"], ""),
    ] {
        let mut line = vec!["--json", "tickets", "list"];
        line.extend(&args);
        let ran = case.run(&line);
        let json = ran.json();
        let found: Vec<&str> = json["tickets"]
            .as_array()
            .unwrap()
            .iter()
            .map(|t| t["id"].as_str().unwrap())
            .collect();
        assert_eq!(found.join(" "), ids, "{args:?}");
        assert_eq!(ran.code, i32::from(ids.is_empty()), "{args:?}");
    }
    case.run(&["tickets", "list", "--as-of", "2026-03-02"])
        .complains("2 tickets closed after 2026-03-02 are ignored");
    case.run(&["tickets", "list", "--limit", "1"])
        .complains("2 more");
}

#[test]
fn one_ticket_is_shown_by_id_and_by_ref() {
    let case = desk();
    case.run(&["tickets", "import", "north.jsonl"]).ok();
    let by_id = case.run(&["tickets", "show", "T-10482"]).ok();
    insta::assert_snapshot!("show", shown(&by_id));
    let by_ref = case.run(&["tickets", "show", "88231"]).ok();
    assert_eq!(by_id.stdout, by_ref.stdout);
    case.run(&["tickets", "show", "T-1048"])
        .exits(1)
        .complains("there is no ticket `T-1048`; did you mean `T-10482`");
    let json = case
        .run(&["--json", "tickets", "show", "88231"])
        .ok()
        .json();
    assert_eq!(json["id"], "T-10482");
}

#[test]
fn an_export_imports_to_the_same_ledger() {
    let case = desk();
    case.run(&["tickets", "export"]).exits(1);
    case.run(&["tickets", "import", "north.jsonl"]).ok();
    let first = case.run(&["tickets", "export"]).ok().stdout;
    insta::assert_snapshot!("export", first);
    case.write("again.jsonl", &first);
    case.run(&["--state", "other", "tickets", "import", "again.jsonl"])
        .ok();
    let second = case
        .run(&["--state", "other", "tickets", "export"])
        .ok()
        .stdout;
    assert_eq!(first, second);
}

#[test]
fn state_needs_a_knowledge_base_and_a_place() {
    let case = Case::new().file("north.jsonl", GOOD);
    case.run(&["tickets", "import", "north.jsonl"])
        .exits(2)
        .complains("there is no knowledge base in `kb`")
        .complains("--kb DIR");
    let case = desk();
    case.run(&["--state", "elsewhere", "tickets", "import", "north.jsonl"])
        .ok();
    assert!(case.path("elsewhere/ledger.sqlite").exists());
    assert!(!case.path("kb/.state").exists());
    case.run(&["--state", "north.jsonl", "tickets", "list"])
        .exits(2)
        .complains("cannot make the folder `north.jsonl`");
}

#[cfg(unix)]
#[test]
fn a_knowledge_base_that_may_not_be_written_keeps_its_state_in_the_cache() {
    use std::os::unix::fs::PermissionsExt as _;
    let case = desk();
    let kb = case.path("kb");
    std::fs::set_permissions(&kb, std::fs::Permissions::from_mode(0o555)).unwrap();
    // Root may write anywhere, so there is nothing to see.
    let root = std::fs::write(kb.join("probe"), "").is_ok();
    case.run(&["tickets", "import", "north.jsonl"]).ok();
    assert_eq!(case.path(".cache/fixtally").exists(), !root);
    std::fs::set_permissions(&kb, std::fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn a_broken_pattern_of_serial_numbers_stops_the_import() {
    let case = desk().file("kb/kb.toml", "serial = '('\n");
    case.run(&["tickets", "import", "north.jsonl"])
        .exits(2)
        .complains("cannot use `kb/kb.toml`: `serial` is no pattern");
}
