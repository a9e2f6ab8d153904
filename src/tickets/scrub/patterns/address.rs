//! Street addresses: a house number and a word for a road, in the orders of five languages.

use super::{digits_in, merged};
use regex::Regex;
use std::ops::Range;
use std::sync::LazyLock;

/// A town of one to three words, with the small words some carry.
const TOWN: &str = r"\p{Lu}[\p{L}'’.-]+(?:\s(?:(?:am|an\sder|de|del|la|les|sur|en|upon)\s)?\p{Lu}[\p{L}'’-]+){0,2}";
const UK_CODE: &str = r"[A-Z]{1,2}\d[A-Z\d]?\s\d[A-Z]{2}";
const US_TOWN: &str = r"\s[A-Z]{2}(?:\s\d{5}(?:-\d{4})?)?";

/// What may follow a street and its number: a flat, a floor, a building, a town with its code.
fn after() -> String {
    format!(
        r"(?:,?\s(?:[Aa]pt|[Aa]partment|[Ss]uite|[Ss]te|[Bb]ldg|[Bb]uilding|[Uu]nit|[Ff]lat|[Ff]loor|[Hh]aus|[Aa]ufgang|[Nn]ave|[Pp]arcela|[Pp]ortal|[Ll]ot|\#)\.?\s?(?:\d\w{{0,4}}|[A-Z]\d{{0,3}})\b)?(?:,?\s(?:Hinterhaus|Vorderhaus|\d{{1,2}}\.\s?(?:OG|UG|Stock)|EG))?(?:,\s(?:bajo|ático|\d{{1,2}}[ºª°]?\.?\s?(?:[A-Z]\b|izda\.?|dcha\.?|izq\.?|OG\b|EG\b)))?(?:,?\s(?:bât|bat|esc|appt|étage|bâtiment|escalier)\.?\s\w{{1,4}})?(?:{})?",
        town()
    )
}

fn town() -> String {
    format!(
        r"(?:(?:,|\s[-–/]|;)?\s(?:in\s|à\s|en\s)?(?:{UK_CODE}\b|(?:{TOWN},\s)?{TOWN},?\s{UK_CODE}\b|(?:[DFE]-)?\d{{5}}(?:\s{TOWN})?)|,\s{TOWN},{US_TOWN}\b)"
    )
}

/// A house number: `12`, `12a`, `3 bis`, `2-4`.
const NUMBER: &str = r"\b\d{1,5}[a-zA-Z]?(?:\s(?:bis|ter|quater))?(?:[-–/]\d{1,4})?";

const WORD_AFTER: &str = "Street|St|Road|Rd|Avenue|Ave|Lane|Ln|Drive|Dr|Close|Court|Ct|Way|Place|Pl|Square|Sq|Boulevard|Blvd|Terrace|Crescent|Gardens|Grove|Mews|Row|Parkway|Pkwy|Highway|Hwy|Hill|Walk|Wharf|Quay|Rise|Trail|Trl|Circle|Cir|Loop|Pike|Yard|Parade|Green";

// A house number, names in capitals, a word for a road.
pattern!(
    ROAD_AFTER,
    &format!(
        r"(?:\b(?:(?:Flat|Unit|Apt\.?|Suite|Block|Apartment|Plot)\s\w{{1,4}}|The\s\p{{Lu}}\p{{L}}+),?\s)?(?:\b\p{{Lu}}\p{{L}}+\s(?:House|Court|Lodge|Mansions|Mill|Point),\s)?{NUMBER},?\s(?:[NSEW]{{1,2}}\.?\s)?(?:(?:\p{{Lu}}[\p{{L}}'’.-]*|\d{{1,3}}(?:st|nd|rd|th))\s){{1,3}}(?:{WORD_AFTER})\b\.?(?:\s[NSEW]{{1,2}}\b)?{}",
        after()
    )
);
// A road that has a number of its own.
pattern!(
    NUMBERED_ROAD,
    &format!(
        r"{NUMBER}\s(?:County|State|US|Farm)\s(?:Road|Highway|Hwy|Route|Rd)\s\d{{1,4}}{}",
        after()
    )
);
// A road or an estate without a number, with the town's code behind it.
pattern!(
    NO_NUMBER,
    &format!(
        r"(?:\b(?:Unit|Plot|Block)\s\w{{1,4}},?\s|\b\p{{Lu}}[\p{{L}}'’]+(?:\s(?:House|Cottage|Farm|Lodge|Mill|Barn)),\s)?\b(?:\p{{Lu}}[\p{{L}}'’-]*\s){{1,3}}(?:{WORD_AFTER}|Park|Estate)\b,?\s(?:{TOWN},?\s)?{UK_CODE}\b"
    )
);
// Any two or three words in capitals between a number and a town with its code.
pattern!(
    BEFORE_A_TOWN,
    &format!(
        r"{NUMBER}\s(?:[NSEW]\.?\s)?\p{{Lu}}[\p{{L}}'’.-]*(?:\s\p{{Lu}}[\p{{L}}'’-]*){{0,2}}(?:,\s{TOWN}|\s\p{{Lu}}\p{{L}}+),?\s(?:{UK_CODE}|[A-Z]{{2}}\s\d{{5}})\b"
    )
);
// The same typed in small letters, with the words that cannot be anything else.
pattern!(
    ROAD_SMALL,
    r"(?i)\b(?P<x>\d{1,5}[a-z]?\s(?P<w>[\p{L}'’]+)\s(?:(?P<v>[\p{L}'’]+)\s)?(?:street|road|avenue|lane|boulevard|crescent|terrace|parkway|close|gardens))\b"
);
// German: the road's name, then the number.
pattern!(
    ROAD_BEFORE,
    &format!(
        r"\b(?:(?:\p{{Lu}}[\p{{L}}-]*\s){{0,2}}\p{{Lu}}[\p{{L}}-]*(?:[Ss]tra(?:ß|ss)e|[Ss]tr\.?|[Ww]eg|[Gg]asse|[Pp]latz|[Aa]llee|[Rr]ing|[Dd]amm|[Uu]fer|steig|graben|markt|chaussee)|(?:\p{{Lu}}[\p{{L}}-]*\s){{1,3}}(?:Straße|Strasse|Str\.?|Weg|Gasse|Platz|Allee|Ring|Damm|Ufer|Chaussee))\s?(?:Nr\.?\s?)?\d{{1,4}}(?:\s?[a-z])?\b(?:[-/]\d{{1,4}}\b)?{}",
        after()
    )
);
// German: a road without a number, before the town with its code.
pattern!(
    ROAD_NO_NUMBER,
    &format!(
        r"\b\p{{Lu}}[\p{{L}}-]*(?:[Ss]tra(?:ß|ss)e|[Ss]tr\.|[Ww]eg|[Gg]asse|[Pp]latz|[Aa]llee)(?:,|\s[-–/]|;)?\s(?:in\s)?(?:D-)?\d{{5}}\s{TOWN}"
    )
);
// German: `Am Anger 7, 04109 Leipzig`. Without the town it could be a terminal.
pattern!(
    ROAD_BEFORE_TOWN,
    &format!(
        r"\b(?:(?:Am|Im|Zum|Zur|An\sder|An\sden|Auf\sde[rmn]|In\sde[rn]|Unter\sden)\s)?\p{{Lu}}[\p{{L}}-]+(?:\s\p{{Lu}}[\p{{L}}-]+)?\s\d{{1,4}}\s?[a-z]?,\s\d{{5}}\s{TOWN}"
    )
);
// French and Spanish: the word, the name, the number on either side.
pattern!(
    RUE,
    &format!(
        r"(?:{NUMBER},?\s)?(?:\b[Cc]/\s?|\b(?:[Rr]ue|[Aa]venue|[Aa]v\.|[Cc]hemin|[Ii]mpasse|[Qq]uai|[Pp]lace|[Bb]oulevard|[Bb]d\.?|[Aa]llée|[Rr]oute|[Cc]ours|[Pp]assage|[Ss]entier|[Cc]alle|[Aa]venida|[Aa]vda\.?|[Pp]laza|[Pp]za\.?|[Pp]aseo|[Tt]ravesía|[Cc]amino|[Cc]arretera|[Cc]tra\.?|[Rr]onda|[Gg]lorieta|[Rr]ambla|[Pp]olígono(?:\s[Ii]ndustrial)?|[Pp]ol\.\s?[Ii]nd\.|[Uu]rbanización|[Uu]rb\.|[Pp]asaje|[Pp]je\.|[Cc]arrer|[Pp]asseig|[Bb]arrio|ZA|ZI|[Ll]otissement|[Hh]ameau|[Vv]oie|[Vv]ia|[Vv]ía)\s)(?:de\s(?:los\s|las\s|la\s|l['’])?|du\s|des\s|del\s|d['’])?\p{{Lu}}[\p{{L}}'’-]*(?:\s(?:(?:de|du|des|del|la|las|los|y|et)\s){{0,2}}\p{{Lu}}[\p{{L}}'’-]+){{0,3}}(?:,?\s(?:n[º°o]\.?\s?|núm\.?\s?)?\d{{1,4}}[a-zA-Z]?\b|,?\ss/n)?{}",
        after()
    )
);
// The same with the name in small letters, where a number stands before or behind it.
pattern!(
    RUE_SMALL,
    &format!(
        r"(?:{NUMBER},?\s(?:rue|r\.|avenue|chemin|impasse|quai|allée|route|place|boulevard|bd)\s(?:de\s(?:la\s|l['’])?|du\s|des\s|d['’]|l['’])?[\p{{L}}'’-]{{3,}}(?:\s\p{{Lu}}[\p{{L}}'’-]+)*|\b(?i:calle\s|c/\s?|avda\.?\s|avenida\s|paseo\s|plaza\s)(?:\p{{L}}+\s){{1,4}}(?:n[º°o]\.?\s?)?\d{{1,4}}\b){}",
        after()
    )
);
pattern!(
    PO_BOX,
    r"(?i)\b(?:p\.?\s?o\.?\s?box|postfach|apartado)\s\d{1,8}\b"
);

/// Words that stand before "road" without naming one.
const NO_ROAD: &[&str] = &[
    "a", "an", "the", "this", "that", "on", "off", "in", "from", "by", "of", "down", "to", "at",
    "and", "next", "same", "cars", "posts", "points", "vehicles", "units", "metres", "meters", "m",
    "km", "miles", "minutes", "hours", "lamp", "lamps",
];

/// Street addresses and post boxes.
pub(super) fn address(text: &str) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = [
        &*ROAD_AFTER,
        &*NUMBERED_ROAD,
        &*NO_NUMBER,
        &*BEFORE_A_TOWN,
        &*RUE_SMALL,
        &*ROAD_BEFORE,
        &*ROAD_BEFORE_TOWN,
        &*ROAD_NO_NUMBER,
        &*PO_BOX,
    ]
    .iter()
    .flat_map(|pattern| pattern.find_iter(text).map(|m| m.range()))
    .collect();
    // `via` and `avenue` are words too: without a number they name nobody's door.
    let rue = RUE.find_iter(text).map(|m| m.range());
    found.extend(rue.filter(|r| {
        let found = &text[r.clone()];
        digits_in(found) > 0 || found.ends_with("s/n")
    }));
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
