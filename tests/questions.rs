//! Forty questions as callers would put them, by an author who saw the titles of the articles and
//! nothing else: how often the right article stands first.
//!
//! `tests/data/questions/forty.jsonl` is not edited after its first use; `also` names an article
//! that covers the same thing.

use crate::case::Case;
use serde_json::Value;
use std::fmt::Write as _;
use std::path::Path;

/// What was reached on the first reading.
const FIRST: usize = 36;
const FIRST_THREE: usize = 40;

#[test]
fn the_right_article_stands_first_for_most_of_forty_callers() {
    let case = Case::shared_demo();
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/questions/forty.jsonl");
    let text = std::fs::read_to_string(file).unwrap();
    let (mut first, mut three, mut report) = (0, 0, String::new());
    for line in text.lines() {
        let question: Value = serde_json::from_str(line).unwrap();
        let answer = case
            .run(&["ask", "--json", question["ask"].as_str().unwrap()])
            .json();
        let ids = |key: &str| -> Vec<String> {
            let listed = answer[key].as_array().unwrap().iter();
            listed
                .map(|a| a["id"].as_str().unwrap().to_owned())
                .collect()
        };
        let right = |id: &String| {
            let also = question["also"].as_array().into_iter().flatten();
            question["article"] == id.as_str() || also.into_iter().any(|a| a == id.as_str())
        };
        let named = [ids("danger"), ids("articles")].concat();
        let place = named.iter().position(right);
        first += usize::from(place == Some(0));
        three += usize::from(place.is_some_and(|at| at < 3));
        if place != Some(0) {
            writeln!(report, "{} at {place:?}: {named:?}", question["id"]).unwrap();
        }
    }
    println!("first {first}, among the first three {three} of 40\n{report}");
    assert!(
        first >= FIRST && three >= FIRST_THREE,
        "first {first}, among the first three {three}\n{report}"
    );
}
