//! Firmware versions and ranges such as `>=2.4, <3.2`.
//!
//! Versions are compared number by number; text after the numbers is ignored. What cannot be read
//! is unknown, and unknown excludes nothing.

use serde::{Deserialize, Serialize};
use std::cmp::Ordering;
use std::fmt;

/// A version: its numbers, most significant first. `2.4` equals `2.4.0`.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Version(Vec<u64>);

impl Version {
    /// Reads the numbers at the start of the text, after an optional `v`; none where there is
    /// no number or one does not fit 64 bits.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let text = text.trim();
        let text = text.strip_prefix(['v', 'V']).unwrap_or(text);
        let mut numbers = Vec::new();
        for part in text.split('.') {
            let end = part
                .find(|c: char| !c.is_ascii_digit())
                .unwrap_or(part.len());
            if end == 0 {
                break;
            }
            numbers.push(part[..end].parse().ok()?);
            if end < part.len() {
                break;
            }
        }
        (!numbers.is_empty()).then_some(Self(numbers))
    }
}

impl PartialEq for Version {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Version {}

impl PartialOrd for Version {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Version {
    fn cmp(&self, other: &Self) -> Ordering {
        let length = self.0.len().max(other.0.len());
        let at = |v: &Self, i: usize| v.0.get(i).copied().unwrap_or(0);
        (0..length)
            .map(|i| at(self, i).cmp(&at(other, i)))
            .find(|o| o.is_ne())
            .unwrap_or(Ordering::Equal)
    }
}

/// A range: every bound must hold.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Range {
    bounds: Vec<(Bound, Version)>,
    text: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
enum Bound {
    AtLeast,
    Above,
    AtMost,
    Below,
    Exactly,
}

impl Range {
    /// Reads bounds separated by commas: `>=`, `>`, `<=`, `<`, `=` before a version.
    ///
    /// # Errors
    /// The part that is no bound, in words.
    pub fn read(text: &str) -> Result<Self, String> {
        let mut bounds = Vec::new();
        for part in text.split(',').map(str::trim) {
            let (bound, rest) = [
                (">=", Bound::AtLeast),
                ("<=", Bound::AtMost),
                (">", Bound::Above),
                ("<", Bound::Below),
                ("=", Bound::Exactly),
            ]
            .into_iter()
            .find_map(|(sign, bound)| part.strip_prefix(sign).map(|rest| (bound, rest)))
            .ok_or_else(|| format!("expected a bound such as `>=2.4`, but found `{part}`"))?;
            let version = Version::read(rest).ok_or_else(|| {
                format!(
                    "expected a version such as `2.4`, but found `{}`",
                    rest.trim()
                )
            })?;
            bounds.push((bound, version));
        }
        Ok(Self {
            bounds,
            text: text.trim().to_owned(),
        })
    }

    /// Whether the range excludes this version; an unknown one is never excluded.
    #[must_use]
    pub fn excludes(&self, version: Option<&Version>) -> bool {
        let Some(version) = version else { return false };
        !self.bounds.iter().all(|(bound, limit)| match bound {
            Bound::AtLeast => version >= limit,
            Bound::Above => version > limit,
            Bound::AtMost => version <= limit,
            Bound::Below => version < limit,
            Bound::Exactly => version == limit,
        })
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_compare_number_by_number() {
        for (a, b, order) in [
            ("2.4", "2.4.0", Ordering::Equal),
            ("2.10", "2.9", Ordering::Greater),
            ("v3.0.1-rc2", "3.0.1", Ordering::Equal),
            ("3", "3.0.1", Ordering::Less),
        ] {
            assert_eq!(
                Version::read(a).unwrap().cmp(&Version::read(b).unwrap()),
                order,
                "{a} {b}"
            );
        }
        assert!(Version::read("latest").is_none());
        assert!(Version::read("").is_none());
        assert!(Version::read("99999999999999999999999").is_none());
    }

    #[test]
    fn a_range_excludes_only_known_versions_outside() {
        let range = Range::read(">=2.4, <3.2").unwrap();
        for (version, out) in [
            ("2.3.9", true),
            ("2.4", false),
            ("3.1.99", false),
            ("3.2", true),
            ("?", false),
        ] {
            assert_eq!(
                range.excludes(Version::read(version).as_ref()),
                out,
                "{version}"
            );
        }
        assert!(Range::read("2.4").is_err());
        assert!(Range::read(">=x").is_err());
    }
}
