//! The only integration binary. A file that is not listed here is not run, so the last test looks
//! for such files.
#![allow(
    clippy::unwrap_used,
    reason = "all of this is tests, helpers included, and a panic is how a test fails"
)]

mod answers;
mod articles;
mod call_laws;
mod call_understands;
mod case;
mod commands;
mod crosscheck;
mod dangers;
mod desk;
mod desk_model;
mod desk_sources;
mod edits;
mod layers;
mod notes;
mod privacy;
mod questions;
mod sayings;
mod simulation;

#[test]
fn every_test_file_is_listed() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let listed = |folder: &std::path::Path, source: &std::path::Path| {
        let list = std::fs::read_to_string(source).unwrap();
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let stem = path.file_stem().unwrap().to_str().unwrap().to_owned();
            if path.extension().is_some_and(|e| e == "rs")
                && !["main", "mod"].contains(&stem.as_str())
            {
                assert!(
                    list.contains(&format!("mod {stem};")),
                    "{} is not listed",
                    path.display()
                );
            }
        }
    };
    listed(&root, &root.join("main.rs"));
    listed(&root.join("commands"), &root.join("commands/mod.rs"));
}
