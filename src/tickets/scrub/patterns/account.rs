//! Numbers of bank accounts: IBANs, by their structure and check digits.
//!
//! ISO 13616-1: two letters of a country, two check digits, up to thirty letters and digits; the length
//! is the country's (from memory of the registry). The check is ISO/IEC 7064 MOD 97-10: the first four
//! characters go to the end, letters become 10 to 35, and the number modulo 97 is 1. One that is said to
//! be an IBAN goes whatever its check says: a slip in it makes it no less somebody's.

use regex::Regex;
use std::ops::Range;
use std::sync::LazyLock;

/// Countries with the length of their IBANs.
const LENGTHS: &[(&str, usize)] = &[
    ("AD", 24),
    ("AE", 23),
    ("AL", 28),
    ("AT", 20),
    ("AZ", 28),
    ("BA", 20),
    ("BE", 16),
    ("BG", 22),
    ("BH", 22),
    ("CH", 21),
    ("CY", 28),
    ("CZ", 24),
    ("DE", 22),
    ("DK", 18),
    ("EE", 20),
    ("ES", 24),
    ("FI", 18),
    ("FO", 18),
    ("FR", 27),
    ("GB", 22),
    ("GE", 22),
    ("GI", 23),
    ("GL", 18),
    ("GR", 27),
    ("HR", 21),
    ("HU", 28),
    ("IE", 22),
    ("IL", 23),
    ("IS", 26),
    ("IT", 27),
    ("KW", 30),
    ("KZ", 20),
    ("LB", 28),
    ("LI", 21),
    ("LT", 20),
    ("LU", 20),
    ("LV", 21),
    ("MC", 27),
    ("MD", 24),
    ("ME", 22),
    ("MK", 19),
    ("MT", 31),
    ("NL", 18),
    ("NO", 15),
    ("PL", 28),
    ("PT", 25),
    ("QA", 29),
    ("RO", 24),
    ("RS", 22),
    ("SA", 24),
    ("SE", 24),
    ("SI", 19),
    ("SK", 24),
    ("SM", 27),
    ("TN", 24),
    ("TR", 26),
    ("UA", 29),
    ("VA", 22),
    ("XK", 20),
];

pattern!(BEGINS, r"(?i)\b[A-Z]{2}\d{2}[ -]?[A-Z0-9]");
pattern!(
    SAID_TO_BE_ONE,
    r"(?i)\biban\b(?:\s?(?:is|ist|es|no|nr|number|lautet))?[\s:.#=]{0,3}(?P<x>[A-Z]{2}\d{2}(?:[ -]?[A-Z0-9]{4}){2,6}(?:[ -]?[A-Z0-9]{1,4}\b)?)"
);

/// Numbers of accounts.
pub(super) fn account(text: &str) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for begin in BEGINS.find_iter(text) {
        let after_last = found.last().is_none_or(|last| begin.start() >= last.end);
        if let (true, Some(end)) = (after_last, iban_at(&text[begin.start()..])) {
            found.push(begin.start()..begin.start() + end);
        }
    }
    found.extend(super::groups(&SAID_TO_BE_ONE, text));
    super::merged(found)
}

/// Where the IBAN ends that a text begins with, in bytes.
fn iban_at(text: &str) -> Option<usize> {
    let country = text.get(..2)?.to_ascii_uppercase();
    let (_, length) = LENGTHS.iter().find(|(name, _)| *name == country)?;
    let mut digits = String::with_capacity(*length);
    let mut parted = false;
    for (at, c) in text.char_indices() {
        if c.is_ascii_alphanumeric() {
            digits.push(c.to_ascii_uppercase());
            parted = false;
            if digits.len() == *length {
                let end = at + 1;
                let alone = !text[end..].starts_with(|c: char| c.is_alphanumeric());
                return (alone && checks(&digits)).then_some(end);
            }
        } else if !matches!(c, ' ' | '-' | '\u{a0}') || std::mem::replace(&mut parted, true) {
            // One blank parts groups, not two.
            return None;
        }
    }
    None
}

/// Whether the check digits are right.
fn checks(iban: &str) -> bool {
    let (head, tail) = iban.split_at(4);
    let rest = tail
        .chars()
        .chain(head.chars())
        .try_fold(0, |rest: u32, c| {
            let value = c.to_digit(36)?;
            Some((rest * if value < 10 { 10 } else { 100 } + value) % 97)
        });
    rest == Some(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The examples that the registry of ISO 13616 publishes for these countries.
    const PUBLISHED: &[&str] = &[
        "AT61 1904 3002 3457 3201",
        "BE68 5390 0754 7034",
        "CH93 0076 2011 6238 5295 7",
        "DE89 3704 0044 0532 0130 00",
        "ES91 2100 0418 4502 0005 1332",
        "FR14 2004 1010 0505 0001 3M02 606",
        "IT60 X054 2811 1010 0000 0123 456",
        "NO93 8601 1117 947",
        "PL61 1090 1014 0000 0712 1981 2874",
        "SE45 5000 0000 0583 9825 7466",
    ];

    #[test]
    fn published_examples_are_found_however_they_are_written() {
        for iban in PUBLISHED {
            for written in [
                (*iban).to_owned(),
                iban.replace(' ', ""),
                iban.replace(' ', "-"),
                iban.to_lowercase(),
            ] {
                let text = format!("refund to {written}, please");
                let found = account(&text);
                assert_eq!(found.len(), 1, "{text}");
                assert_eq!(&text[found[0].clone()], written, "{text}");
            }
        }
    }

    #[test]
    fn a_wrong_check_digit_is_no_iban_unless_it_is_said_to_be_one() {
        for iban in PUBLISHED {
            let wrong = format!(
                "{}{}{}",
                &iban[..3],
                (iban.as_bytes()[3] - b'0' + 1) % 10,
                &iban[4..]
            );
            assert!(account(&wrong).is_empty(), "{wrong}");
            assert_eq!(account(&format!("IBAN: {wrong}")).len(), 1, "{wrong}");
        }
    }

    #[test]
    fn numbers_of_the_trade_are_none() {
        for text in [
            "BR20417733 on the label",
            "DE89 is no number",
            "SN AT12 3456 7890 1234 5678",
            "part ES12-3456-7890-1234-5678-9012 fitted",
            "IBAN is missing on the form",
            "IEC 61851-1, EN 50160, ISO 15118-20",
            "K31 S12 M04 8E1 9600 2026-03-02T09:14:00Z",
            "DE8937040044053201300 is one digit short",
            "DE893704004405320130000 is one too long",
        ] {
            assert!(account(text).is_empty(), "{text}");
        }
    }
}
