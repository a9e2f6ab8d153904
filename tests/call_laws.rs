//! Laws of a case in progress, on random walks through the demo.

use crate::case::Case as Folder;
use fixtally::articles::model::Before;
use fixtally::base::ids::{CheckId, TicketId};
use fixtally::call::next_check::{NextCheck, after_asking, minutes_left, next_check};
use fixtally::call::steps::{is_open, may_do};
use fixtally::call::{Act, Advice, Case, State};
use fixtally::cli::{Desk, Session};
use fixtally::tickets::TryResult;
use jiff::Timestamp;
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::sync::LazyLock;

static DESK: LazyLock<Desk> = LazyLock::new(|| {
    let case = Folder::shared_demo();
    Desk::open(&Session::quiet(&case.path("kb"), &case.path("kb/.state"))).unwrap()
});

/// Checks of the likeliest articles that have no answer yet.
fn checks(state: &State, advice: &Advice) -> Vec<CheckId> {
    let of = |(id, _): &(_, f64)| DESK.catalog.checks_of.get(id).cloned().unwrap_or_default();
    let likely = advice.articles.iter().take(3).flat_map(of);
    likely.filter(|c| !state.seen.contains_key(c)).collect()
}

/// The act that two random numbers stand for at this point of a case.
fn act(kind: u8, at: usize, state: &State, advice: &Advice) -> Option<Act> {
    let catalog = &DESK.catalog;
    let pick = |length: usize| (length > 0).then(|| at % length.max(1));
    match kind % 7 {
        0 => {
            let says: Vec<&String> = catalog
                .articles
                .values()
                .flat_map(|a| &a.symptoms)
                .collect();
            Some(Act::Say(says[pick(says.len())?].clone()))
        }
        1 | 2 => {
            let checks = checks(state, advice);
            let check = &catalog.checks[&checks[pick(checks.len())?]];
            Some(Act::Answer {
                check: check.id.clone(),
                answer: check.answers[at % check.answers.len()].clone(),
            })
        }
        3 | 4 => {
            let fix = advice.fixes.get(pick(advice.fixes.len().min(5))?)?;
            let result = if kind % 7 == 3 {
                TryResult::NoChange
            } else {
                TryResult::NotPossible
            };
            Some(Act::Try {
                fix: Some(fix.fix.clone()),
                result,
                minutes: None,
            })
        }
        5 => {
            let checks = checks(state, advice);
            Some(Act::Skip(checks[pick(checks.len())?].clone()))
        }
        _ => {
            let codes: Vec<&String> = catalog.articles.values().flat_map(|a| &a.codes).collect();
            Some(Act::Code(codes[pick(codes.len())?].clone()))
        }
    }
}

/// A case of random lines, with the advice after each.
fn walk(steps: &[(u8, usize)]) -> (Case, Vec<Advice>) {
    let mut case = Case::new(TicketId::new("C-1"), Timestamp::UNIX_EPOCH);
    let mut advice = vec![Advice::none()];
    for (kind, at) in std::iter::once(&(0, steps.len() * 31 + 7)).chain(steps) {
        let (state, last) = (case.state(), &advice[advice.len() - 1]);
        if let Some(act) = act(*kind, *at, &state, last) {
            case.add(Timestamp::UNIX_EPOCH, "typed".to_owned(), vec![act]);
            advice.push(DESK.advise_call(&case.state()).unwrap());
        }
    }
    (case, advice)
}

fn steps() -> impl Strategy<Value = Vec<(u8, usize)>> {
    proptest::collection::vec((any::<u8>(), 0..10_000_usize), 1..9)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn chances_sum_to_one_and_what_failed_does_not_come_back(steps in steps()) {
        let (case, advice) = walk(&steps);
        let mut replayed = Case::new(case.id.clone(), case.opened);
        for (line, now) in case.lines.iter().zip(&advice[1..]) {
            replayed.add(line.at, line.text.clone(), line.acts.clone());
            let sum: f64 = now.belief.chance.iter().sum::<f64>() + now.belief.unlisted;
            prop_assert!((sum - 1.0).abs() < 1e-9, "{sum}");
            prop_assert!(now.belief.chance.iter().all(|c| (0.0..=1.0).contains(c)));
            let done = replayed.state().done();
            for fix in &now.fixes {
                prop_assert!(!done.tried.contains(&fix.fix), "{} came back", fix.fix);
                let gone = done.not_possible.contains(&Before::Fix(fix.fix.clone()));
                prop_assert!(!(gone && fix.allowed), "{} is proposed again", fix.fix);
            }
            // What cannot be done stands behind everything that can.
            let allowed: Vec<bool> = now.fixes.iter().map(|f| f.allowed).collect();
            prop_assert!(allowed.is_sorted_by(|a, b| a >= b));
            if let Some(next) = &now.next_check {
                prop_assert!(!done.seen.contains_key(&next.check));
                prop_assert!(!done.not_possible.contains(&Before::Check(next.check.clone())));
            }
        }
    }

    #[test]
    fn undo_restores_exactly(steps in steps()) {
        let (mut case, advice) = walk(&steps);
        let mut states = Vec::new();
        for length in 0..=case.lines.len() {
            states.push(State::of(case.lines[..length].iter().flat_map(|l| &l.acts)));
        }
        for length in (0..case.lines.len()).rev() {
            prop_assert!(case.undo().is_some());
            prop_assert_eq!(&case.state(), &states[length]);
            // The same state is advised on with the same numbers, to the last bit.
            let again = DESK.advise_call(&case.state()).unwrap();
            prop_assert_eq!(&again, &advice[length]);
        }
        prop_assert!(case.undo().is_none());
    }

    #[test]
    fn the_order_of_answers_and_tries_changes_no_belief(steps in steps(), turn in 1..7_usize) {
        let (case, advice) = walk(&steps);
        let (mut moved, others): (Vec<&Act>, Vec<&Act>) = case
            .lines
            .iter()
            .flat_map(|line| &line.acts)
            .partition(|act| matches!(act, Act::Answer { .. } | Act::Try { .. }));
        // A check answered, skipped or a fix tried twice is another story in another order.
        let skips = others.iter().any(|act| matches!(act, Act::Skip(_)));
        prop_assume!(!skips && !moved.is_empty());
        let length = moved.len();
        moved.rotate_left(turn % length);
        moved.reverse();
        let state = State::of(others.into_iter().chain(moved));
        let again = DESK.advise_call(&state).unwrap();
        let last = &advice[advice.len() - 1];
        prop_assert_eq!(&again.belief.pairs, &last.belief.pairs);
        for (one, other) in again.belief.chance.iter().zip(&last.belief.chance) {
            prop_assert!((one - other).abs() < 1e-12);
        }
        prop_assert!((again.belief.unlisted - last.belief.unlisted).abs() < 1e-12);
    }

    #[test]
    fn a_check_loses_no_minutes_on_average(steps in steps(), role in 0..5_usize) {
        let (case, advice) = walk(&steps);
        let state = case.state();
        let last = &advice[advice.len() - 1];
        let role = role.checked_sub(1).map(|r| DESK.settings.roles[r].as_str());
        let (done, ground, settings) = (state.done(), DESK.ground(), &DESK.settings);
        let now = minutes_left(&last.belief, &done, role, settings, ground);
        for id in checks(&state, last).iter().filter(|id| is_open(id, &done, ground)).take(4) {
            let check = &DESK.catalog.checks[id];
            let then = after_asking(check, &last.belief, &done, role, settings, ground);
            prop_assert!(then <= now + 1e-6, "{id}: {then} after, {now} before");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn the_check_that_is_offered_saves_most_reckoned_plainly(steps in steps(), role in 0..5_usize) {
        let (case, advice) = walk(&steps);
        let (state, last) = (case.state(), &advice[advice.len() - 1]);
        let role = role.checked_sub(1).map(|r| DESK.settings.roles[r].as_str());
        let (done, ground, settings) = (state.done(), DESK.ground(), &DESK.settings);
        let likely = last.articles.iter().filter(|(_, chance)| *chance >= 0.01);
        let checks: BTreeSet<&CheckId> =
            likely.filter_map(|(id, _)| DESK.catalog.checks_of.get(id)).flatten().collect();
        let now = minutes_left(&last.belief, &done, role, settings, ground);
        let mut best: Option<NextCheck> = None;
        for id in checks {
            let check = &DESK.catalog.checks[id];
            let open = is_open(id, &done, ground) && !done.seen.contains_key(id);
            let possible = !done.not_possible.contains(&Before::Check(id.clone()));
            if !open || !possible || !may_do(&check.work, role, settings) {
                continue;
            }
            let then = after_asking(check, &last.belief, &done, role, settings, ground);
            let saves = now - then - check.work.minutes;
            if saves >= 0.5 && best.as_ref().is_none_or(|best| saves > best.saves) {
                best = Some(NextCheck { check: id.clone(), saves });
            }
        }
        // To the last bit.
        prop_assert_eq!(next_check(&last.belief, &done, role, settings, ground), best);
    }
}

#[test]
fn a_long_paste_leaves_room_and_hides_no_danger() {
    let paste = "the charger is fine and nothing happens ".repeat(250);
    assert!(paste.len() > 5_000);
    let state = State::of(&[
        Act::Say(format!("{paste} there is smoke")),
        Act::Say("all points offline".to_owned()),
    ]);
    assert!(state.words().ends_with("all points offline"));
    let advice = DESK.advise_call(&state).unwrap();
    let stops: Vec<&str> = advice.stops.iter().map(|(id, _)| id.as_str()).collect();
    assert_eq!(stops, ["burning-smell-or-smoke"]);
}
