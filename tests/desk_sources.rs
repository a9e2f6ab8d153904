//! Knowledge bases that lack something: tickets, articles, settings, a place to write to.

use crate::case::{Case, Ran};
use std::fs;

const KB: &str = "name = \"Test\"\nhand-on-minutes = 60\n[roles]\norder = [\"caller\"]\n[devices.post-7]\ncodes = [\"K31\"]\n";

const DARK: &str = "---\nid: dark\ntitle: Post is dark\nsymptoms: [no lamp is lit, post is dead]\n\
    codes: [K31]\nreviewed: 2026-09-01\n---\nText.\n\n\
    ## Check: Is the breaker on? {#breaker answers=on,off}\nLook at it.\n\n\
    ## Fix: Wait for the supply {#wait kind=wait minutes=5 who=caller expect=breaker:on}\n1. Wait.\n\n\
    Done when: a lamp is lit.\n\n\
    ## Fix: Push the plug in {#push kind=reseat minutes=2 who=caller}\n1. Push.\n\nDone when: it sits.\n";

const SLOW: &str = "---\nid: slow\ntitle: Charging is slow\nsymptoms: [takes all night]\n\
    reviewed: 2026-09-01\n---\nText.\n\n\
    ## Fix: Raise the current {#raise kind=set minutes=3 who=caller}\n1. Raise it.\n\nDone when: raised.\n";

fn small() -> Case {
    Case::new()
        .file("kb/kb.toml", KB)
        .file("kb/articles/a/dark.md", DARK)
        .file("kb/articles/a/slow.md", SLOW)
}

fn ask(case: &Case, args: &[&str]) -> Ran {
    case.run(&[&["ask"], args].concat())
}

#[test]
fn without_tickets_the_authors_order_stands_and_no_number_is_made_up() {
    let case = small();
    let ran = ask(&case, &["no lamp is lit"]).ok();
    let filters = [(r"[ <>\d]{1,2}\d %", " NN %")];
    insta::with_settings!({filters => filters}, {
        insta::assert_snapshot!(ran.stdout);
    });
    let fixes = ran.stdout.lines().skip_while(|l| !l.is_empty()).skip(1);
    for line in fixes.take_while(|l| !l.is_empty()) {
        assert!(!line.contains('%'), "{line}");
    }
    let json = ask(&case, &["no lamp is lit", "--json"]).ok().json();
    assert_eq!(json["articles"][0]["basis"], "author");
    assert_eq!(json["fixes"][0]["id"], "dark#wait");
    assert_eq!(json["fixes"][0]["basis"], "author");
    assert_eq!(json["fixes"][0]["tries"], 0);
    assert_eq!(json["kb"]["evidence_to"], serde_json::Value::Null);
    assert_eq!(json["similar"], serde_json::json!([]));
    case.run(&["evidence"]).ok().says("0 tickets make 0 cases");
}

#[test]
fn the_demo_without_its_tickets_still_answers() {
    let case = Case::demo();
    fs::remove_dir_all(case.path("kb/tickets")).unwrap();
    let ran = ask(&case, &["my card does nothing"]).ok();
    assert!(
        ran.stdout.contains("no cases yet, author's order"),
        "{}",
        ran.stdout
    );
    assert!(!ran.stdout.contains("Cases like it"));
    // Tickets that come later are read then.
    let from = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("kb/tickets/2026-q3.jsonl");
    case.write("later.jsonl", fs::read(from).unwrap());
    case.run(&["tickets", "import", "later.jsonl"]).ok();
    ask(&case, &["my card does nothing"]).ok().says("tries");
}

#[test]
fn a_broken_demo_ticket_is_told_by_file_and_line_and_nothing_is_kept() {
    let (case, tickets) = Case::short_demo();
    let path = case.path("kb/tickets/2026-q3.jsonl");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replacen("\"closed\"", "\"cloesd\"", 1)).unwrap();
    let ran = ask(&case, &["rcd trips"]).exits(2);
    assert!(
        ran.stderr.contains("2026-q3.jsonl` line 1"),
        "{}",
        ran.stderr
    );
    fs::write(&path, text).unwrap();
    ask(&case, &["rcd trips"]).ok();
    let total = case
        .run(&["tickets", "list", "--json", "--limit", "1"])
        .json()["total"]
        .clone();
    assert_eq!(total, tickets);
}

#[test]
fn one_article_is_enough() {
    let case = small();
    fs::remove_file(case.path("kb/articles/a/slow.md")).unwrap();
    ask(&case, &["post is dead"])
        .ok()
        .says("Wait for the supply");
    ask(&case, &["--code", "K31", "--by", "time"])
        .ok()
        .says("Hand on:");
    let json = ask(&case, &["--seen", "breaker=off", "--json"]);
    assert!([0, 1].contains(&json.code), "{}", json.stderr);
}

#[test]
fn broken_articles_are_left_out_and_counted() {
    let case = small().file("kb/articles/a/slow.md", "---\nid: [\n---\n");
    let ran = ask(&case, &["no lamp is lit"]).ok();
    assert!(
        ran.stderr.contains("1 error in the knowledge base"),
        "{}",
        ran.stderr
    );
    assert!(ran.stderr.contains("fixtally lint"), "{}", ran.stderr);
    case.write("kb/articles/a/dark.md", "nothing of an article");
    let ran = ask(&case, &["no lamp is lit"]).exits(1);
    assert!(ran.stdout.contains("No fix is known"), "{}", ran.stdout);
    assert!(
        ran.stderr.contains("errors in the knowledge base"),
        "{}",
        ran.stderr
    );
    case.run(&["evidence"]).ok();
    let quiet = ask(&case, &["-q", "no lamp is lit"]).exits(1);
    // What is missing from the answer is told even to who wants no notices.
    assert_eq!(quiet.stderr.lines().count(), 1, "{}", quiet.stderr);
    assert!(quiet.stderr.contains("errors in the knowledge base"));
}

#[test]
fn no_articles_at_all_is_nothing_found() {
    let case = Case::new().file("kb/kb.toml", KB);
    for _ in 0..2 {
        let ran = ask(&case, &["no lamp is lit"]).exits(1);
        assert!(ran.stdout.contains("No fix is known"), "{}", ran.stdout);
        fs::create_dir_all(case.path("kb/articles/a")).unwrap();
    }
    ask(&case, &["--code", "K31", "--json", "--by", "time"]).exits(1);
    ask(&case, &["x", "--tried", "dark#wait"])
        .exits(2)
        .complains("no fix");
    case.run(&["evidence"]).ok();
    case.run(&["evidence", "dark"]).exits(2);
}

#[test]
fn a_folder_that_is_no_knowledge_base_is_refused() {
    let case = Case::new();
    ask(&case, &["x"])
        .exits(2)
        .complains("there is no knowledge base in `kb`")
        .complains("--kb DIR");
    fs::create_dir(case.path("kb")).unwrap();
    ask(&case, &["x"]).exits(2).complains("holds no `kb.toml`");
    assert!(
        !case.path("kb/.state").exists(),
        "a wrong folder is left alone"
    );
    case.write("file", "");
    ask(&case, &["x", "--kb", "file"])
        .exits(2)
        .complains("`file`");
    // The environment names it as well.
    let other = small();
    let mut command = other.command(&["ask", "no lamp is lit"]);
    command
        .env("FIXTALLY_KB", other.path("kb"))
        .current_dir(case.path("."));
    assert!(command.output().unwrap().status.success());
}

#[test]
fn settings_that_cannot_be_read_leave_the_articles_answering() {
    let case = small().file("kb/kb.toml", "name = \"Test\n");
    let ran = ask(&case, &["no lamp is lit"]);
    assert!([0, 1].contains(&ran.code), "{}", ran.stderr);
    assert!(
        ran.stderr.contains("in the knowledge base"),
        "{}",
        ran.stderr
    );
    case.write("kb/kb.toml", b"name = \"\xff\"\n");
    let ran = ask(&case, &["no lamp is lit"]);
    assert!([0, 1].contains(&ran.code), "{}", ran.stderr);
    case.write("kb/kb.toml", KB);
    case.write("kb/words.toml", "[same\n");
    ask(&case, &["no lamp is lit"])
        .ok()
        .complains("1 error in the knowledge base");
    fs::remove_file(case.path("kb/words.toml")).unwrap();
    let ran = ask(&case, &["no lamp is lit"]).ok();
    assert!(
        ran.stderr.lines().all(|l| l.ends_with('…')),
        "{}",
        ran.stderr
    );
}

/// What `lint` and `show` say of files that are no articles is said here of `ask`: it goes on.
#[test]
fn odd_files_among_the_articles_disturb_nothing() {
    let case = small()
        .file(
            "kb/articles/a/folder.md/inside.md",
            SLOW.replace("id: slow", "id: inside"),
        )
        .file(
            "kb/articles/a/latin.md",
            b"---\nid: latin\ntitle: K\xfchler\n---\n",
        )
        .file("kb/articles/a/list.md", "---\n- a\n- b\n---\nText.\n")
        .file("kb/articles/a/open.md", "---\nid: open\n")
        .file("kb/articles/a/nul.md", b"---\nid: nul\ntitle: \0\n---\n\0")
        .file("kb/articles/a/empty.md", "")
        .file("kb/articles/a/.hidden.md", "not looked at")
        .file("kb/articles/a/notes.txt", "not looked at");
    let large = fs::File::create(case.path("kb/articles/a/large.md")).unwrap();
    large.set_len(50 << 20).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("..", case.path("kb/articles/a/round")).unwrap();
    ask(&case, &["no lamp is lit"])
        .ok()
        .says("Wait for the supply");
    let lint = case.run(&["lint", "--as-of", "2026-10-01"]).exits(1);
    for name in [
        "folder.md",
        "latin.md",
        "list.md",
        "open.md",
        "empty.md",
        "large.md",
    ] {
        assert!(lint.stdout.contains(name), "{name}: {}", lint.stdout);
    }
    assert!(!lint.stdout.contains("hidden") && !lint.stdout.contains("notes.txt"));
    for name in ["latin", "list", "large", "nul", "empty", "folder"] {
        let ran = case.run(&["show", name]);
        assert!([0, 1].contains(&ran.code), "{name}: {}", ran.stderr);
        assert!(!ran.stdout.contains('\0'), "{name}");
    }
    for name in ["", "#", "dark#", "dark#wait#x", "../kb.toml", "\u{1b}[2J"] {
        let ran = case.run(&["show", name]);
        assert!([0, 1].contains(&ran.code), "{name}: {}", ran.stderr);
        assert!(!ran.stderr.contains('\u{1b}'), "{name:?}");
    }
}

#[test]
fn state_elsewhere_leaves_the_knowledge_base_alone() {
    let case = small();
    let listing = || {
        walkdir::WalkDir::new(case.path("kb"))
            .sort_by_file_name()
            .into_iter()
            .map(|e| e.unwrap().into_path())
            .collect::<Vec<_>>()
    };
    let before = listing();
    let there = ask(
        &case,
        &["no lamp is lit", "--json", "--state", "deep/down/state"],
    )
    .ok();
    assert_eq!(listing(), before);
    assert!(case.path("deep/down/state/ledger.sqlite").exists());
    assert_eq!(
        there.stdout,
        ask(&case, &["no lamp is lit", "--json"]).ok().stdout
    );
    case.write("file", "");
    ask(&case, &["no lamp is lit", "--json", "--state", "file"])
        .exits(2)
        .complains("cannot make the folder `file`");
}

/// Root may write anywhere, so a folder it cannot write to is made by a file in its place.
#[test]
fn a_state_that_cannot_be_written_is_told_with_what_to_do() {
    let case = small().file("kb/.state", "in the way");
    ask(&case, &["no lamp is lit"])
        .exits(2)
        .complains("kb/.state`")
        .complains("--state DIR");
    ask(&case, &["no lamp is lit", "--json", "--state", "elsewhere"]).ok();
}
