//! Groups of texts that say the same, each named by its most distinctive words.
//!
//! **Grouping.** Texts are compared by the cosine of their tf-idf vectors. The text with most others
//! near it, by weight, becomes a centre and takes its neighbours; then the next among what is left,
//! until no centre has neighbours enough. A second pass gives each text to the centre of gravity it
//! is nearest to, so that the order of centres matters little. What is near nothing stays alone: a
//! group is evidence that people describe one thing, and noise must not be squeezed into one. The
//! idea is that of the leader algorithm (Hartigan 1975, ch. 3; from memory) with leaders by density.
//! Cost: each text is compared with those it shares a word with.
//!
//! **Naming.** Words by the z-score of the log-odds ratio with an informative Dirichlet prior (Monroe,
//! Colaresi & Quinn 2008, "Fightin' Words", Political Analysis 16(4), section 3.3.1 and 3.5.1; sections
//! from memory): for word `w`, its count `y` among `n` in the group, `y'` among `n'` in the rest, and a
//! prior of `a_w = A·(y + y')/(n + n')`, `a_0 = A`,
//! `δ = ln((y + a_w)/(n + a_0 − y − a_w)) − ln((y' + a_w)/(n' + a_0 − y' − a_w))`,
//! `σ² ≈ 1/(y + a_w) + 1/(y' + a_w)`, `z = δ/σ`. The prior keeps words that everybody uses, and words
//! used once, from standing first.

use std::collections::{BTreeMap, BTreeSet};

/// Texts this near to each other say the same. Chosen by trying 0.2 to 0.5 on the demo's callers:
/// below it different faults of one part flow together, above it wordings of one fault fall apart.
const NEAR: f64 = 0.3;

/// Groups whose middles are this near are about one thing, for [`topics`], and so is a text with the
/// middle of its topic. Chosen on the demo: at 0.15 two things become one, at 0.25 the sayings of one
/// thing stay apart.
const ONE_TOPIC: f64 = 0.2;

/// A word in more than this share of all texts brings no two of them together.
const COMMON: f64 = 0.25;

/// Words of so few texts are never too common.
const FEW: f64 = 20.0;

/// The weight of the prior in words, `A` above: as much as a hundred short sentences. A guess.
const PRIOR: f64 = 500.0;

/// One text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Its terms, in any order.
    pub terms: Vec<String>,
    /// How many cases it stands for.
    pub weight: f64,
}

/// A group of texts.
#[derive(Clone, Debug, PartialEq)]
pub struct Cluster {
    /// Numbers of its texts, nearest to the middle first.
    pub texts: Vec<usize>,
    /// The sum of their weights.
    pub weight: f64,
    /// Its most distinctive terms, most distinctive first, with their z-scores.
    pub names: Vec<(String, f64)>,
}

/// Groups texts; groups of less than `least` weight are left out. Heaviest first; the same texts in
/// the same order give the same groups. `named_by` says how many words name one.
#[must_use]
pub fn clusters(texts: &[Text], least: f64, named_by: usize) -> Vec<Cluster> {
    let vectors = Vectors::of(texts);
    let centres: Vec<Vector> = leaders(texts, &vectors, least)
        .iter()
        .map(|group| vectors.middle(texts, group))
        .collect();
    around(&centres, NEAR, texts, &vectors, (least, named_by))
}

/// As [`clusters`], with groups that are about one thing in other words joined: people say one thing
/// in several ways that share few words, and what they share shows in the middles of the groups.
#[must_use]
pub fn topics(texts: &[Text], least: f64, named_by: usize) -> Vec<Cluster> {
    let vectors = Vectors::of(texts);
    let groups = leaders(texts, &vectors, least);
    let centres: Vec<Vector> = groups
        .iter()
        .map(|group| vectors.middle(texts, group))
        .collect();
    let mut topic: Vec<usize> = (0..groups.len()).collect();
    for (at, centre) in centres.iter().enumerate() {
        for other in 0..at {
            if cosine(centre, &centres[other]) >= ONE_TOPIC {
                let (from, into) = (topic[at].max(topic[other]), topic[at].min(topic[other]));
                topic
                    .iter_mut()
                    .filter(|t| **t == from)
                    .for_each(|t| *t = into);
            }
        }
    }
    let mut joined: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (topic, group) in topic.into_iter().zip(groups) {
        joined.entry(topic).or_default().extend(group);
    }
    let centres: Vec<Vector> = joined
        .values()
        .map(|group| vectors.middle(texts, group))
        .collect();
    around(&centres, ONE_TOPIC, texts, &vectors, (least, named_by))
}

/// Gives each text to the nearest centre, if it is as near as `near`.
fn around(
    centres: &[Vector],
    near: f64,
    texts: &[Text],
    vectors: &Vectors,
    (least, named_by): (f64, usize),
) -> Vec<Cluster> {
    let bar = near;
    let mut groups: Vec<Vec<(f64, usize)>> = vec![Vec::new(); centres.len()];
    for (text, vector) in vectors.all.iter().enumerate() {
        let nearest = centres
            .iter()
            .enumerate()
            .map(|(group, centre)| (cosine(vector, centre), group))
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
        if let Some((near, group)) = nearest.filter(|(near, _)| *near >= bar) {
            groups[group].push((near, text));
        }
    }
    let mut out: Vec<Cluster> = groups
        .into_iter()
        .map(|mut group| {
            group.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            let members: Vec<usize> = group.into_iter().map(|(_, text)| text).collect();
            Cluster {
                weight: members.iter().map(|text| texts[*text].weight).sum(),
                names: Vec::new(),
                texts: members,
            }
        })
        .filter(|cluster| !cluster.texts.is_empty() && cluster.weight >= least)
        .collect();
    out.sort_by(|a, b| {
        b.weight
            .total_cmp(&a.weight)
            .then_with(|| a.texts.cmp(&b.texts))
    });
    let all = counted(texts, 0..texts.len());
    for cluster in &mut out {
        cluster.names = distinctive(
            &counted(texts, cluster.texts.iter().copied()),
            &all,
            named_by,
        );
    }
    out
}

/// A text as term number to tf-idf, of length one.
type Vector = BTreeMap<usize, f64>;

struct Vectors {
    all: Vec<Vector>,
    /// For each term that is not too common, the texts it stands in, with its value there.
    postings: Vec<Vec<(usize, f64)>>,
}

impl Vectors {
    fn of(texts: &[Text]) -> Self {
        let mut numbers: BTreeMap<&str, usize> = BTreeMap::new();
        for term in texts.iter().flat_map(|text| &text.terms) {
            numbers.entry(term).or_default();
        }
        for (number, slot) in numbers.values_mut().enumerate() {
            *slot = number;
        }
        let mut holding: Vec<Vec<usize>> = vec![Vec::new(); numbers.len()];
        let mut counts: Vec<BTreeMap<usize, f64>> = Vec::with_capacity(texts.len());
        for (at, text) in texts.iter().enumerate() {
            let mut count = BTreeMap::new();
            for term in &text.terms {
                *count.entry(numbers[term.as_str()]).or_insert(0.0) += 1.0;
            }
            for term in count.keys() {
                holding[*term].push(at);
            }
            counts.push(count);
        }
        let total = texts.len() as f64;
        let idf: Vec<f64> = holding
            .iter()
            .map(|texts| (1.0 + total / (1.0 + texts.len() as f64)).ln())
            .collect();
        let all: Vec<Vector> = counts
            .into_iter()
            .map(|count| {
                let weighed = count
                    .into_iter()
                    .map(|(term, n)| (term, (1.0 + n.ln()) * idf[term]));
                unit(weighed.collect())
            })
            .collect();
        let common = (COMMON * total).max(FEW);
        let postings = holding
            .into_iter()
            .enumerate()
            .map(|(term, texts)| {
                if texts.len() as f64 > common {
                    return Vec::new();
                }
                let value = |text: usize| (text, Self::value(&all, text, term));
                texts.into_iter().map(value).collect()
            })
            .collect();
        Self { all, postings }
    }

    fn value(all: &[Vector], text: usize, term: usize) -> f64 {
        all[text].get(&term).copied().unwrap_or(0.0)
    }

    /// The texts near one by words that are not too common, itself included, in order.
    fn near(&self, text: usize) -> Vec<usize> {
        let mut products: BTreeMap<usize, f64> = BTreeMap::from([(text, 1.0)]);
        for (term, value) in &self.all[text] {
            for (other, there) in &self.postings[*term] {
                *products.entry(*other).or_insert(0.0) += value * there;
            }
        }
        let near = products.into_iter().filter(|(_, product)| *product >= NEAR);
        near.map(|(other, _)| other).collect()
    }

    /// The centre of gravity of texts.
    fn middle(&self, texts: &[Text], group: &[usize]) -> Vector {
        let mut sum = Vector::new();
        for text in group {
            for (term, value) in &self.all[*text] {
                *sum.entry(*term).or_insert(0.0) += value * texts[*text].weight;
            }
        }
        unit(sum)
    }
}

fn unit(mut vector: Vector) -> Vector {
    let length = vector.values().map(|v| v * v).sum::<f64>().sqrt();
    if length > 0.0 {
        vector.values_mut().for_each(|v| *v /= length);
    }
    vector
}

/// Both of length one.
fn cosine(a: &Vector, b: &Vector) -> f64 {
    let (short, long) = if a.len() <= b.len() { (a, b) } else { (b, a) };
    short
        .iter()
        .filter_map(|(term, value)| Some(value * long.get(term)?))
        .sum()
}

/// The densest texts with their neighbours, each text once, of at least `least` weight.
fn leaders(texts: &[Text], vectors: &Vectors, least: f64) -> Vec<Vec<usize>> {
    let near: Vec<Vec<usize>> = (0..texts.len()).map(|text| vectors.near(text)).collect();
    let mut free: BTreeSet<usize> = (0..texts.len()).collect();
    let weight = |group: &[usize], free: &BTreeSet<usize>| -> f64 {
        let still = group.iter().filter(|text| free.contains(text));
        still.map(|text| texts[*text].weight).sum()
    };
    // A neighbourhood only gets lighter as texts are taken out of it, so an old weight is a bound,
    // and only the heaviest needs to be weighed again.
    let mut queue: BTreeSet<(std::cmp::Reverse<u64>, usize)> = (0..texts.len())
        .map(|text| (key(weight(&near[text], &free)), text))
        .collect();
    let mut groups = Vec::new();
    while let Some((bound, text)) = queue.pop_first() {
        if !free.contains(&text) {
            continue;
        }
        let now = weight(&near[text], &free);
        if now < least {
            if bound == key(now) {
                break;
            }
            queue.insert((key(now), text));
            continue;
        }
        if key(now) != bound {
            queue.insert((key(now), text));
            continue;
        }
        let group: Vec<usize> = near[text]
            .iter()
            .copied()
            .filter(|t| free.contains(t))
            .collect();
        free.retain(|text| group.binary_search(text).is_err());
        groups.push(group);
    }
    groups
}

/// Heavier first; weights are never negative, so their bits sort as they do.
fn key(weight: f64) -> std::cmp::Reverse<u64> {
    std::cmp::Reverse(weight.max(0.0).to_bits())
}

/// How often each term is used, by weight.
fn counted(texts: &[Text], which: impl IntoIterator<Item = usize>) -> BTreeMap<&str, f64> {
    let mut counts = BTreeMap::new();
    for text in which {
        for term in &texts[text].terms {
            *counts.entry(term.as_str()).or_insert(0.0) += texts[text].weight;
        }
    }
    counts
}

/// The terms that set some of the texts apart from the rest, with their z-scores, highest first.
#[must_use]
pub fn distinctive_in(texts: &[Text], which: &[usize], most: usize) -> Vec<(String, f64)> {
    let all = counted(texts, 0..texts.len());
    distinctive(&counted(texts, which.iter().copied()), &all, most)
}

/// The terms that set one part of all texts apart from the rest, with their z-scores; only positive
/// ones, the highest first.
fn distinctive(
    part: &BTreeMap<&str, f64>,
    all: &BTreeMap<&str, f64>,
    most: usize,
) -> Vec<(String, f64)> {
    let n: f64 = part.values().sum();
    let total: f64 = all.values().sum();
    let rest = total - n;
    let mut scored: Vec<(String, f64)> = part
        .iter()
        .map(|(term, y)| {
            let used = all.get(term).copied().unwrap_or(*y);
            let z = z_score((*y, n), (used - y, rest), PRIOR * used / total);
            ((*term).to_owned(), z)
        })
        .filter(|(_, z)| *z > 0.0)
        .collect();
    scored.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    scored.truncate(most);
    scored
}

/// The z-score of a word: its count among all words here, the same elsewhere, and its prior count.
fn z_score((y, n): (f64, f64), (y2, n2): (f64, f64), prior: f64) -> f64 {
    let odds = |y: f64, n: f64| ((y + prior) / (n + PRIOR - y - prior).max(f64::MIN_POSITIVE)).ln();
    let variance = 1.0 / (y + prior) + 1.0 / (y2 + prior);
    (odds(y, n) - odds(y2, n2)) / variance.sqrt()
}

#[cfg(test)]
mod tests;
