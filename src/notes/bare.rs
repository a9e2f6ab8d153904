//! What single words say by where they stand: a denial that is no phrase of the lexicon, an answer
//! between two marks, a question that nobody answered.

use super::lexicon;
use super::tokens::{Gap, Raw, Told, gap};

/// The question mark.
pub(super) const ASKED: usize = 6;
/// The phrase for one that nobody answered.
pub(super) const LEFT_ASKED: &str = "asked";
/// An arrow, and a slash.
const ARROW: usize = 1;
const SLASH: usize = 13;
/// No unit behind a value is longer.
const UNIT_TO: usize = 4;
/// How far a clause is looked at behind a denial, in words.
const REACH: usize = 8;
/// A shorter word is no participle by its ending alone.
const PARTICIPLE_FROM: usize = 5;

fn word(piece: &Raw) -> Option<&str> {
    match piece {
        Raw::Word(word) => Some(word),
        Raw::Mark(_) => None,
    }
}

/// An arrow between two values joins them: "300 -> 1200 ms" is what was done, and points at no result.
pub(super) fn join_values(raw: &mut [Raw]) {
    let digit = |piece: Option<&Raw>| {
        piece
            .and_then(word)
            .is_some_and(|word| word.starts_with(|c: char| c.is_ascii_digit()))
    };
    for at in 1..raw.len() {
        if !matches!(raw[at], Raw::Mark(ARROW)) || !digit(raw.get(at + 1)) {
            continue;
        }
        let unit = word(&raw[at - 1]).is_some_and(|word| word.len() <= UNIT_TO);
        let behind_unit = unit && at.checked_sub(2).is_some_and(|two| digit(raw.get(two)));
        if digit(raw.get(at - 1)) || behind_unit {
            raw[at] = Raw::Mark(SLASH);
        }
    }
}

/// Whether a question mark ends the note or stands twice: nobody answered.
pub(super) fn left_asked(raw: &[Raw], at: usize) -> bool {
    let next = raw.get(at + 1..).unwrap_or_default();
    let asked_again = matches!(next.first(), Some(Raw::Mark(ASKED)));
    asked_again || next.iter().all(|piece| word(piece).is_none())
}

/// What a word says that stands alone between two marks: ": yes!".
pub(super) fn alone(raw: &[Raw], at: usize) -> Option<Told> {
    let own = word(raw.get(at)?)?;
    let before = at.checked_sub(1).map(|before| &raw[before]);
    let first = before.is_some_and(|piece| word(piece).is_none());
    let last = raw.get(at + 1).is_none_or(|piece| word(piece).is_none());
    if !first || !last {
        return None;
    }
    if lexicon::ALONE_RESOLVED.contains(&own) {
        return Some(Told::Resolved);
    }
    lexicon::ALONE_NO_CHANGE
        .contains(&own)
        .then_some(Told::NoChange)
}

/// How many words from here on are a phrase that tells no result though its words would.
pub(super) fn neutral(raw: &[Raw], at: usize) -> Option<usize> {
    lexicon::NEUTRAL.iter().find_map(|phrase| {
        let mut words = phrase.split(' ').enumerate();
        let all = words.all(|(i, own)| raw.get(at + i).and_then(word) == Some(own));
        all.then(|| phrase.split(' ').count())
    })
}

/// Whether a denial says that something was not done or not asked for: "no new flap", "not opened".
/// Elsewhere it tells a result: "new flap: no".
pub(super) fn not_done(raw: &[Raw], at: usize) -> bool {
    let ahead: Vec<&str> = raw[at + 1..].iter().map_while(word).take(REACH).collect();
    let Some(next) = ahead.first() else {
        return false;
    };
    let passes = lexicon::BEFORE_PARTICIPLE.contains(next);
    let done = participle(next) || passes && ahead.get(1).is_some_and(|word| participle(word));
    let before = at.checked_sub(1).map(|before| &raw[before]);
    let begins = before.is_none_or(|piece| word(piece).is_none());
    // "No rewiring of phases."
    let ended =
        before.is_none_or(|piece| matches!(piece, Raw::Mark(mark) if gap(*mark) == Gap::Ends));
    let gerund = ended && next.chars().count() > PARTICIPLE_FROM && next.ends_with("ing");
    let another = begins && lexicon::ANOTHER.contains(next) || gerund;
    // Behind a colon or a comma "no" may well be the result.
    let pointed = matches!(before, Some(Raw::Mark(mark)) if gap(*mark) == Gap::Points);
    let asked_for = ahead.iter().any(|word| lexicon::ASKED_FOR.contains(word));
    done || another || asked_for && !pointed
}

/// A past participle by its ending, in English and German.
fn participle(word: &str) -> bool {
    if lexicon::PARTICIPLES.contains(&word) {
        return true;
    }
    let german = lexicon::GERMAN_PARTICIPLES
        .iter()
        .any(|begin| word.starts_with(begin))
        && (word.ends_with('t') || word.ends_with("en"));
    word.chars().count() >= PARTICIPLE_FROM && (word.ends_with("ed") || german)
}
