//! From made-up tickets to evidence: odd tickets, chains, holds, renames.

use super::*;
use crate::evidence::Reading;
use crate::evidence::testing::{catalog, date, scrubbed, ticket, tried};
use crate::tickets::{Outcome, RawTicket};
use jiff::Timestamp;

#[path = "gather_laws.rs"]
mod laws;

const AS_OF: &str = "2026-06-30";

fn read(tickets: Vec<RawTicket>) -> Cases {
    read_as_of(tickets, AS_OF)
}

fn read_as_of(tickets: Vec<RawTicket>, as_of: &str) -> Cases {
    let model = Settings::default().model;
    let tickets = scrubbed(tickets);
    Cases::of(&tickets, &BTreeMap::new(), &catalog(), &model, date(as_of))
}

fn evidence(cases: &Cases) -> Evidence {
    gather(cases, &catalog(), &Settings::default(), date(AS_OF))
}

fn at(text: &str) -> Timestamp {
    format!("{text}T12:00:00Z").parse().unwrap()
}

/// `article: end; failed` of a case, in short.
fn said(case: &Case) -> String {
    let end = match &case.end {
        End::Fix(fix) => fix.to_string(),
        End::Other => "other".to_owned(),
        End::Unresolved => "open".to_owned(),
        End::Unknown => "unknown".to_owned(),
    };
    let failed: Vec<&str> = case.failed.iter().map(FixId::as_str).collect();
    let article = case.article.as_ref().map_or("-", |a| a.as_str());
    format!("{article}: {end}; {}", failed.join(", "))
}

#[test]
fn odd_tickets_end_as_the_rules_say() {
    let resolved = Some(Outcome::Resolved);
    let handed_on = Some(Outcome::HandedOn);
    for (article, tries, outcome, expected) in [
        (
            "trips",
            "swap-lead, reseal+",
            resolved,
            "trips: trips#reseal; trips#swap-lead",
        ),
        // Several resolving tries: the last one; earlier ones made no change.
        (
            "trips",
            "swap-lead+, reseal+",
            resolved,
            "trips: trips#reseal; trips#swap-lead",
        ),
        // What resolved is never among what failed.
        (
            "trips",
            "reseal, reseal+",
            resolved,
            "trips: trips#reseal; ",
        ),
        (
            "trips",
            "reseal+, reseal",
            resolved,
            "trips: trips#reseal; ",
        ),
        (
            "trips",
            "swap-lead?, reseal",
            handed_on,
            "trips: open; trips#reseal",
        ),
        (
            "trips",
            "swap-lead",
            resolved,
            "trips: other; trips#swap-lead",
        ),
        ("trips", "swap-lead+", handed_on, "trips: trips#swap-lead; "),
        ("trips", "other+", resolved, "trips: other; "),
        (
            "trips",
            "swap-lead, gone+",
            resolved,
            "trips: other; trips#swap-lead",
        ),
        ("trips", "", resolved, "trips: unknown; "),
        ("trips", "swap-lead?", resolved, "trips: unknown; "),
        (
            "trips",
            "swap-lead",
            None,
            "trips: unknown; trips#swap-lead",
        ),
        ("trips", "swap-lead+", None, "trips: trips#swap-lead; "),
        ("trips", "", Some(Outcome::Dropped), "trips: open; "),
        // A shared fix has one identity, by short or full id, and moves nothing.
        ("trips", "restart+", resolved, "trips: network#restart; "),
        (
            "trips",
            "network#restart+",
            resolved,
            "trips: network#restart; ",
        ),
        // A fix of another article moves the case there.
        (
            "trips",
            "reseal, network#swap-card+",
            resolved,
            "network: network#swap-card; trips#reseal",
        ),
        (
            "unlisted",
            "trips#reseal+",
            resolved,
            "trips: trips#reseal; ",
        ),
        ("unlisted", "other+", resolved, "-: other; "),
        ("", "trips#reseal+", resolved, "trips: trips#reseal; "),
        ("withdrawn", "some-fix+", resolved, "-: other; "),
    ] {
        let cases = read(vec![tried("T-1", "2026-01-05", article, tries, outcome)]);
        assert_eq!(said(&cases.list[0]), expected, "{article}: {tries}");
    }
}

#[test]
fn orphaned_evidence_and_moves_are_listed() {
    let cases = read(vec![
        tried("T-1", "2026-01-05", "trips", "gone, swap-lead, gone+", None),
        tried(
            "T-2",
            "2026-01-05",
            "withdrawn",
            "some-fix",
            Some(Outcome::Dropped),
        ),
        tried("T-3", "2026-01-05", "trips", "network#swap-card+", None),
    ]);
    let orphans: Vec<(&str, u64, u64)> = cases
        .orphans
        .iter()
        .map(|o| (o.fix.as_str(), o.resolved, o.tries))
        .collect();
    assert_eq!(
        orphans,
        [("trips#gone", 1, 2), ("withdrawn#some-fix", 0, 1)]
    );
    assert_eq!(cases.gone_articles[&ArticleId::new("withdrawn")], 1);
    assert_eq!(
        cases.moved[0].to_string(),
        "Ticket T-3 was recorded under `trips`, but `network#swap-card` ended it: counted under `network`."
    );
}

#[test]
fn a_chain_is_one_case_whose_last_result_rules() {
    let first = || tried("T-1", "2026-01-05", "trips", "swap-lead+", None);
    let follow = |tries, outcome, article| {
        let mut raw = tried("T-2", "2026-01-09", article, tries, outcome);
        raw.follows = Some("T-1".into());
        raw
    };
    for (next, expected) in [
        (
            follow("reseal+", None, "trips"),
            "trips: trips#reseal; trips#swap-lead",
        ),
        (
            follow("reseal", Some(Outcome::HandedOn), "trips"),
            "trips: open; trips#reseal, trips#swap-lead",
        ),
        (
            follow("network#swap-card+", None, "network"),
            "network: network#swap-card; trips#swap-lead",
        ),
        // It came back and was then resolved by nobody knows what.
        (
            follow("", Some(Outcome::Resolved), "trips"),
            "trips: other; trips#swap-lead",
        ),
        // A call without an article that only says it still works.
        (
            follow("", Some(Outcome::Resolved), ""),
            "trips: trips#swap-lead; ",
        ),
        // It came back, and nobody knows how it ended.
        (follow("", None, "trips"), "trips: open; trips#swap-lead"),
        (follow("", None, ""), "trips: trips#swap-lead; "),
    ] {
        let cases = read(vec![next, first()]);
        assert_eq!(cases.list.len(), 1);
        assert_eq!(said(&cases.list[0]), expected);
        let evidence = evidence(&cases);
        let article = cases.list[0].article.as_ref().unwrap();
        assert_eq!(evidence.articles[article].cases, 2);
        assert_eq!((evidence.tickets, evidence.cases), (2, 1));
    }
}

#[test]
fn a_case_that_came_back_in_time_was_not_fixed() {
    for (reopened, as_of, expected) in [
        ("2026-02-04", AS_OF, "trips: open; trips#reseal"),
        ("2026-02-05", AS_OF, "trips: trips#reseal; "),
        // Not yet known on the day asked about.
        ("2026-01-20", "2026-01-19", "trips: trips#reseal; "),
    ] {
        let mut raw = tried("T-1", "2026-01-05", "trips", "reseal+", None);
        raw.reopened = Some(at(reopened));
        let cases = read_as_of(vec![raw], as_of);
        assert_eq!(said(&cases.list[0]), expected, "{reopened}");
    }
}

#[test]
fn a_young_resolve_counts_as_far_as_resolves_hold() {
    let mut tickets: Vec<RawTicket> = (0..9)
        .map(|i| tried(&format!("T-{i}"), "2026-01-05", "trips", "reseal+", None))
        .collect();
    tickets[0].reopened = Some(at("2026-01-25"));
    tickets.push(tried("T-9", "2026-06-20", "trips", "reseal+", None));
    let cases = read(tickets);
    // Ten others and the pseudo-case are watched on day 20; the young one is censored on day 10.
    let held = 1.0 - 1.0 / 10.0;
    assert!((cases.list[9].held - held).abs() < 1e-12);
    assert!(cases.list[..9].iter().all(|case| case.held >= 1.0));
    let fix = &evidence(&cases).fixes[&FixId::new("trips#reseal")];
    assert_eq!((fix.resolved, fix.tries), (9, 10));
}

#[test]
fn later_tickets_are_counted_and_left_out() {
    let cases = read_as_of(
        vec![ticket("T-1", "2026-01-05"), ticket("T-2", "2026-01-06")],
        "2026-01-05",
    );
    assert_eq!((cases.tickets, cases.ignored_later), (1, 1));
    assert_eq!(cases.to, Some(date("2026-01-05")));
    assert!(cases.list[0].age_days.abs() < 1e-12);
}

#[test]
fn renamed_articles_fixes_and_checks_keep_their_evidence() {
    let mut articles: Vec<_> = catalog().articles.into_values().collect();
    let trips = articles
        .iter_mut()
        .find(|a| a.id.as_str() == "trips")
        .unwrap();
    trips.was = vec!["old-trips".into()];
    if let crate::articles::model::Entry::Own(fix) = &mut trips.fixes[1] {
        fix.was = vec!["trips#old-reseal".into(), "lost#reseal".into()];
    }
    let catalog = Catalog::join(articles);
    let mut tickets = vec![
        tried("T-1", "2026-01-05", "old-trips", "old-reseal+", None),
        tried("T-2", "2026-01-05", "old-trips", "reseal+", None),
        tried("T-3", "2026-01-05", "lost", "reseal+", None),
        tried("T-4", "2026-01-05", "", "old-trips#reseal+", None),
    ];
    tickets[0].seen.insert("empty".to_owned(), "yes".to_owned());
    tickets[1]
        .seen
        .insert("old-trips#empty".to_owned(), "yes".to_owned());
    let model = Settings::default().model;
    let tickets = scrubbed(tickets);
    let cases = Cases::of(&tickets, &BTreeMap::new(), &catalog, &model, date(AS_OF));
    for case in &cases.list {
        assert_eq!(said(case), "trips: trips#reseal; ", "{}", case.id);
    }
    assert!(cases.orphans.is_empty(), "{:?}", cases.orphans);
    let evidence = gather(&cases, &catalog, &Settings::default(), date(AS_OF));
    let check = &evidence.checks[&CheckId::new("trips#empty")];
    assert_eq!((check.total, check.seen["yes"]), (2, 2));
    let (trips, fix) = (ArticleId::new("trips"), FixId::new("trips#reseal"));
    assert_eq!(check.answers_of(&trips, Some(&fix)).unwrap()["yes"], 2);
    assert!(check.answers_of(&trips, None).unwrap().is_empty());
}

#[test]
fn what_was_read_counts_from_its_bar_and_is_marked() {
    use crate::evidence::ReadTry;
    use crate::tickets::TryResult;
    let reading = |article_chance, try_chance| Reading {
        article: Some(("trips".into(), article_chance)),
        tries: vec![ReadTry {
            fix: "trips#reseal".into(),
            result: TryResult::Resolved,
            chance: try_chance,
        }],
    };
    let readings: BTreeMap<_, _> = [
        ("T-1".into(), reading(0.6, 0.7)),
        ("T-2".into(), reading(0.59, 0.24)),
        ("T-3".into(), reading(0.9, 0.9)),
    ]
    .into();
    let tickets = scrubbed(vec![
        ticket("T-1", "2026-01-05"),
        ticket("T-2", "2026-01-05"),
        tried("T-3", "2026-01-05", "trips", "swap-lead+", None),
    ]);
    let settings = Settings::default();
    let cases = Cases::of(
        &tickets,
        &readings,
        &catalog(),
        &settings.model,
        date(AS_OF),
    );
    let found: Vec<(String, bool)> = cases.list.iter().map(|c| (said(c), c.inferred)).collect();
    assert_eq!(found[0].0, "trips: trips#reseal; ");
    assert_eq!(found[1], ("-: unknown; ".to_owned(), false));
    assert_eq!(found[2], ("trips: trips#swap-lead; ".to_owned(), false));
    let evidence = evidence(&cases);
    assert_eq!(evidence.fixes[&FixId::new("trips#reseal")].inferred, 1);
    assert_eq!(evidence.fixes[&FixId::new("trips#swap-lead")].inferred, 0);
}

#[test]
fn a_shared_fix_has_one_count_and_a_share_in_each_article() {
    let evidence = evidence(&read(vec![
        tried("T-1", "2026-01-05", "trips", "restart+", None),
        tried("T-2", "2026-01-05", "network", "restart+", None),
        tried("T-3", "2026-01-05", "network", "restart, swap-card+", None),
    ]));
    let fix = &evidence.fixes[&FixId::new("network#restart")];
    assert_eq!((fix.resolved, fix.tries), (2, 3));
    assert_eq!(evidence.articles[&ArticleId::new("trips")].shares.len(), 3);
    assert!(evidence.only_author(&ArticleId::new("trips")));
}

#[test]
fn devices_differ_where_their_tickets_do() {
    let mut tickets = Vec::new();
    for i in 0..40 {
        let (device, fix) = if i % 2 == 0 {
            ("post-7", "reseal+")
        } else {
            ("post-22", "swap-lead+")
        };
        let mut raw = tried(&format!("T-{i:02}"), "2026-01-05", "trips", fix, None);
        raw.device = Some(device.to_owned());
        tickets.push(raw);
    }
    let evidence = evidence(&read(tickets));
    let trips = ArticleId::new("trips");
    let share = |device: Option<&str>, at: usize| evidence.share_of(&trips, device)[at].share;
    assert!((evidence.kappa - 1.0).abs() < 1e-6);
    assert!(share(Some("post-7"), 1) > 0.9 && share(Some("post-22"), 0) > 0.9);
    assert!((share(Some("sc-2"), 1) - share(None, 1)).abs() < 1e-12);
    for device in [None, Some("post-7"), Some("post-22")] {
        let all = evidence.share_of(&trips, device);
        let sum: f64 = all.iter().map(|s| s.share).sum();
        assert!((sum - 1.0).abs() < 1e-12);
        assert!(all.iter().all(|s| s.low <= s.share && s.share <= s.high));
    }
}
