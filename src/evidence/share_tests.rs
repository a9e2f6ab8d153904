//! Tests of the shares against outside values, and laws that hold for any cases.

use super::super::prior::Prior;
use super::*;
use crate::evidence::hold::survivor;
use proptest::prelude::*;

fn close(found: &[f64], expected: &[f64], within: f64) {
    assert_eq!(found.len(), expected.len());
    for (a, b) in found.iter().zip(expected) {
        assert!((a - b).abs() < within, "{found:?} is not {expected:?}");
    }
}

/// No prior, uniform start.
fn bare(patterns: Patterns, options: usize) -> Tally {
    patterns.tally(vec![0.0; options], vec![1.0 / options as f64; options])
}

#[test]
fn one_order_of_trying_gives_the_product_limit_estimate() {
    // Sources as in `hold.rs`; exact increments 1/11 … 81/440 and 1/7 … 160/357 computed with
    // lifelines 0.30.3 and by EM, largest difference 1.7e-16.
    type Row = (f64, usize, usize, f64);
    let maintained: (&[Row], usize, f64, f64) = (
        &[
            (9.0, 1, 0, 1.0 / 11.0),
            (13.0, 1, 0, 1.0 / 11.0),
            (18.0, 1, 1, 9.0 / 88.0),
            (23.0, 1, 0, 9.0 / 88.0),
            (31.0, 1, 1, 27.0 / 220.0),
            (34.0, 1, 0, 27.0 / 220.0),
            (48.0, 1, 1, 81.0 / 440.0),
        ],
        1,
        81.0 / 440.0,
        -18.6244493801,
    );
    let six_mp: (&[Row], usize, f64, f64) = (
        &[
            (6.0, 3, 0, 1.0 / 7.0),
            (7.0, 1, 1, 6.0 / 119.0),
            (10.0, 1, 1, 32.0 / 595.0),
            (13.0, 1, 2, 16.0 / 255.0),
            (16.0, 1, 0, 16.0 / 255.0),
            (22.0, 1, 3, 32.0 / 357.0),
            (23.0, 1, 0, 32.0 / 357.0),
        ],
        5,
        160.0 / 357.0,
        -28.4568107278,
    );
    for (rows, left_over, none, likelihood) in [maintained, six_mp] {
        let mut patterns = Patterns::default();
        let (mut times, mut events) = (Vec::new(), Vec::new());
        for (at, (time, resolved, given_up_before, _)) in rows.iter().enumerate() {
            for _ in 0..*given_up_before {
                patterns.open((0..at).collect(), 1.0);
                times.push(time - 0.5);
                events.push(false);
            }
            for _ in 0..*resolved {
                patterns.resolved(at, 1.0);
                times.push(*time);
                events.push(true);
            }
        }
        for _ in 0..left_over {
            patterns.open((0..rows.len()).collect(), 1.0);
            times.push(999.0);
            events.push(false);
        }
        let tally = bare(patterns, rows.len() + 1);
        let found = tally.solve();
        assert!(found.gap < CERTAIN);
        let exact: Vec<f64> = rows.iter().map(|r| r.3).chain([none]).collect();
        close(&found.shares, &exact, 1e-8);
        assert!((tally.log_likelihood(&found.shares) - likelihood).abs() < 1e-8);
        let mut before = 1.0;
        for (step, share) in survivor(&times, &events).iter().zip(&found.shares) {
            assert!((before - step.survival - share).abs() < 1e-8);
            before = step.survival;
        }
    }
}

/// Invented input of the mixed-order example: `1>2+` resolved by the last, `2>3` given up.
fn mixed(cases: &[&str]) -> Patterns {
    let mut patterns = Patterns::default();
    for case in cases {
        let tried: Vec<usize> = case
            .trim_end_matches('+')
            .split('>')
            .map(|f| f.parse::<usize>().unwrap() - 1)
            .collect();
        if case.ends_with('+') {
            patterns.resolved(tried[tried.len() - 1], 1.0);
        } else {
            patterns.open(tried, 1.0);
        }
    }
    patterns
}

#[test]
fn mixed_orders_meet_the_outside_maximum() {
    // Invented input; EM and scipy 1.17.1 BFGS agree to 8e-9.
    let cases = [
        "1>2+", "1+", "1+", "2>1+", "2+", "3>1+", "3+", "1>2>3+", "3>2+", "2>3", "1>3", "1>2>3",
        "3>2>1", "2", "1", "2>1",
    ];
    let tally = bare(mixed(&cases), 4);
    let found = tally.solve();
    let expected = [
        0.308528061707,
        0.238210499778,
        0.181243493543,
        0.272017944973,
    ];
    close(&found.shares, &expected, 1e-8);
    assert!((tally.log_likelihood(&found.shares) + 17.6761606513).abs() < 1e-8);
}

#[test]
fn a_maximum_on_the_boundary_is_found() {
    // Invented input: exactly 0.5, 0.3, 0.2 and nothing left; log-likelihood −10.2965301406.
    let cases = [
        "1>2+", "1+", "1+", "2>1+", "2+", "2>3", "3>1+", "1>3", "3+", "1>2>3+",
    ];
    let tally = bare(mixed(&cases), 4);
    let found = tally.solve();
    assert!(found.gap < CERTAIN);
    close(&found.shares, &[0.5, 0.3, 0.2, 0.0], 1e-8);
    assert!((tally.log_likelihood(&found.shares) + 10.2965301406).abs() < 1e-8);
}

#[test]
fn no_cases_give_the_authors_shares_and_all_open_ones_lower_what_failed() {
    let author = Prior::stated(4.0).shares(3);
    let prior: Vec<f64> = author.iter().map(|q| 4.0 * q).collect();
    let none = Patterns::default()
        .tally(prior.clone(), author.clone())
        .solve();
    close(&none.shares, &author, 1e-12);
    let empty = Patterns::default()
        .tally(vec![0.0; 4], author.clone())
        .solve();
    close(&empty.shares, &author, 1e-15);
    let mut patterns = Patterns::default();
    patterns.open(vec![0], 50.0);
    patterns.open(vec![0, 1, 2], 50.0);
    let found = patterns.tally(prior, author.clone()).solve();
    assert!(found.gap < CERTAIN);
    assert!(found.shares[0] < 0.1 * author[0] && found.shares[3] > author[3]);
}

/// A case: what resolved it (none: given up), what failed, its weight.
type Made = (Option<usize>, Vec<usize>, f64);

fn any_cases(options: usize) -> impl Strategy<Value = Vec<Made>> {
    let case = (
        proptest::option::weighted(0.6, 0..options),
        proptest::collection::vec(0..options - 1, 0..options),
        0.01f64..1.0,
    );
    proptest::collection::vec(case, 0..40)
}

fn tally(cases: &[Made], options: usize, strength: f64) -> Tally {
    let author = Prior::stated(4.0).shares(options - 1);
    let mut patterns = Patterns::default();
    for (resolved, failed, weight) in cases {
        match resolved {
            Some(option) => patterns.resolved(*option, *weight),
            None => patterns.open(failed.clone(), *weight),
        }
    }
    patterns.tally(author.iter().map(|q| strength * q).collect(), author)
}

proptest! {
    #[test]
    fn shares_sum_to_one_and_the_maximum_is_certified(cases in any_cases(6), strength in 0.01f64..10.0) {
        let found = tally(&cases, 6, strength).solve();
        prop_assert!(found.gap < CERTAIN, "{} after {}", found.gap, found.steps);
        prop_assert!((found.shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        prop_assert!(found.shares.iter().all(|share| *share > 0.0 && share.is_finite()));
        prop_assert!(found.steps < 100, "{} steps", found.steps);
    }

    #[test]
    fn the_order_of_cases_changes_nothing(cases in any_cases(5), turn in 0usize..40) {
        let mut turned = cases.clone();
        turned.rotate_left(turn % cases.len().max(1));
        turned.reverse();
        prop_assert_eq!(tally(&cases, 5, 4.0), tally(&turned, 5, 4.0));
    }

    #[test]
    fn one_case_of_double_weight_is_two_cases(cases in any_cases(5)) {
        let doubled: Vec<Made> = cases.iter().map(|c| (c.0, c.1.clone(), 2.0 * c.2)).collect();
        let twice: Vec<Made> = cases.iter().chain(&cases).cloned().collect();
        let (a, b) = (tally(&doubled, 5, 4.0).solve(), tally(&twice, 5, 4.0).solve());
        for (x, y) in a.shares.iter().zip(&b.shares) {
            prop_assert!((x - y).abs() < 1e-12);
        }
    }

    #[test]
    fn one_more_resolved_case_never_lowers_its_fix(cases in any_cases(5), fix in 0usize..5, weight in 0.01f64..1.0) {
        let before = tally(&cases, 5, 4.0).solve().shares[fix];
        let mut more = cases.clone();
        more.push((Some(fix), Vec::new(), weight));
        let after = tally(&more, 5, 4.0).solve().shares[fix];
        prop_assert!(after >= before - 1e-10, "{before} to {after}");
    }

    #[test]
    fn the_accelerated_search_ends_where_plain_em_does(cases in any_cases(5), strength in 0.5f64..10.0) {
        let tally = tally(&cases, 5, strength);
        let (fast, plain) = (tally.solve(), tally.plain(CERTAIN, 200_000));
        prop_assert!(plain.gap < CERTAIN);
        prop_assert!(fast.steps <= plain.steps + 1);
        for (x, y) in fast.shares.iter().zip(&plain.shares) {
            prop_assert!((x - y).abs() < 1e-6, "{fast:?} {plain:?}");
        }
    }

    #[test]
    fn without_a_prior_the_search_still_ends(cases in any_cases(5)) {
        let found = tally(&cases, 5, 0.0).solve();
        prop_assert!(found.gap < CERTAIN, "{found:?}");
    }
}
