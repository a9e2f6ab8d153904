//! The soft counts of one round of learning, and how they become what the reader knows.

use super::learn::Lesson;
use super::own::number;
use super::reader::Reader;
use super::tokens::{GAPS, MARKS};
use super::walk::{Moves, Told, Walked, Within};
use super::words::{CueCounts, Seen, Shares, Sums, Who, WordCounts, Words};
use std::collections::BTreeMap;

/// Pseudo-counts behind the moves and behind the shares of each place.
const OF_MOVES: f64 = 600.0;
const OF_SHARES: f64 = 100.0;
/// Soft counts below this are dropped.
const LEAST: f64 = 1e-4;
/// A word counts as said in a place from this soft count on.
const SAID: f64 = 0.3;

/// Soft counts of one round.
pub(super) struct Tally {
    counts: Vec<Soft>,
    cues: Vec<CueCounts>,
    cue_sums: CueCounts,
    marks: [[f64; MARKS]; 4],
    shares: Shares,
    within: [Within; GAPS],
    stays: [[f64; 2]; GAPS],
}

#[derive(Clone, Default)]
struct Soft {
    plain: WordCounts,
    fixes: BTreeMap<u32, f64>,
    others: BTreeMap<u32, f64>,
    kinds: BTreeMap<u32, f64>,
}

impl Tally {
    pub(super) fn new(words: &Words) -> Self {
        let mut shares = Shares::default();
        shares
            .all_mut()
            .for_each(|s| s.iter_mut().for_each(|s| *s *= OF_SHARES));
        let moves = Moves::default();
        Self {
            counts: vec![Soft::default(); words.names.len()],
            cues: vec![CueCounts::default(); words.cues.len()],
            cue_sums: CueCounts::default(),
            marks: [[0.0; MARKS]; 4],
            shares,
            within: each(moves.within, |row| row.map(|chance| chance * OF_MOVES)),
            stays: moves
                .stay
                .map(|stay| [stay * OF_MOVES, (1.0 - stay) * OF_MOVES]),
        }
    }

    pub(super) fn add(&mut self, lesson: &Lesson, walked: &Walked, kind_of: &[u32]) {
        let within = self.within.as_flattened_mut().as_flattened_mut();
        let stays = self.stays.as_flattened_mut();
        let more = walked.within.as_flattened().as_flattened();
        within
            .iter_mut()
            .zip(more)
            .for_each(|(to, from)| *to += from);
        let more = walked.stays.as_flattened();
        stays
            .iter_mut()
            .zip(more)
            .for_each(|(to, from)| *to += from);
        for (seen, told) in lesson.seen.iter().zip(&walked.told) {
            let class = match seen {
                Seen::Word(_) => 0,
                Seen::Mark(_) => 1,
                Seen::Cue(class, ..) => 2 + *class as usize,
            };
            self.shares.fix[class] += told.fix.iter().sum::<f64>();
            self.shares.background[class] += told.background;
            for result in 0..4 {
                self.shares.before[result][class] += told.before[result];
                self.shares.result[result][class] += told.result[result];
                self.shares.provisional[result][class] += told.provisional[result];
                self.cue_sums.before[result] += told.before[result];
                self.cue_sums.result[result] += told.result[result];
                self.cue_sums.provisional[result] += told.provisional[result];
            }
            self.cue_sums.background += told.background;
            match seen {
                Seen::Word(Some(word)) => {
                    self.word(*word, lesson, told, kind_of);
                    self.counts[*word].places(told);
                }
                Seen::Word(None) => {}
                Seen::Mark(mark) => {
                    self.marks[0][*mark] += told.fix.iter().sum::<f64>();
                    self.marks[1][*mark] += told.before.iter().sum::<f64>();
                    let behind = told.result.iter().chain(&told.provisional);
                    self.marks[2][*mark] += behind.sum::<f64>();
                    self.marks[3][*mark] += told.background;
                }
                Seen::Cue(_, cue, words) => {
                    if let Some(cue) = cue.map(|cue| &mut self.cues[cue]) {
                        for result in 0..4 {
                            cue.before[result] += told.before[result];
                            cue.result[result] += told.result[result];
                            cue.provisional[result] += told.provisional[result];
                        }
                        cue.background += told.background;
                    }
                    if let [Some(word)] = words[..] {
                        self.word(word, lesson, told, kind_of);
                    }
                }
            }
        }
    }

    /// A word told of fixes.
    fn word(&mut self, word: usize, lesson: &Lesson, told: &Told, kind_of: &[u32]) {
        let soft = &mut self.counts[word];
        for (who, count) in lesson.candidates.iter().zip(&told.fix) {
            if *count <= LEAST {
                continue;
            }
            match who {
                Who::Fix(fix) => {
                    soft.plain.any_fix += count;
                    *soft.fixes.entry(number(*fix)).or_default() += count;
                    *soft.kinds.entry(kind_of[*fix]).or_default() += count;
                }
                Who::Other(article) => {
                    soft.plain.any_fix += count;
                    soft.plain.other += count;
                    if let Some(article) = article {
                        *soft.others.entry(number(*article)).or_default() += count;
                    }
                }
                Who::NoFix(_) => soft.plain.no_fix += count,
            }
        }
    }

    pub(super) fn into_reader(self, reader: &mut Reader) {
        let words = &mut reader.words;
        let mut sums = Sums::default();
        let mut by_number = Soft::default();
        for (soft, counts) in self.counts.into_iter().zip(&mut words.counts) {
            soft.add_to(&mut sums, &mut by_number);
            *counts = WordCounts {
                all: counts.all,
                own: std::mem::take(&mut counts.own),
                checks: std::mem::take(&mut counts.checks),
                symptoms: std::mem::take(&mut counts.symptoms),
                done: std::mem::take(&mut counts.done),
                fixes: soft.fixes.into_iter().collect(),
                others: soft.others.into_iter().collect(),
                kinds: soft.kinds.into_iter().collect(),
                ..soft.plain
            };
        }
        sums.counts.all = words.sums.counts.all;
        sums.counts.fixes = by_number.fixes.into_iter().collect();
        sums.counts.others = by_number.others.into_iter().collect();
        sums.counts.kinds = by_number.kinds.into_iter().collect();
        words.sums = sums;
        words.cue_counts = self.cues;
        words.cue_sums = self.cue_sums;
        words.marks = self.marks;
        words.shares = self.shares;
        words.shares.scale();
        reader.moves.within = each(self.within, |row| {
            let sum: f64 = row.iter().sum();
            row.map(|chance| chance / sum)
        });
        reader.moves.stay = self.stays.map(|[stay, enter]| stay / (stay + enter));
    }
}

/// Each row of moves by a function of it.
fn each(within: [Within; GAPS], of: impl Fn([f64; 5]) -> [f64; 5]) -> [Within; GAPS] {
    within.map(|rows| rows.map(&of))
}

impl Soft {
    fn places(&mut self, told: &Told) {
        let keep = |count: f64| if count > LEAST { count } else { 0.0 };
        self.plain.background += keep(told.background);
        for result in 0..4 {
            self.plain.before[result] += keep(told.before[result]);
            self.plain.result[result] += keep(told.result[result]);
            self.plain.provisional[result] += keep(told.provisional[result]);
        }
    }

    fn add_to(&self, sums: &mut Sums, by_number: &mut Self) {
        let (counts, distinct) = (&mut sums.counts, &mut sums.distinct);
        let add = |count: f64, sum: &mut f64, said: &mut f64| {
            *sum += count;
            *said += f64::from(u8::from(count > SAID));
        };
        let plain = &self.plain;
        add(plain.any_fix, &mut counts.any_fix, &mut distinct.any_fix);
        add(plain.other, &mut counts.other, &mut distinct.other);
        add(plain.no_fix, &mut counts.no_fix, &mut distinct.no_fix);
        add(
            plain.background,
            &mut counts.background,
            &mut distinct.background,
        );
        for r in 0..4 {
            let (sum, said) = (&mut counts.before[r], &mut distinct.before[r]);
            add(plain.before[r], sum, said);
            let (sum, said) = (&mut counts.result[r], &mut distinct.result[r]);
            add(plain.result[r], sum, said);
            let (sum, said) = (&mut counts.provisional[r], &mut distinct.provisional[r]);
            add(plain.provisional[r], sum, said);
        }
        for (to, from) in [
            (&mut by_number.fixes, &self.fixes),
            (&mut by_number.others, &self.others),
            (&mut by_number.kinds, &self.kinds),
        ] {
            for (number, count) in from {
                *to.entry(*number).or_default() += count;
            }
        }
    }
}
