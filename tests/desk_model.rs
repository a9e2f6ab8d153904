//! What was learned is a function of the ledger and the day: nothing of later tickets gets into an
//! answer of the past, and no history of imports changes a byte.

use crate::case::{Case, Ran};
use std::fs;
use std::path::PathBuf;

const KB: &str = "name = \"Test\"\nhand-on-minutes = 60\n[roles]\norder = [\"caller\"]\n";

const DARK: &str = "---\nid: dark\ntitle: Post is dark\nsymptoms: [no lamp is lit]\n\
    reviewed: 2025-01-01\n---\nText.\n\n\
    ## Fix: Wait for the supply {#wait kind=wait minutes=5 who=caller}\n1. Wait.\n\nDone when: lit.\n\n\
    ## Fix: Push the plug in {#push kind=reseat minutes=2 who=caller}\n1. Push.\n\nDone when: it sits.\n";

const SLOW: &str = "---\nid: slow\ntitle: Charging is slow\nsymptoms: [takes all night]\n\
    reviewed: 2025-01-01\n---\nText.\n\n\
    ## Fix: Raise the current {#raise kind=set minutes=3 who=caller}\n1. Raise it.\n\nDone when: raised.\n\n\
    ## Fix: Push the other plug in {#other-plug kind=reseat minutes=2 who=caller}\n1. Push.\n\nDone when: sits.\n";

/// What callers said, the article and the fix that ended it.
const SAID: [(&str, &str, &str); 5] = [
    (
        "nothing is lit since the storm took the street",
        "dark",
        "wait",
    ),
    ("all dark after somebody pulled at the plug", "dark", "push"),
    ("the car is half empty in the morning", "slow", "raise"),
    (
        "slow since we moved the plug to the garage",
        "slow",
        "other-plug",
    ),
    ("storm last night and the lamp stays dark", "dark", "wait"),
];

/// The day on which a ticket was closed: one a day.
fn closed(number: i64) -> jiff::civil::Date {
    jiff::civil::date(2025, 1, 1) + jiff::Span::new().days(number)
}

/// Tickets as JSON Lines, by their numbers.
fn tickets(numbers: impl Iterator<Item = i64>) -> String {
    let line = |number: i64| {
        // 7 shares no factor with 5 and gives every phrase its turn.
        let at = usize::try_from(number * 7 % 5).unwrap();
        let (said, article, fix) = SAID[at];
        format!(
            "{{\"id\":\"T-{number:03}\",\"closed\":\"{}T08:00:00Z\",\"said\":\"{said}\",\
             \"article\":\"{article}\",\"outcome\":\"resolved\",\
             \"tries\":[{{\"fix\":\"{fix}\",\"result\":\"resolved\"}}]}}\n",
            closed(number)
        )
    };
    numbers.map(line).collect()
}

/// A desk without tickets.
fn desk() -> Case {
    Case::new()
        .file("kb/kb.toml", KB)
        .file("kb/articles/a/dark.md", DARK)
        .file("kb/articles/a/slow.md", SLOW)
}

fn import(case: &Case, tickets: &str, as_of: i64) -> Ran {
    case.write("new.jsonl", tickets);
    on(case, as_of, &["tickets", "import", "new.jsonl"])
}

/// Runs a command on the day of a ticket.
fn on(case: &Case, day: i64, args: &[&str]) -> Ran {
    let day = closed(day).to_string();
    case.run(&[args, &["--as-of", &day]].concat()).ok()
}

fn ask(case: &Case, day: i64) -> Ran {
    on(case, day, &["ask", "dark since the storm", "--json"])
}

fn learn(case: &Case, day: i64) -> Ran {
    on(case, day, &["evidence", "--weights", "--json"])
}

/// The files of what was learned, by the day they are named after.
fn models(case: &Case) -> Vec<(String, PathBuf)> {
    let entries = fs::read_dir(case.path("kb/.state")).unwrap();
    let mut models: Vec<(String, PathBuf)> = entries
        .map(|entry| entry.unwrap().path())
        .filter_map(|path| {
            let name = path
                .file_name()?
                .to_str()?
                .strip_prefix("model-")?
                .to_owned();
            Some((name, path))
        })
        .collect();
    models.sort();
    models
}

fn days(case: &Case) -> Vec<String> {
    models(case).into_iter().map(|(day, _)| day).collect()
}

fn forget(case: &Case) {
    for (_, path) in models(case) {
        fs::remove_file(path).unwrap();
    }
}

#[test]
fn an_answer_of_the_past_knows_nothing_of_later_tickets() {
    let (now, then) = (desk(), desk());
    import(&now, &tickets(0..260), 259);
    import(&then, &tickets(0..230), 229);
    // 256 and 221 are fit points: ⌈200·1.05^k⌉.
    assert_eq!(days(&now), [closed(255).to_string()]);
    assert_eq!(days(&then), [closed(220).to_string()]);
    let today = ask(&now, 259);
    assert!(today.stderr.is_empty(), "{}", today.stderr);

    let learned_then = ask(&then, 229);
    assert!(learned_then.stderr.is_empty(), "{}", learned_then.stderr);
    forget(&then);
    let shipped_then = ask(&then, 229);
    assert_ne!(shipped_then.stdout, learned_then.stdout);

    let past = ask(&now, 229);
    assert_eq!(past.stdout, shipped_then.stdout);
    let notice = format!(
        "Answered with the shipped weights; `fixtally evidence --weights --as-of {day}` learns those \
         of {day}.",
        day = closed(229)
    );
    let lines: Vec<&str> = past.stderr.lines().filter(|l| !l.ends_with('…')).collect();
    let later = format!("30 tickets closed after {} ignored.", closed(229));
    assert_eq!(lines, [notice.as_str(), later.as_str()]);
    assert!(!past.stderr.contains("Learning"), "an answer never waits");

    assert!(
        learn(&now, 229)
            .stderr
            .contains("Learning from the tickets")
    );
    let past = ask(&now, 229);
    assert_eq!(past.stdout, learned_then.stdout);
    assert!(!past.stderr.contains("Answered"), "{}", past.stderr);
    learn(&then, 229);
    let file = |case: &Case| fs::read(&models(case)[0].1).unwrap();
    assert!(file(&now) == file(&then));

    // The fit point of this day, 244, was not learned at: the one before answers, and never the next.
    let between = ask(&now, 250);
    assert!(
        between
            .stderr
            .contains(&format!("weights learned up to {};", closed(220))),
        "{}",
        between.stderr
    );
    // Of a day before any that was learned, and of one with too few cases.
    assert!(ask(&now, 215).stderr.contains("the shipped weights"));
    assert!(!ask(&now, 100).stderr.contains("Answered"));
    assert_eq!(
        ask(&now, 259).stdout,
        today.stdout,
        "the past leaves no trace"
    );
}

#[test]
fn the_same_ledger_has_the_same_model_whatever_its_history() {
    let one = desk();
    import(&one, &tickets(0..240), 259);
    let model = fs::read(&models(&one)[0].1).unwrap();
    assert_eq!(days(&one), [closed(231).to_string()]);

    // In pieces, the newest first, each learned from before the next came.
    let pieces = desk();
    for piece in [220..240, 0..210, 210..220] {
        import(&pieces, &tickets(piece.rev()), 259);
    }
    let last = models(&pieces).pop().unwrap();
    assert_eq!(last.0, closed(231).to_string());
    assert!(fs::read(&last.1).unwrap() == model);
    assert_eq!(ask(&pieces, 259).stdout, ask(&one, 259).stdout);

    // With the ledger alone.
    for entry in fs::read_dir(one.path("kb/.state")).unwrap() {
        let path = entry.unwrap().path();
        let is_ledger = path
            .file_name()
            .unwrap()
            .to_str()
            .unwrap()
            .starts_with("ledger");
        if path.is_dir() {
            fs::remove_dir_all(path).unwrap();
        } else if !is_ledger {
            fs::remove_file(path).unwrap();
        }
    }
    learn(&one, 259);
    assert!(fs::read(&models(&one)[0].1).unwrap() == model);

    // That a case came back after the day learned from changes nothing that was learned.
    let back = tickets(100..101).replace(
        "\"outcome\"",
        &format!("\"reopened\":\"{}T08:00:00Z\",\"outcome\"", closed(235)),
    );
    let ran = import(&one, &back, 259);
    assert!(
        ran.stdout.contains("new.jsonl     1    0        1 "),
        "{}",
        ran.stdout
    );
    assert!(!ran.stderr.contains("Learning"), "{}", ran.stderr);
    assert!(fs::read(&models(&one)[0].1).unwrap() == model);
    assert!(ask(&one, 259).stderr.is_empty());
}

#[test]
fn a_damaged_model_is_left_aside_for_an_earlier_one() {
    let case = desk();
    import(&case, &tickets(0..225), 224);
    import(&case, &tickets(225..240), 239);
    let earlier = ask(&case, 239);
    assert_eq!(days(&case).len(), 2);
    fs::write(&models(&case)[1].1, "no model").unwrap();
    let ran = ask(&case, 239);
    assert!(
        ran.stderr.contains("damaged and are left aside"),
        "{}",
        ran.stderr
    );
    assert!(
        ran.stderr.contains("the next import learns anew"),
        "{}",
        ran.stderr
    );
    assert_ne!(ran.stdout, earlier.stdout);
    learn(&case, 239);
    assert_eq!(ask(&case, 239).stdout, earlier.stdout);
}
