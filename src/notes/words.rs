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

use super::tokens::{MARKS, Told};
use serde::{Deserialize, Serialize};

/// Pseudo-counts behind the words of one fix, of a kind or a place, of any fix.
const OF_FIX: f64 = 40.0;
const OF_PLACE: f64 = 30.0;
const OF_ANY_FIX: f64 = 50.0;
/// Pseudo-counts grow with the number of different words a place says (after Witten & Bell 1991).
const PER_WORD: f64 = 0.5;
/// Parts of a fix's own text and of its kind; the rest is any fix.
const OWN_TEXT: f64 = 0.35;
const KIND: f64 = 0.30;
/// Part of an article's checks in what is no fix.
const CHECKS: f64 = 0.25;
/// Pseudo-counts behind a phrase of the lexicon.
const OF_CUE: f64 = 10.0;
/// Pseudo-counts behind a mark, and the part of marks among all tokens.
const OF_MARK: f64 = 5.0;
const MARK_PART: f64 = 0.2;

/// Who is visited: a fix, something no article lists, or what is no fix at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Who {
    Fix(usize),
    /// Done, but not listed; by the article it was done for.
    Other(Option<usize>),
    /// A check, a remark, a quotation: told like a fix, but none.
    NoFix(Option<usize>),
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
    /// The part of this word in a fix's own text, and in the checks of an article; sorted.
    pub(super) own: Vec<(u32, f64)>,
    pub(super) checks: Vec<(u32, f64)>,
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
        provisional[Told::Resolved as usize][2 + Told::NoChange as usize] = 0.25;
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
    /// By candidate.
    pub(super) fix: Vec<f64>,
    pub(super) before: [f64; 4],
    pub(super) result: [f64; 4],
    pub(super) provisional: [f64; 4],
    pub(super) background: f64,
}

fn mixed(count: f64, sum: f64, pseudo: f64, prior: f64) -> f64 {
    (count + pseudo * prior) / (sum + pseudo)
}

fn at(list: &[(u32, f64)], number: usize) -> f64 {
    list.binary_search_by_key(&number, |(n, _)| *n as usize)
        .map_or(0.0, |at| list[at].1)
}

fn pseudo(least: f64, distinct: f64) -> f64 {
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
};

impl Words {
    pub(super) fn word(&self, name: &str) -> Option<usize> {
        self.names.binary_search_by(|n| n.as_str().cmp(name)).ok()
    }

    pub(super) fn cue(&self, told: Told, words: &str) -> Option<usize> {
        let key = (told as usize, words);
        self.cues
            .binary_search_by(|(told, words)| (*told, words.as_str()).cmp(&key))
            .ok()
    }

    fn of(&self, word: Option<usize>) -> &WordCounts {
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
    fn speaks_for(&self, who: Who, word: Option<usize>) -> f64 {
        self.told_of(who, word) / self.common(word)
    }

    /// The row of one token.
    pub(super) fn row(&self, token: &Seen, candidates: &[Who]) -> Row {
        match token {
            Seen::Word(word) => self.word_row(*word, candidates),
            Seen::Mark(mark) => self.mark_row(*mark, candidates.len()),
            Seen::Cue(told, cue, words) => self.cue_row(*told, *cue, words, candidates),
        }
    }

    fn word_row(&self, word: Option<usize>, candidates: &[Who]) -> Row {
        let (counts, sums, distinct) = (self.of(word), &self.sums.counts, &self.sums.distinct);
        let common = self.common(word);
        let place = |count: f64, sum: f64, distinct: f64| {
            mixed(count, sum, pseudo(OF_PLACE, distinct), common) / common
        };
        Row {
            fix: candidates
                .iter()
                .map(|who| self.speaks_for(*who, word) * self.shares.fix[0])
                .collect(),
            before: std::array::from_fn(|r| {
                place(counts.before[r], sums.before[r], distinct.before[r])
                    * self.shares.before[r][0]
            }),
            result: std::array::from_fn(|r| {
                place(counts.result[r], sums.result[r], distinct.result[r])
                    * self.shares.result[r][0]
            }),
            provisional: std::array::from_fn(|r| {
                place(
                    counts.provisional[r],
                    sums.provisional[r],
                    distinct.provisional[r],
                ) * self.shares.provisional[r][0]
            }),
            background: place(counts.background, sums.background, distinct.background)
                * self.shares.background[0],
        }
    }

    fn mark_row(&self, mark: usize, candidates: usize) -> Row {
        let even = 1.0 / MARKS as f64;
        let place = |of: usize| {
            let marks = &self.marks[of];
            let sum: f64 = marks.iter().sum();
            mixed(marks[mark], sum, OF_MARK, even) / even * MARK_PART
        };
        let (fix, before, result, background) = (place(0), place(1), place(2), place(3));
        Row {
            fix: vec![fix * self.shares.fix[1]; candidates],
            before: std::array::from_fn(|r| before * self.shares.before[r][1]),
            result: std::array::from_fn(|r| result * self.shares.result[r][1]),
            provisional: std::array::from_fn(|r| result * self.shares.provisional[r][1]),
            background: background * self.shares.background[1],
        }
    }

    /// A phrase's class says where it stands; how this desk used it before says more. Where a fix
    /// is told it is its words: "cleared the list".
    fn cue_row(
        &self,
        told: Told,
        cue: Option<usize>,
        words: &[Option<usize>],
        candidates: &[Who],
    ) -> Row {
        const LEAST: f64 = 1e-4;
        let class = 2 + told as usize;
        let shares = &self.shares;
        let prior: Vec<f64> = (0..4)
            .map(|r| shares.result[r][class])
            .chain((0..4).map(|r| shares.provisional[r][class]))
            .chain((0..4).map(|r| shares.before[r][class]))
            .chain([shares.background[class]])
            .collect();
        let learned = cue.and_then(|cue| self.used(&self.cue_counts[cue]));
        let placed: Vec<f64> = match learned {
            Some((trust, used)) => {
                let sum: f64 = prior.iter().sum();
                let blend = |(prior, used): (&f64, f64)| prior * (1.0 - trust) + trust * used * sum;
                prior.iter().zip(used).map(blend).collect()
            }
            None => prior,
        };
        let literal = |who: &Who| {
            // Eight times: a word that a fix says more often than one time in eight is its own.
            let likely = |word: &Option<usize>| (8.0 * self.told_of(*who, *word)).min(1.0);
            let part = if words.len() == 1 { 0.6 } else { 0.3 };
            part * words.iter().map(likely).product::<f64>()
        };
        Row {
            fix: candidates
                .iter()
                .map(|who| shares.fix[class].max(literal(who)))
                .collect(),
            before: std::array::from_fn(|r| placed[8 + r].max(LEAST)),
            result: std::array::from_fn(|r| placed[r].max(LEAST)),
            provisional: std::array::from_fn(|r| placed[4 + r].max(LEAST)),
            background: placed[12].max(LEAST),
        }
    }

    /// How a phrase was shared by the places, each place's size aside, and how far that is trusted.
    fn used(&self, counts: &CueCounts) -> Option<(f64, [f64; 13])> {
        let flat = |c: &CueCounts| -> [f64; 13] {
            std::array::from_fn(|i| match i {
                0..4 => c.result[i],
                4..8 => c.provisional[i - 4],
                8..12 => c.before[i - 8],
                _ => c.background,
            })
        };
        let (counts, sums) = (flat(counts), flat(&self.cue_sums));
        let times: f64 = counts.iter().sum();
        let rates: [f64; 13] = std::array::from_fn(|i| counts[i] / sums[i].max(1e-9));
        let all: f64 = rates.iter().sum();
        (times > 0.0 && all > 0.0).then(|| (times / (times + OF_CUE), rates.map(|r| r / all)))
    }
}
