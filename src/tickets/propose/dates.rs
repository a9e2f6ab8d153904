//! How the dates of an export are written, told from the dates.

use crate::tickets::times::{by_pattern, iso};
use jiff::Timestamp;
use jiff::tz::TimeZone;

/// Patterns in use, in the order they are tried; days before months, for most of the world writes so.
const PATTERNS: &[&str] = &[
    "%d.%m.%Y %H:%M:%S",
    "%d.%m.%Y %H:%M",
    "%d.%m.%Y",
    "%d/%m/%Y %H:%M:%S",
    "%d/%m/%Y %H:%M",
    "%d/%m/%Y, %H:%M:%S",
    "%d/%m/%Y, %H:%M",
    "%d/%m/%Y",
    "%m/%d/%Y %I:%M:%S %p",
    "%m/%d/%Y, %I:%M:%S %p",
    "%m/%d/%Y %I:%M %p",
    "%m/%d/%Y %H:%M:%S",
    "%m/%d/%Y %H:%M",
    "%m/%d/%Y",
    "%d-%m-%Y %H:%M:%S",
    "%d-%m-%Y %H:%M",
    "%d-%m-%Y",
    "%m-%d-%Y %H:%M:%S",
    "%m-%d-%Y",
    "%Y/%m/%d %H:%M:%S",
    "%Y/%m/%d %H:%M",
    "%Y/%m/%d",
    "%d %b %Y %H:%M:%S",
    "%d %b %Y %H:%M",
    "%d %b %Y",
    "%d-%b-%Y %H:%M:%S",
    "%d-%b-%Y %H:%M",
    "%d-%b-%Y",
    "%b %d, %Y %I:%M:%S %p",
    "%b %d, %Y %I:%M %p",
    "%b %d, %Y",
    "%d.%m.%y %H:%M",
    "%d.%m.%y",
    "%d/%m/%y %H:%M",
    "%d/%m/%y",
    "%m/%d/%y %I:%M %p",
    "%m/%d/%y %H:%M",
    "%m/%d/%y",
    "%Y%m%d%H%M%S",
    "%Y%m%d",
    "%Y-%m-%d %H:%M:%S",
    "%Y-%m-%d %H:%M",
    "%Y-%m-%d",
];

/// How many values of a column are looked at.
const LOOKED_AT: usize = 400;

/// A map lists no more patterns than that.
const MOST: usize = 4;

/// Earlier or later dates are numbers of something else.
const YEARS: std::ops::RangeInclusive<i16> = 1990..=2100;

/// Whether most of a column's values are dates.
pub(super) fn is_dates(values: &[String]) -> bool {
    let looked_at = values.len().min(LOOKED_AT);
    let dates = values.iter().take(LOOKED_AT).filter(|v| any(v)).count();
    looked_at > 0 && dates * 10 >= looked_at * 9
}

fn any(value: &str) -> bool {
    // Plain numbers are ids more often than dates.
    let written = value.contains(|c: char| !c.is_ascii_digit());
    written && (read_iso(value).is_some() || PATTERNS.iter().any(|p| read(p, value).is_some()))
}

fn read(pattern: &str, value: &str) -> Option<Timestamp> {
    plausible(by_pattern(&TimeZone::UTC, pattern, value)?)
}

fn read_iso(value: &str) -> Option<Timestamp> {
    plausible(iso(&TimeZone::UTC, value)?)
}

fn plausible(time: Timestamp) -> Option<Timestamp> {
    let year = TimeZone::UTC.to_datetime(time).year();
    YEARS.contains(&year).then_some(time)
}

/// How dates are written.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Written {
    /// The patterns; none where all are ISO dates.
    pub(super) patterns: Vec<&'static str>,
    /// Another first pattern that reads all of them as well: day and month cannot be told apart.
    pub(super) or: Option<&'static str>,
}

/// The patterns that read these dates. `pairs` are opened and closed of the same rows: where two
/// patterns read everything, the one by which no case is closed before it was opened is right.
pub(super) fn written(values: &[&str], pairs: &[(&str, &str)]) -> Written {
    let mut left: Vec<&str> = values.to_vec();
    if left.iter().all(|value| read_iso(value).is_some()) {
        return Written::default();
    }
    let mut found = Written::default();
    while !left.is_empty() && found.patterns.len() < MOST {
        let reads = |pattern: &str| left.iter().filter(|v| read(pattern, v).is_some()).count();
        let counts: Vec<(usize, &'static str)> = PATTERNS.iter().map(|p| (reads(p), *p)).collect();
        let most = counts.iter().map(|(n, _)| *n).max().unwrap_or(0);
        if most == 0 {
            break;
        }
        let equal: Vec<&'static str> = counts
            .iter()
            .filter(|(n, _)| *n == most)
            .map(|(_, p)| *p)
            .collect();
        let backward = |pattern: &str| {
            pairs
                .iter()
                .filter(
                    |(opened, closed)| match (read(pattern, opened), read(pattern, closed)) {
                        (Some(opened), Some(closed)) => closed < opened,
                        _ => false,
                    },
                )
                .count()
        };
        let fewest = equal.iter().map(|p| backward(p)).min().unwrap_or(0);
        let good: Vec<&'static str> = equal
            .into_iter()
            .filter(|p| backward(p) == fewest)
            .collect();
        let Some(best) = good.first() else { break };
        if found.patterns.is_empty() {
            found.or = good.iter().skip(1).find(|p| swapped(best, p)).copied();
        }
        left.retain(|value| read(best, value).is_none());
        found.patterns.push(best);
    }
    found
}

/// Whether one pattern is the other with day and month in the other order.
fn swapped(a: &str, b: &str) -> bool {
    let other = a
        .replace("%d", "\0")
        .replace("%m", "%d")
        .replace('\0', "%m");
    other == b
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_are_told_from_the_dates() {
        for (values, patterns, or) in [
            (
                &["2026-03-02T09:14:00Z", "2026-03-02 09:14", "2026-03-02"][..],
                &[][..],
                None,
            ),
            (&["02.03.2026 09:14"], &["%d.%m.%Y %H:%M"], None),
            (&["2/3/2026", "25/3/2026"], &["%d/%m/%Y"], None),
            (&["2/3/2026", "3/25/2026"], &["%m/%d/%Y"], None),
            (&["2/3/2026"], &["%d/%m/%Y"], Some("%m/%d/%Y")),
            (
                &["3/2/2026 9:14 PM", "12/31/2025 1:00 AM"],
                &["%m/%d/%Y %I:%M %p"],
                None,
            ),
            (
                &["02.03.2026", "02.03.2026 10:00", "05.03.2026 10:00"],
                &["%d.%m.%Y %H:%M", "%d.%m.%Y"],
                None,
            ),
            (&["2 Mar 2026", "14 Dec 2025"], &["%d %b %Y"], None),
            (&["soon"], &[], None),
        ] {
            let found = written(values, &[]);
            assert_eq!(found.patterns, patterns, "{values:?}");
            assert_eq!(found.or, or, "{values:?}");
        }
        let pairs = [("2/3/2026", "3/2/2026")];
        // By day and month it closed a month later, by month and day a month earlier.
        assert_eq!(
            written(&["2/3/2026", "3/2/2026"], &pairs).patterns,
            ["%m/%d/%Y"]
        );
    }

    #[test]
    fn numbers_are_no_dates() {
        let column = |values: &[&str]| values.iter().map(|v| (*v).to_owned()).collect::<Vec<_>>();
        assert!(is_dates(&column(&[
            "02.03.2026",
            "x",
            "1.1.2026",
            "2.1.2026",
            "3.1.2026",
            "4.1.2026",
            "5.1.2026",
            "6.1.2026",
            "7.1.2026",
            "8.1.2026"
        ])));
        assert!(!is_dates(&column(&["20260302", "20260303"])));
        assert!(!is_dates(&column(&["10.4.1", "3.0.1"])));
        assert!(!is_dates(&[]));
    }
}
