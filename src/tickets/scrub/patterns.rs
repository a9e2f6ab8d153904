//! How each kind of personal data looks: one function for each, in the order they are applied.
//!
//! A function gets text without placeholders and gives the byte ranges to take out, in order. Mail
//! comes first, for a name may stand in it; accounts before telephone numbers, which would take groups of
//! their digits, as number plates do; telephone numbers before addresses, whose house numbers they would swallow; postal codes
//! that stand without a street last.

use super::Kind;
use regex::Regex;
use std::ops::Range;
use std::sync::LazyLock;

macro_rules! pattern {
    ($name:ident, $pattern:expr) => {
        static $name: LazyLock<Regex> =
            LazyLock::new(|| Regex::new($pattern).expect("a fixed pattern, tried by the tests"));
    };
}

mod account;
mod address;
mod name;
mod plate;
mod postcode;

use account::account;
use address::address;
use name::name;
use plate::plate;
use postcode::postcode;

/// Finds personal data of one kind.
pub(super) type Finder = fn(&str) -> Vec<Range<usize>>;

/// All finders with their kind.
pub(super) const FINDERS: &[(Kind, Finder)] = &[
    (Kind::Mail, mail),
    (Kind::Account, account),
    (Kind::Serial, serial),
    (Kind::Plate, plate),
    (Kind::Phone, phone),
    (Kind::Address, address),
    (Kind::Address, postcode),
    (Kind::Name, name),
];

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

/// An extension, as it is said in five countries.
const EXTENSION: &str =
    r"(?:,?\s?(?:ext\.?|extension|extensión|x|poste|durchwahl|dw|app\.?)\s?\d{1,5}\b)?";

macro_rules! number {
    ($name:ident, $pattern:expr) => {
        pattern!($name, &format!("(?:{}){EXTENSION}", $pattern));
    };
}

// A leading + or 00 and 8 to 15 digits in groups.
number!(
    INTERNATIONAL,
    r"(?:\+|\b00)\s?[1-9]\d{0,3}(?:\s?[ ./-]?\s?\(?\d{1,6}\)?){2,7}"
);
// A leading 0, as in most of Europe: `0151 2345678`, `(030) 123 45 67`, `020 7946 0958`.
number!(
    TRUNK,
    r"(?:\(0\d{1,5}\)|\b0\d{1,5})(?:[ ./-]{0,3}\d{2,8}){1,5}"
);
// Five pairs, as in France; they look like dates otherwise.
number!(PAIRS, r"\b0[1-9](?:[ ./-]?\d{2}){4}\b");
// Nine digits from 6 on, as in Spain.
number!(
    NINE,
    r"\b[6-9]\d{2}(?:[ .-]\d{3}[ .-]\d{3}|\s?[ ./-]\s?\d{2}[ .-]\d{2}[ .-]\d{2})\b"
);
// The code of a country without its +.
number!(
    BARE_CODE,
    r"\b(?:34[ .-]?[6-9]\d{2}[ .-]?\d{3}[ .-]?\d{3}|33[ .-]?[1-9](?:[ .-]?\d{2}){4}|44[ .-]\d{2,4}[ .-]\d{3,4}[ .-]?\d{3,4}|49[ .-]\d{2,4}[ ./-]\d{4,9})\b"
);
// Three, three and four digits, as in North America.
number!(
    NORTH_AMERICAN,
    r"(?:\b1[ .-])?(?:\([2-9]\d{2}\) ?|\b[2-9]\d{2}\s?[ .-]\s?)\d{3}\s?[ .-]\s?\d{4}\b"
);
// The same ten digits in one run, where the words before say nothing else of it.
number!(TEN, r"\b[2-9]\d{2}[2-9]\d{6}\b");
pattern!(
    OTHER_NUMBER,
    r"(?i)(?:\#|\b(?:order|no|nr|number|id|uid|ref|ticket|invoice|meter|counter|register|sn|part|article|item|po|rma|box|lot|key|token|bestellung|pedido|commande))[.:]?\s?$"
);
// Anything of six digits and more that is said to be one.
number!(
    SAID_TO_BE_PHONE,
    r"(?ix)\b(?:tel(?:ephone|efon|éfono|efono)?|tfno|tlf|phone|mobile?|mobil|móvil|movil|portable|handy|cell|fax|landline|r[üu]ckruf|call(?:\s?back)?|ring|reach|llamar|rappeler|joindre|(?:phone|contact|call-?back|his|her|my|their)\snumber)
       (?:\s(?:me|us|him|her|them|number|no|unter|back|is|on|at|al|au|le|en|numéro|número)){0,3}\s?[.:]*\s*
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
        (&*INTERNATIONAL, 8..=20),
        (&*TRUNK, 8..=18),
        (&*NINE, 9..=14),
        (&*NORTH_AMERICAN, 10..=16),
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
    for pattern in [&*PAIRS, &*BARE_CODE] {
        let matches = pattern.find_iter(text).map(|m| m.range());
        found.extend(matches.filter(|r| stands_alone(text, r)));
    }
    let ten = TEN.find_iter(text).map(|m| m.range());
    found.extend(ten.filter(|r| {
        stands_alone(text, r) && !OTHER_NUMBER.is_match(&text[..r.start]) && no_figure(text, r)
    }));
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
