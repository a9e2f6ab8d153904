//! Which tickets continue each other: a visit, a second call, anything that `follows` another.
//!
//! Everything connected through `follows` is one group, whichever way it points. `follows` may name a
//! ticket's id or its ref. Cost: near-linear (union-find, Tarjan 1975).

use crate::base::ids::TicketId;
use serde::Deserialize;
use std::collections::{BTreeMap, HashMap};

/// A ticket's names, and what it continues.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Link {
    /// Its id.
    pub id: TicketId,
    /// Its id in the office's own system.
    #[serde(rename = "ref", default)]
    pub reference: Option<String>,
    /// The id or ref of the ticket it continues.
    #[serde(default)]
    pub follows: Option<String>,
}

/// The ids of tickets that are connected, each group and all groups in the order of `links`.
#[must_use]
pub fn groups(links: &[Link]) -> Vec<Vec<TicketId>> {
    let mut named: HashMap<&str, usize> = HashMap::new();
    for (at, link) in links.iter().enumerate() {
        for name in [Some(link.id.as_str()), link.reference.as_deref()] {
            named.extend(name.map(|name| (name, at)));
        }
    }
    // A ticket's id and another's ref may be the same word: both are joined, and who reads the tickets
    // decides which was meant.
    let mut all = Groups((0..links.len()).collect());
    for (at, link) in links.iter().enumerate() {
        let names = [
            Some(link.id.as_str()),
            link.reference.as_deref(),
            link.follows.as_deref(),
        ];
        for other in names.iter().flatten().filter_map(|name| named.get(name)) {
            all.join(at, *other);
        }
    }
    let mut found: BTreeMap<usize, Vec<TicketId>> = BTreeMap::new();
    for (at, link) in links.iter().enumerate() {
        found.entry(all.root(at)).or_default().push(link.id.clone());
    }
    found.into_values().collect()
}

/// Union-find with path halving.
struct Groups(Vec<usize>);

impl Groups {
    fn root(&mut self, mut at: usize) -> usize {
        while self.0[at] != at {
            self.0[at] = self.0[self.0[at]];
            at = self.0[at];
        }
        at
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a.max(b)] = a.min(b);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Links as `id`, or `id<followed`; the ref is `r` and the id.
    fn grouped(links: &str) -> String {
        let link = |text: &str| {
            let (id, follows) = text
                .split_once('<')
                .map_or((text, None), |(a, b)| (a, Some(b)));
            Link {
                id: TicketId::new(id),
                reference: Some(format!("r{id}")),
                follows: follows.map(str::to_owned),
            }
        };
        let links: Vec<Link> = links.split(' ').map(link).collect();
        let groups = groups(&links).into_iter().map(|group| {
            let ids: Vec<String> = group.iter().map(ToString::to_string).collect();
            ids.join(" ")
        });
        groups.collect::<Vec<_>>().join(", ")
    }

    #[test]
    fn tickets_that_continue_each_other_are_one_group() {
        for (links, expected) in [
            ("a b<a c", "a b, c"),
            ("b<a a", "b a"),
            ("a b<ra", "a b"),
            ("a b<a c<b d<rc", "a b c d"),
            ("a b<a c<a", "a b c"),
            ("a<b b<a", "a b"),
            ("a<a", "a"),
            ("a<gone b", "a, b"),
            ("c<ra a ra", "c a ra"),
        ] {
            assert_eq!(grouped(links), expected, "{links}");
        }
    }
}
