//! `fixtally ask --why`: the factors give the chance exactly, and read as reviewed.

use crate::case::{Case, Ran};
use serde_json::Value;
use std::collections::BTreeMap;
use unicode_width::UnicodeWidthStr as _;

fn why(line: &str) -> Ran {
    let words: Vec<&str> = line.split(' ').collect();
    Case::shared_demo().run(&[&["ask", "--why"], &words[..]].concat())
}

fn json(line: &str) -> Value {
    why(&format!("{line} --json")).ok().json()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap()
}

/// What one thing multiplies the chance of each listed fix by, with the chance that the fix has in
/// the article it is told of; by article and fix.
fn factors(answer: &Value, what: &str) -> BTreeMap<(String, String), (f64, f64)> {
    let text = |value: &Value| value.as_str().unwrap().to_owned();
    let of_fix = |fix: &Value| {
        let all = list(&fix["why"]["factors"]);
        let times = |what: &str| number(&all.iter().find(|f| f["what"] == what).unwrap()["times"]);
        let chance = number(&fix["chance"]) / times("other-articles");
        (
            (text(&fix["why"]["article"]), text(&fix["id"])),
            (times(what), chance),
        )
    };
    list(&answer["fixes"]).iter().map(of_fix).collect()
}

#[test]
fn the_factors_give_the_chance_exactly() {
    let mut shared = 0;
    for line in [
        "breaker trips when it rains --device post-22 --code K31 --sign status-lamp=red-slow",
        "my card does nothing --seen reader-answer=nothing --tried card-refused#replace-reader",
        "all points offline since the storm, no burning smell --by time --for caller --limit 300",
        "burning smell at the plug, stuck --not-danger burning-smell-or-smoke --limit 40",
        "--code S41 --seen one-point-offline#switch-lamp=dark",
    ] {
        let answer = json(line);
        assert!(!list(&answer["fixes"]).is_empty(), "{line}");
        for fix in list(&answer["fixes"]) {
            let why = &fix["why"];
            let times = |list: &Value| -> f64 {
                list.as_array()
                    .unwrap()
                    .iter()
                    .map(|f| number(&f["times"]))
                    .product()
            };
            let chance = number(&why["average"]) * times(&why["factors"]) * times(&why["words"]);
            let given = number(&fix["chance"]);
            assert!(
                (chance / given - 1.0).abs() < 1e-9,
                "{line}: {chance} {given}"
            );
            let others = list(&why["factors"]).last().unwrap();
            shared +=
                usize::from(others["what"] == "other-articles" && number(&others["times"]) > 1.0);
        }
    }
    assert!(shared > 5, "{shared}");
}

#[test]
fn the_average_candidate_is_one_for_all() {
    let answer = json("my card does nothing --limit 300");
    let fixes = list(&answer["fixes"]);
    let first = &fixes[0]["why"];
    let mut logs = 0.0;
    for fix in fixes {
        assert_eq!(fix["why"]["average"], first["average"]);
        assert_eq!(fix["why"]["candidates"], first["candidates"]);
        let factors = list(&fix["why"]["factors"]);
        let others = number(&factors.last().unwrap()["times"]);
        logs += (number(&fix["chance"]) / others).ln();
    }
    // Candidates are pairs of an article and a fix: at least as many as fixes.
    assert!(first["candidates"].as_u64().unwrap() >= fixes.len() as u64);
    let listed = (logs / fixes.len() as f64).exp();
    let average = number(&first["average"]);
    assert!(
        average > 0.0 && average < listed * 2.0,
        "{average} {listed}"
    );
}

/// Take a code or an answer away, and the odds between any two fixes change by its factors and by
/// nothing else.
#[test]
fn a_factor_is_what_its_absence_takes_away() {
    for (line, more, what) in [
        (
            "the charger is offline --limit 300",
            "--seen boot-answer=rejected",
            "answer",
        ),
        ("breaker trips --limit 300", "--code K31", "code"),
        (
            "breaker trips --limit 300",
            "--sign status-lamp=red-slow",
            "signs",
        ),
    ] {
        let (with, without) = (json(&format!("{line} {more}")), json(line));
        let (with, without) = (factors(&with, what), factors(&without, "other-articles"));
        let common: Vec<_> = with
            .keys()
            .filter(|fix| without.contains_key(*fix))
            .collect();
        assert!(common.len() > 20, "{line}: {}", common.len());
        let mut told = 0;
        for two in common.windows(2) {
            let (a, b) = (with[two[0]], with[two[1]]);
            let moved = (a.1 / b.1) / (without[two[0]].1 / without[two[1]].1);
            assert!(
                (moved / (a.0 / b.0) - 1.0).abs() < 1e-9,
                "{line} {more}: {two:?}"
            );
            told += usize::from((moved - 1.0).abs() > 0.01);
        }
        assert!(told > 1, "{line} {more}: {told}");
    }
}

#[test]
fn json_names_everything() {
    let keys =
        |value: &Value| -> Vec<String> { value.as_object().unwrap().keys().cloned().collect() };
    let answer = json("my card does nothing --seen reader-answer=nothing");
    let why = &answer["fixes"][0]["why"];
    assert_eq!(
        keys(why),
        ["article", "average", "candidates", "factors", "words"]
    );
    assert_eq!(keys(&why["factors"][0]), ["what", "words", "times"]);
    assert_eq!(keys(&why["words"][0]), ["word", "times"]);
    let names = |list_of: &Value, key: &str| -> Vec<String> {
        list(list_of)
            .iter()
            .map(|f| f[key].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(
        names(&why["factors"], "what").join(" "),
        "own-article own-fix callers-of-pair callers-of-article callers-of-kind letters-of-article \
         letters-of-kind common share code signs answer other-articles"
    );
    let mut words = names(&why["words"], "word");
    words.sort();
    assert_eq!(words, ["card", "does", "my", "nothing"]);
}

#[test]
fn the_table_has_a_row_for_what_tells_and_a_column_for_each_fix() {
    let line = "breaker trips when it rains --code K31 --sign status-lamp=red-slow --limit 6";
    let text = why(&format!("{line} --seen insulation-test=no"))
        .ok()
        .stdout;
    let (_, tables) = text.split_once("\nWhy: ").unwrap();
    let tables: Vec<&str> = tables.split("\n\n").skip(1).collect();
    assert_eq!(tables.len(), 2, "{text}");
    for (table, fixes) in tables.iter().zip([5, 1]) {
        for row in [
            "own words of the article",
            "fault code K31",
            "indicators status-lamp=red-slow",
            "learned word: trips",
            "the rest",
            "all together",
        ] {
            let found = table.lines().find(|line| line.starts_with(row));
            let found = found.unwrap_or_else(|| panic!("no `{row}` in:\n{table}"));
            assert_eq!(found.matches(['×', '÷']).count(), fixes, "{found}");
        }
        assert_eq!(table.lines().last().unwrap().matches('%').count(), fixes);
    }
    assert!(text.contains("answer insulation-test=no"), "{text}");
}

#[test]
fn the_tables_fit_the_width_whatever_was_said() {
    let long = "supercalifragilisticexpialidocious".repeat(4);
    for line in [
        "trips --limit 23".to_owned(),
        format!("trips {long} --by time --for caller"),
        "all points offline --code S41 --code S42 --code K31 --code K71 --code S33 --code M11"
            .to_owned(),
        "漢字 漢字 trips --seen trips-empty=yes --seen follows-car=any-car".to_owned(),
    ] {
        for shown in why(&line).ok().stdout.lines() {
            assert!(shown.width() <= 80, "{line}: `{shown}`");
        }
    }
}

#[test]
fn only_what_was_asked_is_said() {
    let plain = Case::shared_demo().run(&["ask", "trips", "--json"]).ok();
    assert!(!plain.stdout.contains("\"why\": {"), "{}", plain.stdout);
    // A danger stops this too.
    let stopped = why("burning smell").ok().stdout;
    assert!(!stopped.contains("Why:"), "{stopped}");
}

#[test]
fn without_cases_no_chance_is_made_up() {
    let case = Case::new()
        .file("kb/kb.toml", "name = \"Test\"\n[roles]\norder = [\"caller\"]\n")
        .file(
            "kb/articles/a/dark.md",
            "---\nid: dark\ntitle: Post is dark\nsymptoms: [no lamp is lit]\nreviewed: 2026-09-01\n\
             ---\nText.\n\n## Fix: Wait {#wait kind=wait minutes=5 who=caller}\n1. Wait.\n\n\
             Done when: a lamp is lit.\n\n\
             ## Fix: Push {#push kind=reseat minutes=2 who=caller}\n1. Push.\n\nDone when: it sits.\n",
        );
    let text = case.run(&["ask", "no lamp is lit", "--why"]).ok().stdout;
    let (_, tables) = text.split_once("\nWhy: ").unwrap();
    assert!(
        !tables.contains('%') && !tables.contains("1 in"),
        "{tables}"
    );
    assert!(
        tables.contains("how often this fix is the one in them"),
        "{tables}"
    );
}
