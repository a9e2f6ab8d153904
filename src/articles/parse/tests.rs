use super::super::model::{Before, Entry};
use super::*;

pub(in crate::articles) const VALID: &str = "---
id: rcd-trips
title: RCD trips when a vehicle is plugged in
devices: [post-7]
firmware: \">=2.4, <3.2\"
symptoms:
  - breaker goes off
codes: [K31]
signs: { status-lamp: red-slow }
reviewed: 2026-09-14
state: live
---
What is going on. ![front panel](img/panel.svg) See [the other](other.md).

## Background
Plain text, no block.

## Check: Does it also trip empty? {#trips-empty answers=yes,no minutes=2 who=caller}
How to look.

## Check: [Is it wet?](../weather/wet.md#wet)

## Fix: Dry and reseal the gland {#reseal-gland minutes=20 who=electrician hazard=mains expect=trips-empty:yes,wet:no after=trips-empty,wet,x#y was=seal}
Before you begin.

1. Isolate.
   Prove dead.
2. Look at ![the gland](img/gland.png).
Done when: it reads at least
1 MΩ.

### Why
- not a step

## Fix: [Restart the controller](../network/controller-restart.md#restart)
";

#[test]
fn a_whole_article_is_read() {
    let parsed = parse("articles/power/rcd-trips.md", VALID, "caller");
    assert_eq!(parsed.findings, []);
    let article = &parsed.article;
    assert_eq!(article.area, "power");
    assert!(article.intro.contains("## Background"));
    assert_eq!(article.pictures[0].path, "articles/power/img/panel.svg");
    assert_eq!(article.pictures[1].alt, "the gland");
    assert_eq!(parsed.links[0].value, "other.md");
    let check = article.checks[0].own().unwrap();
    assert_eq!(check.question, "Does it also trip empty?");
    assert_eq!(
        (check.work.minutes, check.work.who.as_str()),
        (2.0, "caller")
    );
    let Entry::Link { target, title, .. } = &article.checks[1] else {
        panic!()
    };
    assert_eq!((target.as_str(), title.as_str()), ("wet#wet", "Is it wet?"));
    let fix = article.fixes[0].own().unwrap();
    assert_eq!(fix.kind, "dry");
    assert_eq!(
        fix.work.steps,
        ["Isolate. Prove dead.", "Look at the gland."]
    );
    assert_eq!(fix.done_when.as_deref(), Some("it reads at least 1 MΩ."));
    assert!(
        fix.work.markdown.contains("img/gland.png).\n\nDone when:"),
        "{}",
        fix.work.markdown
    );
    assert!(fix.work.markdown.ends_with("- not a step"));
    assert_eq!(fix.was[0].as_str(), "rcd-trips#seal");
    assert_eq!(
        fix.expect,
        [
            ("rcd-trips#trips-empty".into(), "yes".to_owned()),
            ("wet#wet".into(), "no".to_owned())
        ]
    );
    assert_eq!(
        fix.after,
        [
            Before::Check("rcd-trips#trips-empty".into()),
            Before::Check("wet#wet".into()),
            Before::Fix("x#y".into())
        ]
    );
    assert_eq!(parsed.article.fixes.len(), 2);
}

#[test]
fn the_ends_of_lines_of_windows_change_nothing() {
    let unix = parse("articles/power/rcd-trips.md", VALID, "caller");
    let text = VALID.replace('\n', "\r\n");
    let windows = parse("articles/power/rcd-trips.md", &text, "caller");
    assert_eq!(windows.findings, []);
    assert_eq!(unix.article, windows.article);
}

#[test]
fn a_danger_article_has_its_steps_and_stop_words() {
    let text = "---\nid: smoke\ntitle: Smoke\ndanger: stop\nstop-words: [burning smell]\n---\n\n## Do now\n1. Leave.\n2. Ring.\n";
    let (article, problems) = article("articles/a/smoke.md", text, "caller");
    assert_eq!(problems, []);
    let danger = article.unwrap().danger.unwrap();
    assert_eq!(danger.do_now, ["Leave.", "Ring."]);
    assert_eq!(danger.stop_words, ["burning smell"]);
}

#[test]
fn a_check_defaults_to_one_minute_and_the_first_role() {
    let text = "---\nid: a\ntitle: A\n---\n## Check: Is it on? {#on answers=yes,no}\n";
    let parsed = parse("articles/a.md", text, "caller");
    let check = parsed.article.checks[0].own().unwrap();
    assert_eq!(
        (check.work.minutes, check.work.who.as_str()),
        (1.0, "caller")
    );
}

#[test]
fn every_fault_of_a_heading_is_reported_at_its_place() {
    let head = "---\nid: a\ntitle: A\n---\n";
    for (line, rule, column) in [
        ("## Fix: No id", "block-id", 1),
        ("## Fix: Broken {#a<b minutes=1}", "block-id", 1),
        ("## Fix: X {#Bad_Id minutes=1 who=a}", "plain-id", 13),
        ("## Fix: X {#x minutes=soon who=a}", "minutes", 15),
        ("## Fix: X {#x minutes=-1 who=a}", "minutes", 15),
        ("## Fix: X {#x minutes=1 minuts=2}", "unknown-attribute", 25),
        (
            "## Fix: X {#x hazard=mains, height}",
            "unknown-attribute",
            29,
        ),
        ("## Fix: X {#x minutes=1 minutes=2}", "double-key", 25),
        ("## Fix: X {#x expect=wet}", "expect", 15),
        ("## Fix: {#x minutes=1}", "title", 1),
        ("## Check: X? {#x answers=yes}", "check-answers", 18),
        ("## Check: X? {#x answers=yes,yes,no}", "double-value", 30),
        ("## Fiks: X {#x minutes=1}", "misspelt-heading", 1),
        ("### Fix: X {#x minutes=1}", "misspelt-heading", 1),
        ("## Fix: [X](https://example.org)", "broken-link", 9),
        ("## Fix: [X](b.md)", "broken-link", 9),
    ] {
        let parsed = parse(
            "articles/a.md",
            &format!("{head}{line}\n1. Step.\n"),
            "caller",
        );
        let found: Vec<_> = parsed
            .findings
            .iter()
            .map(|f| (f.problem.rule, f.problem.place.line, f.problem.place.column))
            .collect();
        assert!(found.contains(&(rule, 5, column)), "{line}: {found:?}");
    }
}

proptest::proptest! {
    #[test]
    fn no_text_makes_it_panic(text in "(?s).{0,400}") {
        let _ = parse("articles/a.md", &text, "caller");
    }

    #[test]
    fn no_mutation_of_a_valid_article_makes_it_panic(
        cuts in proptest::collection::vec((0usize..1200, 0usize..40, "[-#:{}\\[\\]()=,.\\n \"'>|*&!aé0]{0,6}"), 1..6)
    ) {
        let mut chars: Vec<char> = VALID.chars().collect();
        for (at, length, new) in cuts {
            let at = at.min(chars.len());
            let end = (at + length).min(chars.len());
            chars.splice(at..end, new.chars());
        }
        let text: String = chars.into_iter().collect();
        let parsed = parse("articles/power/rcd-trips.md", &text, "caller");
        for finding in &parsed.findings {
            assert!(finding.problem.place.line <= text.lines().count() + 1);
        }
    }
}
