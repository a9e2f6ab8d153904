//! The rule that holds the backtest together: only the past speaks.

use super::super::answer::Offer;
use super::super::dice::Dice;
use super::super::past::{Past, as_when_asked};
use super::super::report::{Report, SEED};
use super::super::rivals::Rival;
use super::super::split::Block;
use super::*;
use crate::base::ids::ArticleId;
use crate::evidence::testing::{catalog, scrubbed, ticket};
use crate::tickets::{Outcome as TicketOutcome, Try, TryResult};
use jiff::civil::date;

const FAULTS: [(&str, &str, &str); 4] = [
    ("trips", "swap-lead", "breaker trips with this lead plugged"),
    (
        "trips",
        "reseal",
        "breaker trips when it rains water inside",
    ),
    ("network", "restart", "controller offline portal silent"),
    (
        "network",
        "swap-card",
        "controller offline modem card signal",
    ),
];

const FIRST: Date = date(2025, 1, 1);

fn day_after(days: i64) -> Date {
    FIRST + jiff::Span::new().days(days)
}

/// One ticket a day for 420 days, with recognisable words.
fn tickets() -> Vec<RawTicket> {
    let mut dice = Dice::new(17);
    (0..420)
        .map(|n| {
            let (article, fix, words) = FAULTS[dice.below(FAULTS.len())];
            let mut raw = ticket(&format!("T-{n:03}"), &day_after(n).to_string());
            let words: Vec<&str> = words.split(' ').filter(|_| dice.happens(0.7)).collect();
            raw.said = Some(words.join(" "));
            raw.article = Some(ArticleId::new(article));
            let tried = |fix: &str, result| Try {
                fix: fix.to_owned(),
                result,
                minutes: Some(10.0),
            };
            if dice.happens(0.3) {
                raw.tries
                    .push(tried("network#restart", TryResult::NoChange));
            }
            if dice.happens(0.85) {
                raw.tries.retain(|t| !t.fix.ends_with(fix));
                raw.tries.push(tried(fix, TryResult::Resolved));
                raw.outcome = Some(TicketOutcome::Resolved);
            } else {
                raw.outcome = Some(TicketOutcome::HandedOn);
            }
            raw
        })
        .collect()
}

/// A task over these tickets is handed to `then`.
fn with_task<R>(raw: &[RawTicket], then: impl FnOnce(&Task<'_>) -> R) -> R {
    let tickets = scrubbed(raw.to_vec());
    let settings = Settings::default();
    then(&Task {
        tickets: &tickets,
        catalog: &catalog(),
        settings: &settings,
        analyzer: &Analyzer::default(),
        as_of: day_after(500),
        blocks: 2,
        ear: None,
        read: &read_nothing,
    })
}

/// The blocks, and what is offered in every case of them, known end or not, by its first ticket.
fn offers(raw: &[RawTicket]) -> (Vec<Block>, BTreeMap<TicketId, Offer>) {
    with_task(raw, |task| {
        let closed: Vec<Date> = task.tickets.iter().map(|t| day(t.closed)).collect();
        let blocks = blocks(&closed, task.blocks).unwrap();
        let layout = Layout::new(task.catalog);
        let mut offers = BTreeMap::new();
        for block in &blocks {
            let past = Past::new(task, &layout, block.eve().unwrap(), &as_when_asked, &|| {});
            for ticket in task.tickets.iter().filter(|t| block.holds(day(t.closed))) {
                let said = crate::evidence::question::Said {
                    words: ticket.said.clone().unwrap(),
                    ..Default::default()
                };
                offers.insert(ticket.id.clone(), past.offer(&said).unwrap());
            }
        }
        (blocks, offers)
    })
}

/// Another end, everything recorded otherwise; the words stay.
fn end_otherwise(raw: &mut RawTicket) {
    raw.article = Some(ArticleId::new("network"));
    raw.tries = vec![Try {
        fix: "swap-card".to_owned(),
        result: TryResult::Resolved,
        minutes: Some(90.0),
    }];
    raw.outcome = Some(TicketOutcome::Resolved);
    raw.notes = Some("breaker trips, resealed, all good".to_owned());
    raw.seen.insert("trips#empty".to_owned(), "no".to_owned());
    raw.reopened = Some(raw.closed + jiff::SignedDuration::from_hours(48));
}

#[test]
fn neither_its_own_end_nor_anything_later_changes_an_answer() {
    let before = tickets();
    let (blocks, expected) = offers(&before);
    assert_eq!(blocks.len(), 2);
    let in_second = |id: &TicketId| {
        let raw = before.iter().find(|raw| raw.id == *id).unwrap();
        blocks[1].holds(day(raw.closed))
    };
    // The first case of the first block, one in its middle, and one of the second block.
    for at in [210, 260, 330] {
        let mut after = before.clone();
        end_otherwise(&mut after[at]);
        let (same_blocks, found) = offers(&after);
        assert_eq!(same_blocks, blocks, "the end of a ticket moved a cut");
        for (id, offer) in &expected {
            if !in_second(id) || at >= 315 {
                assert_eq!(
                    &found[id], offer,
                    "{id} changed with the end of ticket {at}"
                );
            }
        }
        if at < 315 {
            // What was the future of the first block is the past of the second.
            assert_ne!(found, expected, "ticket {at} teaches nothing");
        }
    }
}

#[test]
fn other_words_change_no_other_answer_of_the_same_or_an_earlier_block() {
    let before = tickets();
    let (blocks, expected) = offers(&before);
    let mut after = before.clone();
    for raw in &mut after[212..] {
        raw.said = Some("something quite new controller breaker lead".to_owned());
        end_otherwise(raw);
    }
    // `reopened` after the eve is not known yet.
    for raw in &mut after[150..210] {
        raw.reopened = Some(raw.closed + jiff::SignedDuration::from_hours(24 * 90));
    }
    let (same_blocks, found) = offers(&after);
    assert_eq!(same_blocks, blocks);
    let asked_before: Vec<&RawTicket> = after[210..212].iter().collect();
    for raw in asked_before {
        assert_eq!(found[&raw.id], expected[&raw.id]);
    }
}

#[test]
fn the_report_beats_guessing_adds_up_and_comes_out_the_same_again() {
    let raw = tickets();
    let report = |raw: &[RawTicket]| {
        with_task(raw, |task| {
            let steps = AtomicU64::new(0);
            let step = || {
                steps.fetch_add(1, Ordering::Relaxed);
            };
            let outcome = run(task, &as_when_asked, &step).unwrap();
            assert_eq!(steps.into_inner(), 2 * STEPS_A_BLOCK);
            Report::new(&outcome, SEED)
        })
    };
    let found = report(&raw);
    assert_eq!((found.counts.tickets, found.counts.cases), (420, 210));
    assert_eq!(found.counts.scored, found.calibration.count);
    assert!(found.counts.scored < found.counts.cases);
    assert_eq!(
        found
            .blocks
            .iter()
            .map(|b| b.past_tickets)
            .collect::<Vec<_>>(),
        [210, 315]
    );
    assert!(found.blocks.iter().all(|b| b.weights_from > 0));
    let frequency = found
        .rivals
        .iter()
        .find(|r| r.rival == Rival::Frequency)
        .unwrap();
    assert!(found.ours.hit_1 > 0.8, "{found:?}");
    assert!(
        frequency.hit_1.low > 0.0 && frequency.minutes.high < 0.0,
        "{frequency:?}"
    );
    // Another order of the tickets, and other threads, give the same report.
    let mut turned = raw.clone();
    turned.reverse();
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .unwrap();
    assert_eq!(pool.install(|| report(&turned)), found);
}

#[test]
fn a_chain_is_asked_once_by_its_first_ticket_and_ends_with_its_last() {
    let mut raw = tickets();
    let words = "breaker trips when it rains water inside";
    raw[300].said = Some(words.to_owned());
    raw[300].tries.clear();
    raw[300].outcome = Some(TicketOutcome::HandedOn);
    raw[300].article = Some(ArticleId::new("trips"));
    raw[400].said = Some("visit report".to_owned());
    raw[400].follows = Some(raw[300].id.clone());
    raw[400].article = Some(ArticleId::new("trips"));
    raw[400].tries = vec![Try {
        fix: "reseal".to_owned(),
        result: TryResult::Resolved,
        minutes: None,
    }];
    with_task(&raw, |task| {
        let exams = Exams::of(task);
        assert_eq!(exams.days.len(), 419);
        let chain: Vec<&Exam> = exams
            .known
            .iter()
            .filter(|e| e.case == raw[400].id || e.case == raw[300].id)
            .collect();
        assert_eq!(chain.len(), 1);
        assert_eq!(chain[0].day, day_after(300));
        assert_eq!(chain[0].said.words, words);
        let fix = crate::base::ids::FixId::new("trips#reseal");
        assert_eq!(
            chain[0].truth,
            super::super::truth::Truth::Fix(ArticleId::new("trips"), fix)
        );
    });
}
