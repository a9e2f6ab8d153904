//! The ledger under stress: two imports at once, an import that is killed, files of other times.

use crate::case::Case;
use std::fmt::Write as _;

fn lines(from: u32, to: u32) -> String {
    let mut out = String::new();
    for n in from..to {
        writeln!(
            out,
            "{{\"id\":\"T-{n}\",\"closed\":\"2026-03-02T09:41:00Z\",\"said\":\"breaker trips, number {n}\"}}"
        )
        .unwrap();
    }
    out
}

fn total(case: &Case) -> u64 {
    let list = case.run(&["--json", "tickets", "list", "--limit", "1"]);
    list.json()["total"].as_u64().unwrap()
}

#[test]
fn two_imports_at_once_both_succeed() {
    let case = Case::new()
        .file("kb/kb.toml", "")
        .file("a.jsonl", lines(0, 800))
        .file("b.jsonl", lines(400, 1200));
    let start = |file: &str| {
        let mut command = case.command(&["-q", "tickets", "import", file]);
        command.stdout(std::process::Stdio::null()).spawn().unwrap()
    };
    let mut both = [start("a.jsonl"), start("b.jsonl")];
    for child in &mut both {
        assert!(child.wait().unwrap().success());
    }
    assert_eq!(total(&case), 1200);
}

#[cfg(unix)]
#[test]
fn a_killed_import_leaves_the_ledger_as_after_the_last_whole_file() {
    use std::os::unix::process::ExitStatusExt as _;
    let case = Case::new()
        .file("kb/kb.toml", "")
        .file("a.jsonl", lines(0, 20));
    case.run(&["tickets", "import", "a.jsonl"]).ok();
    // A pipe that stays open: the import waits in the middle of its file.
    let made = std::process::Command::new("mkfifo")
        .arg(case.path("b.jsonl"))
        .status();
    if !made.is_ok_and(|status| status.success()) {
        return;
    }
    let mut command = case.command(&["-q", "tickets", "import", "b.jsonl"]);
    let mut child = command.spawn().unwrap();
    let mut pipe = std::fs::OpenOptions::new()
        .write(true)
        .open(case.path("b.jsonl"))
        .unwrap();
    std::io::Write::write_all(&mut pipe, lines(20, 3000).as_bytes()).unwrap();
    child.kill().unwrap();
    assert_eq!(child.wait().unwrap().signal(), Some(9));
    drop(pipe);
    assert_eq!(total(&case), 20);
    case.write("c.jsonl", lines(20, 40));
    case.run(&["tickets", "import", "c.jsonl"]).ok();
    assert_eq!(total(&case), 40);
}

/// A ledger of format 1 as it was written when that was the newest; to be read for ever.
#[test]
fn a_ledger_of_format_1_is_read() {
    let formats = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/formats");
    let case = Case::new().file("kb/kb.toml", "").file(
        "kb/.state/ledger.sqlite",
        std::fs::read(formats.join("ledger-1.sqlite")).unwrap(),
    );
    let expected = std::fs::read_to_string(formats.join("ledger-1.jsonl")).unwrap();
    assert_eq!(
        case.run(&["tickets", "export"]).ok().stdout,
        expected.replace('\r', "")
    );
}

#[test]
fn a_damaged_ledger_is_told_and_left_alone() {
    let case = Case::new()
        .file("kb/kb.toml", "")
        .file("a.jsonl", lines(0, 200));
    case.run(&["tickets", "import", "a.jsonl"]).ok();
    let path = case.path("kb/.state/ledger.sqlite");
    let whole = std::fs::read(&path).unwrap();
    let mut middle = whole.clone();
    middle[4096..].fill(0x5a);
    let nonsense = b"nonsense ".repeat(1000);
    for damaged in [middle, nonsense] {
        std::fs::write(&path, &damaged).unwrap();
        for args in [&["tickets", "import", "a.jsonl"][..], &["tickets", "list"]] {
            case.run(args)
                .exits(2)
                .complains("is damaged")
                .complains("aside and import the tickets again");
        }
        assert!(std::fs::read(&path).unwrap() == damaged);
    }
}
