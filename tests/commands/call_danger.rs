//! Dangers in `fixtally call`: made sure of, denied and told anew, kept in sight; and names that are none.

use super::call::{call, states};
use crate::case::Case;
use serde_json::{Value, json};

const BURNING: &str = "burning-smell-or-smoke";
const DOUBTFUL: &str = "no burning smell, my card does nothing";

fn ids(state: &Value, key: &str) -> Vec<String> {
    let list = state["answer"][key].as_array();
    list.into_iter()
        .flatten()
        .map(|one| one["id"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn what_was_denied_and_is_told_anew_stops_anew() {
    let case = Case::warm_demo();
    let told = states(
        &case,
        &[
            "there is a burning smell",
            "no danger",
            "the card does nothing",
            "now smoke comes out of the plug and it melts",
            "no danger",
            "no burning smell any more",
            "undo",
            "smoke came out",
            "undo",
            "undo",
        ],
    );
    let dangers: Vec<Vec<String>> = told.iter().map(|state| ids(state, "danger")).collect();
    assert_eq!(dangers[1], [BURNING]);
    assert!(
        dangers[2].is_empty() && dangers[3].is_empty(),
        "{dangers:?}"
    );
    assert_eq!(dangers[4], [BURNING]);
    assert_eq!(told[4]["known"]["not_danger"], json!([]));
    assert!(
        dangers[5].is_empty() && dangers[6].is_empty(),
        "{dangers:?}"
    );
    assert_eq!(dangers[8], [BURNING]);
    // The denial is as good as before where the line is taken back.
    assert!(dangers[9].is_empty(), "{dangers:?}");
    assert_eq!(dangers[10], [BURNING]);
}

#[test]
fn yes_to_what_is_asked_first_stops_the_call() {
    let case = Case::warm_demo();
    let told = states(&case, &[DOUBTFUL, "no", "yes", "no danger", "yes"]);
    assert_eq!(ids(&told[1], "ask_first"), [BURNING]);
    // One question at a time; a bare "no" denies nothing.
    assert_eq!(told[1]["asking"], Value::Null);
    assert!(told[2]["unclear"].as_str().unwrap().contains("no danger"));
    assert_eq!(ids(&told[2], "ask_first"), [BURNING]);
    assert_eq!(ids(&told[3], "danger"), [BURNING]);
    assert_eq!(told[3]["answer"]["fixes"], json!([]));
    assert!(ids(&told[4], "danger").is_empty() && ids(&told[4], "ask_first").is_empty());
    // With the danger answered the check is asked again.
    assert_ne!(told[4]["asking"], Value::Null);
}

#[test]
fn what_is_asked_first_stays_above_the_steps_and_is_handed_on() {
    let case = Case::warm_demo();
    let listed = states(&case, &[DOUBTFUL, "drop", "not sure"]);
    let fixes = listed[1]["answer"]["fixes"].as_array().unwrap();
    // The first one that no check must come before: its steps are shown at once.
    let at = fixes.iter().position(|fix| fix["after"] == json!([]));
    let number = (at.unwrap() + 1).to_string();
    let text = call(&case, &[DOUBTFUL, &number, "hand on"]).ok().stdout;
    let (_, taken_up) = text.split_once(&format!("> {number}\n")).unwrap();
    let (taken_up, handed_on) = taken_up.split_once("> hand on\n").unwrap();
    let (asked, steps) = taken_up.split_once("FIX: ").expect("a fix is taken up");
    assert!(asked.contains("ASK FIRST"), "{asked}");
    assert!(!steps.contains("ASK: "), "{steps}");
    assert!(handed_on.contains("DANGER: Burning smell"), "{handed_on}");
    assert!(handed_on.contains("not made sure of"), "{handed_on}");
}

#[test]
fn a_danger_behind_a_fix_that_could_not_be_done_stops() {
    let case = Case::warm_demo();
    let told = states(
        &case,
        &["my card does nothing", "1", "could not, smoke came out"],
    );
    let fix = told[2]["showing"]["id"].clone();
    assert_eq!(told[3]["known"]["not_possible"], json!([fix]));
    let heard = [ids(&told[3], "danger"), ids(&told[3], "ask_first")].concat();
    assert_eq!(heard, [BURNING]);
}

#[test]
fn what_looks_like_a_name_and_is_none_is_said() {
    let case = Case::warm_demo();
    for (line, expected) in [
        ("K99", "K99 is no code of these articles"),
        (
            "it shows k 98 since noon",
            "K98 is no code of these articles",
        ),
        ("post-99", "post-99 is no device of these articles"),
        ("status lamp purple", "purple is no state of status-lamp: "),
        ("for plumber", "plumber is no role here: "),
        // Words stay words.
        ("K31, post-22, status lamp red slow", ""),
        ("said: K99", ""),
        ("post 3 is dead for hours", ""),
        ("for hours", ""),
        ("status lamp broken", ""),
        ("on the Q25, fuse is 16A", ""),
    ] {
        let state = states(&case, &[line]).pop().unwrap();
        let unknown = state["unknown"].as_array().unwrap();
        let unknown = unknown.first().map_or("", |one| one.as_str().unwrap());
        assert!(
            unknown.starts_with(expected) && unknown.is_empty() == expected.is_empty(),
            "{line}: {unknown}"
        );
    }
    let text = call(&case, &["K99"]).ok().stdout;
    assert!(
        text.contains("But: K99 is no code of these articles.\n"),
        "{text}"
    );
}

#[test]
fn a_line_that_tells_nothing_weighed_is_answered_in_one_line() {
    let case = Case::warm_demo();
    let text = call(
        &case,
        &["my card does nothing", "note: rings back at noon", "leave"],
    )
    .ok()
    .stdout;
    let (_, noted) = text.split_once("> note: rings back at noon\n").unwrap();
    assert!(noted.starts_with("Heard: a note.\n\n> leave"), "{noted}");
}

#[test]
fn no_share_stands_beside_no_fix() {
    let case = Case::warm_demo();
    let text = call(&case, &["llamada"]).ok().stdout;
    assert!(text.contains("No fix is known"), "{text}");
    assert!(!text.contains("no article covers it"), "{text}");
}
