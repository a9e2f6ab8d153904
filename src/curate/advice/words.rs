//! Words that callers use and that stand in no article and not in `words.toml`.
//!
//! Told are words of cases that mostly belong to one article, since only those say which article lacks
//! them: at least [`CASES`] of its cases, and at least half of all cases with the word.

use super::{Advice, At, Ground};
use crate::base::ids::ArticleId;
use std::collections::{BTreeMap, BTreeSet};

/// Fewer cases of an article with a word are chance.
const CASES: u64 = 8;

/// Words told of one article.
const TOLD: usize = 6;

/// Cases with a word, by article.
#[derive(Default)]
struct Used<'a> {
    all: u64,
    of: BTreeMap<&'a ArticleId, u64>,
    written: BTreeMap<&'a str, u64>,
}

pub(super) fn advice(ground: &Ground<'_>) -> Vec<Advice> {
    let mut used: BTreeMap<&str, Used<'_>> = BTreeMap::new();
    for (case, said) in ground.lately() {
        let words: BTreeMap<&str, &str> = said
            .terms
            .iter()
            .map(String::as_str)
            .zip(said.folded.split(' '))
            .filter(|(term, _)| is_word(term) && !ground.public.contains(*term))
            .collect();
        for (term, word) in words {
            let used = used.entry(term).or_default();
            used.all += 1;
            *used.written.entry(word).or_default() += 1;
            if let Some(article) = &case.article {
                *used.of.entry(article).or_default() += 1;
            }
        }
    }
    let named = named(ground);
    let mut lacking: BTreeMap<&ArticleId, Vec<(u64, &str)>> = BTreeMap::new();
    for (term, used) in &used {
        let most = used
            .of
            .iter()
            .max_by_key(|(id, cases)| (**cases, std::cmp::Reverse(*id)));
        let written = used
            .written
            .iter()
            .max_by_key(|(word, times)| (**times, std::cmp::Reverse(*word)));
        let (Some((article, cases)), Some((word, _))) = (most, written) else {
            continue;
        };
        if *cases >= CASES && 2 * cases >= used.all && !named.contains(*term) {
            lacking.entry(article).or_default().push((*cases, word));
        }
    }
    let articles = ground.articles();
    articles
        .filter_map(|article| {
            let mut words = lacking.remove(&article.id)?;
            words.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(b.1)));
            words.truncate(TOLD);
            let words: Vec<String> = words
                .iter()
                .map(|(cases, word)| format!("`{word}` ({cases} cases)"))
                .collect();
            Some(Advice {
                rule: "callers-word",
                place: Some((article.id.clone(), At::Head)),
                message: format!("its callers say what no article says: {}", words.join(", ")),
                help:
                    "put what is telling into `symptoms`, or into `words.toml` what means a word \
                       that is there"
                        .to_owned(),
            })
        })
        .collect()
}

fn is_word(term: &str) -> bool {
    term.chars().count() > 2 && term.chars().all(char::is_alphabetic)
}

/// Terms that `kb.toml` and `words.toml` name: devices, lamps and their states, synonyms.
fn named(ground: &Ground<'_>) -> BTreeSet<String> {
    let tables = ground.from.analyzer.tables();
    let mut names: Vec<&str> = Vec::new();
    for (name, same) in tables
        .same
        .iter()
        .chain(&tables.apart)
        .chain(&tables.groups)
    {
        names.push(name);
        names.extend(same.iter().map(String::as_str));
    }
    for device in ground.from.settings.devices.values() {
        names.push(&device.title);
        for lamp in &device.lamps {
            names.push(&lamp.name);
            names.extend(lamp.states.iter().map(String::as_str));
        }
    }
    let terms = names
        .into_iter()
        .flat_map(|name| ground.from.analyzer.terms(name));
    terms.collect()
}
