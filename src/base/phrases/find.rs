//! Where the phrases of a book stand in a text.

use super::{Book, GAP, Phrase};
use crate::base::negation::Clauses;
use crate::base::spelling::Vocabulary;
use crate::base::text::Analyzer;
use std::ops::Range;

/// Beyond this many places of one part in one sentence none is looked at: nobody says it so often.
const MOST: usize = 24;

/// How many words apart the parts of a harmless phrase begin at most.
const NEAR: usize = 12;

/// A text with the places of every alternative of a book.
#[derive(Debug)]
pub struct Reading<'a> {
    clauses: &'a Clauses,
    /// By slot of the book.
    places: Vec<Vec<Range<usize>>>,
}

/// How a phrase stands in a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// It does not.
    Nowhere,
    /// Only so that a word of it is denied, or that it is no fact; as it was said, with what denies it.
    Denied(String),
    /// With no word of it denied; as it was said.
    Said(String),
}

impl Book {
    /// Finds all alternatives in a text.
    #[must_use]
    pub fn read<'a>(
        &self,
        clauses: &'a Clauses,
        analyzer: &Analyzer,
        known: &Vocabulary,
    ) -> Reading<'a> {
        let words = &clauses.words;
        let forms: Vec<Vec<usize>> = words
            .iter()
            .map(|w| self.forms_of(w, analyzer, known))
            .collect();
        let mut places: Vec<Vec<Range<usize>>> = vec![Vec::new(); self.slots.len()];
        for (at, met) in forms.iter().enumerate() {
            for form in met {
                for (slot, alternative) in &self.begun[*form] {
                    let wanted = &self.slots[*slot][*alternative];
                    let stands = forms.len() >= at + wanted.len()
                        && wanted
                            .iter()
                            .zip(&forms[at..])
                            .all(|(w, met)| met.contains(w));
                    let place = at..at + wanted.len();
                    if stands && !places[*slot].contains(&place) {
                        places[*slot].push(place);
                    }
                }
            }
        }
        Reading { clauses, places }
    }
}

impl Reading<'_> {
    /// The words that a phrase covers wherever it stands, denied or not, are marked in `taken`. Here
    /// its words stand side by side, and its parts near each other: what takes a danger out of the
    /// text must be said as written.
    pub fn take(&self, phrase: &Phrase, taken: &mut [bool]) {
        if !self.stands(phrase) {
            return;
        }
        let free = vec![false; taken.len()];
        for sentence in &self.clauses.sentences {
            let parts = self.parts(phrase, sentence, &free, 0);
            let near = |way: &[usize], other: &[Vec<usize>]| {
                other.iter().any(|o| o[0].abs_diff(way[0]) <= NEAR)
            };
            for part in &parts {
                for way in part {
                    if parts.iter().all(|other| near(way, other)) {
                        way.iter().for_each(|at| taken[*at] = true);
                    }
                }
            }
        }
    }

    /// Looks for a phrase outside of the words that are `taken`.
    #[must_use]
    pub fn find(&self, phrase: &Phrase, taken: &[bool]) -> Found {
        self.find_fact(phrase, taken, &|_| true)
    }

    /// The same, believing only what is a fact by the places of its words.
    #[must_use]
    pub fn find_fact(
        &self,
        phrase: &Phrase,
        taken: &[bool],
        is_fact: &dyn Fn(&[usize]) -> bool,
    ) -> Found {
        let mut found = Found::Nowhere;
        if !self.stands(phrase) {
            return found;
        }
        for sentence in &self.clauses.sentences {
            let parts = self.parts(phrase, sentence, taken, GAP);
            let fact = |chosen: &[usize]| !phrase.asks && is_fact(chosen);
            let judge = |chosen: &[usize]| {
                if phrase.alone && !self.clauses.states_only(chosen) {
                    Found::Nowhere
                } else {
                    self.judge(chosen, &fact)
                }
            };
            match choose(&parts, &judge, &mut Vec::new()) {
                Found::Nowhere => {}
                Found::Denied(words) => found = Found::Denied(words),
                said @ Found::Said(_) => return said,
            }
        }
        found
    }

    /// Whether each of its places has a word somewhere; hardly any phrase has.
    fn stands(&self, phrase: &Phrase) -> bool {
        let somewhere = |slot: &usize| !self.places[*slot].is_empty();
        phrase.parts.iter().flatten().all(somewhere)
    }

    /// For each part the ways it stands in a sentence, as places of its words.
    fn parts(
        &self,
        phrase: &Phrase,
        sentence: &Range<usize>,
        taken: &[bool],
        gap: usize,
    ) -> Vec<Vec<Vec<usize>>> {
        let mut parts = Vec::new();
        for slots in &phrase.parts {
            let mut ways = Vec::new();
            self.follow(
                slots,
                sentence.clone(),
                (taken, gap),
                &mut Vec::new(),
                &mut ways,
            );
            let nowhere = ways.is_empty();
            parts.push(ways);
            if nowhere {
                break;
            }
        }
        parts
    }

    fn follow(
        &self,
        slots: &[usize],
        window: Range<usize>,
        (taken, gap): (&[bool], usize),
        path: &mut Vec<usize>,
        ways: &mut Vec<Vec<usize>>,
    ) {
        let Some((slot, rest)) = slots.split_first() else {
            ways.push(path.clone());
            return;
        };
        let end = self.sentence_end(window.start);
        for place in &self.places[*slot] {
            let fits = window.contains(&place.start)
                && place.end <= end
                && !taken[place.clone()].contains(&true);
            if !fits || ways.len() >= MOST {
                continue;
            }
            let before = path.len();
            path.extend(place.clone());
            let next = place.end..(place.end + gap + 1).min(self.piece_end(place.end, end));
            self.follow(rest, next, (taken, gap), path, ways);
            path.truncate(before);
        }
    }

    /// A sequence does not run over punctuation.
    fn piece_end(&self, from: usize, end: usize) -> usize {
        (from..end)
            .find(|at| self.clauses.parted[*at])
            .unwrap_or(end)
    }

    fn sentence_end(&self, at: usize) -> usize {
        let sentences = &self.clauses.sentences;
        let next = sentences.partition_point(|s| s.end <= at);
        sentences
            .get(next)
            .map_or(self.clauses.words.len(), |s| s.end)
    }

    /// A denial that is itself a word of the phrase does not deny the phrase: "so hot, can't touch".
    fn judge(&self, chosen: &[usize], is_fact: &dyn Fn(&[usize]) -> bool) -> Found {
        let mut places = chosen.to_vec();
        let deniers = chosen.iter().flat_map(|at| &self.clauses.denied_by[*at]);
        places.extend(deniers.filter(|by| !chosen.contains(by)));
        let denied = places.len() > chosen.len();
        places.sort_unstable();
        places.dedup();
        if denied || !is_fact(chosen) {
            Found::Denied(self.quoted(&places))
        } else {
            Found::Said(self.quoted(&places))
        }
    }

    /// The words at these places, with dots where others stand between them.
    fn quoted(&self, places: &[usize]) -> String {
        let mut words = String::new();
        for (nth, at) in places.iter().enumerate() {
            if nth > 0 {
                let next = places[nth - 1] + 1 == *at;
                words.push_str(if next { " " } else { " … " });
            }
            words.push_str(&self.clauses.words[*at]);
        }
        words
    }
}

/// Goes through the combinations of the parts until one is said.
fn choose(
    parts: &[Vec<Vec<usize>>],
    judge: &dyn Fn(&[usize]) -> Found,
    chosen: &mut Vec<usize>,
) -> Found {
    let Some((part, rest)) = parts.split_first() else {
        return judge(chosen);
    };
    let mut best = Found::Nowhere;
    for way in part {
        let before = chosen.len();
        chosen.extend(way);
        let found = choose(rest, judge, chosen);
        chosen.truncate(before);
        match found {
            said @ Found::Said(_) => return said,
            Found::Denied(words) => best = Found::Denied(words),
            Found::Nowhere => {}
        }
    }
    best
}
