//! Where the past ends: by time, never by chance.
//!
//! A rolling origin (Tashman 2000, Int. J. Forecasting 16:437–450): the ledger is cut along closing
//! days into blocks of about equal count. The first half is past alone; the second half is answered
//! block by block, each from everything closed before its first day. Days are not cut, so that
//! nothing of the same day is known. Cuts are counted in tickets and not in scored cases: how a
//! ticket ended must not move a cut, or it would move the answers before it.

use jiff::civil::Date;
use serde::Serialize;
use thiserror::Error;

/// Blocks that are answered unless told otherwise.
pub const BLOCKS: usize = 4;

/// Tickets that must lie before the first block.
pub const LEAST_PAST: usize = 50;

/// Days whose cases are answered from what was closed before the first of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Block {
    /// The origin: the first day; everything known lies before it.
    pub from: Date,
    /// The last day.
    pub to: Date,
}

impl Block {
    /// The last day that is known; none before the calendar begins.
    #[must_use]
    pub fn eve(&self) -> Option<Date> {
        self.from.yesterday().ok()
    }

    /// Whether a day lies in the block.
    #[must_use]
    pub fn holds(&self, day: Date) -> bool {
        self.from <= day && day <= self.to
    }
}

/// Too few tickets for a backtest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
#[error("a backtest needs {LEAST_PAST} tickets before the first day it answers, but found {past}")]
pub struct TooFew {
    /// How many there are.
    pub past: usize,
}

/// Cuts the later half of these closing days (one a ticket, in any order) into blocks; fewer where
/// many tickets share a day.
///
/// # Errors
/// Where too few tickets lie before the first block.
pub fn blocks(days: &[Date], blocks: usize) -> Result<Vec<Block>, TooFew> {
    let mut days = days.to_vec();
    days.sort_unstable();
    let parts = 2 * blocks.max(1);
    let cut = |part: usize| days.get(part * days.len() / parts).copied();
    let mut origins: Vec<Date> = (parts / 2..parts).filter_map(cut).collect();
    origins.dedup();
    let past = origins
        .first()
        .map_or(0, |first| days.partition_point(|day| day < first));
    if past < LEAST_PAST {
        return Err(TooFew { past });
    }
    let ends = origins[1..]
        .iter()
        .map(|next| next.yesterday().unwrap_or(*next));
    let ends: Vec<Date> = ends.chain(days.last().copied()).collect();
    let both = origins.into_iter().zip(ends);
    Ok(both.map(|(from, to)| Block { from, to }).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn days(count: i16, a_day: usize) -> Vec<Date> {
        let from = date(2026, 1, 1);
        let day = |n: i16| from + jiff::Span::new().days(i64::from(n));
        (0..count).flat_map(|n| vec![day(n); a_day]).collect()
    }

    #[test]
    fn the_later_half_is_cut_into_equal_blocks_without_gaps() {
        let days = days(200, 2);
        let found = blocks(&days, 4).unwrap();
        assert_eq!(found.len(), 4);
        assert_eq!(found[0].from, days[200]);
        assert_eq!(found[3].to, days[399]);
        for pair in found.windows(2) {
            assert_eq!(pair[0].to.tomorrow().unwrap(), pair[1].from);
        }
        for block in &found {
            assert_eq!(days.iter().filter(|d| block.holds(**d)).count(), 50);
            assert!(!block.holds(block.eve().unwrap()));
        }
    }

    #[test]
    fn a_day_is_never_cut() {
        let mut many = days(30, 2);
        many.extend(vec![date(2026, 2, 1); 100]);
        let found = blocks(&many, 4).unwrap();
        assert_eq!(found.len(), 1);
        assert_eq!(
            (found[0].from, found[0].to),
            (date(2026, 2, 1), date(2026, 2, 1))
        );
    }

    #[test]
    fn too_few_tickets_are_refused() {
        assert_eq!(blocks(&[], 4), Err(TooFew { past: 0 }));
        assert_eq!(blocks(&days(49, 2), 4), Err(TooFew { past: 48 }));
        assert_eq!(blocks(&days(50, 2), 0).unwrap().len(), 1);
        assert!(blocks(&vec![date(2026, 2, 1); 500], 4).is_err());
    }
}
