//! How each kind of personal data looks: one function for each, in the order they are applied.
//!
//! A function gets text without placeholders and gives the byte ranges to take out, in order. Mail
//! comes first, for a name may stand in it; telephone numbers before addresses, whose house numbers
//! they would swallow.

use super::Kind;
use regex::Regex;
use std::ops::Range;
use std::sync::LazyLock;

/// Finds personal data of one kind.
pub(super) type Finder = fn(&str) -> Vec<Range<usize>>;

/// All finders with their kind.
pub(super) const FINDERS: &[(Kind, Finder)] = &[
    (Kind::Mail, mail),
    (Kind::Serial, serial),
    (Kind::Phone, phone),
    (Kind::Address, address),
    (Kind::Name, name),
];

macro_rules! pattern {
    ($name:ident, $pattern:expr) => {
        static $name: LazyLock<Regex> =
            LazyLock::new(|| Regex::new($pattern).expect("a fixed pattern, tried by the tests"));
    };
}

/// The range of the group `x` in each match.
fn groups(pattern: &Regex, text: &str) -> Vec<Range<usize>> {
    pattern
        .captures_iter(text)
        .filter_map(|found| found.name("x").map(|m| m.range()))
        .collect()
}

// ---------------------------------------------------------------------------------------- mail

pattern!(
    MAIL,
    r"(?i)[\p{L}\d._%+-]+(?:@|\s?\(at\)\s?|\s?\[at\]\s?)[\p{L}\d-]+(?:\.[\p{L}\d-]+)*\.\p{L}{2,}"
);

fn mail(text: &str) -> Vec<Range<usize>> {
    MAIL.find_iter(text).map(|m| m.range()).collect()
}

// -------------------------------------------------------------------------------------- serial

// Said to be one, and with at least one digit; the knowledge base's own pattern comes on top.
pattern!(
    SERIAL,
    r"(?ix)\b(?:serial(?:\s*(?:number|num|no\.?|nr\.?|\#))? | s/n | seriennummer | serien-?nr\.?
       | num[ée]ro\ de\ s[ée]rie)
      (?:\s*(?:is|ist|:|=|\#))?\s*(?P<x>[A-Z0-9-]*\d[A-Z0-9-]{3,})"
);

fn serial(text: &str) -> Vec<Range<usize>> {
    groups(&SERIAL, text)
}

// --------------------------------------------------------------------------------------- phone

// A leading + or 00 and 8 to 15 digits in groups.
pattern!(
    INTERNATIONAL,
    r"(?:\+|\b00)\s?[1-9]\d{0,3}(?:[ ./-]?\(?\d{1,6}\)?){2,7}"
);
// A leading 0, as in most of Europe: `0151 2345678`, `(030) 123 45 67`, `020 7946 0958`.
pattern!(
    TRUNK,
    r"(?:\(0\d{1,5}\)|\b0\d{1,5})(?:[ /-]{0,3}\d{2,8}){1,5}"
);
// Three, three and four digits, as in North America.
pattern!(
    NORTH_AMERICAN,
    r"(?:\b1[ .-])?(?:\([2-9]\d{2}\) ?|\b[2-9]\d{2}[ .-])\d{3}[ .-]\d{4}\b"
);
// Anything of six digits and more that is said to be one.
pattern!(
    SAID_TO_BE_PHONE,
    r"(?ix)\b(?:tel(?:ephone|efon)?|phone|mobile|mobil|handy|cell|fax|landline|r[üu]ckruf|call(?:\s?back)?|ring|reach)
       (?:\s(?:me|us|him|her|them|number|no|unter|back|is|on|at)){0,3}\s?[.:]*\s*
       (?P<x>\(?\d[\d\ ()/.-]{4,18}\d)"
);
pattern!(
    DATE,
    r"^\d{1,2}[./-]\d{1,2}[./-](?:\d{4}|\d{2})\b|^\d{4}-\d{2}-\d{2}"
);
pattern!(
    UNIT,
    r"(?ix)^\s?(?:k|m|meg|milli|µ)?-?(?:ohms?|Ω|v|volts?|a|amps?|w|watts?|wh|va|hz|s|sec|seconds?|min|mins|minutes?|h|hours?|m|mm|cm|baud|bps|rpm|bytes?|%|°|kb|mb)\b"
);

fn phone(text: &str) -> Vec<Range<usize>> {
    let plain = [
        (&*INTERNATIONAL, 8..=15),
        (&*TRUNK, 8..=13),
        (&*NORTH_AMERICAN, 10..=11),
    ];
    let mut found: Vec<Range<usize>> = Vec::new();
    for (pattern, digits) in plain {
        let matches = pattern.find_iter(text).map(|m| m.range());
        found.extend(matches.filter(|r| {
            digits.contains(&digits_in(&text[r.clone()]))
                && stands_alone(text, r)
                && no_figure(text, r)
        }));
    }
    let said = groups(&SAID_TO_BE_PHONE, text).into_iter();
    found.extend(said.filter(|r| {
        (6..=15).contains(&digits_in(&text[r.clone()]))
            && stands_alone(text, r)
            && no_figure(text, r)
    }));
    merged(found)
}

fn digits_in(text: &str) -> usize {
    text.chars().filter(char::is_ascii_digit).count()
}

/// Whether a number is not a part of something longer: a version, an address, an id.
fn stands_alone(text: &str, range: &Range<usize>) -> bool {
    let before = text[..range.start].chars().next_back();
    let mut after = text[range.end..].chars();
    let next = after.next();
    let then = after.next();
    let joins = |c: char| c.is_alphanumeric() || c == '_';
    let part_before = before.is_some_and(|c| joins(c) || ".-:/+".contains(c));
    let part_after = next.is_some_and(joins)
        || next.is_some_and(|c| ".-:/".contains(c)) && then.is_some_and(|c| c.is_ascii_digit());
    !part_before && !part_after
}

/// Whether a number is neither a date, nor an address of a network, nor a measured value.
fn no_figure(text: &str, range: &Range<usize>) -> bool {
    let found = &text[range.clone()];
    let dotted = found.matches('.').count() == 3 && !found.contains([' ', '-', '/', '+']);
    !DATE.is_match(found) && !dotted && !UNIT.is_match(&text[range.end..])
}

/// Ranges in order; of those that overlap, one that spans them.
fn merged(mut ranges: Vec<Range<usize>>) -> Vec<Range<usize>> {
    ranges.sort_by_key(|r| (r.start, r.end));
    let mut out: Vec<Range<usize>> = Vec::new();
    for range in ranges {
        match out.last_mut() {
            Some(last) if range.start < last.end => last.end = last.end.max(range.end),
            _ => out.push(range),
        }
    }
    out
}

// ------------------------------------------------------------------------------------- address

const TOWN_AFTER: &str = r"(?:,?\s(?:[A-Z]{1,2}\d[A-Z\d]?\s\d[A-Z]{2}|\d{5}(?:\s\p{Lu}[\p{L}-]+)?|\p{Lu}[\p{L}-]+,?\s(?:[A-Z]{2}\s\d{5}|[A-Z]{1,2}\d[A-Z\d]?\s\d[A-Z]{2})))?";

// A house number, names in capitals, a word for a road.
pattern!(
    ROAD_AFTER,
    &format!(
        r"\b\d{{1,5}}[a-zA-Z]?,?\s(?:\p{{Lu}}[\p{{L}}'’.-]*\s){{1,3}}(?:Street|St|Road|Rd|Avenue|Ave|Lane|Ln|Drive|Dr|Close|Court|Ct|Way|Place|Pl|Square|Sq|Boulevard|Blvd|Terrace|Crescent|Gardens|Grove|Mews|Row)\b\.?{TOWN_AFTER}"
    )
);
// The same typed in small letters, with the words that cannot be anything else.
pattern!(
    ROAD_SMALL,
    r"(?i)\b(?P<x>\d{1,5}[a-z]?\s(?P<w>[\p{L}'’]+)\s(?:(?P<v>[\p{L}'’]+)\s)?(?:street|road|avenue|lane|boulevard|crescent))\b"
);
// German: the road's name, then the number.
pattern!(
    ROAD_BEFORE,
    &format!(
        r"\b(?:(?:\p{{Lu}}[\p{{L}}-]*\s){{0,2}}\p{{Lu}}[\p{{L}}-]*(?:straße|strasse|str\.|weg|gasse|platz|allee|ring|damm|ufer)|(?:\p{{Lu}}[\p{{L}}-]*\s){{1,3}}(?:Straße|Strasse|Str\.|Weg|Gasse|Platz|Allee|Ring|Damm|Ufer))\s\d{{1,4}}\s?[a-z]?\b{TOWN_AFTER}"
    )
);
// French and Spanish: the word, the name, the number on either side.
pattern!(
    RUE,
    r"(?:\b\d{1,4}(?:\s?(?:bis|ter))?,?\s)?\b(?:[Rr]ue|[Aa]venue|[Cc]hemin|[Cc]alle|[Aa]venida|[Vv]ia)\s(?:de\s(?:la\s|l['’])?|du\s|des\s|del\s)?\p{Lu}[\p{L}'’-]+(?:\s\p{Lu}[\p{L}'’-]+)?(?:,?\s\d{1,4}\b)?"
);
pattern!(PO_BOX, r"(?i)\b(?:p\.?\s?o\.?\s?box|postfach)\s\d{1,8}\b");

/// Words that stand before "road" without naming one.
const NO_ROAD: &[&str] = &[
    "a", "an", "the", "this", "that", "on", "off", "in", "from", "by", "of", "down", "to", "at",
    "and", "next", "same", "cars", "posts", "points", "vehicles", "units", "metres", "meters", "m",
    "km", "miles", "minutes", "hours", "lamp", "lamps",
];

fn address(text: &str) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = [&*ROAD_AFTER, &*ROAD_BEFORE, &*PO_BOX]
        .iter()
        .flat_map(|pattern| pattern.find_iter(text).map(|m| m.range()))
        .collect();
    // `via` and `avenue` are words too: without a number they name nobody's door.
    let rue = RUE.find_iter(text).map(|m| m.range());
    found.extend(rue.filter(|r| digits_in(&text[r.clone()]) > 0));
    found.extend(ROAD_SMALL.captures_iter(text).filter_map(|c| {
        let names = ["w", "v"].iter().filter_map(|group| c.name(group));
        let road = names.map(|m| m.as_str().to_lowercase());
        let named = road
            .into_iter()
            .all(|word| !NO_ROAD.contains(&word.as_str()));
        c.name("x").filter(|_| named).map(|m| m.range())
    }));
    merged(found)
}

// ---------------------------------------------------------------------------------------- name

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

fn name(text: &str) -> Vec<Range<usize>> {
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
