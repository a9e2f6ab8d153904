//! Laws every answer obeys, checked in process over the whole demo.

use crate::case::Case;
use fixtally::articles::model::Before;
use fixtally::base::ids::{ArticleId, FixId};
use fixtally::call::steps::may_do;
use fixtally::call::{By, InHand};
use fixtally::cli::{Desk, Session};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

fn open(case: &Case) -> Desk {
    Desk::open(&Session::quiet(&case.path("kb"), &case.path("kb/.state"))).unwrap()
}

static DESK: LazyLock<Desk> = LazyLock::new(|| open(Case::shared_demo()));

fn case(words: &str) -> InHand {
    let mut case = InHand::default();
    case.said.words = words.to_owned();
    case
}

fn dangers() -> BTreeSet<ArticleId> {
    DESK.catalog.dangers().map(|a| a.id.clone()).collect()
}

/// What each article's callers say, with its code and sign.
fn questions() -> Vec<InHand> {
    let mut all = Vec::new();
    for article in DESK.catalog.articles.values() {
        for symptom in &article.symptoms {
            all.push(case(symptom));
        }
        let mut shown = case(&article.title);
        shown.said.codes.extend(article.codes.first().cloned());
        shown.said.signs = article.signs.clone().into_iter().collect();
        shown.said.device = article.devices.first().cloned();
        all.push(shown);
    }
    all
}

fn roles() -> Vec<Option<String>> {
    let named = DESK.settings.roles.iter().cloned().map(Some);
    [None].into_iter().chain(named).collect()
}

/// Every fix stands below what it must come after, and nothing is proposed to a role that may not
/// do it or what comes before it.
fn in_order(case: &InHand) {
    let (advice, _) = DESK.advise(case).unwrap();
    let place: BTreeMap<&FixId, usize> = advice
        .fixes
        .iter()
        .enumerate()
        .map(|(i, f)| (&f.fix, i))
        .collect();
    let role = case.role.as_deref();
    for (i, ranked) in advice.fixes.iter().enumerate() {
        let fix = &DESK.catalog.fixes[&ranked.fix];
        for before in &fix.after {
            if let Before::Fix(before) = before
                && !case.done.tried.contains(before)
            {
                let earlier = place.get(before).is_some_and(|p| *p < i);
                assert!(earlier, "{} above {before} in {case:?}", fix.id);
            }
        }
        if ranked.allowed {
            assert!(
                may_do(&fix.work, role, &DESK.settings),
                "{} in {case:?}",
                fix.id
            );
        }
    }
    let mut allowed = advice.fixes.iter().map(|f| f.allowed);
    assert!(allowed.by_ref().skip_while(|a| *a).all(|a| !a), "{case:?}");
    if let Some(next) = &advice.next_check {
        let check = &DESK.catalog.checks[&next.check];
        assert!(
            may_do(&check.work, role, &DESK.settings),
            "{} in {case:?}",
            check.id
        );
        assert!(next.saves >= 0.5 && !case.done.seen.contains_key(&check.id));
        for before in &check.after {
            let done = match before {
                Before::Fix(id) => case.done.tried.contains(id),
                Before::Check(id) => case.done.seen.contains_key(id),
            };
            assert!(done, "{} before {before} in {case:?}", check.id);
        }
    }
    if let Some(stop) = advice.stop {
        let own = advice.fixes.iter().filter(|f| f.allowed).count();
        assert!(stop.after <= own && stop.minutes <= DESK.settings.hand_on_minutes + 1e-9);
    }
}

#[test]
fn what_must_come_before_stands_above_for_every_question_order_and_role() {
    let not_danger = dangers();
    for question in questions() {
        for role in roles() {
            for by in [By::Chance, By::Time] {
                in_order(&InHand {
                    not_danger: not_danger.clone(),
                    role: role.clone(),
                    by,
                    ..question.clone()
                });
            }
        }
    }
}

#[test]
fn a_danger_empties_the_answer_and_is_never_offered_as_an_article_with_fixes() {
    let dangers = dangers();
    let mut stopped = 0;
    for question in questions() {
        let answer = DESK.answer(&question, 300).unwrap();
        if !answer.danger.is_empty() {
            stopped += 1;
            assert!(
                answer.fixes.is_empty() && answer.next_check.is_none() && answer.stop.is_none()
            );
            assert!(answer.danger.iter().all(|d| !d.do_now.is_empty()));
        }
        for fix in &answer.fixes {
            assert!(
                dangers.iter().all(|d| !fix.id.starts_with(d.as_str())),
                "{}",
                fix.id
            );
        }
    }
    assert!(stopped >= dangers.len(), "{stopped} of {}", dangers.len());
}

#[test]
fn every_symptom_finds_its_article() {
    let not_danger = dangers();
    let (mut found, mut asked, mut lost) = (0, 0, Vec::new());
    for article in DESK
        .catalog
        .articles
        .values()
        .filter(|a| a.danger.is_none())
    {
        for symptom in &article.symptoms {
            let question = InHand {
                not_danger: not_danger.clone(),
                ..case(symptom)
            };
            let (advice, _) = DESK.advise(&question).unwrap();
            asked += 1;
            if advice
                .articles
                .iter()
                .take(3)
                .any(|(id, _)| *id == article.id)
            {
                found += 1;
            } else {
                lost.push(format!("{}: {symptom}", article.id));
            }
        }
    }
    assert!(
        found * 100 >= asked * 97,
        "{found} of {asked}, lost:\n{}",
        lost.join("\n")
    );
}

#[test]
fn shares_sum_to_one() {
    for (id, article) in &DESK.evidence.articles {
        for shares in article.devices.values() {
            let sum: f64 = shares.iter().map(|s| s.share).sum();
            assert!((sum - 1.0).abs() < 1e-9, "{id}: {sum}");
        }
        let all = || article.shares.iter().chain([&article.other]);
        let sum: f64 = all().map(|s| s.share).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{id}: {sum}");
        for share in all() {
            assert!(
                0.0 <= share.low && share.low <= share.share,
                "{id}: {share:?}"
            );
            assert!(
                share.share <= share.high && share.high <= 1.0,
                "{id}: {share:?}"
            );
        }
    }
}

#[test]
fn odd_words_are_answered() {
    for words in [
        "\0\0rcd\0trips\0",
        "\u{fffd}\u{ffff}",
        &"rcd trips ".repeat(5_000),
        &"x".repeat(1 << 20),
        &"\u{301}".repeat(10_000),
        &"no ".repeat(10_000),
        &"🔌".repeat(10_000),
    ] {
        let (advice, _) = DESK.advise(&case(words)).unwrap();
        let sum: f64 = advice.belief.chance.iter().sum::<f64>() + advice.belief.unlisted;
        assert!((sum - 1.0).abs() < 1e-9, "{sum}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn belief_sums_to_one_and_order_holds_after_any_tries_and_answers(
        question in 0usize..10_000,
        tried in proptest::collection::vec(0usize..10_000, 0..12),
        seen in proptest::collection::vec((0usize..10_000, 0usize..10), 0..8),
        role in 0usize..5,
        by_time in any::<bool>(),
    ) {
        let questions = questions();
        let mut case = questions[question % questions.len()].clone();
        case.not_danger = dangers();
        case.role = roles().swap_remove(role);
        case.by = if by_time { By::Time } else { By::Chance };
        let fixes: Vec<&FixId> = DESK.catalog.fixes.keys().collect();
        case.done.tried = tried.iter().map(|t| fixes[t % fixes.len()].clone()).collect();
        let checks: Vec<_> = DESK.catalog.checks.values().collect();
        for (check, answer) in seen {
            let check = checks[check % checks.len()];
            let answer = check.answers[answer % check.answers.len()].clone();
            case.done.seen.insert(check.id.clone(), answer);
        }
        in_order(&case);
        let (advice, _) = DESK.advise(&case).unwrap();
        let belief = &advice.belief;
        let sum = belief.chance.iter().sum::<f64>() + belief.unlisted;
        prop_assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        prop_assert!(belief.chance.iter().all(|c| (0.0..=1.0).contains(c)));
        let by_article: f64 = advice.articles.iter().map(|a| a.1).sum();
        prop_assert!((by_article + belief.unlisted - 1.0).abs() < 1e-9);
        for ranked in &advice.fixes {
            prop_assert!(!case.done.tried.contains(&ranked.fix));
            let chance = ranked.chance;
            prop_assert!(chance.low <= chance.share && chance.share <= chance.high);
        }
    }
}

#[test]
fn the_order_of_tickets_changes_no_byte() {
    let answers = |desk: &Desk| {
        let asked = [
            "rcd trips",
            "my card does nothing",
            "offline",
            "plug is stuck",
        ];
        asked.map(|words| serde_json::to_string(&desk.answer(&case(words), 20).unwrap()).unwrap())
    };
    let expected = answers(&DESK);
    let demo = Case::demo();
    let mut lines: Vec<String> = Vec::new();
    for entry in std::fs::read_dir(demo.path("kb/tickets")).unwrap() {
        let path = entry.unwrap().path();
        lines.extend(
            std::fs::read_to_string(&path)
                .unwrap()
                .lines()
                .map(str::to_owned),
        );
        std::fs::remove_file(path).unwrap();
    }
    assert_eq!(lines.len(), 6000);
    // 463 shares no factor with 6000, so every line is visited once.
    let mixed: Vec<&str> = (0..6000)
        .map(|i| lines[(i * 463 + 17) % 6000].as_str())
        .collect();
    demo.write("kb/tickets/z.jsonl", mixed[..300].join("\n"));
    demo.write("kb/tickets/a/deep.jsonl", mixed[300..].join("\n"));
    assert_eq!(answers(&open(&demo)), expected);
    let made = |case: &Case| -> BTreeMap<String, Vec<u8>> {
        let entries = std::fs::read_dir(case.path("kb/.state")).unwrap();
        let files = entries.map(|entry| entry.unwrap().path());
        let name = |path: &std::path::Path| path.file_name().unwrap().to_str().unwrap().to_owned();
        files
            .filter(|path| name(path) == "evidence" || name(path).starts_with("model-"))
            .map(|path| (name(&path), std::fs::read(path).unwrap()))
            .collect()
    };
    let (found, expected) = (made(&demo), made(Case::shared_demo()));
    assert_eq!(found.keys().count(), 2, "{:?}", found.keys());
    assert!(found == expected);
}
