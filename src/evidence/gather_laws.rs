//! What holds for evidence of whatever tickets: it is finite, and no order of counting changes it.

use super::*;
use crate::evidence::making::Making;
use crate::tickets::Ticket;
use std::collections::HashSet;

#[test]
fn the_newest_cases_are_kept_in_whatever_order_they_came() {
    let days = ["2026-06-03", "2026-06-01", "2026-06-04", "2026-06-02"];
    let mut cases = read(
        days.iter()
            .map(|day| ticket(&format!("T-{day}"), day))
            .collect(),
    );
    cases.list.reverse();
    cases.list.swap(0, 2);
    cases.keep_newest(4);
    assert_eq!(cases.list.len(), 4);
    cases.keep_newest(2);
    let kept: Vec<&str> = cases.list.iter().map(|case| case.id.as_str()).collect();
    assert_eq!(kept, ["T-2026-06-03", "T-2026-06-04"]);
}

#[test]
fn nothing_is_ever_not_a_number() {
    let many = |tries: &str, outcome| {
        (0..30)
            .map(|i| tried(&format!("T-{i}"), "2026-06-01", "trips", tries, outcome))
            .collect::<Vec<_>>()
    };
    let mut future = tried("T-1", "2026-05-01", "trips", "reseal+", None);
    future.reopened = Some(at("2027-01-01"));
    for tickets in [
        vec![],
        vec![ticket("T-1", "2026-01-05")],
        vec![tried("T-1", "2026-06-30", "trips", "reseal+", None)],
        many("swap-lead, reseal, restart", Some(Outcome::Dropped)),
        many("", Some(Outcome::Dropped)),
        many("reseal+", None),
        many("", Some(Outcome::Resolved)),
        vec![ticket("T-1", "2030-01-01")],
        vec![future],
    ] {
        let evidence = evidence(&read(tickets));
        let text = serde_json::to_string(&evidence).unwrap();
        // serde_json writes a number that is none as null.
        let nulls = text
            .replace("\"to\":null", "")
            .replace("\"minutes_cap\":null", "");
        assert!(!nulls.contains("null"), "{text}");
        let bytes = postcard::to_stdvec(&evidence).unwrap();
        assert_eq!(postcard::from_bytes::<Evidence>(&bytes).unwrap(), evidence);
    }
}

proptest::proptest! {
    #[test]
    fn the_order_of_tickets_changes_nothing(
        made in proptest::collection::vec((0usize..6, 0u8..28, 0usize..3), 1..25),
        turn in 0usize..25,
    ) {
        let tries = ["swap-lead", "reseal+", "swap-lead, reseal+", "restart+", "other+", "reseal, swap-lead"];
        let tickets: Vec<RawTicket> = made.iter().enumerate().map(|(i, (kind, day, device))| {
            let closed = format!("2026-06-{:02}", day + 1);
            let mut raw = tried(&format!("T-{i}"), &closed, "trips", tries[*kind], Some(Outcome::HandedOn));
            raw.device = [None, Some("post-7".to_owned()), Some("sc-2".to_owned())][*device].clone();
            raw.follows = (i % 5 == 4).then(|| format!("T-{}", i - 3).as_str().into());
            raw
        }).collect();
        let mut turned = tickets.clone();
        turned.rotate_left(turn % tickets.len());
        let (a, b) = (evidence(&read(tickets)), evidence(&read(turned)));
        proptest::prop_assert_eq!(a, b);
    }

    #[test]
    fn tickets_counted_one_after_the_other_are_as_counted_at_once(
        made in proptest::collection::vec((0usize..7, 0u8..28, 0usize..3, 0usize..4), 1..25),
        at_once in 0usize..25,
    ) {
        let tries = [
            "swap-lead", "reseal+", "swap-lead, reseal+", "restart+", "other+", "gone+", "reseal, swap-lead",
        ];
        let tickets: Vec<RawTicket> = made.iter().enumerate().map(|(i, (kind, day, device, article))| {
            let closed = format!("2026-06-{:02}", day + 1);
            let article = ["trips", "unlisted", "gone", ""][*article];
            let mut raw = tried(&format!("T-{i}"), &closed, article, tries[*kind], Some(Outcome::HandedOn));
            raw.device = [None, Some("post-7".to_owned()), Some("sc-2".to_owned())][*device].clone();
            raw.tries.iter_mut().for_each(|t| t.minutes = Some(f64::from(*day) + 0.1));
            raw.reopened = (i % 7 == 3).then(|| at("2026-06-29"));
            // Only among those counted at once.
            raw.follows = (i % 5 == 4 && i < at_once).then(|| format!("T-{}", i - 3).as_str().into());
            raw
        }).collect();
        let (catalog, settings) = (catalog(), Settings::default());
        let all = evidence(&read(tickets.clone()));
        let tickets = scrubbed(tickets);
        let (first, later) = tickets.split_at(at_once.min(tickets.len()));
        let linked: Vec<Ticket> = first.iter().enumerate()
            .filter(|(i, t)| t.follows.is_some() || first.get(i + 3).is_some_and(|t| t.follows.is_some()))
            .map(|(_, t)| t.clone())
            .collect();
        let ids = linked.iter().map(|t| t.id.clone()).collect();
        let making = |linked| Making::new((&catalog, &settings.model), &|_| None, date(AS_OF), linked);
        let mut gathering = Gathering::default();
        let mut begun = making(ids);
        for part in first.chunks(3) {
            gathering.add(begun.part(part), &catalog, &settings);
        }
        let made = begun.linked(&linked);
        gathering.add(made, &catalog, &settings);
        let mut totals = begun.totals();
        for ticket in later {
            let mut one = making(HashSet::new());
            gathering.add(one.part([ticket]), &catalog, &settings);
            totals.join(one.totals());
        }
        let counted = gathering.evidence(&totals, &catalog, &settings, date(AS_OF));
        proptest::prop_assert_eq!(counted, all);
    }
}
