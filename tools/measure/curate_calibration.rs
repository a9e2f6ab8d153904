//! How often `drift` and `rising` find something in ledgers where nothing is hidden.
//!
//! `curate_calibration [SEEDS [FIRST]]` draws ledgers of 130 weeks and 58 articles with five fixes each,
//! by seeds 1 to 200: seasons, weeks clumped to a variance of twice the mean, growth, firmware that
//! spreads, and a desk that changes the order of its fixes on one day. Each goes through the same code as
//! the commands. Prints in how many anything was found, and fails above 16 of 200: at a bar of 5 % ten
//! are expected, and of 200 draws of one in twenty 16 or fewer come in 97 of 100 (binomial).

#![allow(clippy::print_stderr, reason = "a tool tells its failures there")]
#![allow(clippy::print_stdout, reason = "and its results here")]

use fixtally::articles::parse::parse;
use fixtally::articles::{Catalog, Settings};
use fixtally::backtest::dice::Dice;
use fixtally::base::text::Analyzer;
use fixtally::curate::{Material, drift::drift, rising::rising};
use fixtally::evidence::cases::Cases;
use fixtally::tickets::record::{Outcome, RawTicket, Ticket, Try, TryResult};
use fixtally::tickets::scrub::Scrubber;
use jiff::civil::{Date, date};
use std::collections::BTreeMap;
use std::error::Error;

const ARTICLES: usize = 58;
const FIXES: usize = 5;
const DAYS: usize = 914;
const TODAY: Date = date(2026, 10, 31);

/// Of so many ledgers, in at most so many may anything be found.
const LEDGERS: usize = 200;
const MOST: usize = 16;

fn main() {
    let numbers: Vec<usize> = std::env::args()
        .skip(1)
        .filter_map(|word| word.parse().ok())
        .collect();
    let ledgers = numbers.first().copied().unwrap_or(LEDGERS);
    let first = numbers.get(1).copied().unwrap_or(1);
    match measure(first, ledgers) {
        Ok(true) => {}
        Ok(false) => std::process::exit(1),
        Err(error) => {
            eprintln!("{error}");
            std::process::exit(2);
        }
    }
}

fn measure(first: usize, ledgers: usize) -> Result<bool, Box<dyn Error>> {
    let catalog = catalog();
    let scrubber = Scrubber::new(None)?;
    let settings = Settings::default();
    let analyzer = Analyzer::default();
    let (mut rises, mut drifts, mut cases) = (0, 0, 0);
    for seed in first..first + ledgers {
        let mut desk = Desk::new(seed as u64);
        let tickets: Vec<Ticket> = desk
            .ledger()
            .into_iter()
            .map(|raw| scrubber.ticket(raw).0)
            .collect();
        let made = Cases::of(&tickets, &BTreeMap::new(), &catalog, &settings.model, TODAY);
        let material = Material {
            cases: &made.list,
            catalog: &catalog,
            settings: &settings,
            analyzer: &analyzer,
            as_of: TODAY,
        };
        let (rising, drift) = (rising(&material), drift(&material));
        cases += made.list.len();
        rises += usize::from(!rising.rising.is_empty());
        drifts += usize::from(!drift.changes.is_empty());
        for rise in &rising.rising {
            println!("{seed}: rising {} q {:.4}", rise.article, rise.q);
        }
        for change in &drift.changes {
            println!(
                "{seed}: drift {} {:?} q {:.4}",
                change.fix, change.since, change.q
            );
        }
    }
    let mean = cases / ledgers.max(1);
    println!(
        "of {ledgers} ledgers with nothing hidden ({mean} cases on average): rising found something in \
         {rises}, drift in {drifts}; at most {MOST} of {LEDGERS} are allowed"
    );
    Ok(rises.max(drifts) * LEDGERS <= MOST * ledgers.max(1))
}

fn catalog() -> Catalog {
    let articles = (0..ARTICLES).map(|number| {
        let fixes: String = (0..FIXES)
            .map(|fix| {
                format!(
                    "## Fix: Do {fix} {{#f{fix} kind=set minutes=5 who=desk}}\n1. Do it.\n\nDone when: done.\n\n"
                )
            })
            .collect();
        let text = format!(
            "---\nid: a{number}\ntitle: T {number}\nsymptoms: [x]\nstate: live\n---\nText.\n\n{fixes}"
        );
        parse(&format!("articles/a{number}.md"), &text, "desk").article
    });
    Catalog::join(articles)
}

/// What a seed draws.
struct Desk {
    dice: Dice,
}

impl Desk {
    fn new(seed: u64) -> Self {
        Self {
            dice: Dice::new(seed.wrapping_mul(0x2545_f491_4f6c_dd1d)),
        }
    }

    fn ledger(&mut self) -> Vec<RawTicket> {
        let weights: Vec<f64> = (0..ARTICLES).map(|_| self.gamma(1.5)).collect();
        let sum: f64 = weights.iter().sum();
        let mut tickets = Vec::new();
        for (article, weight) in weights.iter().enumerate() {
            let days = self.arrivals(weight / sum);
            let shares: Vec<f64> = (0..FIXES).map(|_| self.gamma(1.2)).collect();
            let orders = [self.permutation(), self.permutation()];
            let change = 60 + self.dice.below(540);
            for (day, count) in days.iter().enumerate() {
                let ago = DAYS - 1 - day;
                for _ in 0..*count {
                    let order = &orders[usize::from(ago < change)];
                    tickets.push(self.ticket(tickets.len(), article, ago, &shares, order));
                }
            }
        }
        tickets
    }

    /// Cases of an article on each day, the oldest day first.
    fn arrivals(&mut self, part: f64) -> Vec<usize> {
        let depth = if self.dice.happens(0.4) {
            0.5 + 0.45 * self.dice.unit()
        } else {
            0.0
        };
        let phase = 365.0 * self.dice.unit();
        let rate = |day: usize| {
            let day = day as f64;
            let season = 1.0 + depth * (std::f64::consts::TAU * (day - phase) / 365.0).cos();
            part * season * 6.5 * (1.0 + 0.5 * day / DAYS as f64)
        };
        let mut days = Vec::with_capacity(DAYS);
        for first in (0..DAYS).step_by(7) {
            let week: Vec<f64> = (first..DAYS.min(first + 7)).map(rate).collect();
            // A gamma factor of shape μ makes the variance of a Poisson count of mean μ twice the mean.
            let mean = week.iter().sum::<f64>().max(1e-9);
            let factor = self.gamma(mean) / mean;
            days.extend(week.into_iter().map(|rate| self.poisson(rate * factor)));
        }
        days
    }

    fn ticket(
        &mut self,
        number: usize,
        article: usize,
        ago: usize,
        shares: &[f64],
        order: &[usize],
    ) -> RawTicket {
        let cause = self.pick(shares);
        let spread = |from: f64, over: f64| ((from - ago as f64) / over).clamp(0.0, 1.0);
        let firmware = usize::from(self.dice.happens(spread(700.0, 500.0)))
            + usize::from(self.dice.happens(spread(250.0, 200.0)));
        let mut tries = Vec::new();
        // Half of the cases have tries entered.
        if self.dice.happens(0.5) {
            for fix in order {
                let result = if *fix == cause {
                    TryResult::Resolved
                } else {
                    TryResult::NoChange
                };
                tries.push(Try {
                    fix: format!("f{fix}"),
                    result,
                    minutes: None,
                });
                if *fix == cause || self.dice.happens(0.12) {
                    break;
                }
            }
        }
        let solved = tries
            .last()
            .is_some_and(|t| t.result == TryResult::Resolved);
        let ago = i64::try_from(ago).unwrap_or(0);
        let day = TODAY.saturating_sub(jiff::Span::new().days(ago));
        let noon: Result<jiff::Timestamp, _> = format!("{day}T12:00:00Z").parse();
        let closed = noon.expect("a day and an hour make an instant");
        RawTicket {
            id: format!("T-{number}").as_str().into(),
            closed,
            reference: None,
            follows: None,
            opened: None,
            device: Some("box".to_owned()),
            firmware: Some(format!("{}.0", firmware + 1)),
            channel: None,
            said: Some("x".to_owned()),
            codes: Vec::new(),
            signs: BTreeMap::new(),
            seen: BTreeMap::new(),
            article: Some(format!("a{article}").as_str().into()),
            outcome: (!tries.is_empty()).then_some(if solved {
                Outcome::Resolved
            } else {
                Outcome::HandedOn
            }),
            tries,
            reopened: None,
            not_danger: Vec::new(),
            source: None,
            notes: None,
            read: None,
        }
    }

    fn pick(&mut self, weights: &[f64]) -> usize {
        let mut left = self.dice.unit() * weights.iter().sum::<f64>();
        let place = weights.iter().position(|weight| {
            left -= weight;
            left < 0.0
        });
        place.unwrap_or(weights.len() - 1)
    }

    fn permutation(&mut self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..FIXES).collect();
        for at in (1..FIXES).rev() {
            let other = self.dice.below(at + 1);
            order.swap(at, other);
        }
        order
    }

    /// Box & Muller 1958.
    fn normal(&mut self) -> f64 {
        let length = (-2.0 * (1.0 - self.dice.unit()).ln()).sqrt();
        length * (std::f64::consts::TAU * self.dice.unit()).cos()
    }

    /// Scale 1. Marsaglia & Tsang 2000; below shape 1 by their boost `U^(1/shape)`.
    fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            let boost = (1.0 - self.dice.unit()).powf(1.0 / shape);
            return self.gamma(shape + 1.0) * boost;
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.normal();
            let v = (1.0 + c * x).powi(3);
            let u = 1.0 - self.dice.unit();
            if v > 0.0 && u.ln() < 0.5 * x * x + d - d * v + d * v.ln() {
                return d * v;
            }
        }
    }

    /// Knuth's product of uniform draws; means here are small.
    fn poisson(&mut self, mean: f64) -> usize {
        let bar = (-mean).exp();
        let (mut count, mut product) = (0, self.dice.unit());
        while product > bar {
            count += 1;
            product *= self.dice.unit();
        }
        count
    }
}
