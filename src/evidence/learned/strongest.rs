//! The words that say most for or against one article.

use super::LearnedWords;
use crate::base::ids::ArticleId;
use crate::evidence::cases::{Case, day};
use crate::evidence::keeping::kept_words;
use crate::evidence::letters::words;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A word and what it says for an article.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WordSays {
    /// The word, in the plain form of [`crate::evidence::letters::words`].
    pub word: String,
    /// What the word, said alone, does to the odds of the article against an average one.
    pub times: f64,
    /// In how many of the article's cases it was said.
    pub cases: u64,
}

/// Every word that may be shown, the strongest for the article first.
///
/// Words come from callers, under the same rule of privacy as all statistics (three tickets of three
/// days), and from `own`, what the articles say of themselves. `weight` is that of learned words in
/// the equation.
#[must_use]
pub fn strongest(
    learned: &LearnedWords,
    weight: f64,
    article: &ArticleId,
    cases: &[Case],
    own: &[String],
) -> Vec<WordSays> {
    let said: Vec<Vec<String>> = cases.iter().map(|case| words(&case.said)).collect();
    let mut shown: BTreeMap<String, u64> =
        kept_words(cases.iter().map(|case| day(case.closed)).zip(&said))
            .into_iter()
            .chain(own.iter().flat_map(|text| words(text)))
            .map(|word| (word, 0))
            .collect();
    let of_article = cases
        .iter()
        .zip(&said)
        .filter(|(case, _)| case.article.as_ref() == Some(article));
    for (_, said) in of_article {
        for word in said.iter().collect::<BTreeSet<_>>() {
            if let Some(count) = shown.get_mut(word) {
                *count += 1;
            }
        }
    }
    let mut all: Vec<WordSays> = shown
        .into_iter()
        .map(|(word, cases)| {
            let scores = learned.score(&word);
            let says = scores.article(article) - scores.mean_of_articles();
            WordSays {
                times: (weight * says).exp(),
                word,
                cases,
            }
        })
        .collect();
    all.sort_by(|a, b| b.times.total_cmp(&a.times).then(a.word.cmp(&b.word)));
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::articles::Settings;
    use crate::evidence::Cases;
    use crate::evidence::layout::Layout;
    use crate::evidence::learned::Settings as Recipe;
    use crate::evidence::learned::learn::learn;
    use crate::evidence::testing::{catalog, date, scrubbed, tried};

    #[test]
    fn words_of_three_tickets_and_days_and_the_articles_own_are_told_and_no_others() {
        let tickets = (0..12).map(|number: u8| {
            let (day, words) = match number {
                0 => (1, "Meyer says it buzzes"),
                // Three tickets, but of two days.
                1 | 2 => (2, "it hisses"),
                3 => (3, "it hisses"),
                _ => (number, "it crackles"),
            };
            let id = format!("T-{number:02}");
            let closed = format!("2026-05-{:02}", day + 1);
            let mut raw = tried(&id, &closed, "trips", "reseal+", None);
            raw.said = Some(words.to_owned());
            raw
        });
        let mut tickets: Vec<_> = tickets.collect();
        tickets[3].closed = tickets[2].closed;
        let (catalog, settings) = (catalog(), Settings::default());
        let cases = Cases::of(
            &scrubbed(tickets),
            &BTreeMap::new(),
            &catalog,
            &settings.model,
            date("2026-06-30"),
        );
        let layout = Layout::new(&catalog);
        let own = ["network down".to_owned(), "breaker trips".to_owned()];
        let learned = learn(&layout, &own, &[], &Recipe::default()).words;
        let told = |article: &str| strongest(&learned, 0.5, &article.into(), &cases.list, &own);
        let trips = told("trips");
        let mut words: Vec<(&str, u64)> =
            trips.iter().map(|w| (w.word.as_str(), w.cases)).collect();
        words.sort_unstable();
        let expected = [
            ("breaker", 0),
            ("crackles", 8),
            ("down", 0),
            ("it", 12),
            ("network", 0),
            ("trips", 0),
        ];
        assert_eq!(words, expected);
        let times = |word: &str| trips.iter().find(|w| w.word == word).unwrap().times;
        assert!(
            times("breaker") > 1.5 && times("network") < 0.7,
            "{trips:?}"
        );
        assert!(trips.is_sorted_by(|a, b| a.times >= b.times));
        // With two articles the average lies in the middle: what speaks for one speaks against the other.
        let other = told("network");
        let product: f64 = ["breaker", "network"]
            .map(|word| times(word) * other.iter().find(|w| w.word == word).unwrap().times)
            .iter()
            .product();
        assert!((product - 1.0).abs() < 1e-9, "{product}");
    }
}
