//! `fixtally evidence` on the demo: the table, JSON, reasons, and what renaming does.

use crate::case::Case;
use unicode_width::UnicodeWidthStr as _;

const RCD: &str = "rcd-trips-on-plug-in";

#[test]
fn tables_and_reasons_read_as_reviewed() {
    let case = Case::shared_demo();
    for (name, args) in [
        ("evidence_table", &["evidence", RCD][..]),
        ("evidence_author", &["evidence", "after-lost-neutral"]),
        (
            "evidence_why",
            &["evidence", "--why", "rcd-trips-on-plug-in#reseal-gland"],
        ),
        (
            "evidence_why_other",
            &["evidence", "--why", "rcd-trips-on-plug-in#other"],
        ),
    ] {
        let ran = case.run(args).ok();
        assert!(ran.stderr.is_empty(), "{}", ran.stderr);
        insta::assert_snapshot!(name, ran.stdout);
    }
}

#[test]
fn the_whole_table_fits_the_width_and_says_what_it_rests_on() {
    let case = Case::shared_demo();
    let ran = case.run(&["evidence"]).ok().says("6000 tickets make");
    for line in ran.stdout.lines() {
        assert!(line.width() <= 80, "{line}");
    }
    assert!(!ran.stdout.contains('\u{1b}'));
}

#[test]
fn json_holds_the_numbers_of_the_table() {
    let case = Case::shared_demo();
    let all = case.run(&["evidence", "--json"]).ok().json();
    let articles = all["articles"].as_array().unwrap();
    assert!(articles.len() > 20, "{}", articles.len());
    let one = case.run(&["evidence", RCD, "--json"]).ok().json();
    let found = articles.iter().find(|a| a["id"] == RCD).unwrap();
    assert_eq!(&one["articles"][0], found);
    let mut sum = found["other"]["share"].as_f64().unwrap();
    for fix in found["fixes"].as_array().unwrap() {
        sum += fix["share"]["share"].as_f64().unwrap();
    }
    assert!((sum - 1.0).abs() < 1e-9, "{sum}");
}

#[test]
fn unknown_names_are_input_errors() {
    let case = Case::shared_demo();
    case.run(&["evidence", "rcd-trips-on-plugin"])
        .exits(2)
        .complains("there is no article `rcd-trips-on-plugin`")
        .complains("did you mean `rcd-trips-on-plug-in`");
    case.run(&["evidence", "--why", "rcd-trips-on-plug-in#reseal-glan"])
        .exits(2)
        .complains("did you mean `rcd-trips-on-plug-in#reseal-gland`");
    case.run(&["evidence", "--why", "reseal-gland"])
        .exits(2)
        .complains("expected `ARTICLE#FIX`");
    // A danger article has no fixes, so there is nothing to count.
    case.run(&["evidence", "burning-smell-or-smoke"])
        .ok()
        .says("no fixes to count");
}

#[test]
fn evidence_follows_a_rename_that_says_so() {
    let case = Case::warm_demo();
    let table = |case: &Case| case.run(&["evidence", RCD, "--json"]).ok().json();
    let fix = |table: &serde_json::Value, id: &str| {
        let fixes = table["articles"][0]["fixes"].as_array().unwrap().clone();
        fixes.into_iter().find(|f| f["id"] == id).unwrap()
    };
    let before = fix(&table(&case), "rcd-trips-on-plug-in#reseal-gland");
    assert!(before["resolved"].as_u64().unwrap() > 0);
    let path = "kb/articles/protection/rcd-trips-on-plug-in.md";
    let text = std::fs::read_to_string(case.path(path)).unwrap();
    let rename = |to: &str| {
        assert!(text.contains("{#reseal-gland "));
        case.write(path, text.replace("{#reseal-gland ", to));
    };
    rename("{#seal-again was=reseal-gland ");
    let kept = fix(&table(&case), "rcd-trips-on-plug-in#seal-again");
    for key in ["resolved", "tries", "share"] {
        assert_eq!(kept[key], before[key], "{key}");
    }
    assert_eq!(
        case.run(&["ask", "rcd trips", "--tried", "reseal-gland"])
            .code,
        2
    );
    case.run(&[
        "ask",
        "rcd trips",
        "--tried",
        "rcd-trips-on-plug-in#reseal-gland",
    ])
    .ok();
    rename("{#seal-again ");
    let lost = table(&case);
    let found = fix(&lost, "rcd-trips-on-plug-in#seal-again");
    assert_eq!(
        (&found["resolved"], &found["tries"]),
        (&0.into(), &0.into())
    );
    case.run(&["evidence"])
        .ok()
        .says("rcd-trips-on-plug-in#reseal-gland");
}
