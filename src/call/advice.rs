//! What to do in a case: dangers first, then the fixes in order, when to stop, what to ask.

use super::belief::{Belief, Ground};
use super::next_check::{NextCheck, next_of};
use super::steps::{Done, Steps};
use crate::articles::model::Before;
use crate::articles::{Catalog, Settings};
use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::evidence::chance::Chances;
use crate::evidence::danger::{Alarm, Alarms, STOPS_AT};
use crate::evidence::ear::EXPLAINED_FROM;
use crate::evidence::equation::Feature;
use crate::evidence::question::Said;
use crate::evidence::{Share, order};
use std::collections::BTreeSet;

/// The case in hand, as a person told it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct InHand {
    /// What was said and shown.
    pub said: Said,
    /// What was tried and answered.
    pub done: Done,
    /// Danger articles that do not apply, as somebody on site said.
    pub not_danger: BTreeSet<ArticleId>,
    /// Danger articles that apply, as somebody made sure.
    pub danger: BTreeSet<ArticleId>,
    /// For whom; none for everybody.
    pub role: Option<String>,
    /// In which order.
    pub by: By,
}

/// In which order fixes stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum By {
    /// Likeliest first: a list to read.
    #[default]
    Chance,
    /// Least expected minutes to the end: a call.
    Time,
}

/// What to do.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// Dangers that stop the call, likeliest first. Where there is one, `fixes` is empty and
    /// `next_check` none.
    pub stops: Vec<(ArticleId, Alarm)>,
    /// Dangers that were said and denied.
    pub ask_first: Vec<(ArticleId, String)>,
    /// Whether hardly a word of what was said is known here.
    pub strange: bool,
    /// What is believed.
    pub belief: Belief,
    /// Articles, likeliest first.
    pub articles: Vec<(ArticleId, f64)>,
    /// Fixes in order; those the role may not do last.
    pub fixes: Vec<RankedFix>,
    /// When to hand on; only by time.
    pub stop: Option<Stop>,
    /// What to ask.
    pub next_check: Option<NextCheck>,
}

impl Advice {
    /// What is advised where there is nothing to go by.
    #[must_use]
    pub fn none() -> Self {
        Self {
            stops: Vec::new(),
            ask_first: Vec::new(),
            strange: false,
            belief: Belief {
                pairs: Vec::new(),
                chance: Vec::new(),
                unlisted: 1.0,
            },
            articles: Vec::new(),
            fixes: Vec::new(),
            stop: None,
            next_check: None,
        }
    }
}

/// A fix in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct RankedFix {
    /// The fix.
    pub fix: FixId,
    /// The chance that it ends the case, with its 90 % interval.
    pub chance: Share,
    /// Its articles, likeliest first.
    pub articles: Vec<ArticleId>,
    /// Whether the likeliest of them has only its author's order.
    pub only_author: bool,
    /// Whether the role may do it.
    pub allowed: bool,
    /// What must be done before it and is not done yet.
    pub after: Vec<Before>,
}

/// When to hand on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// After this many of the listed fixes.
    pub after: usize,
    /// Expected minutes to the end, checks in between and handing on included.
    pub minutes: f64,
}

/// Everything at once. `alarms` are what [`crate::evidence::danger::StopWords`] found.
#[must_use]
pub fn advise(
    case: &InHand,
    chances: &Chances,
    alarms: &Alarms,
    settings: &Settings,
    ground: Ground<'_>,
) -> Advice {
    let (mut advice, steps) = fixes_and_steps(case, chances, alarms, settings, ground);
    if let Some(steps) = steps {
        advice.next_check = next_of(
            &steps,
            &advice.belief,
            &case.done,
            case.role.as_deref(),
            settings,
            ground,
        );
    }
    advice
}

/// The same without looking for a check to ask, which takes the most time.
#[must_use]
pub fn advise_fixes(
    case: &InHand,
    chances: &Chances,
    alarms: &Alarms,
    settings: &Settings,
    ground: Ground<'_>,
) -> Advice {
    fixes_and_steps(case, chances, alarms, settings, ground).0
}

/// The advice without a check, and the steps that are left where no danger stops the call.
fn fixes_and_steps(
    case: &InHand,
    chances: &Chances,
    alarms: &Alarms,
    settings: &Settings,
    ground: Ground<'_>,
) -> (Advice, Option<Steps>) {
    let chances = without(chances, &case.not_danger, ground);
    let belief = Belief::new(&chances, &case.done.tried, &case.done.seen, ground);
    let mut articles: Vec<(ArticleId, f64)> = belief
        .by_article(ground.layout)
        .into_iter()
        .map(|(article, chance)| (ground.layout.articles[article].clone(), chance))
        .collect();
    articles.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    let (stops, ask_first) = dangers(case, &chances, &articles, alarms, ground);
    let mut advice = Advice {
        stops,
        ask_first,
        strange: alarms.strange,
        belief,
        articles,
        fixes: Vec::new(),
        stop: None,
        next_check: None,
    };
    let steps = advice
        .stops
        .is_empty()
        .then(|| put_in_order(&mut advice, case, settings, ground));
    (advice, steps)
}

/// Takes out dangers that do not apply; the belief renormalises.
fn without(chances: &Chances, not_danger: &BTreeSet<ArticleId>, ground: Ground<'_>) -> Chances {
    let mut left = chances.clone();
    for (at, pair) in chances.pairs.iter().enumerate() {
        if not_danger.contains(&ground.layout.articles[ground.layout.pairs[*pair].article]) {
            left.chance[at] = 0.0;
        }
    }
    left
}

type Dangers = (Vec<(ArticleId, Alarm)>, Vec<(ArticleId, String)>);

/// What somebody made sure of stops; a stop-word stops; a denied or doubtful one asks; what sounds like a danger stops at the likeliest
/// one that was not ruled out; else the chance decides, where anything that was said or
/// shown speaks for the danger at all: how common it is alone must not stop every vague question.
fn dangers(
    case: &InHand,
    chances: &Chances,
    articles: &[(ArticleId, f64)],
    alarms: &Alarms,
    ground: Ground<'_>,
) -> Dangers {
    let (mut stops, mut ask_first) = (Vec::new(), Vec::new());
    let is_danger = |id: &ArticleId| {
        let found = ground.catalog.articles.get(id);
        found.is_some_and(|article| article.danger.is_some())
    };
    for id in case.danger.iter().filter(|id| is_danger(id)) {
        let why = match alarms.alarms.get(id) {
            Some(Alarm::Said(words)) => Alarm::Said(words.clone()),
            _ => Alarm::Confirmed,
        };
        stops.push((id.clone(), why));
    }
    let explained = articles
        .iter()
        .any(|(id, chance)| *chance >= EXPLAINED_FROM && !is_danger(id));
    // Likeliest first, so what only sounds like a danger is the first; once somebody looked and said
    // that it is not, the sound of it has been answered.
    let mut sounds = alarms
        .sounds
        .filter(|_| case.not_danger.is_empty() && !explained);
    for (id, chance) in articles {
        if !is_danger(id)
            || case.danger.contains(id)
            || case.not_danger.contains(id)
            || case.said.excludes(&ground.catalog.articles[id])
        {
            continue;
        }
        match alarms.alarms.get(id) {
            Some(Alarm::Denied(words)) => ask_first.push((id.clone(), words.clone())),
            Some(alarm) => stops.push((id.clone(), alarm.clone())),
            None if let Some(sounds) = sounds.take() => {
                stops.push((id.clone(), Alarm::Sounds(sounds)));
            }
            None if *chance >= STOPS_AT && spoken_for(id, chances, alarms, ground) => {
                stops.push((id.clone(), Alarm::Likely(*chance)));
            }
            None => {}
        }
    }
    (stops, ask_first)
}

fn spoken_for(id: &ArticleId, chances: &Chances, alarms: &Alarms, ground: Ground<'_>) -> bool {
    alarms.heard.contains(id)
        || chances.pairs.iter().zip(&chances.rows).any(|(pair, row)| {
            ground.layout.articles[ground.layout.pairs[*pair].article] == *id
                && SHOWN.iter().any(|f| row[*f as usize] > 0.0)
        })
}

/// Features that speak for a danger without any of its own words.
const SHOWN: [Feature; 2] = [Feature::Code, Feature::Signs];

/// Puts the fixes in order, and gives the steps that are left.
fn put_in_order(
    advice: &mut Advice,
    case: &InHand,
    settings: &Settings,
    ground: Ground<'_>,
) -> Steps {
    let steps = Steps::left(
        &advice.belief,
        &case.done,
        case.role.as_deref(),
        settings,
        ground,
    );
    let (jobs, old) = steps.allowed_jobs();
    let (others, others_old) = steps.other_jobs();
    let sort = match case.by {
        By::Chance => order::by_chance,
        By::Time => order::by_time,
    };
    let sequence = sort(&jobs);
    if case.by == By::Time {
        let found = order::stop(&jobs, &sequence, settings.hand_on_minutes);
        let is_fix = |at: &&usize| matches!(steps.what[old[**at]], Before::Fix(_));
        let after = sequence[..found.after].iter().filter(is_fix).count();
        advice.stop = Some(Stop {
            after,
            minutes: found.minutes,
        });
    }
    let in_order = sequence
        .into_iter()
        .map(|i| old[i])
        .chain(sort(&others).into_iter().map(|i| others_old[i]));
    for at in in_order {
        if let Before::Fix(fix) = &steps.what[at] {
            let after = steps.jobs[at]
                .after
                .iter()
                .map(|b| steps.what[*b].clone())
                .collect();
            advice.fixes.push(ranked(
                fix,
                steps.allowed[at],
                after,
                &advice.belief,
                case,
                ground,
            ));
        }
    }
    steps
}

fn ranked(
    fix: &FixId,
    allowed: bool,
    after: Vec<Before>,
    belief: &Belief,
    case: &InHand,
    ground: Ground<'_>,
) -> RankedFix {
    let number = ground.layout.fix(fix);
    let mut pairs: Vec<(f64, usize)> = belief
        .pairs
        .iter()
        .zip(&belief.chance)
        .filter(|(pair, _)| ground.layout.pairs[**pair].fix == number)
        .map(|(pair, chance)| (*chance, *pair))
        .collect();
    pairs.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let chance: f64 = pairs.iter().map(|p| p.0).sum();
    let article_of = |pair: usize| &ground.layout.articles[ground.layout.pairs[pair].article];
    let share = pairs.first().and_then(|(_, pair)| {
        let article = ground.layout.pairs[*pair].article;
        let slot = pair - ground.layout.pairs_of[article].start;
        let device = case.said.device.as_deref();
        ground.evidence.share_at(article_of(*pair), device, slot)
    });
    let home = fix.article();
    let likeliest = pairs.first().map_or(&home, |(_, pair)| article_of(*pair));
    let articles = if pairs.is_empty() {
        ground
            .catalog
            .articles_of
            .get(fix)
            .cloned()
            .unwrap_or_default()
    } else {
        pairs
            .iter()
            .map(|(_, pair)| article_of(*pair).clone())
            .collect()
    };
    RankedFix {
        fix: fix.clone(),
        chance: shifted(chance, share),
        only_author: ground.evidence.only_author(likeliest),
        articles,
        allowed,
        after,
    }
}

/// The chance with the interval of the share, moved by the same step in log odds.
fn shifted(chance: f64, share: Option<Share>) -> Share {
    let Some(share) = share else {
        return Share {
            share: chance,
            low: chance,
            high: chance,
        };
    };
    let logit = |p: f64| {
        let p = p.clamp(1e-9, 1.0 - 1e-9);
        (p / (1.0 - p)).ln()
    };
    let moved = |end: f64| {
        let odds = logit(chance) + logit(end) - logit(share.share);
        1.0 / (1.0 + (-odds).exp())
    };
    Share {
        share: chance,
        low: moved(share.low).min(chance),
        high: moved(share.high).max(chance),
    }
}

/// Reads an answer that a person gave: the check's own spelling, whatever the case.
#[must_use]
pub fn answer_of(check: &CheckId, said: &str, catalog: &Catalog) -> Option<String> {
    let check = catalog.checks.get(check)?;
    check
        .answers
        .iter()
        .find(|a| a.eq_ignore_ascii_case(said.trim()))
        .cloned()
}
