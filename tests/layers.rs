//! Guards the import rule: reads the `use` lines of every room and fails on a forbidden arrow, and
//! on the outside world inside the core.

use std::path::Path;

/// What each room may use besides itself.
const MAY_USE: &[(&str, &[&str])] = &[
    ("base", &[]),
    ("articles", &["base"]),
    ("tickets", &["base"]),
    ("notes", &["base", "tickets"]),
    ("evidence", &["base", "articles", "tickets", "notes"]),
    ("search", &["base", "articles", "tickets", "evidence"]),
    ("call", &["base", "articles", "tickets", "evidence"]),
    (
        "curate",
        &["base", "articles", "tickets", "notes", "evidence", "call"],
    ),
    (
        "backtest",
        &[
            "base", "articles", "tickets", "notes", "evidence", "call", "curate",
        ],
    ),
    (
        "view",
        &[
            "base", "articles", "tickets", "notes", "evidence", "call", "curate", "backtest",
        ],
    ),
    (
        "sheet",
        &["view", "call", "base", "evidence", "tickets", "articles"],
    ),
    (
        "pack",
        &["view", "call", "base", "evidence", "tickets", "articles"],
    ),
];

/// Rooms of the core, where values come in and values go out.
const CORE: &[&str] = &[
    "base", "articles", "tickets", "notes", "evidence", "call", "curate", "backtest", "view",
];

/// Files of core rooms that are edges all the same: they turn the outside into values and back.
const EDGES: &[&str] = &[
    "articles/folder.rs",
    "articles/folder/",
    "tickets/ledger.rs",
    "tickets/ledger",
];

/// What the core may not name.
const OUTSIDE: &[&str] = &[
    "std::fs",
    "std::env",
    "std::net",
    "std::process",
    "std::thread::sleep",
    "SystemTime",
    "Instant::now",
    "Timestamp::now",
    "Zoned::now",
    "rusqlite",
    "tantivy",
    "clap",
    "axum",
    "tokio",
    "indicatif",
    "rand::",
];

fn sources() -> Vec<(String, String)> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    walkdir::WalkDir::new(&src)
        .sort_by_file_name()
        .into_iter()
        .map(Result::unwrap)
        .filter(|e| e.path().extension().is_some_and(|x| x == "rs"))
        .map(|e| {
            let name = e
                .path()
                .strip_prefix(&src)
                .unwrap()
                .to_str()
                .unwrap()
                .replace('\\', "/");
            (name, std::fs::read_to_string(e.path()).unwrap())
        })
        .collect()
}

fn code_of(text: &str) -> impl Iterator<Item = &str> {
    text.lines()
        .map(|line| line.split("//").next().unwrap_or(line))
}

#[test]
fn rooms_use_only_the_rooms_they_may() {
    let mut forbidden = Vec::new();
    for (file, text) in sources() {
        let Some((room, _)) = file.split_once('/') else {
            continue;
        };
        let Some((_, allowed)) = MAY_USE.iter().find(|(name, _)| *name == room) else {
            continue;
        };
        for line in code_of(&text) {
            for part in line.split("crate::").skip(1) {
                let used: String = part
                    .chars()
                    .take_while(|c| c.is_alphanumeric() || *c == '_')
                    .collect();
                if used != room
                    && MAY_USE.iter().any(|(n, _)| *n == used) | (used == "cli")
                    && !allowed.contains(&used.as_str())
                {
                    forbidden.push(format!("{file}: {}", line.trim()));
                }
            }
        }
    }
    assert!(
        forbidden.is_empty(),
        "forbidden arrows:\n{}",
        forbidden.join("\n")
    );
}

#[test]
fn the_core_does_not_touch_the_outside_world() {
    let mut found = Vec::new();
    for (file, text) in sources() {
        let core = CORE
            .iter()
            .any(|room| file.starts_with(&format!("{room}/")));
        // Unit tests in files of their own may read their data.
        let tests = file.ends_with("tests.rs");
        if !core || tests || EDGES.iter().any(|edge| file.starts_with(edge)) {
            continue;
        }
        for line in code_of(&text) {
            for name in OUTSIDE.iter().filter(|name| line.contains(**name)) {
                found.push(format!("{file}: `{name}` in {}", line.trim()));
            }
        }
    }
    assert!(
        found.is_empty(),
        "the outside world in the core:\n{}",
        found.join("\n")
    );
}

#[test]
fn tantivy_is_used_in_search_alone() {
    for (file, text) in sources() {
        if !file.starts_with("search/") {
            assert!(
                !code_of(&text).any(|line| line.contains("tantivy::")),
                "{file} uses tantivy"
            );
        }
    }
}
