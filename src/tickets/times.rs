//! Times as exports write them. Tables and JSON come through here alike.
//!
//! A time is read by the patterns of the map, in order, then as an ISO form: `2026-03-02T09:14:00Z`,
//! `2026-03-02 09:14`, `2026-03-02`. One that names no zone is of the zone that somebody named; where
//! nobody did, it is refused, for a guess would be hours off. A day alone is its first moment.

use super::fields::{self, Fault};
use jiff::Timestamp;
use jiff::civil::{Date, DateTime, Time};
use jiff::fmt::strtime;
use jiff::tz::TimeZone;

/// How times are written, and of which zone those are that name none.
#[derive(Clone, Debug, Default)]
pub struct Times {
    zone: Option<TimeZone>,
    patterns: Vec<String>,
    /// Whether a map says so.
    mapped: bool,
}

impl Times {
    /// ISO forms, of this zone where they name none.
    #[must_use]
    pub fn of(zone: Option<TimeZone>) -> Self {
        Self {
            zone,
            ..Self::default()
        }
    }

    pub(super) fn by(zone: TimeZone, patterns: Vec<String>) -> Self {
        Self {
            zone: Some(zone),
            patterns,
            mapped: true,
        }
    }

    /// What decides how a time is read, as text: a file that is read by other rules is read anew. Empty
    /// where nobody said anything.
    #[must_use]
    pub fn rule(&self) -> String {
        let zone = self.zone.as_ref().and_then(TimeZone::iana_name);
        let rule = format!("{} {}", zone.unwrap_or_default(), self.patterns.join("\n"));
        rule.trim().to_owned()
    }

    /// The time, or nothing where the text is none or lacks a zone.
    #[must_use]
    pub fn time(&self, text: &str) -> Option<Timestamp> {
        let text = text.trim();
        let Some(zone) = &self.zone else {
            return text.parse().ok();
        };
        let mut patterns = self.patterns.iter();
        patterns
            .find_map(|pattern| by_pattern(zone, pattern, text))
            .or_else(|| iso(zone, text))
    }

    /// The time that a person wrote for a field.
    ///
    /// # Errors
    /// What was expected, and what to do.
    pub fn written(&self, field: &str, text: &str) -> Result<Timestamp, (String, Option<String>)> {
        self.read(field, text)
            .map_err(|fault| (fault.message, fault.help))
    }

    /// The time in a field.
    pub(super) fn read(&self, field: &str, text: &str) -> Result<Timestamp, Fault> {
        self.time(text).ok_or_else(|| self.fault(field, text))
    }

    fn fault(&self, field: &str, text: &str) -> Fault {
        let expected = match (&self.zone, &self.patterns[..]) {
            (None, _) => "a time such as `2026-03-02T09:14:00Z`".to_owned(),
            (Some(_), []) => "a time such as `2026-03-02 09:14`".to_owned(),
            (Some(_), patterns) => format!("a time written as `{}`", patterns.join("` or `")),
        };
        let message = format!(
            "expected {expected} in `{field}`, but found `{}`",
            fields::cut(text.trim())
        );
        let lacks_zone = self.zone.is_none() && iso(&TimeZone::UTC, text.trim()).is_some();
        let help = if lacks_zone {
            "it names no zone, and `kb.toml` has none: write `zone = \"Europe/Berlin\"`, or yours, into it"
        } else if self.mapped {
            "add its pattern to `dates` in the map"
        } else {
            "write its pattern into `dates` of a map, and name that with `--map`"
        };
        let help = (lacks_zone || self.zone.is_some()).then(|| help.to_owned());
        Fault::new("bad-time", field, message).help(help)
    }
}

/// A time of an ISO form; in this zone where it names none.
pub(super) fn iso(zone: &TimeZone, text: &str) -> Option<Timestamp> {
    if let Ok(stamp) = text.parse() {
        return Some(stamp);
    }
    let civil = text.parse::<DateTime>().or_else(|_| {
        text.parse::<Date>()
            .map(|d| d.to_datetime(Time::midnight()))
    });
    zone.to_timestamp(civil.ok()?).ok()
}

/// A time written by a pattern; in this zone where it names none.
pub(super) fn by_pattern(zone: &TimeZone, pattern: &str, text: &str) -> Option<Timestamp> {
    let parts = strtime::parse(pattern, text).ok()?;
    if let Ok(stamp) = parts.to_timestamp() {
        return Some(stamp);
    }
    let civil = parts
        .to_datetime()
        .or_else(|_| parts.to_date().map(|d| d.to_datetime(Time::midnight())));
    zone.to_timestamp(civil.ok()?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_read_by_one_rule() {
        let zone = TimeZone::get("Europe/Berlin").unwrap();
        let none = Times::default();
        let plain = Times::of(Some(zone.clone()));
        let map = Times::by(zone, vec!["%d.%m.%Y %H:%M".to_owned()]);
        for (text, by_none, by_zone, by_map) in [
            ("2026-03-02T09:41:00Z", "09:41", "09:41", "09:41"),
            (" 2026-03-02T09:41:00+01:00 ", "08:41", "08:41", "08:41"),
            ("2026-03-02T09:41:00", "", "08:41", "08:41"),
            ("2026-03-02 09:41", "", "08:41", "08:41"),
            ("2026-03-02", "", "23:00", "23:00"),
            ("02.03.2026 09:41", "", "", "08:41"),
            ("02.03.2026", "", "", ""),
            ("yesterday", "", "", ""),
        ] {
            for (times, expected) in [(&none, by_none), (&plain, by_zone), (&map, by_map)] {
                let read = times.read("closed", text).ok();
                let time =
                    read.map(|at| TimeZone::UTC.to_datetime(at).strftime("%H:%M").to_string());
                assert_eq!(time.unwrap_or_default(), expected, "{text} {times:?}");
            }
        }
    }

    #[test]
    fn a_time_that_cannot_be_read_says_what_to_do() {
        let zone = Times::of(Some(TimeZone::UTC));
        for (times, text, message, help) in [
            (
                &Times::default(),
                "2026-10-03",
                "expected a time such as `2026-03-02T09:14:00Z` in `closed`, but found `2026-10-03`",
                Some(
                    "it names no zone, and `kb.toml` has none: write `zone = \"Europe/Berlin\"`, or yours, into it",
                ),
            ),
            (
                &Times::default(),
                "02.03.2026",
                "expected a time such as `2026-03-02T09:14:00Z` in `closed`, but found `02.03.2026`",
                None,
            ),
            (
                &zone,
                "02.03.2026",
                "expected a time such as `2026-03-02 09:14` in `closed`, but found `02.03.2026`",
                Some("write its pattern into `dates` of a map, and name that with `--map`"),
            ),
            (
                &Times::by(TimeZone::UTC, Vec::new()),
                "02.03.2026",
                "expected a time such as `2026-03-02 09:14` in `closed`, but found `02.03.2026`",
                Some("add its pattern to `dates` in the map"),
            ),
        ] {
            let fault = times.read("closed", text).unwrap_err();
            assert_eq!(fault.message, message);
            assert_eq!(fault.help.as_deref(), help, "{text}");
        }
    }
}
