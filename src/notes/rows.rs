//! How likely one token is in each place: the rows that a walk is summed over.

use super::tokens::{Gap, MARKS, Token, Told, gap};
use super::words::{CHECKS, CueCounts, OF_PLACE, Row, Seen, Who, Words, at, mixed, pseudo};
use std::collections::BTreeMap;

/// Part of an article's symptoms in a result that says nothing changed, and in the background:
/// "lead swapped: trips".
const SYMPTOMS: f64 = 0.15;
const SYMPTOMS_BEHIND: f64 = 0.08;
/// Part of what is seen when a fix is done in a result that says it resolved: "socket replaced: charges".
const DONE: f64 = 0.05;
/// Pseudo-counts behind a phrase of the lexicon.
const OF_CUE: f64 = 8.0;
/// Pseudo-counts behind a mark, and the part of marks among all tokens.
const OF_MARK: f64 = 5.0;
const MARK_PART: f64 = 0.2;

/// Part of words that a note says again in a result that says nothing changed, and how much likelier than
/// in notes at all they are there: "stays amber … stays amber … green".
const AGAIN: f64 = 0.15;
const AGAIN_LIKELIER: f64 = 40.0;
/// No word is likelier than this there.
const AGAIN_AT_MOST: f64 = 0.2;
/// A word tells a fix from this ratio on.
const TELLS_FIX: f64 = 2.0;

const SAME: usize = Told::NoChange as usize;
const RESOLVED: usize = Told::Resolved as usize;

/// Which tokens are words that the note says more than once.
pub(super) fn again(tokens: &[Token]) -> Vec<bool> {
    let mut times: BTreeMap<&str, usize> = BTreeMap::new();
    for token in tokens {
        if let Token::Word(word) = token {
            *times.entry(word).or_default() += 1;
        }
    }
    let again = |token: &Token| match token {
        Token::Word(word) => times[word.as_str()] > 1,
        Token::Mark(_) | Token::Cue(..) => false,
    };
    tokens.iter().map(again).collect()
}

impl Words {
    /// The rows of a note, where some words are said again.
    pub(super) fn rows(&self, note: &[Seen], again: &[bool], candidates: &[Who]) -> Vec<Row> {
        let each = note.iter().zip(again);
        each.map(|(seen, again)| {
            let mut row = self.row(seen, candidates);
            if let (Seen::Word(word), true) = (seen, again) {
                self.say_again(*word, &mut row);
            }
            row
        })
        .collect()
    }

    /// What a note says again and again, and is no work, is the state it is left in.
    fn say_again(&self, word: Option<usize>, row: &mut Row) {
        // The last candidate is what is no fix: words of checks, such as a lamp's colour, are a state too.
        let fixes = row.fix.len().saturating_sub(1);
        let tells = row.fix[..fixes].iter().copied().fold(0.0, f64::max);
        if tells < TELLS_FIX * self.shares.fix[0] {
            let speaks = AGAIN_LIKELIER.min(AGAIN_AT_MOST / self.common(word));
            let told = AGAIN * speaks * self.shares.result[SAME][0];
            row.result[SAME] = (1.0 - AGAIN) * row.result[SAME] + told;
        }
    }

    /// The row of one token.
    pub(super) fn row(&self, token: &Seen, candidates: &[Who]) -> Row {
        match token {
            Seen::Word(word) => {
                let mut row = self.word_row(*word, candidates);
                self.say_symptom(*word, candidates, &mut row);
                self.say_done(*word, candidates, &mut row);
                row
            }
            Seen::Mark(mark) => self.mark_row(*mark, candidates.len()),
            Seen::Cue(told, cue, words) => self.cue_row(*told, *cue, words, candidates),
        }
    }

    /// That the symptom is told again says that nothing changed.
    fn say_symptom(&self, word: Option<usize>, candidates: &[Who], row: &mut Row) {
        let (Some(word), Some(Who::NoFix(Some(article)))) = (word, candidates.last()) else {
            return;
        };
        let part = at(&self.counts[word].symptoms, *article);
        if part == 0.0 {
            return;
        }
        let speaks = part / self.common(Some(word));
        let mix = |place: &mut f64, weight: f64, share: f64| {
            *place = (1.0 - weight) * *place + weight * speaks * share;
        };
        mix(&mut row.result[SAME], SYMPTOMS, self.shares.result[SAME][0]);
        mix(&mut row.before[SAME], SYMPTOMS, self.shares.before[SAME][0]);
        mix(
            &mut row.background,
            SYMPTOMS_BEHIND,
            self.shares.background[0],
        );
    }

    /// What is seen when a fix is done says that one resolved it.
    fn say_done(&self, word: Option<usize>, candidates: &[Who], row: &mut Row) {
        let (Some(word), Some(Who::NoFix(Some(article)))) = (word, candidates.last()) else {
            return;
        };
        let part = at(&self.counts[word].done, *article);
        if part > 0.0 {
            let speaks = part / self.common(Some(word)) * self.shares.result[RESOLVED][0];
            row.result[RESOLVED] = (1.0 - DONE) * row.result[RESOLVED] + DONE * speaks;
        }
    }

    /// A word that no example holds speaks by the articles' own texts alone. Smoothing would let it
    /// speak for whatever was seen least, only because so few words were seen there.
    fn unseen_row(&self, word: Option<usize>, candidates: &[Who]) -> Row {
        let speaks = |who: &Who| match (who, word) {
            (Who::Fix(fix), Some(word)) => self.own_speaks(at(&self.counts[word].own, *fix), word),
            (Who::NoFix(Some(article)), Some(word)) => {
                let check = at(&self.counts[word].checks, *article);
                CHECKS * check / self.common(Some(word)) + 1.0 - CHECKS
            }
            _ => 1.0,
        };
        let shares = &self.shares;
        Row {
            gap: Gap::Nothing,
            fix: candidates
                .iter()
                .map(|who| speaks(who) * shares.fix[0])
                .collect(),
            before: std::array::from_fn(|r| shares.before[r][0]),
            result: std::array::from_fn(|r| shares.result[r][0]),
            provisional: std::array::from_fn(|r| shares.provisional[r][0]),
            background: shares.background[0],
        }
    }

    fn word_row(&self, word: Option<usize>, candidates: &[Who]) -> Row {
        if !self.of(word).seen() {
            return self.unseen_row(word, candidates);
        }
        let (counts, sums, distinct) = (self.of(word), &self.sums.counts, &self.sums.distinct);
        let common = self.common(word);
        let place = |count: f64, sum: f64, distinct: f64| {
            mixed(count, sum, pseudo(OF_PLACE, distinct), common) / common
        };
        Row {
            gap: Gap::Nothing,
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
            gap: gap(mark),
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
            gap: Gap::Nothing,
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
