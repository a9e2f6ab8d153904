//! Fixes that work less, or more, since a firmware or a date.
//!
//! All tries of a fix are split in two, before and since, and compared by [`super::mantel_haenszel`]
//! within strata of what had failed before them, the device, and whether people entered the tries or
//! they were read from notes. A desk that changes its order gives a fix other cases, and that is no
//! finding. A stratum is which fixes had failed, not how many: what is left after the commonest cause
//! was ruled out is another mix than after a rare one. With "none, one, more" something was found in
//! 20 of 40 ledgers of `tools/measure/curate_calibration.rs`, where nothing is hidden and desks change
//! their order; by which fixes it is 3 of 200.
//!
//! Splits are each firmware with enough tries, among the devices that run it, and each start of a
//! month of the last twelve. Of the months the smallest p-value is taken, times their number
//! (Bonferroni), and so of all splits of a fix; then the p-values of all fixes are adjusted together
//! by [`super::false_discovery`].
//!
//! A case younger than the hold days counts as it stands: what fails does so at once, and few come
//! back. Cost: tries × splits.

use super::false_discovery::adjusted;
use super::mantel_haenszel::{Odds, Table, odds, p_value};
use super::tried::{Tried, Tries};
use super::{BAR, Material};
use crate::articles::firmware::Version;
use crate::base::ids::{FixId, TicketId};
use crate::evidence::interval::{Z95, newcombe};
use jiff::civil::Date;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A firmware is asked about where a fix was tried on it so often. Fewer tries could only show that a
/// fix stopped working altogether, and each further question costs the others certainty.
const TRIES_ON_FIRMWARE: usize = 10;

/// A date is asked about where a fix was tried so often in all; a guess, for the same reason.
const TRIES_FOR_DATES: usize = 40;

/// So many tries must lie on either side.
const TRIES_ON_A_SIDE: u64 = 10;

/// Months whose starts are asked about.
const MONTHS: i32 = 12;

/// How many tickets a finding names.
const NAMED: usize = 8;

/// Since when something is different.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Since {
    /// Since a firmware, on these devices.
    Firmware {
        /// The version, as tickets state it.
        version: String,
        /// The devices that run it.
        devices: Vec<String>,
    },
    /// Since a day.
    Date(Date),
}

/// Tries of one side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Side {
    /// How many ended their case.
    pub worked: u64,
    /// How many there were.
    pub tries: u64,
}

/// A fix and the split that shows most.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Change {
    /// The fix.
    pub fix: FixId,
    /// Its title.
    pub title: String,
    /// Since when.
    pub since: Since,
    /// Tries before.
    pub before: Side,
    /// Tries since.
    pub after: Side,
    /// By how much the part that worked changed, with the 95 % interval of the difference of the two
    /// counted parts (Newcombe 1998, method 10).
    pub difference: (f64, f64, f64),
    /// The change of the odds within the strata.
    pub odds: Option<Odds>,
    /// The strata that were compared.
    pub tables: Vec<Table>,
    /// The chance of so large a difference where nothing changed.
    pub p: f64,
    /// The same for the fix's surest split, adjusted for everything that was asked.
    pub q: f64,
    /// Cases since, newest first, with the result that became more frequent.
    pub tickets: Vec<TicketId>,
    /// Tries and what worked in each month with tries, oldest first.
    pub months: Vec<(Date, Side)>,
}

/// What was asked and found.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Report {
    /// The day of the report.
    pub as_of: Date,
    /// Fixes with enough tries to ask about.
    pub fixes: usize,
    /// Splits asked about; a fix's months count as one.
    pub questions: usize,
    /// Changes with `q` below the bar, each fix once, surest first.
    pub changes: Vec<Change>,
}

/// Looks at every fix.
#[must_use]
pub fn drift(from: &Material<'_>) -> Report {
    let tried = Tries::of(from.cases);
    let asked: Vec<Asked<'_>> = tried
        .by_fix()
        .filter_map(|(fix, tries)| Asked::of(fix, &tries, from.as_of))
        .collect();
    let p: Vec<f64> = asked.iter().map(|asked| asked.p).collect();
    let mut found: Vec<(f64, &Asked<'_>)> = adjusted(&p)
        .into_iter()
        .zip(&asked)
        .filter(|(q, _)| *q < BAR)
        .collect();
    found.sort_by(|a, b| a.1.p.total_cmp(&b.1.p).then_with(|| a.1.fix.cmp(b.1.fix)));
    Report {
        as_of: from.as_of,
        fixes: asked.len(),
        questions: asked.iter().map(|asked| asked.questions).sum(),
        changes: found
            .into_iter()
            .filter_map(|(q, asked)| {
                // The split that is named need not be the surest one.
                let q = q.max(asked.split.p);
                change(asked.fix, &asked.split, q, &tried.of_fix(asked.fix), from)
            })
            .collect(),
    }
}

/// A fix, and of the splits asked about the one that tells most.
struct Asked<'a> {
    fix: &'a FixId,
    split: Split,
    questions: usize,
    /// The smallest p-value of all its splits, times their number (Bonferroni). Adjusting fixes, not
    /// splits, keeps the promise for what is told: one change shows in several splits, and each would
    /// make it easier for other fixes to be found.
    p: f64,
}

impl<'a> Asked<'a> {
    fn of(fix: &'a FixId, tries: &[Tried<'_>], as_of: Date) -> Option<Self> {
        let least = |splits: Vec<Split>| splits.into_iter().min_by(|a, b| a.p.total_cmp(&b.p));
        let firmwares = firmwares(tries);
        let mut questions = firmwares.len();
        let firmware = least(firmwares);
        let date = dates(tries, as_of);
        questions += usize::from(date.is_some());
        let p = [&firmware, &date]
            .into_iter()
            .flatten()
            .map(|split| split.p);
        let p = p.fold(1.0, f64::min) * questions as f64;
        let split = match (firmware, date) {
            (Some(firmware), Some(date)) => Some(firmware.or(date, tries, as_of)),
            (firmware, date) => firmware.or(date),
        };
        Some(Self {
            fix,
            split: split?,
            questions,
            p: p.min(1.0),
        })
    }
}

/// One way of cutting a fix's tries in two.
struct Split {
    since: Since,
    /// The firmware as numbers.
    version: Option<Version>,
    tables: Vec<Table>,
    p: f64,
}

impl Split {
    /// This firmware or a date, whichever explains more. A firmware spreads with the time, and more tries
    /// have a date than a firmware: so a date must also do better where the firmware is known, all dates
    /// that were asked about counted.
    fn or(self, date: Self, tries: &[Tried<'_>], as_of: Date) -> Self {
        let known: Vec<Tried<'_>> = tries
            .iter()
            .filter(|tried| self.side_of(tried).is_some())
            .cloned()
            .collect();
        let there = dates(&known, as_of).map_or(1.0, |split| split.p);
        let explains = self.p < BAR && self.p <= there;
        if self.p <= date.p || explains {
            self
        } else {
            date
        }
    }

    fn side_of(&self, tried: &Tried<'_>) -> Option<bool> {
        match &self.since {
            Since::Date(date) => Some(tried.day >= *date),
            Since::Firmware { devices, .. } => {
                let runs = tried.device.is_some_and(|d| devices.iter().any(|o| o == d));
                let own = tried.version.as_ref().filter(|_| runs)?;
                Some(own >= self.version.as_ref()?)
            }
        }
    }

    /// Cuts; none where a side has too few tries or nothing can be compared.
    fn of(since: Since, tries: &[Tried<'_>]) -> Option<Self> {
        let version = match &since {
            Since::Firmware { version, .. } => Version::read(version),
            Since::Date(_) => None,
        };
        let mut split = Self {
            since,
            version,
            tables: Vec::new(),
            p: 1.0,
        };
        let mut strata: BTreeMap<(&[&FixId], bool, Option<&str>), Table> = BTreeMap::new();
        let mut sides = [0, 0];
        for tried in tries {
            let Some(after) = split.side_of(tried) else {
                continue;
            };
            sides[usize::from(after)] += 1;
            let alike = (&*tried.before, tried.read, tried.device);
            let table = strata.entry(alike).or_default();
            let side = if after {
                &mut table.since
            } else {
                &mut table.before
            };
            *if tried.worked {
                &mut side.0
            } else {
                &mut side.1
            } += 1;
        }
        split.tables = strata.into_values().filter(Table::speaks).collect();
        split.p = p_value(&split.tables)?;
        (sides.into_iter().all(|tries| tries >= TRIES_ON_A_SIDE)).then_some(split)
    }
}

fn firmwares(tries: &[Tried<'_>]) -> Vec<Split> {
    let mut versions: BTreeMap<&Version, (usize, &str, BTreeSet<&str>)> = BTreeMap::new();
    for tried in tries {
        if let (Some(version), Some(text), Some(device)) =
            (&tried.version, tried.firmware, tried.device)
        {
            let entry = versions.entry(version);
            let found = entry.or_insert((0, text, BTreeSet::new()));
            found.0 += 1;
            found.2.insert(device);
        }
    }
    versions
        .into_values()
        .filter(|(count, ..)| *count >= TRIES_ON_FIRMWARE)
        .filter_map(|(_, text, devices)| {
            let since = Since::Firmware {
                version: text.to_owned(),
                devices: devices.into_iter().map(str::to_owned).collect(),
            };
            Split::of(since, tries)
        })
        .collect()
}

/// The start of a month that shows most, its p-value times the number of starts asked about.
fn dates(tries: &[Tried<'_>], as_of: Date) -> Option<Split> {
    if tries.len() < TRIES_FOR_DATES {
        return None;
    }
    let mut asked = 0.0;
    let mut best: Option<Split> = None;
    for back in 0..MONTHS {
        let start = as_of.first_of_month();
        let Ok(start) = start.checked_sub(jiff::Span::new().months(back)) else {
            break;
        };
        if let Some(split) = Split::of(Since::Date(start), tries) {
            asked += 1.0;
            if best.as_ref().is_none_or(|best| split.p < best.p) {
                best = Some(split);
            }
        }
    }
    let mut best = best?;
    best.p = (best.p * asked).min(1.0);
    Some(best)
}

fn change(
    fix: &FixId,
    split: &Split,
    q: f64,
    tries: &[Tried<'_>],
    from: &Material<'_>,
) -> Option<Change> {
    let (mut before, mut after) = (Side::default(), Side::default());
    let mut months: BTreeMap<Date, Side> = BTreeMap::new();
    for tried in tries {
        let Some(since) = split.side_of(tried) else {
            continue;
        };
        let month = months.entry(tried.day.first_of_month()).or_default();
        for side in [if since { &mut after } else { &mut before }, month] {
            side.tries += 1;
            side.worked += u64::from(tried.worked);
        }
    }
    let counted = |side: Side| (side.worked as f64, side.tries as f64);
    let part = |side: Side| side.worked as f64 / side.tries as f64;
    let (low, high) = newcombe(counted(after), counted(before), Z95);
    let odds = odds(&split.tables);
    let better = odds.map_or(part(after) > part(before), |odds| odds.ratio > 1.0);
    let telling = tries.iter().rev();
    let telling = telling.filter(|t| split.side_of(t) == Some(true) && t.worked == better);
    Some(Change {
        title: from.catalog.fixes.get(fix)?.title.clone(),
        fix: fix.clone(),
        since: split.since.clone(),
        before,
        after,
        difference: (part(after) - part(before), low, high),
        odds,
        tables: split.tables.clone(),
        p: split.p,
        q,
        tickets: telling.take(NAMED).map(|t| t.case.clone()).collect(),
        months: months.into_iter().collect(),
    })
}
