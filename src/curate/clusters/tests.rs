use super::*;
use proptest::prelude::*;

fn texts(lines: &[&str]) -> Vec<Text> {
    lines
        .iter()
        .map(|line| Text {
            terms: line.split(' ').map(str::to_owned).collect(),
            weight: 1.0,
        })
        .collect()
}

fn shown(found: &[Cluster]) -> Vec<String> {
    found
        .iter()
        .map(|c| {
            let names: Vec<&str> = c.names.iter().map(|(n, _)| n.as_str()).collect();
            format!("{:?} {}", c.texts, names.join(" "))
        })
        .collect()
}

#[test]
fn texts_that_say_the_same_stand_together_under_their_own_words() {
    let all = texts(&[
        "the breaker trips when it rains",
        "breaker trips in the rain",
        "the card is refused",
        "rain and the breaker trips again",
        "the card refused at the reader",
        "card reader refused the card",
        "somebody parked across the bay",
    ]);
    let found = clusters(&all, 2.0, 2);
    assert_eq!(found.len(), 2, "{:?}", shown(&found));
    let members = |c: &Cluster| c.texts.iter().copied().collect::<BTreeSet<_>>();
    assert_eq!(
        members(&found[0]),
        BTreeSet::from([0, 1, 3]),
        "{:?}",
        shown(&found)
    );
    assert_eq!(
        members(&found[1]),
        BTreeSet::from([2, 4, 5]),
        "{:?}",
        shown(&found)
    );
    let names = |c: &Cluster| {
        c.names
            .iter()
            .map(|(n, _)| n.clone())
            .collect::<BTreeSet<_>>()
    };
    assert_eq!(
        names(&found[0]),
        BTreeSet::from(["breaker".into(), "trips".into()])
    );
    assert!(names(&found[1]).contains("card"));
}

#[test]
fn weight_counts_as_so_many_texts() {
    let mut all = texts(&["card refused", "breaker trips", "breaker trips again"]);
    assert_eq!(clusters(&all, 2.0, 1).len(), 1);
    all[0].weight = 9.0;
    let found = clusters(&all, 2.0, 1);
    assert_eq!(found[0].texts, [0]);
    assert!((found[0].weight - 9.0).abs() < 1e-9);
    assert!(clusters(&[], 1.0, 3).is_empty());
}

/// The formula worked out by hand for one word: 10 of 100 here, 5 of 900 elsewhere, and a prior of
/// 500 · 15/1000 = 7.5.
#[test]
fn the_z_score_is_the_formula() {
    let here = (17.5_f64 / (600.0 - 17.5)).ln();
    let elsewhere = (12.5_f64 / (1400.0 - 12.5)).ln();
    let expected = (here - elsewhere) / (1.0_f64 / 17.5 + 1.0 / 12.5).sqrt();
    let found = z_score((10.0, 100.0), (5.0, 900.0), 7.5);
    assert!((found - expected).abs() < 1e-12, "{found} {expected}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn each_text_is_in_one_group_at_most_and_weights_add_up(
        lines in proptest::collection::vec(proptest::collection::vec("[a-h]", 0..5), 0..20),
        least in 1.0..4.0f64,
    ) {
        let all: Vec<Text> = lines
            .into_iter()
            .enumerate()
            .map(|(n, terms)| Text { terms, weight: 1.0 + (n % 3) as f64 })
            .collect();
        let found = clusters(&all, least, 3);
        let mut seen = BTreeSet::new();
        for cluster in &found {
            let sum: f64 = cluster.texts.iter().map(|t| all[*t].weight).sum();
            prop_assert!((sum - cluster.weight).abs() < 1e-9 && sum >= least);
            for text in &cluster.texts {
                prop_assert!(seen.insert(*text));
            }
            prop_assert!(cluster.names.iter().all(|(_, z)| z.is_finite() && *z > 0.0));
        }
        prop_assert_eq!(clusters(&all, least, 3), found);
    }
}

#[test]
fn ways_to_say_one_thing_that_share_few_words_are_one_topic() {
    let all = texts(&[
        "low hum from the wall at night",
        "low hum from the wall all night",
        "drone in the bedroom and hum",
        "drone in the bedroom at dawn",
        "card refused by reader",
        "card refused by the reader",
    ]);
    let apart = clusters(&all, 2.0, 2).len();
    let found = topics(&all, 2.0, 2);
    assert!(found.len() <= apart, "{:?}", shown(&found));
    let of = |text: usize| found.iter().position(|c| c.texts.contains(&text));
    assert_eq!(of(0), of(1));
    assert_eq!(of(4), of(5));
    assert_ne!(of(0), of(4));
    assert!(topics(&[], 1.0, 3).is_empty());
}
