//! Did the fix hold? The product-limit estimate of cases that do not come back.
//!
//! A resolved case may come back. With `d_t` cases that came back on day `t` and `n_t` still
//! under watch just before, `S(t) = Π (1 − d_s / n_s)` over days `s ≤ t` (Kaplan & Meier 1958,
//! JASA 53:457–481). A case of `age` days that has not come back holds to day `W` with chance
//! `S(W) / S(age)`. Cases not watched to their end are censored, after the events of the same day.
//!
//! Departure: one pseudo-case that survives `W` is added, so that `S(W)` is never 0.
//! Cost: one sort.

use serde::{Deserialize, Serialize};

/// One step of a product-limit estimate.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// The time of the events.
    pub time: f64,
    /// Under watch just before.
    pub at_risk: u64,
    /// Events at that time.
    pub events: u64,
    /// `S` from this time on.
    pub survival: f64,
    /// Greenwood's standard error of `S`.
    pub error: f64,
}

/// The product-limit estimate: one step for each time with an event. `events[i]` says whether
/// `times[i]` is an event; otherwise it is the end of watching.
#[must_use]
pub fn survivor(times: &[f64], events: &[bool]) -> Vec<Step> {
    let mut seen: Vec<(f64, bool)> = times.iter().copied().zip(events.iter().copied()).collect();
    seen.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut steps = Vec::new();
    let (mut survival, mut greenwood) = (1.0, 0.0);
    let mut at = 0;
    while at < seen.len() {
        let time = seen[at].0;
        let same = seen[at..].iter().take_while(|s| s.0 <= time).count();
        let happened = seen[at..at + same].iter().filter(|s| s.1).count();
        if happened > 0 {
            let (risk, dead) = ((seen.len() - at) as f64, happened as f64);
            survival *= 1.0 - dead / risk;
            greenwood += dead / (risk * (risk - dead));
            steps.push(Step {
                time,
                at_risk: (seen.len() - at) as u64,
                events: happened as u64,
                survival,
                // At S = 0 the sum is infinite; the limit of the product is 0.
                error: if risk > dead {
                    survival * f64::sqrt(greenwood)
                } else {
                    0.0
                },
            });
        }
        at += same;
    }
    steps
}

/// How well resolves hold, as far as the ledger knows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Hold {
    /// `W`: days a fix must hold before it is proven.
    pub days: f64,
    /// The survivor function up to `W`.
    pub steps: Vec<Step>,
}

impl Default for Hold {
    fn default() -> Self {
        Self::new(0.0, Vec::new())
    }
}

impl Hold {
    /// Estimates `S` from watched resolves: days, and whether the case came back then.
    #[must_use]
    pub fn new(days: f64, mut watched: Vec<(f64, bool)>) -> Self {
        watched.push((days, false));
        // What happens after `W` is no failure of the hold: there the watch ends.
        let cut = |(time, back): (f64, bool)| (time.min(days), back && time <= days);
        let (times, events): (Vec<f64>, Vec<bool>) = watched.into_iter().map(cut).unzip();
        Self {
            days,
            steps: survivor(&times, &events),
        }
    }

    /// `S(t)`.
    #[must_use]
    pub fn survival(&self, time: f64) -> f64 {
        let after = self.steps.partition_point(|step| step.time <= time);
        match after.checked_sub(1) {
            Some(at) => self.steps[at].survival,
            None => 1.0,
        }
    }

    /// `h`: the chance that a resolve that is `age` days old and has not come back holds to `W`.
    #[must_use]
    pub fn chance(&self, age: f64) -> f64 {
        if age >= self.days {
            return 1.0;
        }
        self.survival(self.days) / self.survival(age)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Times with `+` for the end of watching.
    fn read(text: &str) -> (Vec<f64>, Vec<bool>) {
        text.split(", ")
            .map(|t| {
                (
                    t.trim_end_matches('+').parse::<f64>().unwrap(),
                    !t.ends_with('+'),
                )
            })
            .unzip()
    }

    // Leukaemia maintenance, maintained group (Miller 1981, from memory); 3-digit survival and
    // 4-digit standard errors read in printed R output (S), exact fractions from lifelines 0.30.3.
    const MAINTAINED: &str = "9, 13, 13+, 18, 23, 28+, 31, 34, 45+, 48, 161+";
    // 6-MP (Freireich et al. 1963, title and volume S), same confirmation.
    const SIX_MP: &str =
        "6, 6, 6, 6+, 7, 9+, 10, 10+, 11+, 13, 16, 17+, 19+, 20+, 22, 23, 25+, 32+, 32+, 34+, 35+";

    #[test]
    fn published_survival_tables_are_met() {
        type Row = (f64, u64, u64, f64, f64);
        let maintained: &[Row] = &[
            (9.0, 11, 1, 10.0 / 11.0, 0.0866784172),
            (13.0, 10, 1, 9.0 / 11.0, 0.1162912998),
            (18.0, 8, 1, 63.0 / 88.0, 0.1396649706),
            (23.0, 7, 1, 27.0 / 44.0, 0.1526323310),
            (31.0, 5, 1, 27.0 / 55.0, 0.1641932672),
            (34.0, 4, 1, 81.0 / 220.0, 0.1626688858),
            (48.0, 2, 1, 81.0 / 440.0, 0.1534927458),
        ];
        let six_mp: &[Row] = &[
            (6.0, 21, 3, 6.0 / 7.0, 0.0763603548),
            (7.0, 17, 1, 96.0 / 119.0, 0.0869352852),
            (10.0, 15, 1, 64.0 / 85.0, 0.0963496530),
            (13.0, 12, 1, 176.0 / 255.0, 0.1068147078),
            (16.0, 11, 1, 32.0 / 51.0, 0.1140538653),
            (22.0, 7, 1, 64.0 / 119.0, 0.1282337517),
            (23.0, 6, 1, 160.0 / 357.0, 0.1345914568),
        ];
        for (data, rows) in [(MAINTAINED, maintained), (SIX_MP, six_mp)] {
            let (times, events) = read(data);
            let steps = survivor(&times, &events);
            assert_eq!(steps.len(), rows.len());
            for (step, row) in steps.iter().zip(rows) {
                assert_eq!((step.at_risk, step.events), (row.1, row.2));
                assert!((step.time - row.0).abs() < 1e-12);
                assert!((step.survival - row.3).abs() < 1e-12);
                assert!((step.error - row.4).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_young_resolve_is_held_by_the_share_that_stays() {
        // Ten watched to the end, one came back on day 10, one after 30 days (no failure).
        let mut watched = vec![(30.0, false); 8];
        watched.extend([(10.0, true), (40.0, true)]);
        let hold = Hold::new(30.0, watched);
        for (age, chance) in [
            (0.0, 10.0 / 11.0),
            (9.0, 10.0 / 11.0),
            (10.0, 1.0),
            (30.0, 1.0),
        ] {
            assert!((hold.chance(age) - chance).abs() < 1e-12, "{age}");
        }
    }

    #[test]
    fn the_pseudo_case_keeps_the_chance_above_zero() {
        let hold = Hold::new(30.0, vec![(5.0, true); 9]);
        assert!((hold.chance(0.0) - 0.1).abs() < 1e-12);
        assert!((Hold::default().chance(0.0) - 1.0).abs() < 1e-12);
    }

    proptest::proptest! {
        #[test]
        fn survival_falls_within_zero_and_one(
            watched in proptest::collection::vec((0u32..60, proptest::bool::ANY), 0..60),
        ) {
            let hold = Hold::new(30.0, watched.iter().map(|w| (f64::from(w.0), w.1)).collect());
            let mut last = 1.0;
            for day in 0..70 {
                let now = hold.survival(f64::from(day));
                assert!(now > 0.0 && now <= last);
                assert!((0.0..=1.0).contains(&hold.chance(f64::from(day))));
                last = now;
            }
        }
    }
}
