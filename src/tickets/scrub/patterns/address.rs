//! Street addresses: a house number and a word for a road, in the orders of five languages.

use super::{digits_in, merged};
use regex::Regex;
use std::ops::Range;
use std::sync::LazyLock;

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

/// Street addresses and post boxes.
pub(super) fn address(text: &str) -> Vec<Range<usize>> {
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
