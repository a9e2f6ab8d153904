//! Orders against published and enumerated ones, and against every possible order.

use super::*;
use proptest::prelude::*;

fn jobs(chances: &[f64], minutes: &[f64]) -> Vec<Job> {
    chances
        .iter()
        .zip(minutes)
        .map(|(chance, minutes)| Job {
            chance: *chance,
            minutes: *minutes,
            after: Vec::new(),
        })
        .collect()
}

/// Expected minutes of doing all, handing on for nothing.
fn all_of(jobs: &[Job], order: &[usize]) -> f64 {
    expected(jobs, order, 0.0)[order.len()]
}

#[test]
fn worked_examples_are_met() {
    // p = (.8, .2), c = (3, 2): 3.4 one way, 4.4 the other (question page, S); t = (1, 3),
    // w = (10, 2): 18 against 46 (textbook exercise, S), here w/12 as chances.
    let example = jobs(&[0.8, 0.2], &[3.0, 2.0]);
    assert_eq!(by_time(&example), [0, 1]);
    assert!((all_of(&example, &[0, 1]) - 3.4).abs() < 1e-12);
    assert!((all_of(&example, &[1, 0]) - 4.4).abs() < 1e-12);
    let example = jobs(&[10.0 / 12.0, 2.0 / 12.0], &[1.0, 3.0]);
    assert!((12.0 * all_of(&example, &by_time(&example)) - 18.0).abs() < 1e-12);
    assert!((12.0 * all_of(&example, &[1, 0]) - 46.0).abs() < 1e-12);
}

#[test]
fn enumerated_examples_are_met() {
    // Invented input, all permutations enumerated; the order differs only where ratios are equal.
    for (chances, minutes, best, worst, given) in [
        (
            vec![0.4, 0.3, 0.2, 0.1],
            vec![10.0, 4.0, 2.0, 1.0],
            9.60,
            13.10,
            13.10,
        ),
        (
            vec![0.35, 0.25, 0.2, 0.12, 0.08],
            vec![20.0, 5.0, 8.0, 2.0, 15.0],
            21.24,
            40.05,
            28.05,
        ),
        (
            vec![0.3, 0.22, 0.18, 0.12, 0.1, 0.05],
            vec![12.0, 3.0, 9.0, 1.0, 7.0, 2.0],
            15.98,
            25.84,
            20.14,
        ),
    ] {
        let jobs = jobs(&chances, &minutes);
        let costs: Vec<f64> = orders(&jobs, jobs.len())
            .iter()
            .map(|o| all_of(&jobs, o))
            .collect();
        assert!((all_of(&jobs, &by_time(&jobs)) - best).abs() < 1e-9);
        assert!((costs.iter().copied().fold(0.0, f64::max) - worst).abs() < 1e-9);
        let place: Vec<usize> = (0..jobs.len()).collect();
        assert!((all_of(&jobs, &place) - given).abs() < 1e-9);
        assert_eq!(by_chance(&jobs), place);
    }
}

#[test]
fn a_likely_step_draws_up_what_it_waits_for() {
    let mut list = jobs(&[0.1, 0.3, 0.0, 0.5], &[5.0, 10.0, 2.0, 10.0]);
    list[3].after = vec![2];
    assert_eq!(by_time(&list), [2, 3, 1, 0]);
    // A check that only a late step waits for is not done early.
    list[3].after = vec![0, 2];
    assert_eq!(by_time(&list), [0, 2, 3, 1]);
    assert_eq!(
        by_chance(&jobs(&[0.2, 0.2, 0.5], &[9.0, 1.0, 50.0])),
        [2, 0, 1]
    );
}

#[test]
fn a_check_that_must_come_first_costs_a_likely_fix_no_rank_by_chance() {
    let mut list = jobs(&[0.4, 0.0, 0.5], &[5.0, 30.0, 30.0]);
    list[2].after = vec![1];
    assert_eq!(by_chance(&list), [1, 2, 0]);
    assert_eq!(by_time(&list), [0, 1, 2]);
}

#[test]
fn handing_on_at_once_can_be_cheapest() {
    let list = jobs(&[0.1, 0.05], &[30.0, 30.0]);
    let stop = stop(&list, &by_time(&list), 60.0);
    assert_eq!(stop.after, 0);
    assert!((stop.minutes - 60.0).abs() < 1e-12);
    assert_eq!(by_time(&[]), Vec::<usize>::new());
    assert!((least_minutes(&[], 60.0) - 60.0).abs() < 1e-12);
}

#[test]
fn a_circle_ends_all_the_same() {
    let mut list = jobs(&[0.1; 14], &[1.0; 14]);
    for (at, job) in list.iter_mut().enumerate() {
        job.after = vec![(at + 1) % 14];
    }
    assert_eq!(by_time(&list).len(), 14);
    list[0].after = vec![1, 2];
    assert_eq!(by_time(&list).len(), 14);
    let mut small = jobs(&[0.1; 3], &[1.0; 3]);
    small[0].after = vec![1, 2];
    small[1].after = vec![0];
    assert_eq!(by_time(&small).len(), 3);
}

/// Every order of up to `most` steps that respects `after`.
fn orders(jobs: &[Job], most: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    let mut from = 0;
    for _ in 0..most {
        let until = all.len();
        for nth in from..until {
            for (at, job) in jobs.iter().enumerate() {
                let done: &Vec<usize> = &all[nth];
                if !done.contains(&at) && job.after.iter().all(|b| done.contains(b)) {
                    let mut next = done.clone();
                    next.push(at);
                    all.push(next);
                }
            }
        }
        from = until;
    }
    all
}

fn respects(jobs: &[Job], order: &[usize]) -> bool {
    order.iter().enumerate().all(|(nth, &at)| {
        jobs[at]
            .after
            .iter()
            .all(|before| order[..nth].contains(before))
    })
}

/// Up to seven steps; each may wait for earlier-numbered ones, tangled or in trees.
fn any_jobs(most_after: usize) -> impl Strategy<Value = Vec<Job>> {
    let job = (
        0u8..10,
        1u8..30,
        proptest::collection::vec(0usize..7, 0..=most_after),
    );
    (
        proptest::collection::vec(job, 1..=7),
        proptest::collection::vec(0usize..1000, 7),
    )
        .prop_map(|(raw, names)| {
            // Turn numbers around so that a step may wait for one with a higher place.
            let n = raw.len();
            let mut places: Vec<usize> = (0..n).collect();
            places.sort_by_key(|&at| names[at]);
            let mut jobs = vec![Job::default(); n];
            for (at, (chance, minutes, after)) in raw.into_iter().enumerate() {
                let after = after.into_iter().filter(|b| *b < at).map(|b| places[b]);
                let mut after: Vec<usize> = after.collect();
                after.sort_unstable();
                after.dedup();
                jobs[places[at]] = Job {
                    chance: f64::from(chance) / 70.0,
                    minutes: f64::from(minutes),
                    after,
                };
            }
            jobs
        })
}

/// The best of every ordered subset equals the best prefix of our order, and so does the best of
/// doing everything.
fn no_order_is_better(jobs: &[Job], hand_on: f64) -> Result<(), TestCaseError> {
    let order = by_time(jobs);
    prop_assert!(respects(jobs, &order), "{order:?}");
    let (mut best, mut best_of_all) = (f64::INFINITY, f64::INFINITY);
    for other in orders(jobs, jobs.len()) {
        let costs = expected(jobs, &other, hand_on);
        best = best.min(costs[other.len()]);
        if other.len() == jobs.len() {
            best_of_all = best_of_all.min(all_of(jobs, &other));
        }
    }
    let stop = stop(jobs, &order, hand_on);
    prop_assert!(
        (stop.minutes - best).abs() < 1e-9,
        "{} {best} {order:?}",
        stop.minutes
    );
    prop_assert!((all_of(jobs, &order) - best_of_all).abs() < 1e-9);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn no_ordered_subset_is_better_where_steps_are_independent(jobs in any_jobs(0), hand_on in 0.0f64..200.0) {
        no_order_is_better(&jobs, hand_on)?;
    }

    #[test]
    fn no_ordered_subset_is_better_where_steps_wait_in_trees(jobs in any_jobs(1), hand_on in 0.0f64..200.0) {
        no_order_is_better(&jobs, hand_on)?;
    }

    #[test]
    fn no_ordered_subset_is_better_where_steps_wait_for_several(jobs in any_jobs(3), hand_on in 0.0f64..200.0) {
        no_order_is_better(&jobs, hand_on)?;
    }

    #[test]
    fn lists_by_chance_and_by_thumb_respect_what_comes_before(jobs in any_jobs(3)) {
        prop_assert!(respects(&jobs, &by_chance(&jobs)));
        let all: Vec<usize> = (0..jobs.len()).collect();
        prop_assert!(respects(&jobs, &thumb_order(&jobs, &all)));
    }
}
