//! The same ledgers as tickets: a visit that `follows` a call makes one case with it.

use super::world::{Counts, Done, FAULTS, Ways, World};
use crate::case::Case;
use fixtally::articles::folder;
use fixtally::base::ids::ArticleId;
use fixtally::evidence::{Cases, gather};
use fixtally::tickets::{RawTicket, Scrubber, Ticket};
use jiff::civil::{Date, date};
use serde_json::{Value, json};
use std::collections::BTreeMap;

const TODAY: Date = date(2026, 6, 1);

fn knowledge_base() -> folder::Folder {
    let fixes: String = (0..FAULTS)
        .map(|fix| {
            format!(
                "\n## Fix: Do number {fix} {{#fix-{fix} kind=do minutes=5 who=anyone}}\n\n\
                 1. Do it.\n\nDone when: it works.\n"
            )
        })
        .collect();
    let article = format!(
        "---\nid: one\ntitle: It does not work\nsymptoms:\n  - nothing works\nstate: live\n\
         reviewed: 2026-05-01\nowner: somebody\n---\nNothing works.\n{fixes}"
    );
    let settings = "name = \"one\"\n[roles]\norder = [\"anyone\"]\n\
                    [model]\nprior-cases = 4\nhalf-life-days = \"off\"\nhold-days = 0\n";
    let case = Case::new()
        .file("kb/kb.toml", settings)
        .file("kb/articles/area/one.md", article);
    let read = folder::read(&case.path("kb"), TODAY).unwrap();
    assert_eq!(read.catalog.fixes.len(), FAULTS, "{:?}", read.problems);
    read
}

fn tickets(ledger: &[Done]) -> Vec<Ticket> {
    let scrubber = Scrubber::new(None).unwrap();
    let ticket = |value: Value| {
        let raw: RawTicket = serde_json::from_value(value).unwrap();
        scrubber.ticket(raw).0
    };
    let named = |fix: usize, result: &str| json!({"fix": format!("fix-{fix}"), "result": result});
    let mut all = Vec::new();
    for (number, done) in ledger.iter().enumerate() {
        let failed = done.failed.iter().map(|fix| named(*fix, "no-change"));
        let resolved = done.resolved_by.map(|fix| named(fix, "resolved"));
        all.push(ticket(json!({
            "id": format!("T-{number}"), "closed": "2026-05-01T10:00:00Z", "article": "one",
            "tries": failed.chain(resolved.clone()).collect::<Vec<Value>>(),
            "outcome": if resolved.is_some() { "resolved" } else { "handed-on" },
        })));
        if let Some(fix) = done.visit {
            all.push(ticket(json!({
                "id": format!("V-{number}"), "follows": format!("T-{number}"), "article": "one",
                "closed": "2026-05-04T10:00:00Z", "tries": [named(fix, "resolved")],
                "outcome": "resolved",
            })));
        }
    }
    all
}

#[test]
fn a_visit_that_follows_a_call_makes_one_case_with_it() {
    let kb = knowledge_base();
    let ways = Ways {
        by_cause: true,
        visits: 300,
        ..Ways::default()
    };
    for seed in 0..5 {
        let ledger = World::new(seed, None).ledger(1_000, ways, seed);
        let tickets = tickets(&ledger);
        assert!(tickets.len() > 1_000);
        let (catalog, settings) = (&kb.catalog, &kb.settings);
        let cases = Cases::of(&tickets, &BTreeMap::new(), catalog, &settings.model, TODAY);
        assert_eq!(cases.list.len(), 1_000);
        let evidence = gather(&cases, catalog, settings, TODAY);
        let found = &evidence.articles[&ArticleId::new("one")].shares;
        for (found, counted) in found.iter().zip(Counts::of(&ledger).shares()) {
            assert!((found.share - counted).abs() < 1e-9);
        }
    }
}
