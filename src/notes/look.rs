//! A second look at what the walk found: how far it is believed of each fix, and with which result.
//!
//! The walk takes each word as if it hung on nothing but the place before it, so it is surer than it is
//! right, most of all where a fix is named in a remark, a plan or a question. The second look puts what
//! it found beside what stands in the same phrase and sentence, and beside the other fixes, and makes
//! chances of that which come true. Of a resolved ticket it asks which fix ended it, if one that is told: a
//! conditional logit (`McFadden` 1974) over all fixes that may be told. Of the others, and of tickets that ended
//! otherwise, it asks for each fix what came of it, if it was tried: a multinomial logistic regression (Hastie,
//! Tibshirani & Friedman 2009, section 4.4). It looks at no word, so what it learned holds for any article.
//!
//! Walk and second look are believed in parts: a mean of chances errs less than either where they err
//! differently (the linear pool, Genest & Zidek 1986, section 2), and a plain note of a sort that taught nothing
//! still tells what the walk finds in it.

use super::bare;
use super::look_weights::{FEATURES, WEIGHTS};
use super::reader::WORDS_COUNT;
use super::tokens::{Gap, Token, Told, gap, joins_words};
use super::walk::Walked;
use super::words::{Row, Seen, Who, Words};
use crate::tickets::Outcome;

/// Added to what the walk expects, so that its logarithm has an end.
const LEAST: f64 = 0.02;
/// No surer than this is the walk taken.
const SUREST: f64 = 0.99;
/// Evidence beyond this many nats says no more.
const MOST_EVIDENCE: f64 = 12.0;
/// From this many nats on a word tells the fix.
const TELLS: f64 = 0.3;
/// How many tokens behind the last word of a fix its result is looked for, and how far one in another sentence
/// counts.
const REACH: usize = 14;
const NEXT_SENTENCE: f64 = 0.6;
const RESULTS: usize = 4;
/// The columns of the weights: that it ended a resolved ticket, against the other fixes and none; and of what did
/// not, or in a ticket that ended otherwise, each result against not told at all.
const ENDS: usize = 0;
const RESOLVED: usize = 1;
const NO_CHANGE: usize = 2;
const NOT_POSSIBLE: usize = 3;
/// How far the second look is believed, the walk for the rest, which prevails where both are as sure of different
/// things; chosen as `tools/measure/second_look.py` shows.
const LOOK_COUNTS: f64 = 0.48;

/// One note with what the walk found in it.
pub(super) struct Look<'a> {
    pub(super) seen: &'a [Seen],
    /// The sentence and the phrase of each token.
    pub(super) places: &'a [(usize, usize)],
    pub(super) rows: &'a [Row],
    pub(super) walked: &'a Walked,
    pub(super) words: &'a Words,
    pub(super) candidates: &'a [Who],
    /// How often each candidate is tried, before the note is read.
    pub(super) weights: &'a [f64],
    /// How many of the candidates are of the article itself, what is not listed among them.
    pub(super) own: usize,
    pub(super) outcome: Option<Outcome>,
}

/// How strongly each token speaks for each candidate, in nats: as far as it could, and as far as the walk
/// took it so.
struct Evidence {
    could: Vec<Vec<f64>>,
    used: Vec<Vec<f64>>,
}

/// Where a fix is told.
struct Spot {
    sentence: usize,
    phrase: usize,
    first: usize,
    last: usize,
}

/// The chances of resolved, no change and not possible for each candidate.
pub(super) fn chances(sights: &[[f64; FEATURES]], outcome: Option<Outcome>) -> Vec<[f64; 3]> {
    let score = |features: &[f64; FEATURES], column: usize| -> f64 {
        let parts = WEIGHTS.iter().zip(features);
        parts.map(|((_, weights), f)| weights[column] * f).sum()
    };
    if outcome != Some(Outcome::Resolved) {
        let alone = sights.iter().map(|features| {
            let scores = [RESOLVED, NO_CHANGE, NOT_POSSIBLE].map(|column| score(features, column));
            let shares = shares(&scores);
            [shares[0], shares[1], shares[2]]
        });
        return alone.collect();
    }
    let ends: Vec<f64> = sights.iter().map(|f| score(f, ENDS)).collect();
    let each = sights.iter().zip(shares(&ends));
    each.map(|(features, ended)| {
        let rest = shares(&[NO_CHANGE, NOT_POSSIBLE].map(|column| score(features, column)));
        [ended, (1.0 - ended) * rest[0], (1.0 - ended) * rest[1]]
    })
    .collect()
}

/// The shares of what scores so, beside what scores nothing: no fix, or not told at all.
fn shares(scores: &[f64]) -> Vec<f64> {
    let most = scores.iter().copied().fold(0.0, f64::max);
    let likely: Vec<f64> = scores.iter().map(|score| (score - most).exp()).collect();
    let sum = (-most).exp() + likely.iter().sum::<f64>();
    likely.into_iter().map(|l| l / sum).collect()
}

/// The chances of resolved, no change and not possible by the walk, which may visit a fix twice, and by the
/// second look together.
pub(super) fn believed(visits: &[f64; RESULTS], looked: &[f64; 3]) -> [f64; 3] {
    let most = visits[..3].iter().sum::<f64>().max(1.0);
    std::array::from_fn(|result| {
        (1.0 - LOOK_COUNTS) * visits[result] / most + LOOK_COUNTS * looked[result]
    })
}

impl Look<'_> {
    /// For each candidate but what is no fix, in the order of [`WEIGHTS`].
    pub(super) fn features(&self) -> Vec<[f64; FEATURES]> {
        let fixes = self.candidates.len() - 1;
        let evidence = self.evidence(fixes);
        (0..fixes)
            .map(|fix| {
                let mut all = self.of_walk(fix, &evidence).into_iter();
                std::array::from_fn(|_| all.next().unwrap_or(0.0))
            })
            .collect()
    }

    fn evidence(&self, fixes: usize) -> Evidence {
        let base = WORDS_COUNT * self.words.shares.fix[0].ln();
        let of = |fix: usize| {
            let each = self.rows.iter().zip(self.seen);
            each.map(|(row, seen)| match seen {
                Seen::Word(_) => (row.fix[fix].ln() - base).max(0.0),
                Seen::Mark(_) | Seen::Cue(..) => 0.0,
            })
            .collect()
        };
        let could: Vec<Vec<f64>> = (0..fixes).map(of).collect();
        let used = could.iter().enumerate().map(|(fix, could)| {
            let told = self.walked.told.iter().map(|told| told.fix[fix]);
            could.iter().zip(told).map(|(c, t)| c * t).collect()
        });
        Evidence {
            used: used.collect(),
            could,
        }
    }

    fn spot(&self, used: &[f64]) -> Spot {
        let best = |best: usize, at: usize| if used[at] > used[best] { at } else { best };
        let at = (0..used.len()).fold(0, best);
        let (sentence, phrase) = self.places[at];
        let tells = |at: &usize| used[*at] > TELLS;
        Spot {
            sentence,
            phrase,
            first: (0..used.len()).find(tells).unwrap_or(at),
            last: (0..used.len()).rfind(tells).unwrap_or(at),
        }
    }

    /// What the walk says, then what stands around.
    fn of_walk(&self, fix: usize, evidence: &Evidence) -> Vec<f64> {
        let visits = &self.walked.visits;
        let own = visits[fix];
        let tried = |visits: &[f64; RESULTS]| visits[..3].iter().sum::<f64>().min(1.0);
        let sure = tried(&own).clamp(1.0 - SUREST, SUREST);
        let ln = |x: f64| (x + LEAST).ln();
        let used = &evidence.used[fix];
        let spot = self.spot(used);
        let others = || (0..evidence.used.len()).filter(|other| *other != fix);
        let here = |of: &[f64]| self.sum(of, |place| place.0 == spot.sentence);
        let (mine, rivals) = (
            here(used),
            others().map(|o| here(&evidence.used[o])).sum::<f64>(),
        );
        let resolved_by = others().map(|o| visits[o][0]).fold(0.0, f64::max);
        let told_others = others().map(|o| tried(&visits[o])).sum::<f64>().min(4.0);
        let sentences = self.places.last().map_or(0, |place| place.0) + 1;
        let resolved = flag(self.outcome == Some(Outcome::Resolved));
        let most = flag(own[0] > resolved_by);
        let mut features = vec![
            1.0,
            (sure / (1.0 - sure)).ln() / 2.0,
            ln(own[0]),
            ln(own[1]),
            ln(own[2]),
            ln(own[3]),
            used.iter().sum::<f64>().min(MOST_EVIDENCE) / 4.0,
            here(&evidence.could[fix]).min(MOST_EVIDENCE) / 4.0,
            ln(self.weights[fix]),
            flag(fix >= self.own),
            flag(matches!(self.candidates[fix], Who::Other(_))),
            rivals / (mine + rivals + 0.5),
            self.remark(&spot),
            flag(self.asked(&spot)),
            flag(spot.sentence + 1 == sentences),
            flag(spot.sentence == 0),
            sentences.min(6) as f64 / 3.0,
            told_others,
            resolved,
            resolved_by,
            most,
            resolved * ln(own[0]),
            resolved * ln(own[1]),
            resolved * resolved_by,
            resolved * most,
            flag(self.outcome == Some(Outcome::HandedOn)),
            (spot.last - spot.first).min(12) as f64 / 6.0,
            resolved * told_others,
        ];
        features.extend(self.around(&spot, resolved));
        features
    }

    /// Which results are told in the phrase, the sentence, next, before; next in a resolved ticket; and how
    /// surely the walk takes anything of the sentence for each.
    fn around(&self, spot: &Spot, resolved: f64) -> Vec<f64> {
        let inside = self.any(|place| place.1 == spot.phrase);
        let sentence = self.any(|place| place.0 == spot.sentence);
        let mut next = [0.0; RESULTS];
        let behind = (spot.last + 1..self.seen.len()).take(REACH);
        if let Some((at, told)) = behind.filter_map(|at| Some((at, self.cue(at)?))).next() {
            let same = self.places[at].0 == self.places[spot.last].0;
            next[told as usize] = if same { 1.0 } else { NEXT_SENTENCE };
        }
        let mut before = [0.0; RESULTS];
        let ahead = (0..spot.first).rev();
        let mut ahead = ahead.take_while(|at| self.places[*at].0 == self.places[spot.first].0);
        if let Some(told) = ahead.find_map(|at| self.cue(at)) {
            before[told as usize] = 1.0;
        }
        let taken: [f64; RESULTS] = std::array::from_fn(|result| {
            let told = self.walked.told.iter().zip(self.places);
            told.filter(|(_, place)| place.0 == spot.sentence)
                .map(|(t, _)| t.before[result] + t.result[result] + t.provisional[result])
                .fold(0.0, f64::max)
        });
        let if_resolved = next.map(|n| n * resolved);
        [inside, sentence, next, before, if_resolved, taken].concat()
    }

    fn cue(&self, at: usize) -> Option<Told> {
        match &self.seen[at] {
            Seen::Cue(told, ..) => Some(*told),
            Seen::Word(_) | Seen::Mark(_) => None,
        }
    }

    fn any(&self, within: impl Fn(&(usize, usize)) -> bool) -> [f64; RESULTS] {
        let mut any = [0.0; RESULTS];
        for (at, place) in self.places.iter().enumerate() {
            if let (true, Some(told)) = (within(place), self.cue(at)) {
                any[told as usize] = 1.0;
            }
        }
        any
    }

    fn sum(&self, of: &[f64], within: impl Fn(&(usize, usize)) -> bool) -> f64 {
        let each = of.iter().zip(self.places);
        each.filter(|(_, place)| within(place))
            .map(|(n, _)| n)
            .sum()
    }

    /// How far the phrase is taken for what is no fix.
    fn remark(&self, spot: &Spot) -> f64 {
        let no_fix = self.candidates.len() - 1;
        let phrase = self.walked.told.iter().zip(self.places);
        let phrase = phrase.filter(|(_, place)| place.1 == spot.phrase);
        let (sum, length) = phrase.fold((0.0, 0.0), |(sum, length), (told, _)| {
            (sum + told.fix[no_fix] + told.background, length + 1.0)
        });
        sum / f64::max(length, 1.0)
    }

    fn asked(&self, spot: &Spot) -> bool {
        let each = self.seen.iter().zip(self.places);
        each.filter(|(_, place)| place.0 == spot.sentence)
            .any(|(seen, _)| matches!(seen, Seen::Mark(bare::ASKED)))
    }
}

fn flag(is: bool) -> f64 {
    f64::from(u8::from(is))
}

/// The number of the sentence and of the phrase of each token.
pub(super) fn places(tokens: &[Token]) -> Vec<(usize, usize)> {
    let (mut sentence, mut phrase) = (0, 0);
    let place = |token: &Token| {
        let here = (sentence, phrase);
        let mark = match token {
            Token::Mark(mark) => Some(*mark),
            Token::Cue(_, words) if words == bare::LEFT_ASKED => Some(bare::ASKED),
            Token::Word(_) | Token::Cue(..) => None,
        };
        if let Some(mark) = mark {
            sentence += usize::from(gap(mark) == Gap::Ends);
            phrase += usize::from(!joins_words(mark));
        }
        here
    };
    tokens.iter().map(place).collect()
}
