//! How often runs of four and five letters stand in texts, written by what the shorter ones leave open.
//!
//! Wherever `abcd` stands there stand `abc` and `bcd`. So it is in no text that lacks one of the two, and
//! stands there no more often than what other runs left of either: of `abc` what `abca`, `abcb` …
//! before it took, of `bcd` what `abcd`'s forerunners `aabc` … took. Mostly that settles the number.
//! What is still open is asked in this order, each answer in a list by how much is left, so that answers
//! of one list are much alike: not at all? all that is left? how often then?
//!
//! The reader (`page/rank/grams.mjs`) walks in the same order and so knows which answer is next.

use super::bytes::{At, Bits, Blob, Lists};
use super::postings::Held;
use serde::Serialize;
use std::collections::HashMap;

/// Lists by how much is left of the run that has less, and of the other, each up to this.
const MOST_LEFT: u32 = 6;
const LISTS: usize = (MOST_LEFT * MOST_LEFT) as usize;

/// Where the answers stand.
#[derive(Debug, Serialize)]
pub(super) struct Longer {
    /// How many longer runs there are, and in how many places.
    runs: usize,
    places: usize,
    /// For each run that could be: is it?
    there: At,
    /// For each that is: in how many texts that did not go in.
    others: At,
    none: Lists,
    all: Lists,
    times: Lists,
}

/// Runs of one length, and what is left of each in its texts.
struct Level<'a> {
    runs: Vec<&'a str>,
    /// By run: text and how often, for longer runs that begin with it and that end with it.
    begins: Vec<Vec<(u64, u32)>>,
    ends: Vec<Vec<(u64, u32)>>,
}

impl<'a> Level<'a> {
    fn new(runs: Vec<&'a str>, held: &Held<'a>) -> Self {
        let places: Vec<Vec<(u64, u32)>> = runs.iter().map(|run| held[run].clone()).collect();
        Self {
            runs,
            begins: places.clone(),
            ends: places,
        }
    }

    /// Numbers of the runs by all their letters but the last; those stand side by side.
    fn by_beginning(&self) -> HashMap<&'a str, Vec<usize>> {
        let mut found: HashMap<&str, Vec<usize>> = HashMap::new();
        for (number, run) in self.runs.iter().enumerate() {
            found.entry(without_last(run)).or_default().push(number);
        }
        found
    }
}

#[derive(Default)]
struct Answers {
    runs: usize,
    places: usize,
    there: Bits,
    others: Vec<u64>,
    none: Vec<Bits>,
    all: Vec<Bits>,
    times: Vec<Vec<u64>>,
}

/// Writes the runs that are longer than `shortest`; `df` says in how many texts each stands.
pub(super) fn longer<'a>(
    shortest: Vec<&'a str>,
    held: &Held<'a>,
    df: &HashMap<&str, u64>,
    blob: &mut Blob,
) -> Longer {
    let mut answers = Answers {
        none: vec![Bits::default(); LISTS],
        all: vec![Bits::default(); LISTS],
        times: vec![Vec::new(); LISTS],
        ..Answers::default()
    };
    let all = held.len() - shortest.len();
    let mut runs = shortest;
    while answers.runs < all && !runs.is_empty() {
        runs = answers.next(Level::new(runs, held), held, df);
    }
    Longer {
        runs: answers.runs,
        places: answers.places,
        there: blob.bits(&answers.there),
        others: blob.numbers(answers.others),
        none: blob.bit_lists(&answers.none),
        all: blob.bit_lists(&answers.all),
        times: blob.number_lists(&answers.times),
    }
}

impl Answers {
    /// Answers for all runs that are one letter longer than those of a level; gives those that are.
    fn next<'a>(
        &mut self,
        mut level: Level<'a>,
        held: &Held<'a>,
        df: &HashMap<&str, u64>,
    ) -> Vec<&'a str> {
        let by_beginning = level.by_beginning();
        let mut found = Vec::new();
        for first in 0..level.runs.len() {
            let middle = without_first(level.runs[first]);
            for &second in by_beginning.get(middle).into_iter().flatten() {
                let (begin, end) = (&mut level.begins[first], &mut level.ends[second]);
                if open_in_both(begin, end).next().is_none() {
                    continue;
                }
                let last = &level.runs[second][middle.len()..];
                let run = format!("{}{last}", level.runs[first]);
                let known = held.get_key_value(run.as_str());
                self.there.push(known.is_some());
                if let Some((run, places)) = known {
                    self.runs += 1;
                    self.places += places.len();
                    self.others.push(df[run] - places.len() as u64);
                    self.count(places, begin, end);
                    found.push(*run);
                }
            }
        }
        found
    }

    fn count(&mut self, places: &[(u64, u32)], begin: &mut [(u64, u32)], end: &mut [(u64, u32)]) {
        let open: Vec<(usize, usize)> = open_in_both(begin, end).collect();
        let mut places = places.iter().peekable();
        for (i, j) in open {
            let text = begin[i].0;
            let times = places.next_if(|place| place.0 == text);
            let times = times.map_or(0, |(_, times)| *times);
            let (a, b) = (begin[i].1, end[j].1);
            let (less, more) = (a.min(b), a.max(b));
            let list = (more.min(MOST_LEFT) - 1) * MOST_LEFT + less.min(MOST_LEFT) - 1;
            let list = list as usize;
            self.none[list].push(times == 0);
            if times > 0 && less > 1 {
                self.all[list].push(times == less);
                if times < less && less > 2 {
                    self.times[list].push(u64::from(times - 1));
                }
            }
            begin[i].1 -= times;
            end[j].1 -= times;
        }
    }
}

/// The places, in both lists, of the texts in which something is left of both.
fn open_in_both<'a>(
    begin: &'a [(u64, u32)],
    end: &'a [(u64, u32)],
) -> impl Iterator<Item = (usize, usize)> + use<'a> {
    let mut j = 0;
    begin
        .iter()
        .enumerate()
        .filter_map(move |(i, (text, left))| {
            while end.get(j).is_some_and(|(other, _)| other < text) {
                j += 1;
            }
            let (other, other_left) = end.get(j)?;
            (other == text && *left > 0 && *other_left > 0).then_some((i, j))
        })
}

fn without_first(run: &str) -> &str {
    let mut letters = run.chars();
    letters.next();
    letters.as_str()
}

fn without_last(run: &str) -> &str {
    let mut letters = run.chars();
    letters.next_back();
    letters.as_str()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::texts::{GRAMS, grams};
    use std::collections::BTreeMap;

    #[test]
    fn what_shorter_runs_settle_is_not_said_again() {
        let runs = grams("aaaa", GRAMS);
        let mut held: Held<'_> = BTreeMap::new();
        for run in &runs {
            held.entry(run).or_insert_with(|| vec![(0, 0)])[0].1 += 1;
        }
        let df = held.keys().map(|run| (*run, 1)).collect();
        let mut blob = Blob::default();
        let found = longer(vec![" aa", "aa ", "aaa"], &held, &df, &mut blob);
        assert_eq!((found.runs, found.places), (5, 5));
        // Could be: ` aa `, ` aaa`, `aaa `, `aaaa`, ` aaa `, ` aaaa`, `aaaa `; the first and the fifth are
        // not. No other text has any. Each of the five stands once and never nowhere: three where one is
        // left of both, two where two are left of the other. Nothing is left to ask.
        assert_eq!(blob.bytes(), [0b110_1110, 0, 0, 0, 0, 0, 0, 0]);
    }
}
