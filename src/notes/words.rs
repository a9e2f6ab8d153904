//! How likely each word, mark and phrase is in each place of the walk.
//!
//! Places: where a fix is told, where its result is told before or behind it, where a result is told
//! that did not last ("ok at first"), and background. All likelihoods of a word are relative to how often it stands
//! in notes at all, so that a word nobody knows speaks for nothing.
//!
//! A fix's words are smoothed in steps: what agents wrote of this fix, else the fix's own text and
//! what they wrote of fixes of its kind, else of any fix, else of anything (interpolation with
//! pseudo-counts; Chen & Goodman 1999, section 2). The numbers were chosen by cross-validation on
//! tickets with known tries; none matters much.

use super::tokens::{Gap, MARKS, Told};
use serde::{Deserialize, Serialize};

/// Pseudo-counts behind the words of one fix, of a kind or a place, of any fix.
const OF_FIX: f64 = 80.0;
pub(super) const OF_PLACE: f64 = 100.0;
const OF_ANY_FIX: f64 = 50.0;
/// Pseudo-counts grow with the number of different words a place says (after Witten & Bell 1991).
const PER_WORD: f64 = 0.5;
/// Parts of a fix's own text and of its kind; the rest is any fix.
const OWN_TEXT: f64 = 0.35;
const KIND: f64 = 0.30;
/// Part of an article's checks in what is no fix.
pub(super) const CHECKS: f64 = 0.2;
/// Letters that a word nobody wrote must share with a word of the articles, from the first on, to be
/// taken for it, and how many of the longer one may differ: "terminators", "termination".
const AKIN_FROM: usize = 5;
const AKIN_REST: usize = 4;
/// How far the parts of words and of marks are the same whatever the result: a short answer and a long
/// one, and one that is left out, say nothing of what came of it.
const LEVEL_WORDS: f64 = 0.5;
const LEVEL_MARKS: f64 = 1.0;
/// A word counts as seen from this soft count on.
const SEEN_FROM: f64 = 0.3;

/// Who is visited: a fix, something no article lists, or what is no fix at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Who {
    Fix(usize),
    /// Done, but not listed; by the article it was done for.
    Other(Option<usize>),
    /// A check, a remark, a quotation: told like a fix, but none.
    NoFix(Option<usize>),
}

impl Who {
    /// The number of the fix; none for what no article lists.
    pub(super) fn fix(self) -> Option<usize> {
        match self {
            Self::Fix(fix) => Some(fix),
            Self::Other(_) | Self::NoFix(_) => None,
        }
    }
}

/// Counts of one word, soft: a word may have spoken of several things.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct WordCounts {
    /// In all notes, and half of its times in the fixes' own texts.
    pub(super) all: f64,
    pub(super) any_fix: f64,
    pub(super) other: f64,
    pub(super) no_fix: f64,
    pub(super) background: f64,
    pub(super) before: [f64; 4],
    pub(super) result: [f64; 4],
    pub(super) provisional: [f64; 4],
    /// By fix, by article for what is not listed, by kind; sorted.
    pub(super) fixes: Vec<(u32, f64)>,
    pub(super) others: Vec<(u32, f64)>,
    pub(super) kinds: Vec<(u32, f64)>,
    /// The part of this word in a fix's own text, and in the checks and the symptoms of an article;
    /// sorted.
    pub(super) own: Vec<(u32, f64)>,
    pub(super) checks: Vec<(u32, f64)>,
    pub(super) symptoms: Vec<(u32, f64)>,
    /// The part of this word in what is seen when fixes of an article are done; sorted.
    pub(super) done: Vec<(u32, f64)>,
}

impl WordCounts {
    /// Whether an example held it.
    pub(super) fn seen(&self) -> bool {
        let places = self.before.iter().chain(&self.result);
        let places: f64 = places.chain(&self.provisional).sum();
        self.any_fix + self.no_fix + self.background + places > SEEN_FROM
    }
}

/// Sums over all words.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Sums {
    pub(super) counts: WordCounts,
    /// How many different words each place says.
    pub(super) distinct: WordCounts,
}

/// Counts of a phrase: in results before and behind a fix, in provisional ones, in the background.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct CueCounts {
    pub(super) before: [f64; 4],
    pub(super) result: [f64; 4],
    pub(super) provisional: [f64; 4],
    pub(super) background: f64,
}

/// How the kinds of tokens share each place: words, marks, and the four classes of phrases.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Shares {
    pub(super) fix: [f64; 6],
    pub(super) background: [f64; 6],
    pub(super) before: [[f64; 6]; 4],
    pub(super) result: [[f64; 6]; 4],
    pub(super) provisional: [[f64; 6]; 4],
}

impl Default for Shares {
    /// Before anything is learned; guessed.
    fn default() -> Self {
        let mut result = [[0.30, 0.30, 0.02, 0.02, 0.02, 0.02]; 4];
        let mut provisional = [[0.40, 0.20, 0.05, 0.05, 0.05, 0.05]; 4];
        for (told, shares) in result.iter_mut().enumerate() {
            shares[2 + told] = 0.34;
        }
        provisional[Told::Resolved as usize][2 + Told::NoChange as usize] = 0.15;
        provisional[Told::NoChange as usize][2 + Told::Resolved as usize] = 0.20;
        let mut shares = Self {
            fix: [0.88, 0.10, 0.005, 0.005, 0.005, 0.005],
            background: [0.66, 0.22, 0.03, 0.04, 0.03, 0.03],
            before: result,
            result,
            provisional,
        };
        shares.scale();
        shares
    }
}

impl Shares {
    pub(super) fn all_mut(&mut self) -> impl Iterator<Item = &mut [f64; 6]> {
        [&mut self.fix, &mut self.background]
            .into_iter()
            .chain(&mut self.before)
            .chain(&mut self.result)
            .chain(&mut self.provisional)
    }

    /// Levels the parts of words and of marks over the results, by their logarithms.
    pub(super) fn level(&mut self) {
        for places in [&mut self.before, &mut self.result, &mut self.provisional] {
            for (class, how_far) in [(0, LEVEL_WORDS), (1, LEVEL_MARKS)] {
                let mean = places.iter().map(|p| p[class].ln()).sum::<f64>() / 4.0;
                for place in places.iter_mut() {
                    place[class] *= ((mean - place[class].ln()) * how_far).exp();
                }
            }
        }
    }

    pub(super) fn scale(&mut self) {
        for shares in self.all_mut() {
            let sum: f64 = shares.iter().sum();
            shares.iter_mut().for_each(|part| *part /= sum);
        }
    }
}

/// Everything that is counted.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct Words {
    /// Known words, sorted, and their counts.
    pub(super) names: Vec<String>,
    pub(super) counts: Vec<WordCounts>,
    pub(super) sums: Sums,
    /// Known phrases, sorted, and their counts.
    pub(super) cues: Vec<(usize, String)>,
    pub(super) cue_counts: Vec<CueCounts>,
    pub(super) cue_sums: CueCounts,
    /// Marks where a fix is told, in a result before it and behind it, in the background.
    pub(super) marks: [[f64; MARKS]; 4],
    pub(super) shares: Shares,
    /// The number of each fix's kind.
    pub(super) kind_of: Vec<u32>,
}

/// A token with its numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Seen {
    Word(Option<usize>),
    Mark(usize),
    /// Class, number of the phrase, numbers of its words.
    Cue(Told, Option<usize>, Vec<Option<usize>>),
}

/// How likely one token is in each place; only the ratios matter.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// What parts it from the next.
    pub(super) gap: Gap,
    /// By candidate.
    pub(super) fix: Vec<f64>,
    pub(super) before: [f64; 4],
    pub(super) result: [f64; 4],
    pub(super) provisional: [f64; 4],
    pub(super) background: f64,
}

impl Row {
    /// Takes every likelihood to a power: below one it says less.
    pub(super) fn soften(&mut self, power: f64) {
        let places = self.before.iter_mut().chain(&mut self.result);
        let places = places.chain(&mut self.provisional).chain(&mut self.fix);
        places
            .chain([&mut self.background])
            .for_each(|likelihood| *likelihood = likelihood.powf(power));
    }
}

pub(super) fn mixed(count: f64, sum: f64, pseudo: f64, prior: f64) -> f64 {
    (count + pseudo * prior) / (sum + pseudo)
}

pub(super) fn at(list: &[(u32, f64)], number: usize) -> f64 {
    list.binary_search_by_key(&number, |(n, _)| *n as usize)
        .map_or(0.0, |at| list[at].1)
}

pub(super) fn pseudo(least: f64, distinct: f64) -> f64 {
    least.max(PER_WORD * distinct)
}

static NOTHING: WordCounts = WordCounts {
    all: 0.0,
    any_fix: 0.0,
    other: 0.0,
    no_fix: 0.0,
    background: 0.0,
    before: [0.0; 4],
    result: [0.0; 4],
    provisional: [0.0; 4],
    fixes: Vec::new(),
    others: Vec::new(),
    kinds: Vec::new(),
    own: Vec::new(),
    checks: Vec::new(),
    symptoms: Vec::new(),
    done: Vec::new(),
};

impl Words {
    pub(super) fn word(&self, name: &str) -> Option<usize> {
        self.names.binary_search_by(|n| n.as_str().cmp(name)).ok()
    }

    /// The word of the articles' own texts that shares the longest beginning with one that nobody wrote.
    pub(super) fn akin(&self, name: &str) -> Option<usize> {
        let begin = name.get(..AKIN_FROM)?;
        let from = self.names.partition_point(|n| n.as_str() < begin);
        let alike = |n: &str| {
            n.bytes()
                .zip(name.bytes())
                .take_while(|(a, b)| a == b)
                .count()
        };
        let near = self.names[from..]
            .iter()
            .take_while(|n| n.starts_with(begin));
        near.enumerate()
            .map(|(i, n)| (from + i, n, alike(n)))
            .filter(|(at, n, alike)| {
                !self.counts[*at].own.is_empty() && n.len().max(name.len()) - alike <= AKIN_REST
            })
            .max_by_key(|(_, _, alike)| *alike)
            .map(|(at, ..)| at)
    }

    pub(super) fn cue(&self, told: Told, words: &str) -> Option<usize> {
        let key = (told as usize, words);
        self.cues
            .binary_search_by(|(told, words)| (*told, words.as_str()).cmp(&key))
            .ok()
    }

    pub(super) fn of(&self, word: Option<usize>) -> &WordCounts {
        word.map_or(&NOTHING, |word| &self.counts[word])
    }

    /// How often a word stands in notes at all.
    pub(super) fn common(&self, word: Option<usize>) -> f64 {
        let all = 0.5 + self.of(word).all;
        // Fifty for the words nobody wrote yet.
        all / (self.sums.counts.all + 0.5 * (self.names.len() as f64 + 50.0))
    }

    /// How likely a word is where this is told.
    pub(super) fn told_of(&self, who: Who, word: Option<usize>) -> f64 {
        let (counts, sums, distinct) = (self.of(word), &self.sums.counts, &self.sums.distinct);
        let common = self.common(word);
        let any = mixed(
            counts.any_fix,
            sums.any_fix,
            pseudo(OF_ANY_FIX, distinct.any_fix),
            common,
        );
        match who {
            Who::Fix(fix) => {
                let kind = self.kind_of[fix] as usize;
                let of_kind = mixed(
                    at(&counts.kinds, kind),
                    at(&sums.kinds, kind),
                    OF_PLACE,
                    any,
                );
                let own = OWN_TEXT * at(&counts.own, fix);
                let prior = own + KIND * of_kind + (1.0 - OWN_TEXT - KIND) * any;
                mixed(at(&counts.fixes, fix), at(&sums.fixes, fix), OF_FIX, prior)
            }
            Who::Other(article) => {
                let least = pseudo(OF_PLACE, distinct.other);
                let prior = mixed(counts.other, sums.other, least, 0.5 * any + 0.5 * common);
                article.map_or(prior, |article| {
                    let (count, sum) = (at(&counts.others, article), at(&sums.others, article));
                    mixed(count, sum, OF_FIX, prior)
                })
            }
            Who::NoFix(article) => {
                let least = pseudo(OF_PLACE, distinct.no_fix);
                let prior = mixed(counts.no_fix, sums.no_fix, least, 0.3 * any + 0.7 * common);
                match article.map_or(0.0, |article| at(&counts.checks, article)) {
                    check if check > 0.0 => (1.0 - CHECKS) * prior + CHECKS * check,
                    _ => 0.95 * prior + 0.05 * common,
                }
            }
        }
    }

    /// How much likelier a word is where a fix is told than in notes at all, by the part of the
    /// fix's own text that it makes up.
    pub(super) fn own_speaks(&self, part: f64, word: usize) -> f64 {
        OWN_TEXT * part / self.common(Some(word)) + 1.0 - OWN_TEXT
    }

    /// How much likelier a word is where this is told than in notes at all.
    pub(super) fn speaks_for(&self, who: Who, word: Option<usize>) -> f64 {
        self.told_of(who, word) / self.common(word)
    }
}
