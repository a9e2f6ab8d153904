//! What an agent says to the tool and not about the device. A line is one of these only as a whole.

use super::answers;

/// What a line asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verb {
    NoChange,
    Fixed,
    FixedElse,
    CouldNot,
    NoDanger,
    Undo,
    HandOn,
    Drop,
    Close,
    More,
    Again,
    Help,
    Next,
    Leave,
}

/// Phrases of folded words.
#[rustfmt::skip]
const PHRASES: &[(Verb, &[&str])] = &[
    (Verb::NoChange, &["no change", "nochange", "no difference", "no effect", "no luck", "same", "same again",
        "still the same", "did not help", "didn t help", "didnt help", "not fixed", "still broken"]),
    (Verb::Fixed, &["fixed", "fixed it", "that fixed it", "this fixed it", "that did it", "solved", "resolved",
        "works", "works now", "it works", "it works now", "works again", "ok now"]),
    (Verb::FixedElse, &["something else fixed it", "fixed by something else", "other fixed it", "fixed otherwise"]),
    (Verb::CouldNot, &["could not", "couldn t", "couldnt", "could not be done", "could not do it", "cannot",
        "can t", "cannot be done", "cannot do it", "not possible", "skip", "skip it"]),
    (Verb::NoDanger, &["no danger", "not danger", "not a danger", "no such danger", "does not apply",
        "it does not apply", "that does not apply"]),
    (Verb::Undo, &["undo", "undo that", "take that back", "back"]),
    (Verb::HandOn, &["hand on", "hand it on", "handing on", "hand over"]),
    (Verb::Drop, &["drop", "drop it", "caller gone", "hung up", "caller hung up", "gave up"]),
    (Verb::Close, &["close", "close it", "end"]),
    (Verb::More, &["more", "more fixes", "all fixes"]),
    (Verb::Again, &["again", "show again"]),
    (Verb::Help, &["help"]),
    (Verb::Next, &["next", "next call", "new call"]),
    (Verb::Leave, &["leave", "quit", "exit", "bye"]),
];

/// Lines that are said to be polite or to win time and tell nothing of the case.
#[rustfmt::skip]
const COURTESY: &[&str] = &["ok", "okay", "thanks", "thank you", "many thanks", "hello", "hi", "good morning",
    "good afternoon", "wait", "wait a moment", "one moment", "a moment", "hold on", "just a second", "hm", "hmm", "um",
    "maybe", "perhaps", "right", "alright", "all right", "sure", "please", "sorry", "danke", "hallo", "gracias", "hola"];

/// Whether a line of these words tells nothing.
pub(super) fn is_courtesy(words: &str) -> bool {
    COURTESY.contains(&words)
}

/// Whether these words say that something is so.
pub(super) fn is_yes(words: &str) -> bool {
    const SO: &[&str] = &[
        "it is",
        "it is so",
        "yes it is",
        "yes it is so",
        "yes danger",
        "is danger",
    ];
    answers::is_yes(words) || SO.contains(&words)
}

/// What a line of these words asks for, as a whole.
pub(super) fn verb(words: &str) -> Option<Verb> {
    PHRASES
        .iter()
        .find(|(_, phrases)| phrases.contains(&words))
        .map(|(verb, _)| *verb)
}

/// A verb with the number of a fix before or behind it: `no change 2`, `2 fixed`.
pub(super) fn verb_with_number(words: &[String]) -> Option<(Verb, usize)> {
    let number = |word: &String| word.parse().ok();
    let (last, first) = (words.split_last()?, words.split_first()?);
    let behind = || Some((verb(&last.1.join(" "))?, number(last.0)?));
    let before = || Some((verb(&first.1.join(" "))?, number(first.0)?));
    behind().or_else(before)
}

/// The number of a line that is one: `2`, `try 2`, `fix 2`.
pub(super) fn number(words: &[String]) -> Option<usize> {
    match words {
        [only] => only.parse().ok(),
        [what, number] if ["try", "fix", "show", "take"].contains(&what.as_str()) => {
            number.parse().ok()
        }
        _ => None,
    }
}

/// Takes "12 min" off the end of a line's words.
pub(super) fn minutes(words: &mut Vec<String>) -> Option<f64> {
    const UNITS: &[&str] = &["min", "mins", "minute", "minutes"];
    const MOST: f64 = 10_000.0;
    let last = words.last()?;
    let (number, used) = match UNITS.iter().find_map(|unit| last.strip_suffix(unit))? {
        "" => (words.get(words.len().checked_sub(2)?)?.as_str(), 2),
        joined => (joined, 1),
    };
    let minutes: f64 = number.parse().ok()?;
    if !(0.0..=MOST).contains(&minutes) {
        return None;
    }
    words.truncate(words.len() - used);
    if words.last().is_some_and(|w| w == "took") {
        words.pop();
    }
    Some(minutes)
}

/// What can be said, with what it does: the help.
pub const HELP: &[(&str, &str)] = &[
    (
        "words",
        "what the caller says; every line refines the answer",
    ),
    ("K31", "a fault code, alone or among words"),
    ("status lamp red slow", "an indicator and its state"),
    ("post-22, firmware 3.0.1", "the device, its firmware"),
    (
        "for caller",
        "who does the work; only what that role may do is proposed",
    ),
    ("1", "take fix 1 up and show its steps"),
    (
        "yes",
        "answer the check that was asked; or: trips-empty yes",
    ),
    (
        "no change",
        "the fix at hand did nothing; or: no change 2, took 12 min",
    ),
    (
        "fixed",
        "the fix at hand ended it; or: fixed 2; something else fixed it",
    ),
    (
        "could not",
        "the fix at hand, or the check asked, cannot be done",
    ),
    (
        "no danger",
        "somebody on site says that the danger does not apply",
    ),
    (
        "yes, yes 1",
        "to ASK FIRST: the danger is so; the call stops",
    ),
    ("more, again", "more fixes; the same state again"),
    ("hand on, drop", "end without a fix; close asks how"),
    ("undo", "take the last line back, a close too"),
    (
        "remark: TEXT",
        "leave a remark: this step, this article is wrong",
    ),
    ("note: TEXT", "a note for the ticket"),
    ("ref 88231", "the case's id in your own system"),
    (
        "site: TEXT",
        "what tells the site; kept as a digest, to find earlier calls",
    ),
    ("said: TEXT", "the caller's words, whatever they look like"),
    ("next, leave", "keep this case open; begin another, or end"),
    (
        "go on, take back ID",
        "go on with an open case; open a closed one again",
    ),
];
