//! A note cut into words, marks, and what tells a result.
//!
//! Words go through the text analysis like all others. Phrases of the [`lexicon`] become one token
//! each before that, the longest first. A denial shortly before a word of success turns it ("not
//! fixed"), unless the phrase says so itself.

use super::{bare, lexicon};
use crate::base::text::{Analyzer, fold};
use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

/// Letters of a note that are read: what was pasted in full still has its beginning read.
const MOST_LETTERS: usize = 6_000;
/// Tokens of a note that are read.
const MOST_TOKENS: usize = 400;
/// How many words before a word of success may deny it.
const DENIED_FROM: usize = 2;

/// What a result says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Told {
    Resolved = 0,
    NoChange = 1,
    NotPossible = 2,
    /// Planned, advised, supposed or long ago.
    SpokenOf = 3,
}

/// The marks that part words, by number; a numbered line's `1)` is one.
pub(super) const MARKS: usize = 16;

/// What parts a token from the next one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Gap {
    /// No mark.
    Nothing = 0,
    /// A mark that goes on: a comma, a bracket, "and".
    Joins = 1,
    /// A mark that points at what follows: a colon, an arrow, a dash, a question mark.
    Points = 2,
    /// The end of a sentence or a line.
    Ends = 3,
}
pub(super) const GAPS: usize = 4;

/// Whether a mark parts no phrase: quotation marks, "+" and "/".
pub(super) fn joins_words(mark: usize) -> bool {
    matches!(mark, 10 | 12 | 13)
}

/// What a mark leaves behind it.
pub(super) fn gap(mark: usize) -> Gap {
    match mark {
        1 | 5 | 6 | 11 | 14 => Gap::Points,
        3 | 8 | 9 | 10 | 12 | 13 => Gap::Joins,
        _ => Gap::Ends,
    }
}

/// One piece of a note.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Token {
    /// A term.
    Word(String),
    /// A mark, by its number.
    Mark(usize),
    /// A phrase of the lexicon.
    Cue(Told, String),
}

/// Corrects a slip of the pen: gives the known word for an unknown one.
pub(super) type Correct<'a> = &'a dyn Fn(&str) -> Option<String>;

/// A piece before the text analysis.
pub(super) enum Raw {
    Word(String),
    Mark(usize),
}

/// Cuts a note.
pub(super) fn tokens(text: &str, analyzer: &Analyzer, correct: Correct<'_>) -> Vec<Token> {
    let mut raw = raw(text, correct);
    bare::join_values(&mut raw);
    let mut out = Vec::new();
    let mut run: Vec<&str> = Vec::new();
    let mut at = 0;
    while at < raw.len() && out.len() < MOST_TOKENS {
        let Raw::Word(word) = &raw[at] else {
            if let Raw::Mark(mark) = raw[at] {
                flush(&mut run, analyzer, &mut out);
                out.push(if mark == bare::ASKED && bare::left_asked(&raw, at) {
                    Token::Cue(Told::SpokenOf, bare::LEFT_ASKED.to_owned())
                } else {
                    Token::Mark(mark)
                });
            }
            at += 1;
            continue;
        };
        if let Some(long) = bare::neutral(&raw, at) {
            run.extend(raw[at..at + long].iter().filter_map(|piece| match piece {
                Raw::Word(word) => Some(word.as_str()),
                Raw::Mark(_) => None,
            }));
            at += long;
        } else if let Some((told, phrase, long)) = result_at(&raw, at) {
            flush(&mut run, analyzer, &mut out);
            out.push(Token::Cue(told, phrase));
            at += long;
        } else {
            run.push(word);
            at += 1;
        }
    }
    flush(&mut run, analyzer, &mut out);
    out.truncate(MOST_TOKENS);
    out
}

fn flush(run: &mut Vec<&str>, analyzer: &Analyzer, out: &mut Vec<Token>) {
    if !run.is_empty() {
        out.extend(analyzer.terms(&run.join(" ")).into_iter().map(Token::Word));
        run.clear();
    }
}

/// The phrase that tells a result here, and how many words it takes.
fn result_at(raw: &[Raw], at: usize) -> Option<(Told, String, usize)> {
    if let (Some(told), Raw::Word(word)) = (bare::alone(raw, at), &raw[at]) {
        return Some((told, word.clone(), 1));
    }
    let (told, words) = phrase_at(raw, at)?;
    let denies = words.len() == 1 && LEXICON.deny.contains(words[0].as_str());
    if denies && bare::not_done(raw, at) {
        return Some((Told::SpokenOf, "not done".to_owned(), 1));
    }
    let told = match told {
        Told::Resolved if denied(raw, at) => Told::NoChange,
        _ => told,
    };
    Some((told, words.join(" "), words.len()))
}

fn phrase_at(raw: &[Raw], at: usize) -> Option<(Told, &'static [String])> {
    let Raw::Word(first) = &raw[at] else {
        return None;
    };
    let found = LEXICON.phrases.get(first.as_str())?;
    let fits = |words: &[String]| {
        words
            .iter()
            .enumerate()
            .all(|(i, word)| matches!(raw.get(at + i), Some(Raw::Word(written)) if written == word))
    };
    let (told, words) = found.iter().find(|(_, words)| fits(words))?;
    Some((*told, words))
}

fn denied(raw: &[Raw], at: usize) -> bool {
    raw[..at]
        .iter()
        .rev()
        .take(DENIED_FROM)
        .map_while(|piece| match piece {
            Raw::Word(word) => Some(word),
            Raw::Mark(_) => None,
        })
        .any(|word| LEXICON.deny.contains(word.as_str()))
}

struct Lexicon {
    /// By their first word, longest first.
    phrases: HashMap<&'static str, Vec<(Told, Vec<String>)>>,
    deny: HashSet<&'static str>,
    words: HashSet<&'static str>,
}

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| {
    let mut phrases: HashMap<&str, Vec<(Told, Vec<String>)>> = HashMap::new();
    let mut words = HashSet::new();
    for (told, list) in [
        (Told::Resolved, lexicon::RESOLVED),
        (Told::NoChange, lexicon::NO_CHANGE),
        (Told::NotPossible, lexicon::NOT_POSSIBLE),
        (Told::SpokenOf, lexicon::SPOKEN_OF),
    ] {
        for phrase in list {
            words.extend(phrase.split(' '));
            let all: Vec<String> = phrase.split(' ').map(str::to_owned).collect();
            let first = phrase.split(' ').next().unwrap_or(phrase);
            phrases.entry(first).or_default().push((told, all));
        }
    }
    for list in phrases.values_mut() {
        // A stable sort: of the same phrase in two lists the earlier list's counts.
        list.sort_by_key(|(_, words)| std::cmp::Reverse(words.len()));
    }
    Lexicon {
        phrases,
        deny: lexicon::DENY.iter().copied().collect(),
        words,
    }
});

/// Every word of the lexicon.
pub(super) fn lexicon_words() -> impl Iterator<Item = &'static str> {
    LEXICON.words.iter().copied()
}

/// The plain folded words of a text, as slips are looked for among them.
pub(super) fn plain_words(text: &str) -> Vec<String> {
    raw(text, &|_| None)
        .into_iter()
        .filter_map(|piece| match piece {
            Raw::Word(word) => Some(word),
            Raw::Mark(_) => None,
        })
        .collect()
}

fn raw(text: &str, correct: Correct<'_>) -> Vec<Raw> {
    let end = text
        .char_indices()
        .nth(MOST_LETTERS)
        .map_or(text.len(), |(at, _)| at);
    let letters: Vec<char> = fold(&text[..end]).chars().collect();
    let mut out = Vec::new();
    let mut at = 0;
    while at < letters.len() {
        let (piece, length) = piece(&letters, at);
        match piece {
            Some(Raw::Word(word)) => {
                out.push(Raw::Word(correct(&word).unwrap_or(word)));
            }
            Some(mark) => out.push(mark),
            None => {}
        }
        at += length;
    }
    out
}

/// The piece that begins at a letter, and how many letters it takes.
fn piece(letters: &[char], at: usize) -> (Option<Raw>, usize) {
    let c = letters[at];
    let get = |i: usize| letters.get(i).copied().unwrap_or(' ');
    let begins = at == 0 || !letters[at - 1].is_alphanumeric();
    // "n/c", "n/a", "w/o": one word of the lexicon each.
    if begins && get(at + 1) == '/' && get(at + 2).is_alphabetic() && !get(at + 3).is_alphanumeric()
    {
        let short: String = letters[at..at + 3].iter().collect();
        if c == 'n' || short == "w/o" {
            return (Some(Raw::Word(short)), 3);
        }
    }
    if c.is_alphanumeric() {
        let (mut word, length) = word(letters, at);
        if let Some((_, long)) = lexicon::SHORT.iter().find(|(short, _)| *short == word) {
            (*long).clone_into(&mut word);
        }
        let numbered = begins && word.chars().all(|c| c.is_ascii_digit()) && word.len() <= 2;
        if numbered && get(at + length) == ')' {
            return (Some(Raw::Mark(0)), length + 1);
        }
        return (Some(Raw::Word(word)), length);
    }
    if matches!(c, '-' | '=') && get(at + 1) == '>' {
        return (Some(Raw::Mark(1)), 2);
    }
    let inside = !begins && get(at + 1).is_alphanumeric();
    let mark = match c {
        '-' if inside => return (None, 1),
        '→' => 1,
        '.' => 2,
        ',' => 3,
        ';' => 4,
        ':' => 5,
        '?' => 6,
        '!' => 7,
        '(' => 8,
        ')' => 9,
        '"' | '“' | '”' | '„' => 10,
        '=' => 11,
        '+' | '&' => 12,
        '/' | '|' => 13,
        '-' | '–' | '—' => 14,
        '\n' => 15,
        _ => return (None, 1),
    };
    (Some(Raw::Mark(mark)), 1)
}

/// A run of letters and digits; a point or hyphen between digits stays inside, "didn't" is one.
fn word(letters: &[char], from: usize) -> (String, usize) {
    let get = |i: usize| letters.get(i).copied().unwrap_or(' ');
    let mut word = String::new();
    let mut at = from;
    loop {
        let c = get(at);
        let joins = matches!(c, '.' | '-')
            && letters[at - 1].is_ascii_digit()
            && get(at + 1).is_ascii_digit();
        let shortened = matches!(c, '\'' | '’' | '`' | '´')
            && word.ends_with('n')
            && get(at + 1) == 't'
            && !get(at + 2).is_alphanumeric();
        if c.is_alphanumeric() || joins {
            word.push(c);
        } else if !shortened || word.is_empty() {
            return (word, at - from);
        }
        at += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> String {
        let all = tokens(text, &Analyzer::default(), &|_| None);
        let shown: Vec<String> = all
            .iter()
            .map(|token| match token {
                Token::Word(word) => word.clone(),
                Token::Mark(mark) => format!("<{mark}>"),
                Token::Cue(told, words) => format!("[{told:?}: {words}]"),
            })
            .collect();
        shown.join(" ")
    }

    #[test]
    fn a_note_is_cut_into_words_marks_and_results() {
        for (text, expected) in [
            (
                "Swapped lead, no joy; resealed gland and all good.",
                "swap lead <3> [NoChange: no joy] <4> reseal gland and [Resolved: all good] <2>",
            ),
            ("1) restarted n/c", "<0> restart [NoChange: n/c]"),
            ("it didn't work", "it [NoChange: didnt work]"),
            ("still not fixed", "[NoChange: still not] [NoChange: fixed]"),
            ("no longer trips", "[Resolved: no longer] trip"),
            ("half-open - stuck", "half open <14> [NoChange: stuck]"),
            ("geht wieder -> danke", "[Resolved: geht wieder] <1> dank"),
            (
                "sin cambio\nlisto",
                "[NoChange: sin cambio] <15> [Resolved: listo]",
            ),
            (
                "fw 3.0.1-2 w/o success",
                "fw 3.0.1-2 [NoChange: w/o success]",
            ),
            ("'n' n/", "n n <13>"),
            (
                "no new flap, none opened yet - no",
                "[SpokenOf: not done] new flap <3> [NoChange: none] open yet <14> [NoChange: no]",
            ),
            ("FI nicht getauscht", "fi [SpokenOf: nicht getauscht]"),
            (
                "ok. No rewiring",
                "[Resolved: ok] <2> [SpokenOf: not done] rewir",
            ),
            (
                "both at the same time: out!",
                "both at the same time <5> [Resolved: out] <7>",
            ),
            ("new base??", "new base [SpokenOf: asked] [SpokenOf: asked]"),
            ("", ""),
        ] {
            assert_eq!(shown(text), expected, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_cut(text in "\\PC{0,300}") {
            assert!(tokens(&text, &Analyzer::default(), &|_| None).len() <= MOST_TOKENS);
        }
    }
}
