//! The index and the plain version in memory know the same.

use super::{Index, SearchError, TicketText, build};
use crate::base::ids::{ArticleId, FixId, TicketId};
use crate::evidence::counted::{Candidates, InMemory};
use crate::evidence::layout::{Layout, Pair};
use crate::evidence::texts::{Bags, Family};
use proptest::prelude::*;
use std::collections::BTreeMap;

const WORDS: [&str; 6] = ["rcd", "trip", "re set", "ä", "169.254.3.7", "🙂"];

fn layout() -> Layout {
    let pair = |article, fix, kind| Pair { article, fix, kind };
    Layout {
        articles: vec![ArticleId::new("a"), ArticleId::new("b")],
        fixes: vec![FixId::new("a#x")],
        kinds: vec!["reset".to_owned()],
        pairs: vec![
            pair(0, Some(0), Some(0)),
            pair(0, None, None),
            pair(1, None, None),
        ],
        pairs_of: vec![0..2, 2..3],
    }
}

fn some_bags() -> impl Strategy<Value = Bags> {
    let bag = proptest::collection::btree_map(0..WORDS.len(), 1_u32..60, 0..WORDS.len());
    proptest::collection::vec(bag, 30).prop_map(|bags| {
        let mut bags = bags.into_iter().cycle();
        let named = |bag: BTreeMap<usize, u32>| {
            bag.into_iter()
                .map(|(w, n)| (WORDS[w].to_owned(), n))
                .collect()
        };
        Family::ALL
            .iter()
            .map(|f| {
                (
                    *f,
                    bags.by_ref().take(f.texts(&layout())).map(named).collect(),
                )
            })
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    #[test]
    fn the_index_counts_as_the_plain_version_does(bags in some_bags()) {
        let folder = tempfile::tempdir().unwrap();
        build(folder.path(), &layout(), &bags, []).unwrap();
        let (index, plain) = (Index::open(folder.path(), &layout()).unwrap(), InMemory::of(&bags, &layout()));
        for family in Family::ALL {
            let texts: Vec<usize> = (0..family.texts(&layout())).collect();
            let terms = [&WORDS[..], &["unknown"]].concat();
            prop_assert_eq!(
                index.counts(family, &terms, &texts).unwrap(),
                plain.counts(family, &terms, &texts).unwrap()
            );
        }
        let question = WORDS.iter().map(|w| ((*w).to_owned(), 1.0)).collect();
        let mut found = index.matching(&question, 10).unwrap();
        let mut plainly = plain.matching(&question, 10).unwrap();
        found.sort_unstable();
        plainly.sort_unstable();
        prop_assert_eq!(found, plainly);
    }
}

#[test]
fn tickets_are_found_by_what_was_said() {
    let folder = tempfile::tempdir().unwrap();
    let ticket = |id: &str, day: &str, words: &str| TicketText {
        id: TicketId::new(id),
        day: day.parse().unwrap(),
        terms: words.split(' ').map(str::to_owned).collect(),
    };
    let tickets = [
        ticket("T-1", "2026-03-01", "rcd trip rain"),
        ticket("T-2", "2026-03-01", "card refus"),
        ticket("T-3", "2026-03-01", "rcd"),
        ticket("T-4", "2022-03-01", "rcd trip rain"),
    ];
    let bags: Bags = Family::ALL
        .iter()
        .map(|f| (*f, vec![BTreeMap::new(); f.texts(&layout())]))
        .collect();
    build(folder.path(), &layout(), &bags, tickets).unwrap();
    let index = Index::open(folder.path(), &layout()).unwrap();
    let question = [("rcd".to_owned(), 1.0), ("trip".to_owned(), 1.0)].into();
    let today = "2026-04-01".parse().unwrap();
    let found = |half_life| index.similar(&question, 5, (today, half_life)).unwrap();
    let ids = |found: Vec<TicketId>| found.iter().map(ToString::to_string).collect::<Vec<_>>();
    assert_eq!(ids(found(365.0)), ["T-1", "T-3", "T-4"]);
    // Where age does not count, likeness alone does.
    assert_eq!(ids(found(f64::INFINITY)), ["T-1", "T-4", "T-3"]);
}

#[test]
fn a_damaged_index_is_noticed() {
    let bags: Bags = Family::ALL
        .iter()
        .map(|f| (*f, vec![BTreeMap::new(); f.texts(&layout())]))
        .collect();
    for damage in ["cut", "flip", "gone"] {
        let folder = tempfile::tempdir().unwrap();
        build(folder.path(), &layout(), &bags, []).unwrap();
        let victim = std::fs::read_dir(folder.path())
            .unwrap()
            .map(|e| e.unwrap().path())
            .filter(|p| p.extension().is_some_and(|e| e == "store" || e == "term"))
            .min()
            .unwrap();
        let mut bytes = std::fs::read(&victim).unwrap();
        match damage {
            "cut" => bytes.truncate(bytes.len() / 2),
            "flip" => bytes[0] ^= 0xff,
            _ => {}
        }
        std::fs::remove_file(&victim).unwrap();
        if damage != "gone" {
            std::fs::write(&victim, bytes).unwrap();
        }
        let opened = Index::open(folder.path(), &layout());
        assert!(
            matches!(
                opened,
                Err(SearchError::Damaged(_) | SearchError::Tantivy(_))
            ),
            "{damage}: {opened:?}"
        );
    }
}
