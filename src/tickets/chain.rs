//! Joins tickets that are one case: a visit, a second call, anything that `follows` another.
//!
//! A chain is everything connected through `follows`, whichever way it points, so a circle is one
//! chain like any other, and two tickets that follow the same unknown ticket belong together.
//! `follows` may name a ticket's id or, where no id is so called, its ref.
//!
//! Cost: sorting, then near-linear joining (union-find, Tarjan 1975).

use super::record::RawTicket;
use std::collections::HashMap;

/// One case: its tickets in order of (closed, id), at least one.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain<'a> {
    tickets: Vec<&'a RawTicket>,
}

impl<'a> Chain<'a> {
    /// The tickets, first to last.
    #[must_use]
    pub fn tickets(&self) -> &[&'a RawTicket] {
        &self.tickets
    }

    /// The ticket it began with.
    #[must_use]
    pub fn first(&self) -> &'a RawTicket {
        self.tickets[0]
    }

    /// The ticket whose result rules.
    #[must_use]
    pub fn last(&self) -> &'a RawTicket {
        self.tickets[self.tickets.len() - 1]
    }
}

/// Groups tickets into chains, in order of each chain's first (closed, id).
///
/// The order of `tickets` does not matter. Of tickets with the same id all are kept.
pub fn chains<'a>(tickets: impl IntoIterator<Item = &'a RawTicket>) -> Vec<Chain<'a>> {
    let mut tickets: Vec<&RawTicket> = tickets.into_iter().collect();
    tickets.sort_by(|a, b| (a.closed, &a.id).cmp(&(b.closed, &b.id)));
    let mut nodes: HashMap<&str, usize> = HashMap::new();
    for (at, ticket) in tickets.iter().enumerate() {
        nodes.entry(ticket.id.as_str()).or_insert(at);
    }
    for (at, ticket) in tickets.iter().enumerate() {
        if let Some(reference) = &ticket.reference {
            nodes.entry(reference).or_insert(at);
        }
    }
    let mut groups = Groups((0..tickets.len()).collect());
    for (at, ticket) in tickets.iter().enumerate() {
        if let Some(follows) = &ticket.follows {
            // The first follower of an unknown ticket stands for it.
            let parent = *nodes.entry(follows.as_str()).or_insert(at);
            groups.join(at, parent);
        }
    }
    let mut chains: Vec<Chain<'a>> = Vec::new();
    let mut chain_of: HashMap<usize, usize> = HashMap::new();
    for (at, ticket) in tickets.iter().enumerate() {
        let chain = *chain_of.entry(groups.root(at)).or_insert_with(|| {
            chains.push(Chain {
                tickets: Vec::new(),
            });
            chains.len() - 1
        });
        chains[chain].tickets.push(ticket);
    }
    chains
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

    fn ticket(id: &str, day: u8, follows: &str) -> RawTicket {
        let mut json = serde_json::json!({
            "id": id, "ref": format!("r{id}"), "said": "x",
            "closed": format!("2026-03-{day:02}T09:00:00Z"),
        });
        if !follows.is_empty() {
            json["follows"] = follows.into();
        }
        serde_json::from_value(json).unwrap()
    }

    #[test]
    fn tickets_that_follow_each_other_are_one_case() {
        for (given, expected) in [
            (vec![("a", 1, ""), ("b", 2, "")], "a | b"),
            (vec![("b", 2, "a"), ("a", 1, "")], "a b"),
            (vec![("c", 3, "b"), ("b", 2, "a"), ("a", 1, "")], "a b c"),
            (vec![("a", 1, ""), ("c", 3, "a"), ("b", 2, "a")], "a b c"),
            // A circle, a ticket that follows itself, a follower older than what it follows.
            (vec![("a", 1, "b"), ("b", 2, "a"), ("c", 3, "")], "a b | c"),
            (vec![("a", 1, "a")], "a"),
            (vec![("a", 2, ""), ("b", 1, "a")], "b a"),
            // Nobody knows z.
            (vec![("a", 1, "z"), ("b", 2, ""), ("c", 3, "z")], "a c | b"),
            // Named by its ref.
            (vec![("a", 1, ""), ("b", 2, "ra")], "a b"),
            (vec![], ""),
        ] {
            let tickets: Vec<RawTicket> = given
                .iter()
                .map(|(id, day, f)| ticket(id, *day, f))
                .collect();
            let shown: Vec<String> = chains(&tickets)
                .iter()
                .map(|chain| {
                    let ids: Vec<&str> = chain.tickets().iter().map(|t| t.id.as_str()).collect();
                    ids.join(" ")
                })
                .collect();
            assert_eq!(shown.join(" | "), expected, "{given:?}");
        }
    }

    #[test]
    fn a_long_chain_is_no_burden() {
        let tickets: Vec<RawTicket> = (0..20_000)
            .map(|n: u32| ticket(&n.to_string(), 1, &n.saturating_sub(1).to_string()))
            .collect();
        assert_eq!(chains(&tickets).len(), 1);
    }
}
