//! What a text denies: "no smoke", "kein Rauch", "smoke: none", "if it sparked, but it doesn't".
//!
//! A text is cut into sentences, and these into clauses at punctuation and at words of contrast. A
//! denying word reaches over the few words behind it (after Chapman et al. 2001, who found such a
//! window enough for clinical notes; the width here is ours), along a list, or over what stands
//! before it where it closes the clause; a clause that is an answer reaches over the one before. The
//! rules are in [`scope`](self::scope), [`closing`](self::closing) and [`answer`](self::answer), the words in
//! `lists`. Where a rule is in doubt it does not deny: a danger overlooked is worse than one asked
//! about in vain.

mod answer;
mod closing;
mod lists;
mod scope;
mod statement;

use super::text::fold;
use std::ops::Range;

/// What parts a word from the one before it, weakest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Gap {
    /// A space, a quote, a hyphen.
    Space,
    /// A comma or a bracket.
    Comma,
    /// A slash or a bar.
    Slash,
    /// A colon or an equals sign.
    Colon,
    /// A dash between spaces.
    Dash,
    /// The end of a sentence.
    Stop,
    /// A question mark.
    Question,
}

/// A text in folded words, cut into sentences and clauses, and which words are denied.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clauses {
    /// Folded words in order.
    pub words: Vec<String>,
    /// Sentences as ranges of words; together they cover all words. A sentence of a few words goes
    /// with the one before: who is frightened speaks in pieces.
    pub sentences: Vec<Range<usize>>,
    /// Clauses likewise; each lies in one sentence.
    pub clauses: Vec<Range<usize>>,
    /// For each clause whether it ends with a question mark.
    pub asked: Vec<bool>,
    /// For each word whether punctuation stands before it.
    pub parted: Vec<bool>,
    /// For each word the places of the words that deny it; mostly none.
    pub denied_by: Vec<Vec<usize>>,
}

/// Letters of a text that are read: nobody says more in one breath, a hostile text must not take
/// minutes, and what was pasted in full still has its beginning heard.
const MOST_LETTERS: usize = 6_000;
/// Words of a clause at most: nobody denies over so many, and ten thousand times "no" must not take
/// minutes. Sentences stay whole, so a stop phrase is heard across the cut.
const LONGEST: usize = 100;
/// A sentence of so many words is a piece of the one before.
const FRAGMENT: usize = 3;

impl Clauses {
    /// Cuts and reads a text, no more of it than [`MOST_LETTERS`].
    #[must_use]
    pub fn read(text: &str) -> Self {
        let end = text
            .char_indices()
            .nth(MOST_LETTERS)
            .map_or(text.len(), |(at, _)| at);
        let text = &text[..end];
        let (words, gaps) = tokens(text);
        let mut sentences: Vec<Range<usize>> = Vec::new();
        let (mut clauses, mut asked) = (Vec::new(), Vec::new());
        let (mut sentence, mut clause) = (0, 0);
        for at in 1..=words.len() {
            let gap = gaps[at];
            let contrast = at < words.len()
                && lists::CONTRAST.contains(&words[at].as_str())
                && !scope::denies(&words[at - 1]);
            if gap > Gap::Space || contrast || at - clause == LONGEST {
                clauses.push(clause..at);
                asked.push(gap == Gap::Question);
                clause = at;
            }
            if gap >= Gap::Stop {
                // "Glowing. In the socket. Red."
                match sentences.last_mut() {
                    Some(last) if at - sentence <= FRAGMENT => last.end = at,
                    _ => sentences.push(sentence..at),
                }
                sentence = at;
            }
        }
        let parted = gaps[..words.len()]
            .iter()
            .map(|g| *g > Gap::Space)
            .collect();
        let denied_by = scope::mark(&words, &gaps, &clauses);
        Self {
            words,
            sentences,
            clauses,
            asked,
            parted,
            denied_by,
        }
    }

    /// Whether anything is denied.
    #[must_use]
    pub fn deny(&self) -> bool {
        self.denied_by.iter().any(|by| !by.is_empty())
    }

    /// The words that are not denied, in order, denying words left out.
    #[must_use]
    pub fn affirmed(&self) -> String {
        let kept: Vec<&str> = self
            .words
            .iter()
            .zip(&self.denied_by)
            .filter(|(word, by)| by.is_empty() && !scope::denies(word))
            .map(|(word, _)| word.as_str())
            .collect();
        kept.join(" ")
    }
}

/// Every word list behind the rules, for a face that must judge alike.
#[derive(Clone, Debug)]
pub struct WordLists {
    /// Lists of single words, by name.
    pub single: Vec<(&'static str, &'static [&'static str])>,
    /// Words that deny by their own meaning, some of them several words long.
    pub lexical: &'static [&'static [&'static str]],
}

/// All lists.
#[must_use]
pub fn word_lists() -> WordLists {
    WordLists {
        single: lists::by_name(),
        lexical: lists::LEXICAL,
    }
}

/// Whether a folded word denies by itself.
#[must_use]
pub fn is_denial(word: &str) -> bool {
    scope::denies(word)
}

/// The words of a text, "isn't" as "isnt".
#[must_use]
pub fn plain_words(text: &str) -> Vec<String> {
    tokens(text).0
}

/// Words, and before each (and at the end) what parts it from the one before.
fn tokens(text: &str) -> (Vec<String>, Vec<Gap>) {
    let chars: Vec<char> = fold(text).replace("w/o ", "without ").chars().collect();
    let is = |at: usize, test: fn(char) -> bool| chars.get(at).is_some_and(|c| test(*c));
    let digit = |c: char| c.is_ascii_digit();
    let (mut words, mut gaps) = (Vec::new(), Vec::new());
    let mut word = String::new();
    let mut gap = Gap::Space;
    for (i, &c) in chars.iter().enumerate() {
        let after = |test: fn(char) -> bool| i > 0 && test(chars[i - 1]);
        let inside = c.is_alphanumeric()
            || (matches!(c, '.' | '-' | ',') && after(digit) && is(i + 1, digit));
        if inside {
            if word.is_empty() {
                gaps.push(gap);
                gap = Gap::Space;
            }
            word.push(c);
            continue;
        }
        let shortened = matches!(c, '\'' | '’' | '`' | '´')
            && word.ends_with('n')
            && is(i + 1, |c| c == 't')
            && !is(i + 2, char::is_alphanumeric);
        if shortened {
            continue;
        }
        if !word.is_empty() {
            words.push(std::mem::take(&mut word));
        }
        let spaced = after(char::is_whitespace) || i == 0;
        gap = gap.max(match c {
            '.' if is(i + 1, |c| c == '.') || (i > 0 && chars[i - 1] == '.') => Gap::Comma,
            // "no. 4" is a number; a point inside an abbreviation or an address parts nothing.
            '.' if words.last().is_some_and(|w| w == "no" || w == "nr")
                && chars[i + 1..]
                    .iter()
                    .find(|c| **c != ' ')
                    .is_some_and(|c| digit(*c)) =>
            {
                Gap::Space
            }
            '.' if is(i + 1, char::is_alphanumeric) => Gap::Space,
            '\n' | ';' | '!' | '.' => Gap::Stop,
            '?' => Gap::Question,
            ',' | '(' | ')' | '…' => Gap::Comma,
            '/' | '|' => Gap::Slash,
            ':' | '=' => Gap::Colon,
            '–' | '—' => Gap::Dash,
            '-' if spaced => Gap::Dash,
            _ => Gap::Space,
        });
    }
    if !word.is_empty() {
        words.push(word);
    }
    gaps.push(gap.max(Gap::Stop));
    (words, gaps)
}

#[cfg(test)]
mod tests;
