//! `fixtally tickets add`: options and JSON become the same tickets, and nothing is overwritten.

use crate::case::Case;
use serde_json::{Value, json};

fn show(case: &Case, id: &str) -> Value {
    case.run(&["-q", "--json", "tickets", "show", id]).json()
}

#[test]
fn options_become_a_ticket() {
    let case = Case::warm_demo();
    let ran = case
        .run(&[
            "-q",
            "--json",
            "tickets",
            "add",
            "--said",
            "trips in rain, ring 0171 2345678",
            "--device",
            "POST-22",
            "--code",
            "k31",
            "--sign",
            "status-lamp=red-slow",
            "--seen",
            "moisture-look=yes",
            "--tried",
            "swap-lead",
            "--could-not",
            "rcd-trips-on-plug-in#separate-loads",
            "--fixed-by",
            "rcd-trips-on-plug-in#reseal-gland",
            "--not-danger",
            "shock-or-tingling",
            "--notes",
            "all good",
        ])
        .ok();
    let id = ran.json()["id"].as_str().unwrap().to_owned();
    let ticket = show(&case, &id);
    for (key, expected) in [
        ("said", json!("trips in rain, ring [phone]")),
        ("device", json!("post-22")),
        ("codes", json!(["K31"])),
        ("signs", json!({"status-lamp": "red-slow"})),
        ("article", json!("rcd-trips-on-plug-in")),
        ("outcome", json!("resolved")),
        ("not_danger", json!(["shock-or-tingling"])),
        (
            "tries",
            json!([
                {"fix": "rcd-trips-on-plug-in#separate-loads", "result": "not-possible"},
                {"fix": "rcd-trips-on-plug-in#swap-lead", "result": "no-change"},
                {"fix": "rcd-trips-on-plug-in#reseal-gland", "result": "resolved"},
            ]),
        ),
    ] {
        assert_eq!(ticket[key], expected, "{key}");
    }
}

#[test]
fn wrong_names_and_missing_words_are_told() {
    let case = Case::warm_demo();
    for (args, told) in [
        (
            &["--said", "x", "--fixed-by", "reseal-gladn"][..],
            "reseal-gland",
        ),
        (&["--said", "x", "--device", "post-23"], "post-22"),
        (
            &["--said", "x", "--article", "rcd-trips-on-plug"],
            "rcd-trips-on-plug-in",
        ),
    ] {
        case.run(&[&["-q", "tickets", "add"], args].concat())
            .exits(2)
            .complains(told);
    }
    case.run(&["-q", "tickets", "add", "--fixed-by", "other"])
        .exits(1)
        .complains("`said` and `notes` are missing");
    case.run(&["-q", "tickets", "add", "--said", "x", "--outcome", "done"])
        .exits(1)
        .complains("`resolved`");
}

#[test]
fn lines_are_added_one_by_one_and_known_ids_stay_as_they_are() {
    let case = Case::new().file("kb/kb.toml", "");
    let lines = [
        json!({"said": "first"}).to_string(),
        json!({"id": "T-1", "closed": "2026-03-02T09:41:00Z", "said": "second", "ref": "r1"})
            .to_string(),
        "nonsense".to_owned(),
        json!({"id": "T-1", "closed": "2026-03-02T09:41:00Z", "said": "other words"}).to_string(),
        json!({"said": "same ref", "ref": "r1"}).to_string(),
        String::new(),
        json!({"id": "T-1", "closed": "2026-03-02T09:41:00Z", "said": "second", "ref": "r1"})
            .to_string(),
    ];
    let ran = case
        .run_with_input(&["-q", "tickets", "add", "-"], &lines.join("\n"))
        .exits(1);
    assert_eq!(ran.stdout.lines().count(), 3, "{}", ran.stdout);
    for told in [
        "line 3: ",
        "line 4: there is another ticket `T-1`",
        "line 5: ticket `T-1` has the ref `r1`",
    ] {
        assert!(ran.stderr.contains(told), "{told}: {}", ran.stderr);
    }
    assert_eq!(show(&case, "T-1")["said"], "second");
    assert_eq!(
        case.run(&["-q", "--json", "tickets", "list"]).json()["total"],
        2
    );
}
