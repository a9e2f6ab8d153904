//! The time of a call.

use crate::articles::Settings;
use crate::cli::{Desk, Session};
use jiff::civil::Date;
use jiff::{Timestamp, tz::TimeZone};

/// The clock that lines and tickets are stamped with: the real one, but on the day taken as today
/// where that is another: with `--as-of`, and in a demo.
#[derive(Clone, Copy, Debug)]
pub(in crate::cli) struct Clock(Option<Date>);

impl Clock {
    pub(in crate::cli) fn of(session: &Session, desk: &Desk) -> Self {
        Self::on(session, &desk.settings, desk.as_of)
    }

    /// The same where only the day taken as today is known.
    pub(in crate::cli) fn on(session: &Session, settings: &Settings, today: Date) -> Self {
        let other_day = session.as_of.is_some() || settings.demo;
        Self(other_day.then_some(today))
    }

    /// Now, to the second.
    pub(in crate::cli) fn now(self) -> Timestamp {
        let now = Timestamp::now();
        let now = Timestamp::from_second(now.as_second()).unwrap_or(now);
        let Some(day) = self.0 else { return now };
        let time = TimeZone::UTC.to_datetime(now).time();
        TimeZone::UTC
            .to_timestamp(day.to_datetime(time))
            .unwrap_or(now)
    }
}
