//! Symptoms whose words no caller used.
//!
//! A symptom is compared with what each caller of its article said: the part of its words that were
//! said, each word weighing `ln(1 + N/(1 + df))` over all callers, so that "the" counts next to
//! nothing. Where no caller came to a tenth, people do not say it like that.

use super::{Advice, At, Ground};
use crate::base::ids::ArticleId;
use std::collections::{BTreeMap, BTreeSet};

/// A symptom is used where a caller said this part of it. Chosen on the demo: at 0.1 callers who were
/// read share only filler words with it, at 0.2 some say the same in other words.
const USED: f64 = 0.1;

/// Fewer callers of an article say nothing about how people put it.
const CALLERS: usize = 20;

pub(super) fn advice(ground: &Ground<'_>) -> Vec<Advice> {
    let mut callers: BTreeMap<&ArticleId, Vec<BTreeSet<&str>>> = BTreeMap::new();
    let mut holding: BTreeMap<&str, f64> = BTreeMap::new();
    let mut all = 0.0;
    for (case, said) in ground.lately().filter(|(_, said)| !said.terms.is_empty()) {
        let terms: BTreeSet<&str> = said.terms.iter().map(String::as_str).collect();
        all += 1.0;
        for term in &terms {
            *holding.entry(term).or_insert(0.0) += 1.0;
        }
        if let Some(article) = &case.article {
            callers.entry(article).or_default().push(terms);
        }
    }
    let weight = |term: &str| f64::ln(1.0 + all / (1.0 + holding.get(term).unwrap_or(&0.0)));
    let mut found = Vec::new();
    for article in ground.articles() {
        let Some(said) = callers
            .get(&article.id)
            .filter(|said| said.len() >= CALLERS)
        else {
            continue;
        };
        for (number, symptom) in article.symptoms.iter().enumerate() {
            let terms: BTreeSet<String> = ground.from.analyzer.terms(symptom).into_iter().collect();
            let whole: f64 = terms.iter().map(|term| weight(term)).sum();
            let part = |said: &BTreeSet<&str>| -> f64 {
                let shared = terms.iter().filter(|term| said.contains(term.as_str()));
                shared.map(|term| weight(term)).sum::<f64>() / whole
            };
            if whole > 0.0 && said.iter().all(|said| part(said) < USED) {
                found.push(Advice {
                    rule: "symptom-unused",
                    place: Some((article.id.clone(), At::Symptom(number))),
                    message: format!(
                        "none of the last 12 months' {} callers put it like this",
                        said.len()
                    ),
                    help: format!(
                        "see how they do: `fixtally tickets list --article {}`",
                        article.id
                    ),
                });
            }
        }
    }
    found
}
