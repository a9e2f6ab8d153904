//! Rules that need several files or many blocks. `tests/articles.rs` goes through the faults of
//! single files.

use super::*;
use crate::articles::parse::parse;
use crate::articles::settings_file;
use crate::base::problem::Problem;

fn settings() -> Settings {
    let (settings, problems) =
        settings_file::read(include_str!("../../../tests/data/articles/valid/kb.toml"));
    assert_eq!(problems, []);
    settings
}

fn check(files: &[(&str, &str)]) -> Checked {
    let settings = settings();
    let parsed: Vec<Parsed> = files.iter().map(|(p, t)| parse(p, t, "caller")).collect();
    lint(&Input {
        parsed: &parsed,
        settings: &settings,
        analyzer: &Analyzer::default(),
        today: jiff::civil::date(2026, 11, 1),
        pictures: &Pictures::new(),
    })
}

fn fix(id: &str, attributes: &str) -> String {
    format!(
        "## Fix: Do {id} {{#{id} minutes=1 who=caller {attributes}}}\n1. Do it.\n\nDone when: done.\n\n"
    )
}

fn article(id: &str, front: &str, blocks: &str) -> String {
    format!(
        "---\nid: {id}\ntitle: T\nsymptoms: [x]\nreviewed: 2026-09-01\n{front}---\nText.\n\n{blocks}"
    )
}

fn brief(problems: &[Problem]) -> Vec<(&str, usize)> {
    problems.iter().map(|p| (p.rule, p.place.line)).collect()
}

#[test]
fn doubles_and_old_ids_count_against_the_later_article() {
    let a = article("a", "", &fix("x", "was=y"));
    let b = article("b", "was: [a, c]\n", &fix("x", "was=a#y"));
    let c = article("a", "", "");
    let checked = check(&[
        ("articles/a.md", &a),
        ("articles/b.md", &b),
        ("articles/z/a.md", &c),
    ]);
    assert_eq!(
        brief(&checked.problems),
        [("old-id", 6), ("old-id", 10), ("double-id", 2)]
    );
    assert_eq!(checked.catalog.articles.len(), 1);
    assert!(checked.left_out.contains("b"));
}

#[test]
fn what_must_come_after_an_unserved_block_is_not_served() {
    let a = article(
        "a",
        "",
        &(fix("first", "hazard=nonsense") + &fix("second", "after=first")),
    );
    let b = article(
        "b",
        "",
        &(fix("third", "after=a#second") + &fix("free", "")),
    );
    let checked = check(&[("articles/a.md", &a), ("articles/b.md", &b)]);
    assert_eq!(
        brief(&checked.problems),
        [
            ("unknown-hazard", 9),
            ("after-left-out", 14),
            ("after-left-out", 9)
        ]
    );
    let served: Vec<&str> = checked.catalog.fixes.keys().map(|f| f.as_str()).collect();
    assert_eq!(served, ["b#free"]);
}

#[test]
fn a_cycle_over_two_articles_is_found_once_for_each_member() {
    let a = article("a", "", &(fix("x", "after=b#y") + &fix("z", "")));
    let b = article("b", "", &fix("y", "after=a#x"));
    let checked = check(&[("articles/a.md", &a), ("articles/b.md", &b)]);
    assert_eq!(
        brief(&checked.problems),
        [("after-cycle", 9), ("after-cycle", 9)]
    );
    assert_eq!(checked.catalog.fixes.len(), 1);
}

#[test]
fn order_and_answers_follow_renames_and_tell_checks_from_fixes() {
    let check_block = "## Check: On? {#on answers=yes,no was=lit}\n\n";
    let a = article("a", "was: [old]\n", check_block);
    let b = article("b", "", &fix("y", "after=old#lit expect=a#lit:no"));
    let checked = check(&[("articles/a.md", &a), ("articles/b.md", &b)]);
    assert_eq!(brief(&checked.problems), []);
    let fix = &checked.catalog.fixes[&crate::base::ids::FixId::new("b#y")];
    assert_eq!(
        fix.after,
        [crate::articles::model::Before::Check("a#on".into())]
    );
    assert_eq!(fix.expect[0].0.as_str(), "a#on");
}

#[test]
fn a_long_chain_of_order_is_quick_and_has_no_cycle() {
    let mut blocks = fix("f0", "");
    for i in 1..2000 {
        blocks.push_str(&fix(&format!("f{i}"), &format!("after=f{}", i - 1)));
    }
    let text = article("a", "", &blocks);
    let checked = check(&[("articles/a.md", &text)]);
    assert_eq!(checked.problems, []);
    assert_eq!(checked.catalog.fixes.len(), 2000);
}

#[test]
fn reviews_are_due_after_the_months_of_the_settings() {
    for (reviewed, notes) in [
        ("2025-11-01", 0),
        ("2025-10-31", 1),
        ("2026-11-02", 1),
        ("9999-12-31", 1),
        ("-009999-01-01", 1),
    ] {
        let text =
            format!("---\nid: a\ntitle: T\nsymptoms: [x]\nreviewed: {reviewed}\n---\nText.\n");
        assert_eq!(
            check(&[("articles/a.md", &text)]).problems.len(),
            notes,
            "{reviewed}"
        );
    }
}

#[test]
fn what_takes_longer_than_a_day_is_a_slip() {
    for (minutes, notes) in [("1440", 0), ("1441", 1), ("9e300", 1)] {
        let blocks = fix("f", "").replace("minutes=1 ", &format!("minutes={minutes} "));
        let checked = check(&[("articles/a.md", &article("a", "", &blocks))]);
        assert_eq!(checked.problems.len(), notes, "{minutes}");
        assert_eq!(checked.catalog.fixes.len(), 1, "a note leaves it served");
    }
}

proptest::proptest! {
    #[test]
    fn no_mutation_of_a_valid_article_makes_lint_panic(
        cuts in proptest::collection::vec((0usize..1600, 0usize..30, "[-#:{}\\[\\]()=,.\\n \"'>|*é0a]{0,6}"), 1..8)
    ) {
        let valid = include_str!("../../../tests/data/articles/valid/articles/power/rcd-trips.md");
        let mut chars: Vec<char> = valid.chars().collect();
        for (at, length, new) in cuts {
            let at = at.min(chars.len());
            let end = (at + length).min(chars.len());
            chars.splice(at..end, new.chars());
        }
        let text: String = chars.into_iter().collect();
        let checked = check(&[("articles/power/rcd-trips.md", &text), ("articles/x/rcd-trips.md", valid)]);
        // What must come before a served block is served.
        for fix in checked.catalog.fixes.values() {
            for before in &fix.after {
                let id = before.to_string();
                assert!(checked.catalog.checks.contains_key(id.as_str()) || checked.catalog.fixes.contains_key(id.as_str()));
            }
        }
    }
}

#[test]
fn phrases_of_danger_articles_are_read() {
    let danger = |keys: &str| {
        format!(
            "---\nid: smoke\ntitle: Smoke\nsymptoms: [smoke]\nreviewed: 2026-10-01\nstate: live\n{keys}---\n\n## Do now\n1. Leave.\n"
        )
    };
    for (keys, message) in [
        (
            "danger: stop\nstop-words: [smoke]\nharmless: [smoke test]\n",
            None,
        ),
        (
            "danger: stop\nstop-words: ['<part> smoke']\n",
            Some("this phrase cannot be read: there is no group `part` under `[groups]`"),
        ),
        (
            "danger: stop\nstop-words: [smoke]\nharmless: ['!']\n",
            Some("this phrase cannot be read: `!` lacks a word"),
        ),
    ] {
        let checked = check(&[("articles/a/smoke.md", &danger(keys))]);
        let found = checked.problems.iter().find(|p| p.rule == "danger");
        assert_eq!(found.map(|p| p.message.as_str()), message, "{keys}");
    }
    let stray = "---\nid: x\ntitle: X\nharmless: [smoke test]\n---\n";
    let checked = check(&[("articles/a/x.md", stray)]);
    let wanted = "only a danger article has `harmless`";
    assert!(checked.problems.iter().any(|p| p.message == wanted));
}
