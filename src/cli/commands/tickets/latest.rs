//! Times in the future: a case is closed before anybody writes it down.

use super::{Failure, Session};
use crate::cli::desk;
use jiff::{Timestamp, ToSpan as _, tz::TimeZone};

/// The latest time a case may have been closed: a day from now, for clocks and zones differ.
#[derive(Clone, Copy, Debug)]
pub(super) struct Latest(Timestamp);

impl Latest {
    /// By this computer's clock, or by the day that the desk goes by where that is later.
    pub(super) fn of(session: &Session) -> Result<Self, Failure> {
        let day = desk::now(session)?.at(0, 0, 0, 0);
        let day = TimeZone::UTC.to_timestamp(day).unwrap_or(Timestamp::MIN);
        let now = day.max(Timestamp::now());
        Ok(Self(
            now.saturating_add(24.hours()).unwrap_or(Timestamp::MAX),
        ))
    }

    /// Whether a time lies in the future.
    pub(super) fn is_before(self, time: Timestamp) -> bool {
        time > self.0
    }

    /// Why a time that a person wrote is not taken.
    pub(super) fn refuses(self, time: Timestamp) -> Option<String> {
        self.is_before(time)
            .then(|| format!("expected a time that has come in `closed`, but found `{time}`"))
    }
}
