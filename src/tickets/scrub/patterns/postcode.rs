//! Postal codes that stand without a street: with the word for one, or beside a town.
//!
//! A number of five digits is a ticket, a meter or a count more often than a code. So a code of digits goes
//! only where something beside it says what it is: the word for it, the letter of its country, a large
//! town, or a state of the United States behind a town. British codes have a form of their own, but `L1 3PH`
//! is a phase and `E2 1ST` an error shown first: their areas are listed, what is a unit or an ordinal is none,
//! and a town or a word such as "site" stands before them. All lists are from memory.

use regex::Regex;
use std::ops::Range;
use std::sync::LazyLock;

/// The areas of British codes.
const AREAS: &str = "AB|AL|BA|BB|BD|BH|BL|BN|BR|BS|BT|B|CA|CB|CF|CH|CM|CO|CR|CT|CV|CW|DA|DD|DE|DG|DH|DL|DN|DT|DY|EC|EH|EN|EX|E|FK|FY|GL|GU|GY|G|HA|HD|HG|HP|HR|HS|HU|HX|IG|IM|IP|IV|JE|KA|KT|KW|KY|LA|LD|LE|LL|LN|LS|LU|L|ME|MK|ML|M|NE|NG|NN|NP|NR|NW|N|OL|OX|PA|PE|PH|PL|PO|PR|RG|RH|RM|SA|SE|SG|SK|SL|SM|SN|SO|SP|SR|SS|ST|SW|SY|S|TA|TD|TF|TN|TQ|TR|TS|TW|UB|WA|WC|WD|WF|WN|WR|WS|WV|W|YO|ZE";

/// Large towns whose codes have five digits and whose names are no other word.
const TOWNS: &str = "Aachen|Augsburg|Berlin|Bielefeld|Bochum|Bonn|Braunschweig|Bremen|Chemnitz|Darmstadt|Dortmund|Dresden|Duisburg|Düsseldorf|Erfurt|Frankfurt|Freiburg|Göttingen|Hagen|Hamburg|Hannover|Heidelberg|Heilbronn|Ingolstadt|Karlsruhe|Kassel|Kiel|Koblenz|Köln|Krefeld|Leipzig|Leverkusen|Lübeck|Ludwigshafen|Magdeburg|Mainz|Mannheim|München|Münster|Nürnberg|Oldenburg|Osnabrück|Paderborn|Potsdam|Regensburg|Rostock|Saarbrücken|Stuttgart|Ulm|Wiesbaden|Wolfsburg|Wuppertal|Würzburg|Amiens|Besançon|Bordeaux|Brest|Caen|Dijon|Grenoble|Lille|Limoges|Lyon|Marseille|Metz|Montpellier|Nantes|Nîmes|Orléans|Paris|Perpignan|Reims|Rennes|Rouen|Strasbourg|Toulon|Toulouse|Albacete|Alicante|Almería|Badajoz|Barcelona|Bilbao|Burgos|Cádiz|Castellón|Córdoba|Gijón|Girona|Granada|Huelva|León|Lleida|Logroño|Madrid|Málaga|Murcia|Oviedo|Pamplona|Salamanca|Santander|Sevilla|Tarragona|Teruel|Valencia|Valladolid|Vigo|Vitoria|Zaragoza";

/// The same with four digits.
const TOWNS_OF_FOUR: &str =
    "Basel|Bern|Genf|Graz|Innsbruck|Lausanne|Linz|Luzern|Salzburg|Wien|Winterthur|Zürich";

/// States of the United States whose letters say nothing else.
const STATES: &str = "AL|AK|AZ|AR|CA|CO|DE|FL|GA|HI|IL|IA|KS|KY|LA|ME|MD|MI|MN|MO|MT|NE|NV|NH|NJ|NM|NY|ND|OH|OR|PA|RI|SC|TN|TX|UT|VT|WA|WV|WI|WY";

/// The others: an identifier, a current transformer, volt-amperes, a contact, a card.
const STATES_OR_MORE: &str = "CT|DC|ID|IN|MA|MS|NC|OK|SD|VA";

const US_TOWN: &str = r"\p{Lu}\p{L}{2,}(?:\s\p{Lu}\p{L}+){0,2}";

// The word for a code says what follows. `CP` without points is the control pilot.
pattern!(
    SAID_TO_BE_ONE,
    r"(?i)\b(?:post\s?code|postal\scode|zip(?:[\s-]code)?|plz|postleitzahl|code\spostal|código\spostal|c\.p\.)(?:\s(?:is|ist|es|est))?\s?[:=]?\s?(?P<x>[A-Z]{1,2}\d[A-Z\d]?\s?\d[A-Z]{2}\b|(?:[A-Z]{1,2}-)?\d{4,5}(?:-\d{4})?\b)"
);
// Years have four digits as well.
pattern!(
    BEFORE_A_TOWN,
    &format!(
        r"\b(?P<x>(?:[A-Z]{{1,2}}-)?(?:\d{{5}}\s(?:{TOWNS})|[13-9]\d{{3}}\s(?:{TOWNS_OF_FOUR})))\b"
    )
);
pattern!(
    WITH_A_COUNTRY,
    r"\b(?P<x>(?:(?:DE?|FR?|ES|IT)-\d{5}|CH-\d{4})\s\p{Lu}\p{L}{2,}(?:[ -]\p{Lu}\p{L}+)?)\b"
);
pattern!(
    AFTER_A_STATE,
    &format!(
        r"\b(?P<x>{US_TOWN},\s(?:{STATES})\s\d{{5}}(?:-\d{{4}})?)\b|\b(?i:in|at|from|near|site|depot|address)\s(?P<y>{US_TOWN},\s(?:{STATES_OR_MORE})\s\d{{5}}(?:-\d{{4}})?)\b"
    )
);
// The town goes with its code: of a small one the two are the same.
pattern!(
    BRITISH,
    &format!(
        r"\b(?:(?P<t>\p{{Lu}}[\p{{L}}'’-]{{2,}}(?:\s(?:upon\s|on\s)?\p{{Lu}}[\p{{L}}'’-]+)?),?\s|(?i:site|address|at|in|near|depot|from|postcode)\s)(?P<x>(?:{AREAS})\d[A-Z\d]?\s\d[ABD-HJLNP-UW-Z]{{2}})\b"
    )
);
pattern!(UNIT, r"\d(?:ST|ND|RD|TH|PH|AH|WH|PE|NE|UF)$");

/// Postal codes without a street, and the towns beside them.
pub(super) fn postcode(text: &str) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = [&*SAID_TO_BE_ONE, &*WITH_A_COUNTRY]
        .iter()
        .flat_map(|pattern| super::groups(pattern, text))
        .collect();
    let beside = super::groups(&BEFORE_A_TOWN, text).into_iter();
    found.extend(beside.filter(|range| !super::OTHER_NUMBER.is_match(&text[..range.start])));
    found.extend(AFTER_A_STATE.captures_iter(text).filter_map(|c| {
        let place = c.name("x").or_else(|| c.name("y"));
        place.map(|m| m.range())
    }));
    found.extend(BRITISH.captures_iter(text).filter_map(|c| {
        let code = c.name("x").filter(|code| !UNIT.is_match(code.as_str()))?;
        let start = c.name("t").map_or(code.start(), |town| town.start());
        Some(start..code.end())
    }));
    super::merged(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_goes_with_what_says_that_it_is_one() {
        for (text, taken) in [
            ("post stands in 10115 Berlin, second yard", "10115 Berlin"),
            ("Säule in D-04109 Leipzig tot", "D-04109 Leipzig"),
            ("site 8001 Zürich offline", "8001 Zürich"),
            ("depot D-99974 Mühlhausen, no lamp", "D-99974 Mühlhausen"),
            ("in Boise, ID 83702 since noon", "Boise, ID 83702"),
            ("A-1010 Wien", "A-1010 Wien"),
            ("llamada de 28012 Madrid", "28012 Madrid"),
            ("borne HS à 69005 Lyon", "69005 Lyon"),
            ("box in Dayton, OH 45402 trips", "Dayton, OH 45402"),
            (
                "all out in Salt Lake City, UT 84101-1234",
                "Salt Lake City, UT 84101-1234",
            ),
            (
                "the car park in Otley LS21 3QD has no power",
                "Otley LS21 3QD",
            ),
            ("Stroud, GL5 9AA, two posts", "Stroud, GL5 9AA"),
            ("the site BS1 4DJ is offline", "BS1 4DJ"),
            ("postcode is NR1 9ZZ", "NR1 9ZZ"),
            ("PLZ 50674, Säule 4", "50674"),
            ("zip code 83702", "83702"),
            ("código postal: 41003", "41003"),
        ] {
            let found = postcode(text);
            assert_eq!(found.len(), 1, "{text}: {found:?}");
            assert_eq!(&text[found[0].clone()], taken, "{text}");
        }
    }

    #[test]
    fn numbers_and_names_of_the_trade_stay() {
        for text in [
            "10482 Kunde ruft an",
            "ticket 10115 closed, 28012 open",
            "ran 12000 hours in Berlin",
            "in 10000 Fällen",
            "2024 Wien visited",
            "Breaker L1 3PH tripped",
            "Meter on L2 1PH, then L3 1ST",
            "Error E2 1ST shown",
            "Battery S3 2AH spare",
            "shows K31 2ND, then M4 3RD",
            "at E7 3PH board",
            "Code S12 M04",
            "CP 12000 counts",
            "ticket 10482 Berlin",
            "Box Two, ID 10482",
            "Meter, CT 20050",
            "Fehler E-1042 Überstrom",
            "10482 Halle 3",
            "all OK 10482",
            "Reset, OK 10482 done",
            "Modbus RS-485 9600 Baud",
            "D-10 Sicherung, F-16 Automat",
            "EN-50160 Measured",
            "",
        ] {
            assert!(postcode(text).is_empty(), "{text}: {:?}", postcode(text));
        }
    }
}
