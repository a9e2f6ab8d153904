//! Which tickets make one case: those that `follows` joins.

use super::cases::day;
use crate::tickets::RawTicket;
use crate::tickets::care::FORGOTTEN;
use std::collections::{BTreeMap, HashMap};

/// Groups tickets into chains, each in order of closing, a follower after what it follows.
///
/// `follows` names a ticket by its id, or by its id in the office's own system. A name that is
/// not among the tickets joins nothing; a circle is one chain.
pub(super) fn chains<'a>(tickets: &[&'a RawTicket]) -> Vec<Vec<&'a RawTicket>> {
    let before = predecessors(tickets);
    if before.is_empty() {
        return tickets.iter().map(|ticket| vec![*ticket]).collect();
    }
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut parent: Vec<usize> = (0..tickets.len()).collect();
    for (follower, &leader) in &before {
        let (a, b) = (root(&mut parent, *follower), root(&mut parent, leader));
        parent[a.max(b)] = a.min(b);
    }
    for at in 0..tickets.len() {
        let top = root(&mut parent, at);
        groups.entry(top).or_default().push(at);
    }
    let depth = |mut at: usize, most: usize| {
        let mut steps = 0;
        while let Some(&leader) = before.get(&at) {
            at = leader;
            steps += 1;
            if steps > most {
                return 0; // a circle: closing time and id decide alone
            }
        }
        steps
    };
    groups
        .into_values()
        .map(|mut group| {
            if group.len() > 1 {
                let most = group.len();
                group.sort_by_cached_key(|&at| {
                    let ticket = tickets[at];
                    (ticket.closed, depth(at, most), ticket.id.clone())
                });
            }
            group.into_iter().map(|at| tickets[at]).collect()
        })
        .collect()
}

fn predecessors(tickets: &[&RawTicket]) -> BTreeMap<usize, usize> {
    if tickets.iter().all(|t| t.follows.is_none()) {
        return BTreeMap::new();
    }
    let by_id: HashMap<&str, usize> = tickets
        .iter()
        .enumerate()
        .map(|(at, t)| (t.id.as_str(), at))
        .collect();
    let by_reference: HashMap<&str, usize> = tickets
        .iter()
        .enumerate()
        .filter_map(|(at, t)| Some((t.reference.as_deref()?, at)))
        .collect();
    tickets
        .iter()
        .enumerate()
        .filter_map(|(at, ticket)| {
            let name = ticket.follows.as_ref()?.as_str();
            let leader = by_id.get(name).or_else(|| by_reference.get(name))?;
            (*leader != at).then_some((at, *leader))
        })
        .collect()
}

fn root(parent: &mut [usize], mut at: usize) -> usize {
    while parent[at] != at {
        parent[at] = parent[parent[at]];
        at = parent[at];
    }
    at
}

/// Days after which the case came back in a later ticket of its chain: the next one that a person
/// recorded under the same article. Measured from closing to the next opening, or its closing
/// where no opening is known.
pub(super) fn came_back(ticket: &RawTicket, later: &[&RawTicket]) -> Option<f64> {
    let article = ticket.article.as_ref()?;
    let next = later.iter().find(|t| t.article.as_ref() == Some(article))?;
    let start = next.opened.unwrap_or(next.closed).max(ticket.closed);
    Some(super::cases::days_between(day(ticket.closed), day(start)))
}

/// Codes shown, each once, in order.
pub(super) fn codes(tickets: &[&RawTicket]) -> Vec<String> {
    let mut codes: Vec<String> = Vec::new();
    for code in tickets.iter().flat_map(|t| &t.codes) {
        if !codes.contains(code) {
            codes.push(code.clone());
        }
    }
    codes
}

/// What callers said, else the notes; one line for each ticket that says something.
pub(super) fn words(tickets: &[&RawTicket]) -> String {
    let join = |pick: fn(&RawTicket) -> Option<&String>| {
        let texts: Vec<&str> = tickets
            .iter()
            .filter_map(|t| pick(t))
            .map(|text| text.trim())
            .filter(|text| !text.is_empty() && *text != FORGOTTEN)
            .collect();
        texts.join("\n")
    };
    let said = join(|t| t.said.as_ref());
    if said.is_empty() {
        join(|t| t.notes.as_ref())
    } else {
        said
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::testing::ticket;

    #[test]
    fn tickets_that_follow_each_other_are_one_chain() {
        let mut first = ticket("T-1", "2026-03-01");
        first.reference = Some("900".to_owned());
        let mut second = ticket("T-3", "2026-03-02");
        second.follows = Some("T-1".into());
        let mut third = ticket("T-2", "2026-03-03");
        third.follows = Some("900".into());
        let mut lost = ticket("T-4", "2026-03-03");
        lost.follows = Some("T-99".into());
        let all = [&third, &lost, &second, &first];
        let chains: Vec<Vec<&str>> = chains(&all)
            .iter()
            .map(|c| c.iter().map(|t| t.id.as_str()).collect())
            .collect();
        assert_eq!(chains, [vec!["T-1", "T-3", "T-2"], vec!["T-4"]]);
    }

    #[test]
    fn a_circle_is_one_chain_and_the_same_moment_is_ordered_by_who_follows() {
        let mut a = ticket("A", "2026-03-01");
        let mut b = ticket("B", "2026-03-01");
        a.follows = Some("B".into());
        let chain = chains(&[&a, &b]);
        assert_eq!(chain[0][0].id.as_str(), "B");
        b.follows = Some("A".into());
        assert_eq!(chains(&[&a, &b]).len(), 1);
        b.follows = Some("B".into());
        assert_eq!(chains(&[&b]).len(), 1);
    }
}
