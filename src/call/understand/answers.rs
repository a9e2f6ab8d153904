//! A bare answer to a check.

use crate::articles::Check;
use crate::base::text::split;

/// Other words for the answers that most checks have, yes first.
#[rustfmt::skip]
const ALIKE: &[(&str, &[&str])] = &[
    ("yes", &["y", "yeah", "yep", "yup", "ja", "si", "correct", "true"]),
    ("no", &["n", "nope", "nein", "false"]),
    ("not known", &["unknown", "dont know", "don t know", "does not know", "dunno", "no idea", "not sure"]),
];

/// Words before an answer that mean nothing.
const BEFORE: &[&str] = &["it", "its", "s", "is", "are", "the", "they", "that"];

/// The answer that these words are, in the check's own spelling.
pub(super) fn exact(check: &Check, words: &[String]) -> Option<String> {
    let same = |text: &str| {
        let found = check.answers.iter().find(|a| split(a).join(" ") == text);
        found.cloned()
    };
    let bare = words.join(" ");
    let alike = || {
        let (plain, _) = ALIKE
            .iter()
            .find(|(_, others)| others.contains(&bare.as_str()))?;
        same(plain)
    };
    same(&bare)
        .or_else(|| same(&without_beginning(words)))
        .or_else(alike)
}

/// The only answer that begins with these words.
pub(super) fn begun(check: &Check, words: &[String]) -> Option<String> {
    let short = without_beginning(words);
    let mut found = check
        .answers
        .iter()
        .filter(|a| !short.is_empty() && split(a).join(" ").starts_with(&format!("{short} ")));
    let first = found.next()?;
    found.next().is_none().then(|| first.clone())
}

/// Whether these words answer something and say nothing by themselves.
pub(super) fn is_bare(words: &str) -> bool {
    let known = |(plain, others): &(&str, &[&str])| *plain == words || others.contains(&words);
    ALIKE.iter().any(known)
}

/// Whether these words are a bare yes.
pub(super) fn is_yes(words: &str) -> bool {
    let (plain, others) = ALIKE[0];
    words == plain || others.contains(&words)
}

fn without_beginning(words: &[String]) -> String {
    let skip = words
        .iter()
        .take_while(|word| BEFORE.contains(&word.as_str()))
        .count();
    words[skip..].join(" ")
}
