//! Writes made-up cases with our results to `target/crosscheck/`, where
//! `tools/crosscheck/check_evidence.py` and `check_curate.py` recompute them with general-purpose
//! libraries, or from the papers.

use fixtally::articles::{Catalog, folder};
use fixtally::curate::clusters::{Text, distinctive_in};
use fixtally::curate::shingles::{numbered, share_of_both};
use fixtally::evidence::beta;
use fixtally::evidence::chance::unlisted_utility;
use fixtally::evidence::devices::{Group, kappa};
use fixtally::evidence::ear::Ear;
use fixtally::evidence::equation::{FEATURES, Feature, Weights, softmax};
use fixtally::evidence::fit::{FitCase, SIGMA, SIGMA_UNLISTED, Spread, fit_within};
use fixtally::evidence::hold::survivor;
use fixtally::evidence::interval::{Z95, newcombe, wilson};
use fixtally::evidence::observed::variances;
use fixtally::evidence::prior::Prior;
use fixtally::evidence::share::Patterns;
use serde_json::{Value, json};
use std::path::Path;

/// Numbers that look random and are the same each time (a multiplicative generator; MMIX
/// constants of Knuth).
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A whole number below `end`.
    fn below(&mut self, end: u32) -> u32 {
        let drawn = (self.next() * f64::from(end)).floor();
        (0..end).find(|n| f64::from(*n) >= drawn).unwrap_or(0)
    }
}

fn write(name: &str, rows: &[Value]) {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().unwrap();
    let folder = target.join("crosscheck");
    std::fs::create_dir_all(&folder).unwrap();
    let text = serde_json::to_string(rows).unwrap();
    std::fs::write(folder.join(name).with_extension("json"), text).unwrap();
}

#[test]
fn intervals_are_written_out() {
    let mut numbers = Numbers(1);
    let mut rows = Vec::new();
    for _ in 0..300 {
        let (n1, n2) = (1 + numbers.below(200), 1 + numbers.below(200));
        let (x1, x2) = (numbers.below(n1 + 1), numbers.below(n2 + 1));
        let (first, second) = ((x1.into(), n1.into()), (x2.into(), n2.into()));
        rows.push(json!({
            "x1": x1, "n1": n1, "x2": x2, "n2": n2,
            "wilson": wilson(first.0, first.1, Z95),
            "newcombe": newcombe(first, second, Z95),
        }));
    }
    write("intervals", &rows);
}

#[test]
fn beta_quantiles_are_written_out() {
    let mut numbers = Numbers(2);
    let mut rows = Vec::new();
    for _ in 0..2000 {
        // From 0.001 to 10⁴, as even on the logarithm as shares and counts are.
        let mut size = || 10f64.powf(numbers.next() * 7.0 - 3.0);
        let (a, b) = (size(), size());
        for p in [0.05, 0.95, 0.025, 0.5] {
            rows.push(json!({"p": p, "a": a, "b": b, "x": beta::quantile(p, a, b)}));
        }
    }
    write("beta", &rows);
}

#[test]
fn survivors_are_written_out() {
    let mut numbers = Numbers(3);
    let mut rows = Vec::new();
    for _ in 0..50 {
        let size = 1 + numbers.below(60);
        let times: Vec<f64> = (0..size)
            .map(|_| f64::from(1 + numbers.below(30)))
            .collect();
        let events: Vec<bool> = (0..size).map(|_| numbers.next() < 0.5).collect();
        let steps = survivor(&times, &events);
        rows.push(json!({"times": times, "events": events, "steps": steps}));
    }
    write("survivors", &rows);
}

#[test]
fn shares_are_written_out() {
    let mut numbers = Numbers(4);
    let mut rows = Vec::new();
    for round in 0..60 {
        let count = 1 + numbers.below(6);
        let fixes = count as usize;
        let author = Prior::stated(4.0).shares(fixes);
        let strength = [4.0, 0.5, 20.0][round % 3];
        let prior: Vec<f64> = author.iter().map(|q| strength * q).collect();
        let mut patterns = Patterns::default();
        for _ in 0..numbers.below(60) {
            let weight = numbers.next();
            if numbers.next() < 0.6 {
                let option = numbers.below(count + 1) as usize;
                patterns.resolved(option, weight);
            } else {
                let failed = (0..fixes).filter(|_| numbers.next() < 0.4).collect();
                patterns.open(failed, weight);
            }
        }
        let tally = patterns.tally(prior, author);
        let found = tally.solve();
        let open: Vec<Value> = tally
            .open
            .iter()
            .map(|o| json!({"failed": o.failed, "weight": o.weight}))
            .collect();
        rows.push(json!({
            "prior": tally.prior, "resolved": tally.resolved, "open": open,
            "shares": found.shares, "gap": found.gap,
            "variances": variances(&tally, &found.shares),
        }));
    }
    write("shares", &rows);
}

#[test]
fn device_strengths_are_written_out() {
    let mut numbers = Numbers(5);
    let mut rows = Vec::new();
    for _ in 0..30 {
        let shares = Prior::stated(4.0).shares(3);
        let sharp = 1.0 + 6.0 * numbers.next();
        let counts: Vec<Vec<f64>> = (0..6)
            .map(|_| {
                let bent: Vec<f64> = shares
                    .iter()
                    .map(|s| s * numbers.next().powf(sharp))
                    .collect();
                let sum: f64 = bent.iter().sum();
                bent.iter().map(|b| (40.0 * b / sum).round()).collect()
            })
            .collect();
        let found = kappa(&[Group {
            shares: shares.clone(),
            counts: counts.clone(),
        }]);
        rows.push(json!({"shares": shares, "counts": counts, "kappa": found}));
    }
    write("devices", &rows);
}

#[test]
fn how_dangers_sound_is_written_out() {
    let kb = Path::new(env!("CARGO_MANIFEST_DIR")).join("kb");
    let sayings = folder::read(&kb, jiff::civil::Date::MIN).unwrap().sayings;
    // Every fifth is asked about, the others are learned from.
    let part = |asked: bool| {
        let chosen = sayings.iter().enumerate();
        let chosen = chosen.filter(move |(at, _)| (at % 5 == 0) == asked);
        chosen.map(|(_, saying)| saying.clone()).collect::<Vec<_>>()
    };
    let (learned, asked) = (part(false), part(true));
    let ear = Ear::learn(&learned, &Catalog::default()).unwrap();
    let asked: Vec<_> = asked
        .iter()
        .map(|s| json!({"said": s.said, "stops": s.stops, "chance": ear.chance(&s.said)}))
        .collect();
    let learned: Vec<_> = learned
        .iter()
        .map(|s| json!({"said": s.said, "stops": s.stops}))
        .collect();
    write("ear", &[json!({"learned": learned, "asked": asked})]);
}

#[test]
fn priors_are_written_out() {
    let mut numbers = Numbers(6);
    let mut rows = Vec::new();
    for round in 0..20 {
        let fall: f64 = [1.0, 1.3, 2.0, 3.0][round % 4];
        let articles: Vec<Vec<f64>> = (0..25)
            .map(|_| {
                let fixes = 2 + numbers.below(6) as i32;
                let fallen = (0..fixes).map(|at| 30.0 * fall.powi(-at) * numbers.next());
                let mut counts: Vec<f64> = fallen.map(f64::round).collect();
                counts.push((4.0 * numbers.next()).round());
                counts
            })
            .collect();
        let stated = Prior::stated([4.0, 1.0, 12.0][round % 3]);
        let found = stated.learned(&articles);
        rows.push(json!({"stated": stated, "articles": articles, "found": found}));
    }
    write("priors", &rows);
}

/// Cases drawn from the equation: what ended each is one of its candidates or `unlisted`; every
/// `wide`-th tells only which of them it may be.
fn logit_cases(numbers: &mut Numbers, truth: &Weights, wide: u32) -> Vec<FitCase> {
    let mut cases = Vec::new();
    while cases.len() < 150 {
        let mut rows = vec![[0.0; FEATURES]; 3 + numbers.below(5) as usize];
        for row in &mut rows {
            row.iter_mut().for_each(|x| *x = 2.0 * numbers.next());
        }
        let times = 30.0 * numbers.next();
        let mut exponents: Vec<f64> = rows.iter().map(|row| truth.utility(row)).collect();
        exponents.push(unlisted_utility(truth, times, &exponents));
        let mut left = numbers.next();
        let chances = softmax(&exponents);
        let ended = chances.iter().position(|p| {
            left -= p;
            left < 0.0
        });
        let unlisted = ended == Some(rows.len());
        let open = !unlisted && numbers.below(wide) == 0;
        let mut chosen: Vec<bool> = rows.iter().map(|_| open && numbers.below(2) == 0).collect();
        if let Some(chosen) = ended.and_then(|at| chosen.get_mut(at)) {
            *chosen = true;
        }
        cases.push(FitCase {
            weight: if wide > 99 { 1.0 } else { 0.2 + numbers.next() },
            rows: rows.into(),
            chosen,
            unlisted_chosen: unlisted,
            unlisted_times: times,
        });
    }
    cases
}

fn logit_row(cases: &[FitCase], start: &Weights, spread: Spread) -> Value {
    let found = fit_within(cases, start, spread);
    let shown: Vec<Value> = cases
        .iter()
        .map(|case| {
            json!({
                "weight": case.weight, "rows": case.rows.each().collect::<Vec<_>>(), "chosen": case.chosen,
                "unlisted": case.unlisted_chosen, "times": case.unlisted_times,
            })
        })
        .collect();
    json!({
        "cases": shown, "start": start, "weights": found.weights,
        "log_likelihood": found.log_likelihood, "text": Feature::ALL.map(|_| true),
        "prior": Feature::Common as usize,
        "sigma": spread.features.is_finite().then_some(spread.features),
        "sigma_unlisted": spread.unlisted,
    })
}

#[test]
fn fitted_weights_are_written_out() {
    let mut numbers = Numbers(6);
    let (mut plain, mut full) = (Vec::new(), Vec::new());
    for round in 0..8 {
        let mut truth = Weights {
            beta: std::array::from_fn(|_| 2.0 * numbers.next()),
            unlisted: -1e4,
            unlisted_by_sum: 0.0,
            unlisted_by_doubt: 0.0,
            cases: 0,
        };
        // A plain conditional logit: no prior, nothing but the candidates, one of them each time.
        let free = Spread {
            features: f64::INFINITY,
            unlisted: SIGMA_UNLISTED,
        };
        let cases = logit_cases(&mut numbers, &truth, 1_000_000);
        plain.push(logit_row(&cases, &truth, free));
        // The whole equation; text may speak against in truth, which the weights must not show.
        truth.unlisted = 1.0;
        truth.unlisted_by_sum = 0.4;
        truth.unlisted_by_doubt = 0.5;
        truth.beta[round % 7] = -1.0;
        let spread = Spread {
            features: SIGMA,
            unlisted: SIGMA_UNLISTED,
        };
        let cases = logit_cases(&mut numbers, &truth, 3);
        full.push(logit_row(&cases, &Weights::shipped(), spread));
    }
    write("logit_plain", &plain);
    write("logit", &full);
}

/// A text of words from a small alphabet, so that texts share words and runs of words.
fn words(numbers: &mut Numbers, most: u32) -> Vec<String> {
    let length = numbers.below(most);
    (0..length)
        .map(|_| format!("w{}", numbers.below(6)))
        .collect()
}

#[test]
fn distinctive_words_are_written_out() {
    let mut numbers = Numbers(7);
    let mut rows = Vec::new();
    for _ in 0..60 {
        let texts: Vec<Text> = (0..12)
            .map(|_| Text {
                terms: words(&mut numbers, 9),
                weight: 0.25 + f64::from(numbers.below(8)) / 4.0,
            })
            .collect();
        let which: Vec<usize> = (0..12).filter(|_| numbers.next() < 0.4).collect();
        let found = distinctive_in(&texts, &which, 99);
        let texts: Vec<Value> = texts
            .iter()
            .map(|text| json!({ "terms": text.terms, "weight": text.weight }))
            .collect();
        rows.push(json!({ "texts": texts, "which": which, "found": found }));
    }
    write("distinctive", &rows);
}

#[test]
fn likeness_by_shingles_is_written_out() {
    let mut numbers = Numbers(8);
    let mut rows = Vec::new();
    for _ in 0..300 {
        let (a, b) = (words(&mut numbers, 30), words(&mut numbers, 30));
        let sets = numbered([a.clone(), b.clone()]);
        let both = sets[0].iter().filter(|shingle| sets[1].contains(shingle));
        let found = share_of_both(both.count(), (sets[0].len(), sets[1].len()));
        rows.push(json!({ "a": a, "b": b, "found": found }));
    }
    write("shingles", &rows);
}
