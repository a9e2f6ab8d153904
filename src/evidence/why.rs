//! Why a share is what it is: the same sum as [`super::share`], told ticket by ticket.
//!
//! At the maximum a share is its counts over all counts: what the author's order gives it, the
//! cases it ended, and its part of each group of cases given up before it was tried.

use super::cases::{Case, Cases, End};
use super::entries::{Entry, Options};
use super::facts::Evidence;
use super::share::Tally;
use crate::articles::{Catalog, Settings};
use crate::base::explain::Explain;
use crate::base::ids::{ArticleId, FixId};
use std::collections::BTreeMap;

/// Tickets listed one by one; the rest of a group is summed up.
const LISTED: usize = 20;

/// The share of one fix of an article (none: of what is not listed) as a tree, on one device or
/// overall. The parts add up to the share times the total that the words name. None where the
/// article does not offer the fix.
#[must_use]
pub fn why(
    cases: &Cases,
    evidence: &Evidence,
    catalog: &Catalog,
    settings: &Settings,
    (article, fix): (&ArticleId, Option<&FixId>),
    device: Option<&str>,
) -> Option<Explain> {
    let options = Options::new(
        catalog.fixes_of.get(article)?,
        settings.model.half_life_days,
    );
    let target = match fix {
        Some(fix) => options.fixes.iter().position(|f| f == fix)?,
        None => options.other(),
    };
    let found = evidence.articles.get(article)?;
    let device = device.filter(|device| found.devices.contains_key(*device));
    let used: Vec<&Case> = cases
        .list
        .iter()
        .filter(|case| case.article.as_ref() == Some(article))
        .filter(|case| device.is_none() || case.device.as_deref() == device)
        .collect();
    let tally = match device {
        Some(_) => {
            let shares: Vec<f64> = found.overall().iter().map(|s| s.share).collect();
            options.device_tally(used.iter().copied(), &shares, evidence.kappa)
        }
        None => options.tally(used.iter().copied(), &evidence.prior),
    };
    let shares: Vec<f64> = evidence
        .share_of(article, device)
        .iter()
        .map(|share| share.share)
        .collect();
    let telling = Telling {
        options,
        tally,
        shares,
        target,
    };
    let name = fix.map_or_else(|| "nothing listed".to_owned(), |fix| format!("`{fix}`"));
    let place = device.map_or_else(String::new, |device| format!(" on {device}"));
    let total = telling.tally.total();
    Some(Explain::of(
        telling.shares[target],
        format!(
            "{name} is what ends a case of `{article}`{place}: the parts below, divided by {total:.2} in all"
        ),
        telling.parts(&used, device, evidence),
    ))
}

struct Telling<'a> {
    options: Options<'a>,
    tally: Tally,
    shares: Vec<f64>,
    target: usize,
}

/// Cases of one pattern with their weights, in the order of the cases.
type Group<'c> = Vec<(&'c Case, f64)>;

impl Telling<'_> {
    fn parts(&self, used: &[&Case], device: Option<&str>, evidence: &Evidence) -> Vec<Explain> {
        let prior = self.tally.prior[self.target];
        let mut parts = vec![Explain::leaf(
            prior,
            match device {
                Some(_) => format!(
                    "the article's shares on all devices, worth {:.1} cases",
                    evidence.kappa
                ),
                None => format!(
                    "the author's order, worth {:.1} cases",
                    evidence.prior.cases
                ),
            },
        )];
        let mut ended: Group<'_> = Vec::new();
        let mut open: BTreeMap<Vec<usize>, Group<'_>> = BTreeMap::new();
        let (mut failed, mut other) = (Vec::new(), Vec::new());
        for case in used {
            for entry in self.options.entries(case) {
                match entry {
                    Entry::Resolved(by, weight) if by == self.target => ended.push((case, weight)),
                    Entry::Resolved(_, weight) => other.push((*case, weight)),
                    Entry::Open(tried, weight) if tried.contains(&self.target) => {
                        failed.push((*case, weight));
                    }
                    Entry::Open(tried, weight) => {
                        open.entry(tried).or_default().push((case, weight));
                    }
                }
            }
        }
        if !ended.is_empty() {
            let words = format!("{} it ended", cases(ended.len()));
            parts.push(group(&ended, 1.0, words));
        }
        parts.extend(open.iter().map(|(tried, of)| self.left_open(tried, of)));
        for (of, what) in [
            (failed, "not ended by it although it was tried"),
            (other, "ended by something else"),
        ] {
            if !of.is_empty() {
                let weight: f64 = of.iter().map(|(_, weight)| weight).sum();
                let count = cases(of.len());
                let words = format!("{count} {what}: {weight:.2} in the total alone");
                parts.push(Explain::leaf(0.0, words));
            }
        }
        parts
    }

    /// Its part of the cases given up after others were tried.
    fn left_open(&self, tried: &[usize], of: &Group<'_>) -> Explain {
        let left = (0..self.shares.len()).filter(|f| !tried.contains(f));
        let part = self.shares[self.target] / left.map(|f| self.shares[f]).sum::<f64>();
        let names: Vec<String> = tried
            .iter()
            .map(|f| format!("`{}`", self.options.fixes[*f].short()))
            .collect();
        let after = if names.is_empty() {
            "with nothing tried".to_owned()
        } else {
            format!("after {}", names.join(", "))
        };
        let words = format!(
            "{} left open {after}: it may have been the one with chance {part:.2}",
            cases(of.len())
        );
        group(of, part, words)
    }
}

fn cases(count: usize) -> String {
    if count == 1 {
        "1 case".to_owned()
    } else {
        format!("{count} cases")
    }
}

/// A group with its newest tickets one by one.
fn group(of: &Group<'_>, part: f64, words: String) -> Explain {
    let total: f64 = of.iter().map(|(_, weight)| weight * part).sum();
    let mut leaves: Vec<Explain> = of
        .iter()
        .rev()
        .take(LISTED)
        .map(|(case, weight)| Explain::leaf(weight * part, ticket(case)))
        .collect();
    if let Some(more) = of.len().checked_sub(LISTED).filter(|more| *more > 0) {
        let rest: f64 = of[..more].iter().map(|(_, weight)| weight * part).sum();
        leaves.push(Explain::leaf(rest, format!("{} before these", cases(more))));
    }
    Explain::of(total, words, leaves)
}

fn ticket(case: &Case) -> String {
    let mut words = format!("{}, {:.0} days old", case.id, case.age_days);
    if case.held < 1.0 && matches!(case.end, End::Fix(_) | End::Other) {
        words += &format!(", holds with chance {:.2}", case.held);
    }
    if case.inferred || !case.read.is_empty() {
        words += ", read from its words";
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::gather;
    use crate::evidence::testing::{catalog, date, scrubbed, tried};
    use crate::tickets::Outcome;

    #[test]
    fn the_parts_add_up_to_the_share() {
        let dropped = Some(Outcome::Dropped);
        let mut tickets = Vec::new();
        for (count, tries, outcome) in [
            (25, "reseal+", None),
            (3, "swap-lead", dropped),
            (2, "swap-lead, reseal", dropped),
            (4, "swap-lead+", None),
            (1, "", dropped),
        ] {
            for _ in 0..count {
                let id = format!("T-{:02}", tickets.len());
                let mut raw = tried(&id, "2026-06-20", "trips", tries, outcome);
                raw.device = (tickets.len() % 2 == 0).then(|| "post-7".to_owned());
                tickets.push(raw);
            }
        }
        tickets[0].reopened = Some("2026-06-25T10:00:00Z".parse().unwrap());
        let (catalog, settings, as_of) = (catalog(), Settings::default(), date("2026-06-30"));
        let tickets = scrubbed(tickets);
        let cases = Cases::of(&tickets, &BTreeMap::new(), &catalog, &settings.model, as_of);
        let evidence = gather(&cases, &catalog, &settings, as_of);
        let trips = ArticleId::new("trips");
        let fixes = &catalog.fixes_of[&trips];
        for device in [None, Some("post-7"), Some("sc-2")] {
            let mut sum = 0.0;
            for fix in fixes.iter().map(Some).chain([None]) {
                let told = why(
                    &cases,
                    &evidence,
                    &catalog,
                    &settings,
                    (&trips, fix),
                    device,
                )
                .unwrap();
                let parts: f64 = told.parts.iter().map(|part| part.value).sum();
                let total = told.words.rsplit("divided by ").next().unwrap();
                let total: f64 = total.trim_end_matches(" in all").parse().unwrap();
                assert!((parts / total - told.value).abs() < 1e-3, "{told:?}");
                for part in told.parts.iter().filter(|part| !part.parts.is_empty()) {
                    let leaves: f64 = part.parts.iter().map(|leaf| leaf.value).sum();
                    assert!((leaves - part.value).abs() < 1e-9);
                }
                sum += parts / total;
            }
            assert!((sum - 1.0).abs() < 1e-3);
        }
        let fix = FixId::new("trips#reseal");
        let told = why(
            &cases,
            &evidence,
            &catalog,
            &settings,
            (&trips, Some(&fix)),
            None,
        )
        .unwrap();
        assert!(
            told.parts[1].words.starts_with("24 cases it ended"),
            "{told:?}"
        );
        assert_eq!(told.parts[1].parts.len(), LISTED + 1);
        let unknown = FixId::new("trips#unknown");
        let told = why(
            &cases,
            &evidence,
            &catalog,
            &settings,
            (&trips, Some(&unknown)),
            None,
        );
        assert_eq!(told, None);
    }
}
