//! A case on disk: it survives its process, is nobody else's to read, and goes after its time.

use crate::case::Case;
use serde_json::Value;
use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Child, Stdio};
use std::time::{Duration, SystemTime};

fn small() -> Case {
    let fix = |id: &str, minutes: u8| {
        format!(
            "\n## Fix: Do {id} {{#{id} kind=do minutes={minutes} who=anyone}}\n1. Do it.\n\nDone when: it works.\n"
        )
    };
    let article = format!(
        "---\nid: dark\ntitle: It is dark\nsymptoms: [no light at all]\nreviewed: 2026-05-01\n---\nDark.\n{}{}",
        fix("one", 5),
        fix("two", 9)
    );
    Case::new()
        .file("kb/kb.toml", "name = \"one\"\n")
        .file("kb/articles/a/dark.md", article)
}

/// A call whose standard input stays open.
struct Running {
    child: Child,
    out: BufReader<std::process::ChildStdout>,
}

impl Running {
    fn new(case: &Case) -> Self {
        let mut command = case.command(&["-q", "--json", "call"]);
        let mut child = command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let out = BufReader::new(child.stdout.take().unwrap());
        let mut running = Self { child, out };
        running.state();
        running
    }

    fn say(&mut self, line: &str) -> Value {
        writeln!(self.child.stdin.as_mut().unwrap(), "{line}").unwrap();
        self.state()
    }

    fn state(&mut self) -> Value {
        let mut line = String::new();
        self.out.read_line(&mut line).unwrap();
        serde_json::from_str(&line).unwrap()
    }

    fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

#[test]
fn a_case_survives_its_process_and_is_offered_again() {
    let case = small();
    let mut first = Running::new(&case);
    first.say("no light at all since noon");
    let before = first.say("no change 1");
    let id = before["case"].as_str().unwrap().to_owned();
    // While somebody works on it, it is nobody else's.
    let mut second = Running::new(&case);
    let refused = second.say(&format!("go on {id}"));
    assert!(
        refused["unclear"]
            .as_str()
            .unwrap()
            .contains("somebody else"),
        "{refused}"
    );
    first.kill();
    let mut third = Running::new(&case);
    let taken = third.say("go on");
    assert_eq!(
        (&taken["case"], &taken["line"]),
        (&before["case"], &before["line"])
    );
    assert_eq!(
        (&taken["known"], &taken["answer"]),
        (&before["known"], &before["answer"])
    );
    third.kill();
    let offered = case.run_with_input(&["-q", "--json", "call"], "");
    let offered: Value = serde_json::from_str(&offered.stdout).unwrap();
    assert_eq!(offered["open"][0]["id"], id.as_str());
    assert_eq!(offered["open"][0]["said"], "no light at all since noon");
    let text = case
        .run_with_input(&["-q", "call"], "go on\nfixed 1\n")
        .ok();
    assert!(
        text.stdout.contains("Left open:") && text.stdout.contains(&format!("CLOSED {id}")),
        "{}",
        text.stdout
    );
    second.kill();
}

#[test]
fn a_case_file_is_private_scrubbed_and_removed_after_30_days() {
    let case = small();
    let line =
        "no light, ring 0171 2345678 or mail jo@example.org\nnote: Mr Smith at 12 Mill Road\n";
    case.run_with_input(&["-q", "call"], line).ok();
    let folder = case.path("kb/.state/cases");
    let file = std::fs::read_dir(&folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .find(|p| p.extension().is_some_and(|e| e == "json"))
        .unwrap();
    let content = std::fs::read_to_string(&file).unwrap();
    for personal in ["2345678", "example.org", "Smith", "Mill Road"] {
        assert!(!content.contains(personal), "{content}");
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = std::fs::metadata(&file).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
    }
    let age = |days: u64| {
        let time = SystemTime::now() - Duration::from_secs(days * 86_400);
        let opened = std::fs::File::options().write(true).open(&file).unwrap();
        opened.set_modified(time).unwrap();
        case.run_with_input(&["-q", "call"], "").ok();
        file.exists()
    };
    assert!(age(29));
    assert!(!age(31));
}

#[test]
fn a_damaged_or_newer_case_file_is_left_alone() {
    let case = small();
    for (name, content) in [("C-1-1", "{"), ("C-1-2", "{\"format\":9}")] {
        case.write(&format!("kb/.state/cases/{name}.json"), content);
    }
    let ran = case
        .run_with_input(&["-q", "--json", "call"], "go on C-1-1\n")
        .ok();
    let states: Vec<Value> = ran
        .stdout
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    assert_eq!(states[0]["open"], serde_json::json!([]));
    assert!(
        states[1]["unclear"]
            .as_str()
            .unwrap()
            .contains("was left open")
    );
    assert!(case.path("kb/.state/cases/C-1-1.json").exists());
}

#[test]
fn a_ticket_changed_since_is_not_taken_back() {
    let case = small();
    let ran = case
        .run_with_input(&["-q", "--json", "call"], "no light at all\nfixed 1\n")
        .ok();
    let closed: Value = serde_json::from_str(ran.stdout.lines().last().unwrap()).unwrap();
    let id = closed["closed"]["ticket"].as_str().unwrap();
    let mut ticket = case.run(&["-q", "--json", "tickets", "show", id]).json();
    ticket["notes"] = "came back".into();
    case.write("t.jsonl", ticket.to_string());
    case.run(&["-q", "tickets", "import", "t.jsonl"]).ok();
    let line = format!("take back {id}\n");
    let ran = case.run_with_input(&["-q", "call"], &line).ok();
    assert!(ran.stdout.contains("changed since"), "{}", ran.stdout);
    let total = case.run(&["-q", "--json", "tickets", "list"]).json()["total"].clone();
    assert_eq!(total, 1);
}

#[test]
fn processes_that_close_at_once_lose_and_double_nothing() {
    let case = small();
    case.run(&["-q", "ask", "light"]);
    let (processes, each) = (8, 6);
    let started: Vec<Child> = (0..processes)
        .map(|p| {
            let mut child = case
                .command(&["-q", "--json", "call"])
                .stdin(Stdio::piped())
                .stdout(Stdio::piped())
                .spawn()
                .unwrap();
            let mut input = child.stdin.take().unwrap();
            for n in 0..each {
                writeln!(input, "no light at all, lamp {p} of row {n}\nfixed 1").unwrap();
            }
            child
        })
        .collect();
    let mut confirmed = Vec::new();
    for child in started {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success());
        let out = String::from_utf8(output.stdout).unwrap();
        let states = out
            .lines()
            .map(|l| serde_json::from_str::<Value>(l).unwrap());
        confirmed.extend(states.filter_map(|s| Some(s["closed"]["ticket"].as_str()?.to_owned())));
    }
    confirmed.sort();
    confirmed.dedup();
    assert_eq!(confirmed.len(), processes * each);
    let exported = case.run(&["-q", "tickets", "export"]).ok().stdout;
    let tickets: Vec<Value> = exported
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    let mut ids: Vec<&str> = tickets.iter().map(|t| t["id"].as_str().unwrap()).collect();
    ids.sort_unstable();
    assert_eq!(ids, confirmed);
    let mut said: Vec<&str> = tickets
        .iter()
        .map(|t| t["said"].as_str().unwrap())
        .collect();
    said.sort_unstable();
    said.dedup();
    assert_eq!(said.len(), processes * each);
}

#[test]
fn a_killed_process_loses_no_confirmed_case() {
    let case = small();
    case.run(&["-q", "ask", "light"]);
    let mut confirmed = Vec::new();
    for round in 0..6_u64 {
        let mut running = Running::new(&case);
        let mut input = running.child.stdin.take().unwrap();
        for n in 0..200 {
            if writeln!(input, "no light at all, lamp {n} of row {round}\nfixed 1").is_err() {
                break;
            }
        }
        // At another moment in each round, in the middle of whatever it does.
        std::thread::sleep(Duration::from_millis(20 + 37 * round));
        running.child.kill().unwrap();
        running.child.wait().unwrap();
        let mut rest = String::new();
        std::io::Read::read_to_string(&mut running.out, &mut rest).unwrap();
        let whole = rest
            .lines()
            .filter_map(|l| serde_json::from_str::<Value>(l).ok());
        confirmed.extend(whole.filter_map(|s| Some(s["closed"]["ticket"].as_str()?.to_owned())));
    }
    let exported = case.run(&["-q", "tickets", "export"]).ok().stdout;
    let tickets: Vec<Value> = exported
        .lines()
        .map(|l| serde_json::from_str(l).unwrap())
        .collect();
    for id in &confirmed {
        let found = tickets.iter().filter(|t| t["id"] == id.as_str()).count();
        assert_eq!(found, 1, "{id}");
    }
    let mut said: Vec<&str> = tickets
        .iter()
        .map(|t| t["said"].as_str().unwrap())
        .collect();
    said.sort_unstable();
    let all = said.len();
    said.dedup();
    assert_eq!(said.len(), all, "a case is in the ledger twice");
}

#[test]
fn a_case_of_the_first_format_is_still_taken_up() {
    let case = small();
    let kept = include_str!("../data/formats/case-1.json");
    case.write("kb/.state/cases/C-261031-1.json", kept);
    let ran = case
        .run_with_input(&["-q", "--json", "call"], "go on C-261031-1\n")
        .ok();
    let state: Value = serde_json::from_str(ran.stdout.lines().last().unwrap()).unwrap();
    assert_eq!(state["line"], 2);
    assert_eq!(state["known"]["codes"], serde_json::json!(["K31"]));
}
