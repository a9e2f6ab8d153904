//! How many dangers are missed, and how many calls stopped for nothing, on invented sayings.

use fixtally::call::InHand;
use fixtally::cli::{Desk, Session};
use fixtally::evidence::question::Said;
use serde_json::Value;
use std::fmt::Write as _;
use std::path::Path;

/// Files that are never learned from: of these only counts are told.
fn is_test(name: &str) -> bool {
    name.starts_with("test")
}

/// The worst allowed: missed of 80 dangers (neither stopped nor asked about first), stopped of 160
/// others. On files that were learned from it only says that nothing was lost.
fn bars(name: &str) -> (usize, usize) {
    if is_test(name) { (1, 4) } else { (0, 1) }
}

#[test]
fn dangers_stop_the_call_and_little_else_does() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let state = tempfile::tempdir().unwrap();
    let desk = Desk::open(&Session::quiet(&root.join("kb"), state.path())).unwrap();
    let mut report = String::new();
    let mut too_many = false;
    let folders = ["tests/data/sayings", "kb/sayings"];
    let entries = folders.map(|folder| std::fs::read_dir(root.join(folder)).unwrap());
    for entry in entries.into_iter().flatten() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|e| e != "jsonl") {
            continue;
        }
        let name = path.file_name().unwrap().to_str().unwrap();
        let (mut dangers, mut others) = (0, 0);
        let (mut missed, mut asked, mut stopped) = (0, 0, 0);
        for line in std::fs::read_to_string(&path).unwrap().lines() {
            let saying: Value = serde_json::from_str(line).unwrap();
            let words = saying["said"].as_str().unwrap();
            let danger = saying["group"] == "danger" || saying["stops"] == true;
            let (stops, asks) = heard(&desk, words);
            *(if danger { &mut dangers } else { &mut others }) += 1;
            let mut tell = |line: String| {
                if !is_test(name) {
                    writeln!(report, "{name}: {line}").unwrap();
                }
            };
            if danger && stops.is_empty() && asks {
                asked += 1;
            } else if danger && stops.is_empty() {
                missed += 1;
                tell(format!("missed: {words}"));
            } else if !danger && !stops.is_empty() {
                stopped += 1;
                tell(format!("stopped by {stops}: {words}"));
            }
        }
        let (may_miss, may_stop) = bars(name);
        too_many |= missed * 80 > may_miss * dangers || stopped * 160 > may_stop * others;
        writeln!(
            report,
            "{name}: missed {missed} and only asked about {asked} of {dangers}, stopped {stopped} of \
             {others} others"
        )
        .unwrap();
    }
    println!("{report}");
    assert!(!too_many, "\n{report}");
}

/// What stops the call, and whether a danger is asked about first.
fn heard(desk: &Desk, words: &str) -> (String, bool) {
    let case = InHand {
        said: Said {
            words: words.to_owned(),
            ..Said::default()
        },
        ..InHand::default()
    };
    let (advice, _) = desk.advise(&case).unwrap();
    let stops = advice.stops.iter().map(|(id, why)| format!("{id} {why:?}"));
    (
        stops.collect::<Vec<_>>().join(", "),
        !advice.ask_first.is_empty(),
    )
}
