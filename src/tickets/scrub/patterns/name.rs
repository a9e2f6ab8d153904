//! Names of people, by what stands before them: introductions, titles, closings.
//!
//! A capital letter alone proves nothing, so words of the trade and the calendar are excepted.

use super::{groups, merged};
use regex::Regex;
use std::ops::Range;
use std::sync::LazyLock;

const NAME: &str = r"\p{Lu}(?:['’]\p{Lu})?\p{Ll}[\p{L}'’]*(?:-\p{Lu}\p{L}+)*";
const PARTICLE: &str = r"(?:von|van|vom|zu|de|der|den|di|da|la|le|del|dos)";

fn names(first_words: &str) -> String {
    format!(
        r"{first_words}(?P<x>(?:{PARTICLE}\s){{0,2}}{NAME}(?:[ ](?:{PARTICLE}[ ]){{0,2}}{NAME}){{0,2}})"
    )
}

// `my name is Anna Lee`: sure, whatever follows.
pattern!(
    NAME_SAID,
    &names(
        r"\b(?i:my\ name\ is|my\ name[’']s|name\ is|mein\ name\ ist|ich\ hei(?:ß|ss)e|je\ m[’']appelle|me\ llamo|mi\ chiamo)[ :]\s?"
    )
);
// The same in small letters: one word, two at most.
pattern!(
    NAME_SAID_SMALL,
    r"(?i)\b(?:my name is|mein name ist|ich heiße|je m[’']appelle|me llamo|mi chiamo)\s(?P<x>[\p{L}'’-]+)"
);
// `this is Anna`: only in capitals, and no word of the trade or the calendar.
pattern!(
    INTRODUCED,
    &names(
        r"\b(?i:this\ is|here\ is|it[’']s|i\ am|i[’']m|hier\ ist|hier\ spricht|ich\ bin|spoke\ (?:to|with)|speaking\ (?:to|with)|talked\ to|ask\ for|asked\ for|called\ by|call\ from|signed\ by|caller|customer|contact|kunde|kundin|anrufer(?:in)?|ansprechpartner(?:in)?)\s?:?\s"
    )
);
pattern!(
    TITLED,
    &names(
        r"\b(?:Mr|Mrs|Ms|Miss|Mx|Dr|Prof|Herrn?|Frau|Monsieur|Madame|Mme|Mlle|Señora?|Signora?|Sig|Sr|Sra)\b\.?\s(?:(?:Dr|Prof)\.?\s)?"
    )
);
pattern!(
    TITLED_SMALL,
    r"(?i)\b(?:mr|mrs)\b\.?\s(?P<x>[\p{L}'’-]{2,})"
);
// A closing, and the line ends with the name or goes on in a new sentence.
pattern!(
    CLOSING,
    &format!(
        r"(?:{})(?:[ ]*(?:[.,;/|\r\n]|$))",
        names(
            r"(?i:\b(?:(?:kind|best|warm|many)\s+)?(?:regards|wishes)|\bsincerely(?:\s+yours)?|\byours(?:\s+(?:sincerely|faithfully))?|\b(?:many\s+)?thanks|\bthank\s+you|\bcheers|\bthx|\bbr|\bmfg|\b(?:mit\s+)?(?:freundlichen|besten|vielen|viele|beste|liebe)\s+gr(?:ü|ue)(?:ß|ss)en?|\bgru(?:ß|ss)|\bcordialement|\bsaludos)\s*[,.!–-]?\s+"
        )
    )
);

/// Capitalised words that follow "this is" and its like without being a name.
const NO_NAME: &[&str] = &[
    "a",
    "an",
    "the",
    "not",
    "now",
    "no",
    "still",
    "only",
    "just",
    "ok",
    "okay",
    "all",
    "very",
    "urgent",
    "after",
    "also",
    "always",
    "another",
    "again",
    "back",
    "both",
    "customer",
    "caller",
    "done",
    "down",
    "each",
    "every",
    "fine",
    "fixed",
    "for",
    "from",
    "happening",
    "he",
    "her",
    "his",
    "how",
    "if",
    "in",
    "it",
    "its",
    "like",
    "new",
    "normal",
    "off",
    "old",
    "on",
    "one",
    "our",
    "out",
    "please",
    "post",
    "really",
    "she",
    "showing",
    "since",
    "site",
    "so",
    "something",
    "thanks",
    "that",
    "their",
    "there",
    "they",
    "this",
    "to",
    "too",
    "trips",
    "two",
    "under",
    "unit",
    "up",
    "we",
    "what",
    "when",
    "where",
    "why",
    "with",
    "working",
    "yes",
    "you",
    "your",
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
    "modbus",
    "ethernet",
    "firmware",
    "status",
    "error",
    "fault",
    "code",
    "breaker",
    "contactor",
    "meter",
    "controller",
    "restart",
    "restarted",
    "replaced",
    "resealed",
    "checked",
    "closed",
    "resolved",
    "swapped",
    "reset",
    "brindlecott",
    "das",
    "der",
    "die",
    "ein",
    "eine",
    "kein",
    "nicht",
    "immer",
    "noch",
    "wieder",
    "says",
    "dr",
    "prof",
    "mr",
    "mrs",
    "ms",
    "miss",
    "herr",
    "herrn",
    "frau",
    "said",
    "reports",
    "reported",
    "has",
    "had",
    "wants",
    "is",
    "was",
    "will",
    "can",
    "cannot",
    "number",
];

/// Names that follow one of the usual openings.
pub(super) fn name(text: &str) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for pattern in [
        &*NAME_SAID,
        &*NAME_SAID_SMALL,
        &*INTRODUCED,
        &*TITLED,
        &*TITLED_SMALL,
        &*CLOSING,
    ] {
        found.extend(
            groups(pattern, text)
                .into_iter()
                .filter_map(|r| named(text, r)),
        );
    }
    merged(found)
}

/// The part of a match that is a name: up to the first word that never is one. The small words
/// within a name (`von der Heide`) are left alone.
fn named(text: &str, range: Range<usize>) -> Option<Range<usize>> {
    let mut end = range.start;
    for word in text[range.clone()].split_inclusive(' ') {
        let bare = word.trim().to_lowercase();
        let joins = word.starts_with(char::is_lowercase) && range.len() > word.len();
        if !joins && NO_NAME.contains(&bare.as_str()) {
            break;
        }
        end += word.len();
    }
    let kept = text[range.start..end].trim_end();
    (!kept.is_empty()).then(|| range.start..range.start + kept.len())
}
