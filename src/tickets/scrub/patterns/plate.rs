//! Number plates of vehicles. Those whose shape nothing else at a desk has go wherever they stand; others
//! only after a word that says what follows. Shapes from memory, as they are seen on the road.

use super::{groups, merged};
use regex::Regex;
use std::ops::Range;
use std::sync::LazyLock;

// Germany: one to three letters of the district, one or two, up to four figures, E for electric.
pattern!(
    GERMAN,
    r"\b(?P<x>(?P<district>[A-ZÄÖÜ]{1,3})[-–](?P<letters>[A-Z]{1,2})[ -]?[1-9]\d{0,3}[EH]?)\b"
);
// Great Britain since 2001, and France and Italy since they have no districts, with their hyphens.
pattern!(
    BRITISH,
    r"\b(?P<x>[A-HJ-PR-Y][A-HJ-PR-Y](?:0[1-9]|[1-7]\d) ?[A-HJ-PR-Z]{3})\b"
);
pattern!(
    FRENCH,
    r"\b(?P<x>[A-HJ-NP-TV-Z]{2}-\d{3}-[A-HJ-NP-TV-Z]{2})\b"
);
// Whatever follows such a word and holds letters and figures.
pattern!(
    SAID,
    r"(?x)(?i:\b(?:number\ ?plate|licen[cs]e\ ?plate|plates?\ (?:no\.?|number)|registration\ (?:no\.?|number|plate)
        |vehicle\ reg(?:\.|istration)?|kennzeichen|kfz-kz\.?|nummernschild|matr[íi]cula|immatriculation
        |plaque(?:\ d['’]immatriculation)?|targa|kenteken)
        (?:\s(?:is|ist|es|est|nr\.?|no\.?|n[º°]))?\s?:?\s?)
        (?P<x>[A-Z0-9ÄÖÜ]{1,4}(?:[\ -]?[A-Z0-9]{1,4}){1,3})\b"
);

/// Letters that stand before a hyphen and other letters without being a district's: quantities and
/// parts of the trade.
const NO_DISTRICT: &[&str] = &[
    "L", "N", "PE", "AC", "DC", "RS", "FI", "LS", "USB", "LAN", "VPN", "SIM", "RFID", "EV", "PV",
    "CAT", "IP", "ID", "SW", "FW", "HW",
];

pub(super) fn plate(text: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    for one in GERMAN.captures_iter(text) {
        let part = |name: &str| one.name(name).map_or("", |part| part.as_str());
        let whole = one.name("x").map(|part| part.range());
        let trade = NO_DISTRICT.contains(&part("district")) || part("letters") == "PE";
        found.extend(whole.filter(|range| !trade && alone(text, range)));
    }
    for pattern in [&*BRITISH, &*FRENCH] {
        let all = groups(pattern, text).into_iter();
        let trade =
            |range: &Range<usize>| NO_DISTRICT.contains(&&text[range.start..range.start + 2]);
        found.extend(all.filter(|range| !trade(range) && alone(text, range)));
    }
    let said = groups(&SAID, text).into_iter();
    found.extend(said.filter(|range| {
        let plate = &text[range.clone()];
        plate.contains(|c: char| c.is_ascii_digit())
            && plate.contains(char::is_alphabetic)
            && plate.len() >= 5
    }));
    merged(found)
}

/// Whether it is not a part of something longer, such as an order number or a type.
fn alone(text: &str, range: &Range<usize>) -> bool {
    let joins = |c: char| c.is_alphanumeric() || "-_/.#".contains(c);
    let before = text[..range.start].chars().next_back();
    let mut after = text[range.end..].chars();
    let next = after.next();
    let ends =
        next.is_some_and(|c| ".-".contains(c)) && !after.next().is_some_and(char::is_alphanumeric);
    !before.is_some_and(joins) && (ends || !next.is_some_and(joins))
}
