//! `fixtally evidence --weights`: what answers look at, what was learned, and learning anew.

use crate::case::Case;
use serde_json::Value;
use unicode_width::UnicodeWidthStr as _;

const RCD: &str = "rcd-trips-on-plug-in";

fn json(case: &Case, args: &[&str]) -> Value {
    case.run(&[&["evidence", "--weights", "--json"], args].concat())
        .ok()
        .json()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

#[test]
fn weights_and_words_fit_the_width_and_say_from_what_they_were_learned() {
    let case = Case::shared_demo();
    for args in [
        &["evidence", "--weights"][..],
        &["evidence", RCD, "--weights"],
    ] {
        let ran = case.run(args).ok();
        assert!(ran.stderr.is_empty(), "{}", ran.stderr);
        assert!(
            ran.stdout.lines().all(|line| line.width() <= 80),
            "{}",
            ran.stdout
        );
        let told = one_line(&ran.stdout);
        for words in ["(fit point 5520)", "there are 5616 now", "parts of words"] {
            assert!(told.contains(words), "no `{words}` in:\n{}", ran.stdout);
        }
    }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_odds_are_those_of_a_typical_step() {
    let table = json(Case::shared_demo(), &[]);
    let weights = list(&table["weights"]);
    assert_eq!(weights.len(), 13);
    for row in weights {
        let step = number(&row["step"]);
        assert!(step > 0.0, "{row}");
        for (odds, weight) in [("odds", "weight"), ("odds_shipped", "shipped")] {
            let expected = (number(&row[weight]) * step).exp();
            assert!((number(&row[odds]) / expected - 1.0).abs() < 1e-9, "{row}");
        }
        let matches = ["code", "signs"].contains(&row["what"].as_str().unwrap());
        assert!(!matches || step.to_bits() == 1.0_f64.to_bits(), "{row}");
    }
    assert!(table["article"].is_null());
    // 5616 cases; 5520 is a fit point, 200·1.05^68 rounded up, and 5796 the next.
    let learned = &table["learned"];
    assert_eq!(
        (&learned["fit_point"], &table["next_fit_point"]),
        (&5520.into(), &5796.into())
    );
    assert!(learned["cases"].as_u64().unwrap() >= 5520);
    assert_eq!(learned["until"], "2026-10-20");
}

#[test]
fn an_articles_words_are_its_own_and_its_callers() {
    let case = Case::shared_demo();
    let words = |article: &str, side: &str| -> Vec<String> {
        let table = json(case, &[article]);
        let all = list(&table["article"][side]);
        all.iter()
            .map(|w| w["word"].as_str().unwrap().to_owned())
            .collect()
    };
    assert!(words(RCD, "for_it").contains(&"rcd".to_owned()));
    assert!(words("card-refused", "for_it").contains(&"card".to_owned()));
    assert!(!words(RCD, "for_it").contains(&"card".to_owned()));
    let table = json(case, &[RCD]);
    for (side, sign) in [("for_it", 1.0), ("against", -1.0)] {
        let times: Vec<f64> = list(&table["article"][side])
            .iter()
            .map(|w| number(&w["times"]).ln() * sign)
            .collect();
        assert!(
            !times.is_empty() && times.iter().all(|t| *t > 0.0),
            "{side}: {times:?}"
        );
        assert!(times.is_sorted_by(|a, b| a >= b), "{side}: {times:?}");
    }
}

#[test]
fn what_is_not_learned_yet_is_learned_first() {
    let case = Case::warm_demo();
    let words = case.path("kb/words.toml");
    let text = std::fs::read_to_string(&words).unwrap();
    std::fs::write(&words, format!("{text}\n# Another day.\n")).unwrap();
    let stale = case.run(&["ask", "rcd trips"]).ok();
    stale.complains("the next import learns anew");
    let ran = case.run(&["evidence", "--weights"]).ok();
    assert!(
        ran.stderr.contains("Learning from the tickets"),
        "{}",
        ran.stderr
    );
    let again = case.run(&["evidence", "--weights"]).ok();
    assert_eq!((again.stdout, again.stderr), (ran.stdout, String::new()));
    assert!(case.run(&["ask", "rcd trips"]).ok().stderr.is_empty());
}

#[test]
fn the_counts_alone_need_no_learning() {
    let case = Case::demo();
    let ran = case.run(&["evidence", RCD]).ok();
    assert!(!ran.stderr.contains("Learning"), "{}", ran.stderr);
}

#[test]
fn without_enough_cases_the_shipped_weights_are_shown_and_said_to_be_that() {
    let case = Case::new().file("kb/kb.toml", "name = \"Test\"\n").file(
        "kb/articles/a/dark.md",
        "---\nid: dark\ntitle: Post is dark\nsymptoms: [no lamp]\nreviewed: 2026-09-01\n---\nText.\n",
    );
    let text = one_line(&case.run(&["evidence", "--weights"]).ok().stdout);
    assert!(
        text.contains("learning begins at 200 cases, and there are 0"),
        "{text}"
    );
    let table = json(&case, &["dark"]);
    assert!(table["learned"].is_null());
    for row in list(&table["weights"]) {
        assert_eq!(row["weight"], row["shipped"]);
    }
    assert_eq!(list(&table["article"]["for_it"]).len(), 0);
    let text = case.run(&["evidence", "dark", "--weights"]).ok().stdout;
    assert!(text.contains("No word speaks for it clearly."), "{text}");
}

#[test]
fn wrong_input_is_refused() {
    let case = Case::shared_demo();
    case.run(&["evidence", "rcd-trips-on-plugin", "--weights"])
        .exits(2)
        .complains("did you mean `rcd-trips-on-plug-in`");
    case.run(&[
        "evidence",
        "--weights",
        "--why",
        "rcd-trips-on-plug-in#reseal-gland",
    ])
    .exits(2)
    .complains("cannot be used with");
}
