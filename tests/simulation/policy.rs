//! Against the best policy there is: on every small article of the demo an exact search over all
//! orders of asking, trying and handing on, by dynamic programming over what was tried and
//! answered, beside what the advice does. Both pay by the same belief.

use crate::case::Case;
use fixtally::articles::model::Before;
use fixtally::base::ids::{ArticleId, CheckId, FixId};
use fixtally::call::next_step::{NextStep, next_step};
use fixtally::call::steps::{Done, open_before};
use fixtally::call::{Act, Belief, Ground, State, advise};
use fixtally::cli::{Desk, Session};
use fixtally::evidence::chance::Chances;
use fixtally::evidence::danger::Alarms;
use fixtally::tickets::TryResult;
use std::collections::HashMap;

/// Articles with more fixes or checks take too long to search.
const FIXES: usize = 6;
const CHECKS: usize = 3;

/// Everything tried and answered, as a key.
type Key = (Vec<FixId>, Vec<(CheckId, String)>);

struct Search<'a> {
    desk: &'a Desk,
    chances: Chances,
    fixes: Vec<FixId>,
    checks: Vec<CheckId>,
    best: HashMap<Key, f64>,
    ours: HashMap<Key, f64>,
}

fn key(done: &Done) -> Key {
    let seen = done.seen.iter().map(|(c, a)| (c.clone(), a.clone()));
    (done.tried.iter().cloned().collect(), seen.collect())
}

impl<'a> Search<'a> {
    fn new(desk: &'a Desk, article: &ArticleId) -> Self {
        let layout = desk.ground().layout;
        let number = layout.articles.iter().position(|a| a == article).unwrap();
        let shares = desk.evidence.share_of(article, None);
        let chances = Chances {
            pairs: layout.pairs_of[number].clone().collect(),
            chance: shares.iter().map(|s| s.share).collect(),
            rows: Vec::new(),
            unlisted: 0.0,
        };
        Self {
            desk,
            chances,
            fixes: desk.catalog.fixes_of[article].clone(),
            checks: desk.catalog.checks_of[article].clone(),
            best: HashMap::new(),
            ours: HashMap::new(),
        }
    }

    fn ground(&self) -> Ground<'a> {
        self.desk.ground()
    }

    fn belief(&self, done: &Done) -> Belief {
        Belief::new(&self.chances, &done.tried, &done.seen, self.ground())
    }

    fn chance(&self, fix: &FixId, belief: &Belief) -> f64 {
        let layout = self.ground().layout;
        let number = layout.fix(fix).unwrap();
        belief.by_fix(layout).get(&number).copied().unwrap_or(0.0)
    }

    fn minutes(&self, fix: &FixId) -> f64 {
        self.desk.evidence.fixes[fix].minutes
    }

    /// Each answer with its chance.
    fn answers(&self, check: &CheckId, done: &Done) -> Vec<(String, f64)> {
        let check = &self.desk.catalog.checks[check];
        let belief = self.belief(done);
        let chance = |answer: &String| {
            let likely =
                fixtally::call::belief::likelihoods(&belief.pairs, check, answer, self.ground());
            let both = belief.chance.iter().zip(likely);
            both.map(|(p, l)| p * l).sum::<f64>()
        };
        check
            .answers
            .iter()
            .map(|a| (a.clone(), chance(a)))
            .collect()
    }

    fn open(&self, step: &Before, done: &Done) -> bool {
        open_before(step, done, self.ground()).is_empty()
    }

    /// Minutes of trying a fix and going on as `next` says where it fails.
    fn trying(&mut self, fix: &FixId, done: &Done, next: fn(&mut Self, &Done) -> f64) -> f64 {
        let chance = self.chance(fix, &self.belief(done));
        let mut after = done.clone();
        after.tried.insert(fix.clone());
        self.minutes(fix) + (1.0 - chance) * next(self, &after)
    }

    fn asking(&mut self, check: &CheckId, done: &Done, next: fn(&mut Self, &Done) -> f64) -> f64 {
        let mut minutes = self.desk.catalog.checks[check].work.minutes;
        for (answer, chance) in self.answers(check, done) {
            let mut after = done.clone();
            after.seen.insert(check.clone(), answer);
            minutes += chance * next(self, &after);
        }
        minutes
    }

    /// The least expected minutes of any policy.
    fn best(&mut self, done: &Done) -> f64 {
        let key = key(done);
        if let Some(known) = self.best.get(&key) {
            return *known;
        }
        let mut least = self.desk.settings.hand_on_minutes;
        for fix in self.fixes.clone() {
            if !done.tried.contains(&fix) && self.open(&Before::Fix(fix.clone()), done) {
                least = least.min(self.trying(&fix, done, Self::best));
            }
        }
        for check in self.checks.clone() {
            if !done.seen.contains_key(&check) && self.open(&Before::Check(check.clone()), done) {
                least = least.min(self.asking(&check, done, Self::best));
            }
        }
        self.best.insert(key, least);
        least
    }

    /// The expected minutes of following the advice.
    fn ours(&mut self, done: &Done) -> f64 {
        let key = key(done);
        if let Some(known) = self.ours.get(&key) {
            return *known;
        }
        let minutes = match self.advised(done) {
            NextStep::Ask(check) => self.asking(&check, done, Self::ours),
            NextStep::Try(fix) => self.trying(&fix, done, Self::ours),
            NextStep::HandOn => self.desk.settings.hand_on_minutes,
            NextStep::Danger(_) => panic!("a danger where nothing was said"),
        };
        self.ours.insert(key, minutes);
        minutes
    }

    fn advised(&self, done: &Done) -> NextStep {
        let tried = done.tried.iter().map(|fix| Act::Try {
            fix: Some(fix.clone()),
            result: TryResult::NoChange,
            minutes: None,
        });
        let seen = done.seen.iter().map(|(check, answer)| Act::Answer {
            check: check.clone(),
            answer: answer.clone(),
        });
        let acts: Vec<Act> = tried.chain(seen).collect();
        let state = State::of(&acts);
        let case = state.in_hand();
        let (settings, ground) = (&self.desk.settings, self.ground());
        let advice = advise(&case, &self.chances, &Alarms::default(), settings, ground);
        next_step(&state, &advice, ground)
    }
}

#[test]
fn the_advice_is_close_to_the_best_policy_there_is() {
    let case = Case::shared_demo();
    let desk = Desk::open(&Session::quiet(&case.path("kb"), &case.path("kb/.state"))).unwrap();
    let mut excess = Vec::new();
    println!("article, minutes of the best policy, of the advice, more");
    for (id, fixes) in &desk.catalog.fixes_of {
        let checks = desk.catalog.checks_of[id].len();
        if fixes.is_empty() || fixes.len() > FIXES || checks > CHECKS {
            continue;
        }
        let mut search = Search::new(&desk, id);
        let start = Done::default();
        let (best, ours) = (search.best(&start), search.ours(&start));
        assert!(ours >= best - 1e-6, "{id}: {ours} beats the best, {best}");
        println!(
            "{id:34} {best:6.1} {ours:6.1} {:5.1} %",
            100.0 * (ours / best - 1.0)
        );
        excess.push(ours / best - 1.0);
    }
    let mean = excess.iter().sum::<f64>() / excess.len() as f64;
    println!(
        "{} articles: {:.2} % more on average",
        excess.len(),
        100.0 * mean
    );
    assert!(excess.len() >= 10, "{} small articles", excess.len());
    assert!(mean <= 0.10, "{:.1} % more than the best", 100.0 * mean);
}
