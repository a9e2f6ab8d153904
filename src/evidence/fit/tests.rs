use super::cases::shape;
use super::*;
use crate::evidence::equation::Feature;

/// Numbers that look random and are the same each time (Knuth's MMIX generator).
struct Draw(u64);

impl Draw {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// Cases that follow the equation with these weights; every third leaves several candidates.
fn drawn(count: usize, truth: &Weights, seed: u64) -> Vec<FitCase> {
    let mut draw = Draw(seed);
    let mut cases = Vec::new();
    for number in 0..count {
        let mut rows: Vec<Row> = vec![[0.0; FEATURES]; 3 + number % 4];
        for row in &mut rows {
            row.iter_mut().for_each(|x| *x = 2.0 * draw.next() - 0.5);
        }
        let mut exponents: Vec<f64> = rows.iter().map(|row| truth.utility(row)).collect();
        let times = 20.0 + 3.0 * draw.next();
        exponents.push(crate::evidence::chance::unlisted_utility(
            truth, times, &exponents,
        ));
        let mut left = draw.next();
        let ended = crate::evidence::equation::softmax(&exponents)
            .iter()
            .position(|p| {
                left -= p;
                left < 0.0
            })
            .unwrap_or(0);
        let unlisted = ended == rows.len();
        let wide = number % 3 == 0 && !unlisted;
        let chosen = (0..rows.len()).map(|c| c == ended || (wide && (c + number) % 3 > 0));
        cases.push(FitCase {
            weight: 0.5 + draw.next(),
            chosen: chosen.collect(),
            rows: rows.into(),
            unlisted_chosen: unlisted,
            unlisted_times: times,
        });
    }
    cases
}

fn truth() -> Weights {
    Weights {
        beta: [
            1.0, 0.0, 2.0, 0.5, 0.0, 1.5, 0.0, 0.8, 0.9, 2.5, 0.4, 1.2, 0.7,
        ],
        unlisted: -3.0,
        unlisted_by_sum: 0.6,
        unlisted_by_doubt: 0.4,
        cases: 0,
    }
}

/// Eight invented cases of three alternatives with two features; coefficients and log-likelihood
/// from `ConditionalLogit` of statsmodels 0.15.
#[test]
fn small_example_agrees_with_statsmodels() {
    let given: [([[f64; 2]; 3], usize); 8] = [
        ([[1.0, 0.0], [0.5, 1.0], [0.2, 0.0]], 0),
        ([[0.3, 1.0], [0.9, 0.0], [0.4, 0.0]], 0),
        ([[0.8, 0.0], [0.1, 1.0], [0.6, 1.0]], 2),
        ([[0.2, 0.0], [0.7, 0.0], [0.9, 1.0]], 2),
        ([[0.5, 1.0], [0.5, 0.0], [1.1, 0.0]], 1),
        ([[0.4, 0.0], [1.2, 1.0], [0.3, 0.0]], 1),
        ([[0.9, 1.0], [0.6, 0.0], [0.1, 0.0]], 0),
        ([[0.7, 0.0], [0.2, 1.0], [0.8, 0.0]], 1),
    ];
    let cases = given.map(|(rows, chosen)| FitCase {
        weight: 1.0,
        rows: rows
            .iter()
            .map(|[code, signs]| {
                let mut row = [0.0; FEATURES];
                row[Feature::Code as usize] = *code;
                row[Feature::Signs as usize] = *signs;
                row
            })
            .collect::<Vec<_>>()
            .into(),
        chosen: (0..3).map(|at| at == chosen).collect(),
        ..FitCase::default()
    });
    // The example has no alternative beside the three: `unlisted` starts where it has no chance.
    let start = Weights {
        beta: [0.0; FEATURES],
        unlisted: -1e4,
        ..Weights::shipped()
    };
    let free = Spread {
        features: f64::INFINITY,
        unlisted: 2.0,
    };
    let found = fit_within(&cases, &start, free);
    let beta = found.weights.beta;
    assert!(
        (beta[Feature::Code as usize] - 1.896_552_372_4).abs() < 1e-9,
        "{beta:?}"
    );
    assert!(
        (beta[Feature::Signs as usize] - 1.882_385_797_9).abs() < 1e-9,
        "{beta:?}"
    );
    assert!((found.log_likelihood + 5.609_153_876_2).abs() < 1e-9);
    let at_zero = shape(&cases.iter().collect::<Vec<_>>(), &numbers(&start)).value;
    assert!((at_zero + 8.0 * 3.0_f64.ln()).abs() < 1e-12);
}

#[test]
fn slope_is_what_differences_say() {
    let cases = drawn(60, &truth(), 3);
    let cases: Vec<&FitCase> = cases.iter().collect();
    let place = numbers(&Weights {
        unlisted_by_doubt: -0.7,
        ..truth()
    });
    let found = shape(&cases, &place);
    for k in 0..NUMBERS {
        let moved = |by: f64| {
            let mut to = place;
            to[k] += by;
            cases::value(&cases, &to)
        };
        let slope = (moved(1e-5) - moved(-1e-5)) / 2e-5;
        assert!(
            (found.slope[k] - slope).abs() < 1e-6,
            "{k}: {slope} {found:?}"
        );
    }
    assert!((found.value - cases::value(&cases, &place)).abs() < 1e-12);
}

#[test]
fn many_cases_bring_back_the_weights_they_were_drawn_from() {
    let free = Spread {
        features: 50.0,
        unlisted: 50.0,
    };
    let found = fit_within(&drawn(6000, &truth(), 5), &Weights::shipped(), free);
    for (k, (found, true_)) in found.weights.beta.iter().zip(truth().beta).enumerate() {
        assert!((found - true_).abs() < 0.3, "{k}: {found} for {true_}");
    }
    assert!(found.weights.unlisted_by_sum > 0.2, "{found:?}");
    assert!(found.steps < 40, "{}", found.steps);
    assert_eq!(found.weights.cases, 6000);
}

#[test]
fn nothing_counts_against_what_it_speaks_for_and_a_held_weight_would_fall() {
    let against = Weights {
        beta: [
            -2.0, -1.0, 1.0, 0.0, 0.0, 0.0, 0.0, -0.5, 0.2, -1.0, 1.0, 0.3, 0.0,
        ],
        ..truth()
    };
    let cases = drawn(800, &against, 7);
    let start = Weights::shipped();
    let found = fit(&cases, &start);
    let usable: Vec<&FitCase> = cases.iter().collect();
    let variances = cases::variances(&usable);
    let shape = shape(&usable, &numbers(&found));
    for (k, feature) in Feature::ALL.into_iter().enumerate() {
        let off = found.beta[k] - start.beta[k];
        let slope = shape.slope[k] - variances[k] / (SIGMA * SIGMA) * off;
        if found.beta[k] <= 0.0 {
            assert!(slope < 1e-6 && found.beta[k] >= 0.0, "{feature:?} {slope}");
        } else {
            assert!(slope.abs() < 1e-6, "{feature:?} {slope}");
        }
    }
    assert!(
        found.beta[0] <= 0.0 && found.beta[Feature::Code as usize] <= 0.0,
        "{found:?}"
    );
}

#[test]
fn order_changes_nothing_and_the_same_cases_give_the_same_bytes() {
    let cases = drawn(700, &truth(), 11);
    let start = Weights::shipped();
    let found = fit(&cases, &start);
    assert_eq!(found, fit(&cases, &start));
    for threads in [1, 3] {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        assert_eq!(found, pool.unwrap().install(|| fit(&cases, &start)));
    }
    let mut turned = cases;
    turned.reverse();
    turned.rotate_left(123);
    let again = numbers(&fit(&turned, &start));
    for (k, (a, b)) in numbers(&found).iter().zip(again).enumerate() {
        assert!((a - b).abs() < 1e-9, "{k}: {a} {b}");
    }
}

#[test]
fn nothing_learned_is_the_start() {
    let start = Weights::shipped();
    assert_eq!(fit(&[], &start), start);
    let nothing_left = FitCase {
        weight: 1.0,
        rows: vec![[1.0; FEATURES]; 2].into(),
        chosen: vec![false, false],
        ..FitCase::default()
    };
    assert_eq!(fit(std::slice::from_ref(&nothing_left), &start), start);
    // No candidates at all, and rightly so: `unlisted` had to be it, which teaches nothing.
    let no_candidates = FitCase {
        rows: vec![].into(),
        chosen: vec![],
        unlisted_chosen: true,
        ..nothing_left
    };
    let found = fit(&[no_candidates], &start);
    assert_eq!((found.beta, found.cases), (start.beta, 1));
}

#[test]
fn fit_points_are_the_fixed_counts() {
    let first: Vec<usize> = fit_points().take(12).collect();
    assert_eq!(
        first,
        [200, 210, 221, 232, 244, 256, 269, 282, 296, 311, 326, 343]
    );
    for (cases, point) in [
        (0, None),
        (199, None),
        (200, Some(200)),
        (209, Some(200)),
        (210, Some(210)),
        (343, Some(343)),
        (100_000, Some(98_191)),
    ] {
        assert_eq!(fit_point(cases), point, "{cases}");
    }
}

#[test]
fn weights_of_before_have_a_plain_constant() {
    let old = serde_json::json!({"beta": vec![0.5; FEATURES], "unlisted": 2.0, "cases": 3});
    let read: Weights = serde_json::from_value(old).unwrap();
    assert_eq!((read.unlisted_by_sum, read.unlisted_by_doubt), (0.0, 0.0));
    let times = crate::evidence::chance::unlisted_utility(&read, 9.0, &[1.0, 5.0]);
    assert!((times - (2.0 + 0.5 * 10.0_f64.ln())).abs() < 1e-15);
}

/// A case whose candidates lie 2 apart in the first feature has variance 1, one with equal ones 0;
/// weighted 1 to 3 that is ¼.
#[test]
fn a_typical_step_is_the_deviation_within_cases() {
    let case = |a: f64, b: f64, weight: f64| {
        let mut rows: Vec<Row> = vec![[7.0; FEATURES]; 2];
        (rows[0][0], rows[1][0]) = (a, b);
        FitCase {
            weight,
            rows: rows.into(),
            chosen: vec![true, false],
            ..FitCase::default()
        }
    };
    let cases = [case(1.0, 3.0, 1.0), case(5.0, 5.0, 3.0)];
    let found = steps(&cases);
    assert!((found[0] - 0.5).abs() < 1e-12, "{found:?}");
    assert!(found[1..].iter().all(|step| step.abs() < 1e-12));
    // A case that leaves nothing possible says nothing.
    let mut silent = case(0.0, 99.0, 1.0);
    silent.chosen = vec![false, false];
    let again = steps(&[cases[0].clone(), cases[1].clone(), silent]);
    assert!(again.map(f64::to_bits) == found.map(f64::to_bits));
}
