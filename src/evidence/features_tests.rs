use super::*;
use crate::articles::settings::Model;
use crate::articles::{Catalog, Settings};
use crate::base::text::{Analyzer, Words};
use crate::evidence::Cases;
use crate::evidence::counted::InMemory;
use crate::evidence::gather::gather;
use crate::evidence::learned::learn::{learn, own_texts};
use crate::evidence::question::Said;
use crate::evidence::spoken::Spoken;
use crate::evidence::testing::{article, date};
use std::collections::BTreeMap;

/// The articles that become candidates for these words, where nothing but the articles is known.
fn candidates(words: &str) -> Vec<String> {
    let titled = |id: &str, title: &str| {
        let mut article = article(id, &["restart"]);
        article.title = title.to_owned();
        article
    };
    let catalog = Catalog::join([
        titled("offline", "No network"),
        titled("trips", "Breaker trips"),
    ]);
    let layout = Layout::new(&catalog);
    let analyzer = Analyzer::new(&Words::default());
    let own = own_texts(&catalog, &layout);
    let learned = learn(&layout, &own, &[], &learned::Settings::default()).words;
    let counts = InMemory::of(&Spoken::new(&catalog, &layout, &analyzer), &layout);
    let said = Said {
        words: words.to_owned(),
        ..Said::default()
    };
    let question = Question::new(said, &catalog, &analyzer, &counts.vocabulary());
    let today = date("2026-03-01");
    let cases = Cases::of([], &BTreeMap::new(), &catalog, &Model::default(), today);
    let sources = Sources {
        catalog: &catalog,
        layout: &layout,
        evidence: &gather(&cases, &catalog, &Settings::default(), today),
        candidates: &counts,
        words: &learned,
    };
    let found = table(&question, sources).unwrap();
    let article = |pair: &usize| layout.articles[layout.pairs[*pair].article].to_string();
    let mut articles: Vec<String> = found.pairs.iter().map(article).collect();
    articles.dedup();
    articles
}

#[test]
fn letters_bring_in_what_no_word_matches_but_not_where_every_word_is_strange() {
    for (words, expected) in [
        ("breaker", &["trips"][..]),
        ("breaker mobilenetwork", &["offline", "trips"]),
        ("mobilenetwork", &[]),
    ] {
        assert_eq!(candidates(words), expected, "{words}");
    }
}
