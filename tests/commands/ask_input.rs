//! `fixtally ask` with odd input: names nobody knows, strange words, exit codes, a closed pipe.

use crate::case::{Case, Ran};
use std::process::Stdio;

fn ask(case: &Case, args: &[&str]) -> Ran {
    case.run(&[&["ask"], args].concat())
}

#[test]
fn unknown_names_offer_near_ones() {
    let case = Case::shared_demo();
    for (args, said, offered) in [
        (
            "--device post7",
            "no device `post7`",
            "did you mean `post-7`",
        ),
        (
            "--device charger",
            "no device `charger`",
            "one of `m-3`, `post-22`",
        ),
        ("--code K13", "no code `K13`", "did you mean `K11` or `K12`"),
        ("--code ZZZZ", "no code `ZZZZ`", "one of `K11`, `K12`"),
        (
            "--sign statuslamp=red-slow",
            "no indicator `statuslamp`",
            "`status-lamp`",
        ),
        (
            "--sign status-lamp=redslow",
            "`redslow`",
            "did you mean `red-slow`",
        ),
        (
            "--for electrican",
            "no role `electrican`",
            "did you mean `electrician`",
        ),
        (
            "--seen rcd-trips-on-plug-in#trips-emty=yes",
            "no check `rcd-trips-on-plug-in#trips-emty`",
            "did you mean `rcd-trips-on-plug-in#trips-empty`",
        ),
        (
            "--seen trips-emty=yes",
            "no check `trips-emty`",
            "did you mean `rcd-trips-on-plug-in#trips-empty`",
        ),
        (
            "--seen trips-empty=yess",
            "`yess` is no answer to `rcd-trips-on-plug-in#trips-empty`",
            "one of `yes`, `no`, `not-known`",
        ),
        (
            "--tried rcd-trips-on-plug-in#reseal-glan",
            "no fix",
            "did you mean `rcd-trips-on-plug-in#reseal-gland`",
        ),
        (
            "--tried reseal-glan",
            "no fix `reseal-glan`",
            "`rcd-trips-on-plug-in#reseal-gland`",
        ),
        (
            "--not-danger burning-smel",
            "no danger article",
            "did you mean `burning-smell-or-smoke`",
        ),
        ("--not-danger card-refused", "no danger article", "one of `"),
        ("--sign status-lamp", "expected `NAME=STATE`", ""),
        ("--seen trips-empty", "expected `CHECK=ANSWER`", ""),
        ("--by luck", "invalid value 'luck'", "chance, time"),
        ("--limit 0", "invalid value '0'", ""),
        (
            "--as-of yesterday",
            "expected a date such as `2026-11-01`",
            "",
        ),
    ] {
        let args: Vec<&str> = args.split(' ').collect();
        let ran = ask(case, &[&["trips"], &args[..]].concat()).exits(2);
        assert!(ran.stdout.is_empty(), "{args:?}: {}", ran.stdout);
        ran.complains(said).complains(offered);
    }
}

#[test]
fn a_name_that_several_articles_use_must_be_said_in_full() {
    let fix = |id: &str| {
        format!(
            "---\nid: {id}\ntitle: {id}\nsymptoms: [dead]\nreviewed: 2026-09-01\n---\nText.\n\n\
             ## Check: Lit? {{#lit answers=yes,no}}\nLook.\n\n\
             ## Fix: Wait {{#wait minutes=1 who=caller}}\n1. Wait.\n\nDone when: waited.\n"
        )
    };
    let case = Case::new()
        .file(
            "kb/kb.toml",
            "name = \"Test\"\n[roles]\norder = [\"caller\"]\n",
        )
        .file("kb/articles/a/one.md", fix("one"))
        .file("kb/articles/a/two.md", fix("two"));
    ask(&case, &["dead", "--tried", "wait"])
        .exits(2)
        .complains("`wait` is the name of several fixes")
        .complains("one of `one#wait`, `two#wait`");
    ask(&case, &["dead", "--seen", "lit=yes"])
        .exits(2)
        .complains("`lit` is the name of several checks");
    ask(&case, &["dead", "--tried", "one#wait"]).ok();
}

#[test]
fn nothing_asked_is_a_mistake_and_nothing_found_is_not() {
    let case = Case::shared_demo();
    for words in [&[][..], &[""], &["  ", "\t\n"], &["--device", "post-7"]] {
        ask(case, words)
            .exits(2)
            .complains("nothing was asked: expected words, a code, a sign or an answer");
    }
    // How common a danger is alone must not stop those who said nothing that points to it.
    for words in ["xyzzyxyz", "zzzzqqqq", "qwrtp lkjhg", "hello", "???"] {
        let ran = ask(case, &[words]);
        assert!(!ran.stdout.contains("STOP"), "{words}: {}", ran.stdout);
    }
    ask(case, &["xyzzyxyz"]).exits(1).says("No fix is known");
    let nothing = ask(case, &["--json", "xyzzyxyz"]).exits(1).json();
    assert_eq!(nothing["fixes"], serde_json::json!([]));
    // A code, a sign or an answer alone is enough.
    ask(case, &["--code", "K31"]).ok();
    ask(case, &["--sign", "bus-lamp=red"]).ok();
    ask(case, &["--seen", "rcd-trips-on-plug-in#trips-empty=yes"]).ok();
}

#[test]
fn strange_words_are_answered_and_never_reach_the_terminal_raw() {
    let case = Case::shared_demo();
    let long = "a".repeat(60_000);
    let many = "trips breaker rain ".repeat(3_400);
    for words in [
        "🔌⚡ 🚗",
        "\u{202e}trips\u{202d} rcd",
        "\u{1b}[2J\u{1b}]0;x\u{7} no \u{1b}[31mburning smell",
        "e\u{301}\u{301}\u{301}\u{301} \u{200b}\u{feff}",
        "-- ; DROP TABLE tickets; $(reboot) `ls`",
        "' OR 1=1 \" AND * ? ~ ^ : ( [ {",
        "充电桩 坏了 لا يعمل הטענה",
        "---",
        "a",
        &long,
        &many,
    ] {
        let ran = ask(case, &["--", words]);
        assert!([0, 1].contains(&ran.code), "{words:.20}: {}", ran.stderr);
        let raw = |c: char| c.is_control() && c != '\n' || ('\u{202a}'..='\u{202e}').contains(&c);
        assert!(!ran.stdout.contains(raw), "{words:.20}: {}", ran.stdout);
        assert!(ran.stderr.is_empty(), "{words:.20}: {}", ran.stderr);
    }
    let ran = ask(case, &["--json", "--", &many]).ok();
    assert_eq!(ran.json()["articles"][0]["id"], "rcd-trips-in-rain");
}

#[cfg(unix)]
#[test]
fn words_that_are_no_text_are_refused() {
    use std::os::unix::ffi::OsStrExt as _;
    let case = Case::shared_demo();
    let mut command = case.command(&["ask"]);
    command.arg(std::ffi::OsStr::from_bytes(b"tr\xffips"));
    let output = command.output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("UTF-8"));
}

#[test]
fn a_reader_that_went_away_is_no_failure() {
    let case = Case::shared_demo();
    for args in [
        &["ask", "rcd trips"][..],
        &["ask", "rcd trips", "--json"],
        &["evidence"],
    ] {
        let mut child = case
            .command(args)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        let told = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(0), "{args:?}: {told}");
        assert!(told.is_empty(), "{args:?}: {told}");
    }
}

#[test]
fn help_and_version_end_with_0() {
    let case = Case::new();
    case.run(&["--version"]).ok().says("fixtally ");
    case.run(&["ask", "--help"]).ok().says("--not-danger");
    case.run(&[]).exits(2);
    case.run(&["evidnce"]).exits(2).complains("'evidence'");
}

#[test]
fn letters_and_number_of_a_code_may_stand_apart() {
    let case = Case::shared_demo();
    let chances = |said: &str| ask(case, &["--json", said]).json()["fixes"].clone();
    let first = |fixes: &serde_json::Value| fixes[0]["id"].as_str().unwrap().to_owned();
    assert_eq!(first(&chances("K-31")), first(&chances("K31")));
    assert_eq!(first(&chances("shows k 31")), first(&chances("shows k31")));
}
