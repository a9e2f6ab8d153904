//! In which order a desk tries fixes, left to itself: first what it most often tried first, then what
//! it most often tried second, and so on.

use crate::articles::Catalog;
use crate::base::ids::{ArticleId, FixId, TicketId};
use crate::evidence::Cases;
use crate::tickets::{Ticket, TryResult};
use std::cmp::Reverse;
use std::collections::{BTreeMap, HashMap};

/// The desk's own order of the fixes of each article.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Habits {
    orders: BTreeMap<ArticleId, Vec<FixId>>,
}

impl Habits {
    /// From these cases, made of these tickets. Tries that were not possible do not count.
    #[must_use]
    pub fn of(cases: &Cases, tickets: &[&Ticket], catalog: &Catalog) -> Self {
        let by_id: HashMap<&TicketId, &Ticket> = tickets.iter().map(|t| (&t.id, *t)).collect();
        let mut times: BTreeMap<&ArticleId, HashMap<FixId, Vec<u64>>> = BTreeMap::new();
        for case in &cases.list {
            let Some(article) = &case.article else {
                continue;
            };
            let of_article = times.entry(article).or_default();
            let tickets = case.tickets().filter_map(|id| by_id.get(id));
            let tries = tickets
                .flat_map(|ticket| &ticket.tries)
                .filter(|t| t.result != TryResult::NotPossible);
            for (place, tried) in tries.enumerate() {
                if let Some(fix) = catalog.resolve_fix(Some(article), &tried.fix) {
                    let times = of_article.entry(fix).or_default();
                    if times.len() <= place {
                        times.resize(place + 1, 0);
                    }
                    times[place] += 1;
                }
            }
        }
        let none = HashMap::new();
        let order = |(id, fixes): (&ArticleId, &Vec<FixId>)| {
            let times = times.get(id).unwrap_or(&none);
            let mut fixes = fixes.clone();
            // A stable sort: what was tried as often stays in the author's order.
            fixes.sort_by_key(|fix| Reverse(times.get(fix).cloned().unwrap_or_default()));
            (id.clone(), fixes)
        };
        Self {
            orders: catalog.fixes_of.iter().map(order).collect(),
        }
    }

    /// The fixes of an article in the desk's order.
    #[must_use]
    pub fn order(&self, article: &ArticleId) -> &[FixId] {
        self.orders.get(article).map_or(&[], Vec::as_slice)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::articles::settings::Model;
    use crate::evidence::testing::{catalog, date, scrubbed, tried};

    #[test]
    fn the_order_is_by_how_often_first_then_second() {
        let catalog = catalog();
        let tickets = scrubbed(vec![
            tried("1", "2026-01-01", "trips", "reseal, swap-lead+", None),
            tried(
                "2",
                "2026-01-02",
                "trips",
                "reseal?, restart, swap-lead+",
                None,
            ),
            tried("3", "2026-01-03", "trips", "restart, reseal+", None),
            tried("4", "2026-01-04", "", "trips#reseal+", None),
        ]);
        let cases = Cases::of(
            &tickets,
            &BTreeMap::new(),
            &catalog,
            &Model::default(),
            date("2026-02-01"),
        );
        let tickets: Vec<&Ticket> = tickets.iter().collect();
        let habits = Habits::of(&cases, &tickets, &catalog);
        let order = |article: &str| -> Vec<String> {
            let fixes = habits.order(&ArticleId::new(article));
            fixes.iter().map(ToString::to_string).collect()
        };
        // First: reseal twice, restart twice; second: reseal once, swap-lead twice, restart never.
        assert_eq!(
            order("trips"),
            ["trips#reseal", "network#restart", "trips#swap-lead"]
        );
        // Never tried: the author's order.
        assert_eq!(order("network"), ["network#restart", "network#swap-card"]);
        assert!(habits.order(&ArticleId::new("gone")).is_empty());
    }
}
