//! `fixtally ask` on the demo: what the terminal and JSON show, and what each option does.

use crate::case::{Case, Ran};
use serde_json::Value;
use std::collections::BTreeSet;
use unicode_width::UnicodeWidthStr as _;

const RCD: &str = "rcd-trips-on-plug-in";

fn ask(case: &Case, line: &str) -> Ran {
    let words: Vec<&str> = line.split(' ').collect();
    case.run(&[&["ask"], &words[..]].concat())
}

fn json(case: &Case, line: &str) -> Value {
    ask(case, &format!("{line} --json")).ok().json()
}

fn fixes(answer: &Value) -> Vec<&Value> {
    answer["fixes"].as_array().unwrap().iter().collect()
}

fn ids<'a>(answer: &'a Value, list: &str) -> Vec<&'a str> {
    let list = answer[list].as_array().unwrap();
    list.iter().map(|x| x["id"].as_str().unwrap()).collect()
}

/// The chance of a fix; 0 where it is not listed.
fn chance(answer: &Value, fix: &str) -> f64 {
    let found = fixes(answer).into_iter().find(|f| f["id"] == fix);
    found.map_or(0.0, |f| f["chance"].as_f64().unwrap())
}

fn keys(value: &Value) -> String {
    let keys: BTreeSet<&str> = value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    Vec::from_iter(keys).join(" ")
}

#[test]
fn typical_answers_fit_a_small_terminal() {
    let case = Case::shared_demo();
    for line in [
        "breaker trips when it rains --device post-22 --code K31 --for installer",
        "my card does nothing",
        "all points offline since this morning --by time --for installer",
        "car does not charge, lamp is green --by time",
        "plug is stuck in the car --for caller",
        "meter drops out a few times a day --by time --for electrician",
        "charges far too slowly --limit 5",
        "there is a burning smell",
        "I felt a shock when I touched the car",
        "Ladesäule ist offline",
    ] {
        let ran = ask(case, line).ok();
        assert!(ran.stderr.is_empty(), "{line}: {}", ran.stderr);
        let lines = ran.stdout.lines().count();
        assert!(lines <= 24, "{lines} lines for `{line}`:\n{}", ran.stdout);
        for shown in ran.stdout.lines() {
            assert!(shown.width() <= 80, "{line}: `{shown}`");
        }
    }
}

#[test]
fn answers_read_as_reviewed() {
    let case = Case::shared_demo();
    for (name, line) in [
        ("list", "my card does nothing"),
        ("call", "all points offline --by time --for installer"),
        ("caller", "plug is stuck in the car --by time --for caller"),
        ("danger", "there is a burning smell"),
        ("denied", "no burning smell but the fuse box trips at night"),
        ("nothing", "zzzzqqqq"),
    ] {
        // How sure it is changes with everything that is learned; what it says does not.
        let filters = [
            (r"[ <>\d]{1,2}\d %", " NN %"),
            (r"(expected|saves) \d+", "$1 NN"),
        ];
        insta::with_settings!({filters => filters}, {
            insta::assert_snapshot!(name, ask(case, line).stdout);
        });
    }
}

#[test]
fn json_has_exactly_the_agreed_names() {
    let case = Case::shared_demo();
    let answer = json(
        case,
        "no burning smell but the fuse box trips at night --by time",
    );
    assert_eq!(
        keys(&answer),
        "articles ask_first danger fixes kb next_check similar stop unlisted"
    );
    assert_eq!(keys(&answer["kb"]), "as_of evidence_to fingerprint name");
    assert_eq!(keys(&answer["ask_first"][0]), "id title why");
    assert_eq!(keys(&answer["articles"][0]), "basis chance id title");
    assert_eq!(
        keys(&answer["fixes"][0]),
        "after allowed articles basis cases cautions chance hazards high id inferred kind low \
         minutes rank raw_high raw_low resolved title tries who"
    );
    let asks = json(case, "my card does nothing");
    assert_eq!(
        keys(&asks["next_check"]),
        "answers cautions hazards id minutes question saves_minutes who"
    );
    assert_eq!(keys(&answer["stop"]), "after minutes_expected why");
    let stopped = json(case, "burning smell");
    assert_eq!(keys(&stopped["danger"][0]), "do_now id title why");
}

#[test]
fn numbers_are_chances_and_ranks_count() {
    let case = Case::shared_demo();
    let answer = json(case, "rcd trips on plug in --limit 300");
    let mut sum = answer["unlisted"].as_f64().unwrap();
    for (i, fix) in fixes(&answer).into_iter().enumerate() {
        assert_eq!(fix["rank"], i + 1);
        let number = |key: &str| fix[key].as_f64().unwrap();
        sum += number("chance");
        assert!(0.0 <= number("low") && number("low") <= number("chance"));
        assert!(number("chance") <= number("high") && number("high") <= 1.0);
        assert!(number("resolved") <= number("tries") && number("inferred") <= number("tries"));
        assert!(number("raw_low") <= number("raw_high"));
        let hazards = fix["hazards"].as_array().unwrap().len();
        assert_eq!(fix["cautions"].as_array().unwrap().len(), hazards);
    }
    assert!(sum > 0.5 && sum <= 1.0 + 1e-12, "{sum}");
    assert_eq!(fixes(&json(case, "rcd trips --limit 2")).len(), 2);
}

#[test]
fn only_the_order_of_time_says_when_to_stop() {
    let case = Case::shared_demo();
    let by_time = json(case, "my card does nothing --by time");
    assert!(by_time["stop"]["after"].as_u64().unwrap() > 0);
    let minutes = by_time["stop"]["minutes_expected"].as_f64().unwrap();
    assert!(minutes > 0.0 && minutes <= 120.0, "{minutes}");
    let by_chance = json(case, "my card does nothing --by chance");
    assert!(by_chance["stop"].is_null());
    assert_eq!(by_chance, json(case, "my card does nothing"));
}

#[test]
fn a_tried_fix_leaves_and_stays_away() {
    let case = Case::shared_demo();
    let line = "my card does nothing --limit 300";
    let before = json(case, line);
    let first = ids(&before, "fixes")[0].to_owned();
    let once = format!("{line} --tried {first}");
    let after = json(case, &once);
    assert!(!ids(&after, "fixes").contains(&first.as_str()));
    let second = ids(&after, "fixes")[0].to_owned();
    assert!(chance(&after, &second) >= chance(&before, &second));
    // What is learnt later does not bring it back.
    let later = json(
        case,
        &format!(
            "{once} --tried {second} --seen card-refused#card-status=accepted --tried {first}"
        ),
    );
    assert!(!ids(&later, "fixes").contains(&first.as_str()));
    // The short name means the same where only one article has it.
    let short = first.rsplit('#').next().unwrap();
    assert_eq!(after, json(case, &format!("{line} --tried {short}")));
}

#[test]
fn an_answer_raises_what_expects_it_and_the_order_of_answers_changes_nothing() {
    let case = Case::shared_demo();
    let line = "one of our chargers is offline in the portal --limit 300";
    let before = json(case, line);
    let seen = "--seen one-point-offline#switch-lamp=dark";
    let after = json(case, &format!("{line} {seen}"));
    let expects = "one-point-offline#renew-cord";
    assert!(chance(&after, expects) > chance(&before, expects));
    let other = "--seen boot-answer=never-came";
    let one = json(case, &format!("{line} {seen} {other}"));
    let two = json(case, &format!("{line} {other} {seen}"));
    assert_eq!(ids(&one, "fixes"), ids(&two, "fixes"));
    for fix in ids(&one, "fixes") {
        assert!(
            (chance(&one, fix) - chance(&two, fix)).abs() < 1e-12,
            "{fix}"
        );
    }
    // An answered check is not asked again.
    for answered in [one, two] {
        assert_ne!(
            answered["next_check"]["id"],
            "one-point-offline#switch-lamp"
        );
        assert_ne!(
            answered["next_check"]["id"],
            "one-point-offline#boot-answer"
        );
    }
}

#[test]
fn codes_and_signs_are_evidence() {
    let case = Case::shared_demo();
    let article = |answer: &Value| ids(answer, "articles")[0].to_owned();
    let by_code = json(case, "--code S41");
    assert_eq!(article(&by_code), "site-limit-exceeded");
    // Upper and lower case are one, and a code among the words counts as well.
    assert_eq!(by_code, json(case, "--code s41"));
    assert_eq!(article(&json(case, "it says S41")), "site-limit-exceeded");
    let by_sign = json(case, "--sign bus-lamp=red --sign power-lamp=green");
    assert_eq!(article(&by_sign), "meter-not-found");
    // They never filter: words that speak clearly are answered all the same.
    let other = json(case, "my card does nothing, beeps and goes red --code S41");
    assert!(ids(&other, "articles").contains(&"card-refused"));
}

#[test]
fn device_and_firmware_exclude() {
    let case = Case::shared_demo();
    let line = "rcd trips when the car is plugged in --limit 300";
    assert_eq!(ids(&json(case, line), "articles")[0], RCD);
    let answer = json(case, &format!("{line} --device SC-2"));
    assert!(!ids(&answer, "articles").contains(&RCD));
    // A fix that other articles share stays, for them.
    for fix in fixes(&answer) {
        assert!(!fix["articles"].as_array().unwrap().contains(&RCD.into()));
    }
}

#[test]
fn firmware_excludes_by_numbers() {
    let article = "---\nid: jumps\ntitle: Power jumps\nfirmware: \">=3.0, <3.2\"\n\
        symptoms: [power jumps]\nreviewed: 2026-09-01\n---\nText.\n";
    let case = Case::new()
        .file("kb/kb.toml", "name = \"Test\"\n")
        .file("kb/articles/a/jumps.md", article);
    for (firmware, listed) in [
        ("3.0", true),
        ("3.1.9-beta", true),
        ("unknown", true),
        ("2.5.1", false),
        ("3.2", false),
        ("3.10.1", false),
    ] {
        let ran = ask(&case, &format!("power jumps --json --firmware {firmware}"));
        let found = !ids(&ran.json(), "articles").is_empty();
        assert_eq!(found, listed, "{firmware}: {}", ran.stderr);
    }
}

#[test]
fn a_danger_stops_everything_until_it_is_denied() {
    let case = Case::shared_demo();
    let line = "all points offline and a burning smell --by time";
    let answer = json(case, line);
    assert_eq!(ids(&answer, "danger"), ["burning-smell-or-smoke"]);
    assert!(!answer["danger"][0]["do_now"].as_array().unwrap().is_empty());
    assert_eq!(answer["fixes"], serde_json::json!([]));
    assert!(answer["next_check"].is_null() && answer["stop"].is_null());
    let text = ask(case, line).ok().stdout;
    assert!(text.starts_with(" STOP - DANGER "), "{text}");
    assert!(!text.contains("Restart the site controller"), "{text}");
    let lifted = json(case, &format!("{line} --not-danger burning-smell-or-smoke"));
    assert_eq!(lifted["danger"], serde_json::json!([]));
    assert!(!fixes(&lifted).is_empty());
    assert!(!ids(&lifted, "articles").contains(&"burning-smell-or-smoke"));
    // One denied danger lifts no other.
    let two = "burning smell and I got a shock --not-danger burning-smell-or-smoke";
    assert_eq!(ids(&json(case, two), "danger"), ["shock-or-tingling"]);
}

#[test]
fn a_denied_danger_is_asked_first() {
    let case = Case::shared_demo();
    let answer = json(case, "no burning smell, all points offline");
    assert_eq!(answer["danger"], serde_json::json!([]));
    assert_eq!(ids(&answer, "ask_first"), ["burning-smell-or-smoke"]);
    assert!(!fixes(&answer).is_empty());
    let text = ask(case, "no burning smell, all points offline")
        .ok()
        .stdout;
    assert!(text.starts_with(" ASK FIRST "), "{text}");
}

#[test]
fn a_role_sees_its_own_work_first_and_who_may_do_the_rest() {
    let case = Case::shared_demo();
    let answer = json(case, "rcd trips on plug in --for caller --limit 300");
    let allowed: Vec<bool> = fixes(&answer)
        .iter()
        .map(|f| f["allowed"].as_bool().unwrap())
        .collect();
    let own = allowed.iter().take_while(|a| **a).count();
    assert!(own > 0 && own < allowed.len());
    assert!(allowed[own..].iter().all(|a| !a), "{allowed:?}");
    for fix in &fixes(&answer)[..own] {
        assert_eq!(fix["who"], "caller", "{fix}");
    }
    let text = ask(case, "rcd trips on plug in --for caller --limit 300").ok();
    let (before, beyond) = text.stdout.split_once("-- not for this role --").unwrap();
    assert!(!before.contains("electrician"), "{before}");
    assert!(
        beyond.contains("Dry and reseal the cable gland"),
        "{beyond}"
    );
    // The likely ones are seen in a short list too, after what the role may do.
    let short = json(case, "rcd trips on plug in --for caller");
    let allowed: Vec<bool> = fixes(&short)
        .iter()
        .map(|f| f["allowed"].as_bool().unwrap())
        .collect();
    assert_eq!(allowed.len(), 5);
    assert!(allowed[0] && !allowed[4], "{allowed:?}");
}
