//! In which order, and when to stop: least expected minutes under a single fault.
//!
//! Steps are done one after another until one ends the case. With `p_j` the chance that step `j`
//! is the one and `c_j` its minutes, a step is paid for only if none before it was:
//! `E(k) = Σ_{j≤k} c_j (1 − Σ_{l<j} p_l) + C (1 − Σ_{l≤k} p_l)`, `C` for handing on after `k`
//! steps. Without constraints falling `p/c` is best (Kadane & Simon 1977, Ann. Statist.
//! 5:237–255; Heckerman, Breese & Rommelse 1995); it is weighted completion time (Smith 1956).
//!
//! Where a step must come `after` others, steps that hang together are ordered among themselves,
//! the order is cut into blocks (a step joins what is before it while its ratio `Σp/Σc` is the
//! higher one) and all blocks are sorted by ratio (Sidney 1975, Oper. Res. 23:283–298; Lawler
//! 1978). The best set of steps is then a prefix: a block worth starting is worth finishing.
//!
//! What is exact: independent steps; groups in which no step waits for more than one other (Horn
//! 1972), of any size; any group of up to [`EXACT_GROUP`] steps (all orders, by dynamic
//! programming). Larger tangled groups are ordered by a rule of thumb: the best step together with
//! all that it waits for, again and again; the general problem is NP-hard (Lawler 1978).
//! Cost: sorting, and `2^n · n` for a small tangled group.

use std::ops::Range;

/// Steps that hang together up to which every order is tried.
pub const EXACT_GROUP: usize = 12;

/// Minutes below which a step counts as taking this long, so that ratios stay finite.
const LEAST_MINUTES: f64 = 1e-6;

/// One step to put in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Job {
    /// Chance that it is the one; 0 for a check.
    pub chance: f64,
    /// Minutes it takes.
    pub minutes: f64,
    /// Places of the steps that must be done before.
    pub after: Vec<usize>,
}

/// Where to stop, and what that costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// How many steps to do before handing on.
    pub after: usize,
    /// Expected minutes, handing on included: `M`.
    pub minutes: f64,
}

/// Places in the order of least expected minutes; equals stand by place.
#[must_use]
pub fn by_time(jobs: &[Job]) -> Vec<usize> {
    Groups::of(jobs).by_time(jobs)
}

/// Places in the order of falling chance; what must come before a likely step is drawn up with
/// it, as if every step took equally long, and what cannot end the case (a check) no time at all.
#[must_use]
pub fn by_chance(jobs: &[Job]) -> Vec<usize> {
    let even: Vec<Job> = jobs
        .iter()
        .map(|job| Job {
            minutes: if job.chance > 0.0 { 1.0 } else { 0.0 },
            ..job.clone()
        })
        .collect();
    by_time(&even)
}

/// `E(0)` to `E(n)` of an order.
#[must_use]
pub fn expected(jobs: &[Job], order: &[usize], hand_on: f64) -> Vec<f64> {
    let (mut left, mut paid) = (1.0, 0.0);
    let mut all = vec![hand_on];
    for &at in order {
        paid += jobs[at].minutes * left;
        left = f64::max(left - jobs[at].chance, 0.0);
        all.push(paid + hand_on * left);
    }
    all
}

/// The best prefix of an order: the shortest with the least `E(k)`.
#[must_use]
pub fn stop(jobs: &[Job], order: &[usize], hand_on: f64) -> Stop {
    let mut best = Stop {
        after: 0,
        minutes: hand_on,
    };
    for (after, minutes) in expected(jobs, order, hand_on).into_iter().enumerate() {
        if minutes < best.minutes {
            best = Stop { after, minutes };
        }
    }
    best
}

/// `M(p)`: expected minutes of the best order with the best stop.
#[must_use]
pub fn least_minutes(jobs: &[Job], hand_on: f64) -> f64 {
    Groups::of(jobs).least_minutes(jobs, hand_on)
}

/// Which steps hang together by `after`. Chances and minutes do not matter to it: who asks about the
/// same steps again and again finds them once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Groups {
    /// Steps that wait for none and that none waits for.
    alone: Vec<usize>,
    /// The others, each group in order of place.
    tied: Vec<Vec<usize>>,
}

impl Groups {
    /// The groups of these steps.
    #[must_use]
    pub fn of(jobs: &[Job]) -> Self {
        let mut label: Vec<usize> = (0..jobs.len()).collect();
        for (at, job) in jobs.iter().enumerate() {
            for &before in &job.after {
                let (old, new) = (label[at].max(label[before]), label[at].min(label[before]));
                if old != new {
                    label
                        .iter_mut()
                        .filter(|l| **l == old)
                        .for_each(|l| *l = new);
                }
            }
        }
        let mut groups = vec![Vec::new(); jobs.len()];
        for (at, label) in label.into_iter().enumerate() {
            groups[label].push(at);
        }
        groups.retain(|group: &Vec<usize>| !group.is_empty());
        let (alone, tied): (Vec<_>, Vec<_>) = groups.into_iter().partition(|g| g.len() == 1);
        Self {
            alone: alone.concat(),
            tied,
        }
    }

    /// As [`by_time`], of steps with these groups.
    #[must_use]
    pub fn by_time(&self, jobs: &[Job]) -> Vec<usize> {
        let mut order = self.alone.clone();
        let alone = self.alone.iter().enumerate();
        let mut blocks: Vec<Block> = alone.map(|(nth, at)| Block::new(jobs, *at, nth)).collect();
        for group in &self.tied {
            let from = order.len();
            order.extend(group_order(jobs, group));
            cut(jobs, &order, from, &mut blocks);
        }
        // Blocks of one group come with falling ratios and rising keys, and no two have the same key.
        blocks.sort_unstable_by(|a, b| b.ratio.total_cmp(&a.ratio).then(a.key.cmp(&b.key)));
        let places = blocks.iter().flat_map(|block| &order[block.places.clone()]);
        places.copied().collect()
    }

    /// As [`least_minutes`], of steps with these groups.
    #[must_use]
    pub fn least_minutes(&self, jobs: &[Job], hand_on: f64) -> f64 {
        stop(jobs, &self.by_time(jobs), hand_on).minutes
    }
}

/// Steps done as one, as a part of an order.
struct Block {
    places: Range<usize>,
    chance: f64,
    minutes: f64,
    ratio: f64,
    /// Breaks ties: the highest first place among this block and those before it in its group.
    key: (usize, usize),
}

impl Block {
    fn new(jobs: &[Job], at: usize, place: usize) -> Self {
        let (chance, minutes) = (
            jobs[at].chance.max(0.0),
            jobs[at].minutes.max(LEAST_MINUTES),
        );
        Self {
            places: place..place + 1,
            chance,
            minutes,
            ratio: chance / minutes,
            key: (at, 0),
        }
    }
}

/// Cuts an order from a place on into blocks with falling ratios.
fn cut(jobs: &[Job], order: &[usize], from: usize, blocks: &mut Vec<Block>) {
    let first = blocks.len();
    for (place, &at) in order.iter().enumerate().skip(from) {
        let mut block = Block::new(jobs, at, place);
        while blocks.len() > first
            && let Some(before) = blocks.pop_if(|before| before.ratio < block.ratio)
        {
            block.chance += before.chance;
            block.minutes += before.minutes;
            block.ratio = block.chance / block.minutes;
            block.key = before.key;
            block.places.start = before.places.start;
        }
        blocks.push(block);
    }
    let mut highest = 0;
    for (nth, block) in blocks[first..].iter_mut().enumerate() {
        highest = highest.max(block.key.0);
        block.key = (highest, nth);
    }
}

/// The best order of steps that hang together.
fn group_order(jobs: &[Job], group: &[usize]) -> Vec<usize> {
    if group.len() == 1 {
        return group.to_vec();
    }
    if group.iter().all(|&at| jobs[at].after.len() <= 1) {
        return tree_order(jobs, group);
    }
    if group.len() <= EXACT_GROUP {
        return every_order(jobs, group);
    }
    thumb_order(jobs, group)
}

/// No step waits for more than one other: the step with the highest ratio is joined to the end of
/// what it waits for, until nothing waits (Horn 1972, SIAM J. Appl. Math. 23:189–202).
fn tree_order(jobs: &[Job], group: &[usize]) -> Vec<usize> {
    let mut done: Vec<usize> = Vec::new();
    let mut trees: Vec<Tree> = group
        .iter()
        .map(|&at| Tree {
            jobs: vec![at],
            chance: jobs[at].chance.max(0.0),
            minutes: jobs[at].minutes.max(LEAST_MINUTES),
        })
        .collect();
    while !trees.is_empty() {
        let best = (0..trees.len())
            .max_by(|&a, &b| {
                let ratios = trees[a].ratio().total_cmp(&trees[b].ratio());
                ratios.then(trees[b].jobs[0].cmp(&trees[a].jobs[0]))
            })
            .unwrap_or(0);
        let tree = trees.remove(best);
        let before = jobs[tree.jobs[0]].after.first();
        match trees
            .iter_mut()
            .find(|other| before.is_some_and(|b| other.jobs.contains(b)))
        {
            Some(other) => {
                other.chance += tree.chance;
                other.minutes += tree.minutes;
                other.jobs.extend(tree.jobs);
            }
            None => done.extend(tree.jobs),
        }
    }
    done
}

/// Steps that follow one another.
struct Tree {
    jobs: Vec<usize>,
    chance: f64,
    minutes: f64,
}

impl Tree {
    fn ratio(&self) -> f64 {
        self.chance / self.minutes
    }
}

/// The order with the least `Σ p_j · (minutes up to j)`, over all orders that respect `after`:
/// dynamic programming over the sets that may have been done. A circle is left in order of place.
fn every_order(jobs: &[Job], group: &[usize]) -> Vec<usize> {
    let bit = |at: &usize| {
        group
            .iter()
            .position(|g| g == at)
            .map_or(0, |nth| 1usize << nth)
    };
    let before: Vec<usize> = group
        .iter()
        .map(|&at| jobs[at].after.iter().map(bit).fold(0, |set, bit| set | bit))
        .collect();
    let all = (1usize << group.len()) - 1;
    let mut best = vec![(f64::INFINITY, usize::MAX); all + 1];
    best[0].0 = 0.0;
    for set in 0..all {
        if best[set].0.is_infinite() {
            continue;
        }
        let paid: f64 = (0..group.len())
            .filter(|nth| set >> nth & 1 == 1)
            .map(|nth| jobs[group[nth]].minutes.max(LEAST_MINUTES))
            .sum();
        for (nth, &at) in group.iter().enumerate() {
            if set >> nth & 1 == 0 && before[nth] & !set == 0 {
                let minutes = paid + jobs[at].minutes.max(LEAST_MINUTES);
                let cost = best[set].0 + jobs[at].chance.max(0.0) * minutes;
                if cost < best[set | 1 << nth].0 {
                    best[set | 1 << nth] = (cost, nth);
                }
            }
        }
    }
    if best[all].0.is_infinite() {
        return group.to_vec();
    }
    let (mut order, mut set) = (Vec::new(), all);
    while set != 0 {
        let nth = best[set].1;
        order.push(group[nth]);
        set ^= 1 << nth;
    }
    order.reverse();
    order
}

/// The rule of thumb: the step that, with all it still waits for, has the highest ratio goes next.
fn thumb_order(jobs: &[Job], group: &[usize]) -> Vec<usize> {
    let mut done: Vec<usize> = Vec::new();
    while done.len() < group.len() {
        let mut best: Option<(f64, Vec<usize>)> = None;
        for &at in group.iter().filter(|at| !done.contains(at)) {
            let mut needed = Vec::new();
            collect_needed(jobs, at, &done, &mut needed, group.len());
            let chance: f64 = needed.iter().map(|&n| jobs[n].chance.max(0.0)).sum();
            let minutes: f64 = needed
                .iter()
                .map(|&n| jobs[n].minutes.max(LEAST_MINUTES))
                .sum();
            let ratio = chance / minutes;
            if best.as_ref().is_none_or(|(most, _)| ratio > *most) {
                best = Some((ratio, needed));
            }
        }
        done.extend(best.map(|(_, needed)| needed).unwrap_or_default());
    }
    done
}

/// What must be done up to and with a step, in an order that respects `after`.
fn collect_needed(jobs: &[Job], at: usize, done: &[usize], needed: &mut Vec<usize>, deep: usize) {
    if deep == 0 {
        return; // a circle
    }
    for &before in &jobs[at].after {
        if !done.contains(&before) && !needed.contains(&before) {
            collect_needed(jobs, before, done, needed, deep - 1);
        }
    }
    if !needed.contains(&at) {
        needed.push(at);
    }
}

#[cfg(test)]
#[path = "order_tests.rs"]
mod tests;
