//! State is derived: whatever is lost, cut, flipped or killed, the next answer is the same.

use crate::case::{Case, Ran};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::Duration;

const ASK: &[&str] = &[
    "ask",
    "--json",
    "rcd trips when the car is plugged in",
    "--by",
    "time",
];

fn ask(case: &Case) -> Ran {
    case.run(ASK).ok()
}

/// Every file of the state folder but the ledger's, sorted.
fn derived(state: &Path) -> Vec<PathBuf> {
    walkdir::WalkDir::new(state)
        .sort_by_file_name()
        .into_iter()
        .map(Result::unwrap)
        .filter(|e| e.file_type().is_file())
        .map(walkdir::DirEntry::into_path)
        .filter(|path| {
            !path
                .file_name()
                .unwrap()
                .to_str()
                .unwrap()
                .starts_with("ledger")
        })
        .collect()
}

fn name(path: &Path) -> String {
    path.file_name().unwrap().to_str().unwrap().to_owned()
}

#[test]
fn deleting_derived_files_changes_no_byte_of_an_answer() {
    let (case, _) = Case::short_demo();
    let first = ask(&case).stdout;
    let state = case.path("kb/.state");
    let evidence = fs::read(state.join("evidence")).unwrap();
    let count = derived(&state).len();
    assert!(count > 5, "{count}");
    for at in 0..count {
        // The index made again has files of other names.
        let Some(file) = derived(&state).into_iter().nth(at) else {
            break;
        };
        fs::remove_file(&file).unwrap();
        assert_eq!(ask(&case).stdout, first, "without {}", name(&file));
    }
    for entry in fs::read_dir(&state).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            fs::remove_dir_all(path).unwrap();
        } else if !name(&path).starts_with("ledger") {
            fs::remove_file(path).unwrap();
        }
    }
    assert_eq!(ask(&case).stdout, first, "with the ledger alone");
    assert_eq!(fs::read(state.join("evidence")).unwrap(), evidence);
}

#[test]
fn damaged_files_are_made_again_with_one_line_of_notice() {
    let (case, _) = Case::short_demo();
    ask(&case);
    let first = ask(&case);
    assert!(first.stderr.is_empty(), "{}", first.stderr);
    let state = case.path("kb/.state");
    for at in 0..derived(&state).len() {
        for damage in [cut, flipped] {
            let Some(file) = derived(&state).into_iter().nth(at) else {
                break;
            };
            let bytes = fs::read(&file).unwrap();
            // Files that only lock are empty.
            if bytes.is_empty() {
                continue;
            }
            fs::write(&file, damage(bytes)).unwrap();
            let ran = ask(&case);
            assert_eq!(ran.stdout, first.stdout, "{}", name(&file));
            let told = ran.stderr.lines().filter(|l| l.contains("damaged"));
            // tantivy's notes on which files it manages may be wrong as long as they can be read.
            // The reader of notes is not opened where all notes are read; damaged readings are read
            // again, and the progress says so.
            let spared =
                name(&file).starts_with('.') || ["reader", "readings"].contains(&&*name(&file));
            let told = told.count();
            assert!(
                told == 1 || (spared && told == 0),
                "{}: {}",
                name(&file),
                ran.stderr
            );
        }
    }
    fs::write(state.join("evidence"), "").unwrap();
    let quiet = case.run(&[ASK, &["-q"]].concat()).ok();
    assert_eq!((quiet.stderr.as_str(), &quiet.stdout), ("", &first.stdout));
}

fn cut(mut bytes: Vec<u8>) -> Vec<u8> {
    bytes.truncate(bytes.len() / 2);
    bytes
}

fn flipped(mut bytes: Vec<u8>) -> Vec<u8> {
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x55;
    bytes
}

#[test]
fn an_edited_article_shows_at_the_next_question() {
    let case = Case::warm_demo();
    let path = case.path("kb/articles/protection/rcd-trips-on-plug-in.md");
    let title = |ran: &Ran| {
        ran.json()["articles"][0]["title"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    let before = title(&ask(&case));
    let text = fs::read_to_string(&path).unwrap();
    let time = fs::metadata(&path).unwrap().modified().unwrap();
    // The same size and the same time, within two seconds of the last reading.
    fs::write(&path, text.replace("RCD trips when a", "RCD falls when a")).unwrap();
    let file = fs::File::options().write(true).open(&path).unwrap();
    file.set_modified(time).unwrap();
    assert_eq!(fs::metadata(&path).unwrap().len(), text.len() as u64);
    assert_eq!(title(&ask(&case)), before.replace("RCD trips", "RCD falls"));
    fs::write(
        &path,
        text.replace("RCD trips when a", "RCD goes off when a"),
    )
    .unwrap();
    assert_eq!(
        title(&ask(&case)),
        before.replace("RCD trips", "RCD goes off")
    );
    // Words and settings count as well.
    let kb = fs::read_to_string(case.path("kb/kb.toml")).unwrap();
    case.write(
        "kb/kb.toml",
        kb.replace("Brindlecott support", "Brindlecott desk"),
    );
    assert_eq!(ask(&case).json()["kb"]["name"], "Brindlecott desk");
    fs::remove_file(&path).unwrap();
    let gone = ask(&case).json();
    assert_ne!(gone["articles"][0]["id"], "rcd-trips-on-plug-in");
}

#[test]
fn an_import_shows_at_the_next_question() {
    let case = Case::warm_demo();
    let resolved = |ran: &Ran| {
        let json = ran.json();
        let fixes = json["fixes"].as_array().unwrap();
        let fix = fixes
            .iter()
            .find(|f| f["id"] == "rcd-trips-on-plug-in#reseal-gland");
        fix.unwrap()["resolved"].as_u64().unwrap()
    };
    let before = resolved(&ask(&case));
    case.write(
        "new.jsonl",
        "{\"id\":\"N-1\",\"closed\":\"2026-10-31T08:00:00Z\",\"said\":\"rcd trips\",\
         \"article\":\"rcd-trips-on-plug-in\",\"outcome\":\"resolved\",\
         \"tries\":[{\"fix\":\"reseal-gland\",\"result\":\"resolved\"}]}\n",
    );
    case.run(&["tickets", "import", "new.jsonl"]).ok();
    assert_eq!(resolved(&ask(&case)), before + 1);
}

#[test]
fn a_day_in_the_past_ignores_later_tickets_and_says_how_many() {
    let case = Case::warm_demo();
    let now = ask(&case).json();
    let state = case.path("kb/.state");
    let written = |path: &PathBuf| fs::metadata(path).unwrap().modified().unwrap();
    let mut todays = derived(&state);
    todays.retain(|path| {
        let folder = name(path.parent().unwrap());
        // The index's own locks come and go.
        name(path) == "evidence" || folder.starts_with("index-") && !name(path).starts_with('.')
    });
    assert!(todays.len() > 5);
    let made: Vec<_> = todays.iter().map(written).collect();
    let past = case.run(&[ASK, &["--as-of", "2025-06-30"]].concat()).ok();
    let line = past.stderr.lines().find(|l| l.contains("ignored")).unwrap();
    let later: u64 = line.split(' ').next().unwrap().parse().unwrap();
    assert!(
        line.ends_with("tickets closed after 2025-06-30 ignored."),
        "{line}"
    );
    let past = past.json();
    assert_eq!(past["kb"]["as_of"], "2025-06-30");
    assert!(past["kb"]["evidence_to"].as_str().unwrap() <= "2025-06-30");
    let shown = case
        .run(&["evidence", "--json", "--as-of", "2025-06-30"])
        .ok()
        .json();
    assert_eq!(shown["tickets"].as_u64().unwrap() + later, 6000);
    // Nothing at all is known on a day before the first ticket.
    let first = case
        .run(&["ask", "my card does nothing", "--as-of", "2020-01-01"])
        .ok();
    assert!(
        first.stderr.contains("6000 tickets closed after"),
        "{}",
        first.stderr
    );
    assert!(
        first.stdout.contains("no cases yet, author's order"),
        "{}",
        first.stdout
    );
    assert_eq!(ask(&case).json(), now, "and the past leaves no trace");
    let kept: Vec<_> = todays.iter().map(written).collect();
    assert_eq!(kept, made, "nor is today's made again");
    let entries = fs::read_dir(&state).unwrap().map(Result::unwrap);
    let past = entries.filter(|e| e.file_name().to_str().unwrap().starts_with("past-index"));
    assert_eq!(past.count(), 1, "and no more than one day of it is kept");
}

#[test]
fn questions_at_once_on_a_fresh_state_answer_equally() {
    let (case, tickets) = Case::short_demo();
    let children: Vec<_> = (0..3)
        .map(|_| {
            case.command(ASK)
                .stdout(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap()
        })
        .collect();
    let answers: Vec<_> = children
        .into_iter()
        .map(|child| child.wait_with_output().unwrap())
        .collect();
    let expected = ask(&case).stdout;
    for answer in answers {
        assert!(
            answer.status.success(),
            "{}",
            String::from_utf8_lossy(&answer.stderr)
        );
        assert_eq!(String::from_utf8_lossy(&answer.stdout), expected);
    }
    assert_eq!(
        case.run(&["tickets", "list", "--json", "--limit", "1"])
            .ok()
            .json()["total"],
        tickets
    );
    assert_eq!(litter(&case), Vec::<String>::new());
}

#[test]
fn a_first_build_killed_at_any_time_leaves_a_state_that_works() {
    let (case, _) = Case::short_demo();
    for wait in [3, 15, 40, 80, 130, 200, 300, 700] {
        let mut child = case
            .command(ASK)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(wait));
        child.kill().unwrap();
        child.wait().unwrap();
    }
    assert_eq!(ask(&case).stdout, ask(&Case::short_demo().0).stdout);
    // What the killed ones left half done goes with the next building.
    for entry in fs::read_dir(case.path("kb/.state")).unwrap() {
        let path = entry.unwrap().path();
        if name(&path).starts_with("index-") {
            fs::remove_dir_all(path).unwrap();
        }
    }
    ask(&case);
    assert_eq!(litter(&case), Vec::<String>::new());
}

/// What lies in the state folder and should not.
fn litter(case: &Case) -> Vec<String> {
    fs::read_dir(case.path("kb/.state"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.starts_with('.') || name.starts_with("new-"))
        .collect()
}
