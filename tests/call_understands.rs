//! What each line is understood as, on the demo: facts, answers, results, and words that only look
//! like them.

use crate::case::Case;
use fixtally::base::ids::FixId;
use fixtally::call::closing::Question;
use fixtally::call::lexicon::Lexicon;
use fixtally::call::understand::Context;
use fixtally::call::{Act, Advice, State, Understood, understand};
use fixtally::cli::{Desk, Session};
use fixtally::tickets::{Scrubber, TryResult};
use std::sync::LazyLock;

static DESK: LazyLock<Desk> = LazyLock::new(|| {
    let case = Case::shared_demo();
    Desk::open(&Session::quiet(&case.path("kb"), &case.path("kb/.state"))).unwrap()
});

fn heard(line: &str, state: &State, advice: &Advice, question: Option<&Question>) -> Understood {
    let lexicon = Lexicon::new(&DESK.settings, &DESK.catalog);
    let scrubber = Scrubber::new(DESK.settings.serial.as_deref()).unwrap();
    let context = Context {
        lexicon: &lexicon,
        ground: DESK.ground(),
        scrubber: &scrubber,
        advice,
        question,
        digest: &|text| format!("digest-of-{}-letters", text.len()),
    };
    understand(line, state, &context)
}

/// Acts in short: `say(words) code(K31)`.
fn short(understood: &Understood) -> String {
    match understood {
        Understood::Acts { acts, .. } => {
            let acts: Vec<String> = acts.iter().map(act).collect();
            acts.join(" ")
        }
        Understood::Asks(request) => format!("asks {request:?}"),
        Understood::Unclear(_) => "unclear".to_owned(),
    }
}

fn act(act: &Act) -> String {
    match act {
        Act::Say(words) => format!("say({words})"),
        Act::Device(id) => format!("device({id})"),
        Act::Firmware(version) => format!("firmware({version})"),
        Act::Code(code) => format!("code({code})"),
        Act::Sign { lamp, state } => format!("sign({lamp} {state})"),
        Act::Role(role) => format!("role({role})"),
        Act::Answer { check, answer } => format!("answer({} {answer})", check.short()),
        Act::Skip(check) => format!("skip({})", check.short()),
        Act::Pick(fix) => format!("pick({})", fix.short()),
        Act::Try {
            fix,
            result,
            minutes,
        } => {
            let fix = fix.as_ref().map_or("other", |f: &FixId| f.short());
            let took = minutes.map_or_else(String::new, |m| format!(" {m}"));
            format!("try({fix} {result:?}{took})")
        }
        Act::NotDanger(id) => format!("not-danger({id})"),
        other => format!("{other:?}"),
    }
}

/// A case in which the RCD trips and the first check was asked.
fn rcd() -> (State, Advice) {
    let state = State::of(&[Act::Say("rcd trips when the car is plugged in".to_owned())]);
    let advice = DESK.advise_call(&state).unwrap();
    (state, advice)
}

#[test]
fn facts_are_facts_and_words_stay_words() {
    let nothing = (State::default(), Advice::none());
    for (line, expected) in [
        ("K31", "code(K31)"),
        ("code k31", "code(K31)"),
        ("K-31", "code(K31)"),
        ("code k 31", "code(K31)"),
        ("K31, k12", "code(K31) code(K12)"),
        ("status lamp red slow", "sign(status-lamp red-slow)"),
        ("the status-lamp is slow red", "sign(status-lamp red-slow)"),
        ("status-lamp=red-slow", "sign(status-lamp red-slow)"),
        (
            "portal lamp is red; bus lamp amber",
            "sign(portal-lamp red) sign(bus-lamp amber)",
        ),
        ("post-22", "device(post-22)"),
        ("it is a Post 22", "device(post-22)"),
        ("SC-2 site controller", "device(sc-2)"),
        ("firmware 3.0.1", "firmware(3.0.1)"),
        ("for installer", "role(installer)"),
        (
            "post 22, fw 2.4.0, K31",
            "device(post-22) firmware(2.4.0) code(K31)",
        ),
        // Words, with the codes and signs among them.
        ("no lights", "say(no lights)"),
        (
            "it says K31 since noon",
            "say(it says K31 since noon) code(K31)",
        ),
        (
            "trips in rain, post-22, status lamp red slow since noon",
            "say(trips in rain, status lamp red slow since noon) device(post-22) sign(status-lamp red-slow)",
        ),
        // Denied, of another state, or only like a name.
        ("status lamp is not red", "say(status lamp is not red)"),
        ("no status lamp red", "say(no status lamp red)"),
        ("status lamp purple", "say(status lamp purple)"),
        (
            "for the installer it trips",
            "say(for the installer it trips)",
        ),
        (
            "fixed price shown is wrong",
            "say(fixed price shown is wrong)",
        ),
        ("site limit exceeded", "say(site limit exceeded)"),
        ("said: no change", "say(no change)"),
        ("\"fixed\"", "say(fixed)"),
        // Personal data go, and tell the site.
        (
            "caller is on 0171 2345678, no lights",
            "say(caller is on [phone], no lights) Site(\"digest-of-11-letters\")",
        ),
        ("site: North Yard 4", "Site(\"digest-of-10-letters\")"),
        ("ref 88231", "Reference(\"88231\")"),
        ("note: rings back at noon", "Note(\"rings back at noon\")"),
        ("help", "asks Help"),
        ("?", "asks Help"),
        ("undo", "asks Undo"),
        ("go on C-261101-1", "asks GoOn(Some(\"C-261101-1\"))"),
        ("remark: too long", "asks Remark(\"too long\")"),
        ("yes", "unclear"),
        ("7", "unclear"),
        ("fixed", "unclear"),
        ("no danger", "unclear"),
        (",;,", "unclear"),
    ] {
        let understood = heard(line, &nothing.0, &nothing.1, None);
        assert_eq!(short(&understood), expected, "{line}");
    }
}

#[test]
fn numbers_answers_and_results_are_about_what_is_at_hand() {
    let (state, advice) = rcd();
    let asked = advice.next_check.clone().unwrap().check;
    let first = advice.fixes[0].fix.short().to_owned();
    let second = advice.fixes[1].fix.short().to_owned();
    let answer = format!("answer({} yes)", asked.short());
    for (line, expected) in [
        ("yes", answer.clone()),
        ("y", answer.clone()),
        (
            "yes, only when it rains",
            format!("{answer} say(only when it rains)"),
        ),
        ("could not", format!("skip({})", asked.short())),
        ("trips-empty no", "answer(trips-empty no)".to_owned()),
        (
            "rcd-trips-on-plug-in#follows-car=same-car",
            "answer(follows-car same-car)".to_owned(),
        ),
        ("1", format!("pick({first})")),
        ("try 2", format!("pick({second})")),
        ("no change 2", format!("try({second} NoChange)")),
        (
            "no change 2 took 12 min",
            format!("try({second} NoChange 12)"),
        ),
        ("2 fixed", format!("try({second} Resolved)")),
        ("could not 1", format!("try({first} NotPossible)")),
        ("something else fixed it", "try(other Resolved)".to_owned()),
        ("fixed", "unclear".to_owned()),
        ("999", "unclear".to_owned()),
        (
            "it takes 12 min to trip",
            "say(it takes 12 min to trip)".to_owned(),
        ),
    ] {
        assert_eq!(
            short(&heard(line, &state, &advice, None)),
            expected,
            "{line}"
        );
    }
    let fix = advice
        .fixes
        .iter()
        .find(|f| f.after.is_empty())
        .unwrap()
        .fix
        .clone();
    let mut picked = state.clone();
    picked.picked = Some(fix.clone());
    for (line, result) in [
        ("no change", TryResult::NoChange),
        ("still the same", TryResult::NoChange),
        ("didn't help", TryResult::NoChange),
        ("that fixed it", TryResult::Resolved),
        ("works now", TryResult::Resolved),
        ("could not do it", TryResult::NotPossible),
    ] {
        let expected = format!("try({} {result:?})", fix.short());
        assert_eq!(
            short(&heard(line, &picked, &advice, None)),
            expected,
            "{line}"
        );
    }
    // Steps are on the screen and no check: a bare answer has nothing to answer.
    assert_eq!(short(&heard("yes", &picked, &advice, None)), "unclear");
}

#[test]
fn a_fix_waits_for_what_must_come_before_and_for_who_may_do_it() {
    let (mut state, advice) = rcd();
    let late = advice
        .fixes
        .iter()
        .position(|f| !f.after.is_empty())
        .unwrap();
    state.picked = Some(advice.fixes[late].fix.clone());
    // The check before it is at hand, not the fix.
    let understood = short(&heard("no", &state, &advice, None));
    assert!(understood.starts_with("answer("), "{understood}");
    let caller = State::of(&[
        Act::Say("rcd trips when the car is plugged in".to_owned()),
        Act::Role("caller".to_owned()),
    ]);
    let advice = DESK.advise_call(&caller).unwrap();
    let other = advice.fixes.iter().position(|f| !f.allowed).unwrap();
    let Understood::Unclear(why) = heard(&(other + 1).to_string(), &caller, &advice, None) else {
        panic!("an electrician's fix was taken up for a caller")
    };
    assert!(why.contains("work for:"), "{why}");
}

#[test]
fn a_danger_lets_through_words_and_the_end_alone() {
    let state = State::of(&[Act::Say("burning smell and I got a shock".to_owned())]);
    let advice = DESK.advise_call(&state).unwrap();
    assert_eq!(advice.stops.len(), 2);
    let first = &advice.stops[0].0;
    for (line, expected) in [
        ("1", "unclear".to_owned()),
        ("fixed 1", "unclear".to_owned()),
        ("no danger", "unclear".to_owned()),
        ("no danger 1", format!("not-danger({first})")),
        (
            &format!("no danger {first}"),
            format!("not-danger({first})"),
        ),
        ("hand on", "End(HandedOn)".to_owned()),
        ("it smokes", "say(it smokes)".to_owned()),
    ] {
        assert_eq!(
            short(&heard(line, &state, &advice, None)),
            expected,
            "{line}"
        );
    }
}

#[test]
fn a_closing_question_takes_its_answers_alone() {
    let (mut state, advice) = rcd();
    state.end = Some(fixtally::tickets::Outcome::Dropped);
    let question = Question::Article(fixtally::call::closing::choices(&advice));
    for (line, expected) in [
        ("1", "Article(Article(rcd-trips-on-plug-in))"),
        ("none", "Article(Unlisted)"),
        ("not sure", "Article(NotSure)"),
        ("undo", "asks Undo"),
        ("note: no answer", "Note(\"no answer\")"),
        ("4", "unclear"),
        ("yes", "unclear"),
        ("no lights", "unclear"),
    ] {
        let understood = heard(line, &state, &advice, Some(&question));
        assert_eq!(short(&understood), expected, "{line}");
    }
}
