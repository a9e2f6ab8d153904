//! The weights of the equation as text for a terminal.

use super::markdown::options;
use super::percent::percent;
use super::table::lines;
use super::weights::{ArticleWords, LearnedFrom, WeightsTable};
use super::why_text::times;
use crate::base::escape::terminal_line;
use crate::evidence::learned::strongest::WordSays;
use crate::evidence::prior::Prior;

/// The whole, `width` columns wide: the words of an article where one was asked for, else the weights.
#[must_use]
pub fn text(table: &WeightsTable, width: usize) -> String {
    let mut out = match &table.article {
        Some(article) => words_text(article, width),
        None => weights_text(table, width),
    };
    out.push('\n');
    out.push_str(&filled(&learned_from(table), width));
    out
}

fn weights_text(table: &WeightsTable, width: usize) -> String {
    let mut out = filled(
        "What an answer looks at, and what a typical difference between two candidates of one case \
         does to the odds between them (for codes and indicators: that they match). \"Such a fix\" is \
         any fix of the same kind.",
        width,
    );
    let odds = |odds: Option<f64>| odds.map_or_else(|| "-".to_owned(), times);
    let mut rows: Vec<Vec<String>> = Vec::new();
    for row in &table.weights {
        rows.push(vec![
            row.words.to_owned(),
            odds(row.odds),
            odds(row.odds_shipped),
            number(row.weight),
            number(row.shipped),
        ]);
    }
    for row in &table.unlisted {
        rows.push(vec![
            format!("no article covers it: {}", row.words),
            String::new(),
            String::new(),
            number(row.weight),
            number(row.shipped),
        ]);
    }
    let head = ["looks at", "odds", "shipped", "weight", "shipped"];
    out.push('\n');
    add_table(&mut out, &head, &rows, width);
    out.push('\n');
    out.push_str(&filled(&before_tickets(&table.prior), width));
    out
}

fn before_tickets(prior: &Prior) -> String {
    let source = match prior.articles {
        0 => "as stated, until ten articles have tickets enough".to_owned(),
        heard => format!("learned from the tickets of {heard} articles"),
    };
    format!(
        "Before an article's own tickets speak, its author's order counts as {:.1} cases, in which each \
         fix is {:.2} times as likely as the next one and {} go to nothing listed ({source}).",
        prior.cases,
        prior.fall,
        percent(prior.other),
    )
}

fn words_text(article: &ArticleWords, width: usize) -> String {
    let mut out = format!("{}\n", terminal_line(&article.title));
    out.push_str(&filled(
        &format!(
            "{}: what a word, said alone, does to the odds of this article against an average one, \
             and in how many of its {} cases it was said.",
            article.id, article.cases
        ),
        width,
    ));
    for (title, words) in [
        ("speaks for it", &article.for_it),
        ("speaks against it", &article.against),
    ] {
        out.push('\n');
        if words.is_empty() {
            out.push_str(&format!("No word {title} clearly.\n"));
            continue;
        }
        let row = |word: &WordSays| {
            vec![
                terminal_line(&word.word),
                times(word.times),
                word.cases.to_string(),
            ]
        };
        let rows: Vec<Vec<String>> = words.iter().map(row).collect();
        add_table(&mut out, &[title, "odds", "cases"], &rows, width);
    }
    out
}

fn learned_from(table: &WeightsTable) -> String {
    let cases = table.cases;
    let next = table.next_fit_point;
    match &table.learned {
        None => format!(
            "These are the shipped weights and no learned words: learning begins at {next} cases, and \
             there are {cases}."
        ),
        Some(LearnedFrom {
            fit_point,
            cases: of,
            until,
            word_parts,
            word_weights,
            articles,
            kinds,
        }) => format!(
            "Learned from the {of} cases closed up to {until} (fit point {fit_point}); there are {cases} \
             now, and the next fit point is {next}. Learned words: {word_parts} parts of words, two to \
             five letters long, with {word_weights} weights for {articles} articles and {kinds} kinds of \
             fix."
        ),
    }
}

fn number(weight: f64) -> String {
    // Adding 0 turns a rounded −0 into 0.
    let rounded = (weight * 100.0).round() / 100.0 + 0.0;
    format!("{rounded:.2}")
}

fn filled(text: &str, width: usize) -> String {
    textwrap::fill(text, options(width)) + "\n"
}

fn add_table(out: &mut String, head: &[&str], rows: &[Vec<String>], width: usize) {
    let head: Vec<String> = head.iter().map(|h| (*h).to_owned()).collect();
    for line in lines(&head, rows, width) {
        out.push_str(&line);
        out.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::equation::{FEATURES, Weights};
    use crate::evidence::learned::{LearnedWords, OTHER};
    use crate::evidence::learning::Model;
    use jiff::civil::date;

    fn model() -> Model {
        let mut weights = Weights::shipped();
        weights.cases = 212;
        weights.beta[0] = 1.24;
        weights.beta[6] = 0.0;
        weights.beta[9] = 5.13;
        weights.unlisted = -0.004;
        let mut steps = [0.7; FEATURES];
        steps[3] = 0.0;
        Model {
            weights,
            words: LearnedWords {
                articles: vec!["trips".into(), "slow".into()],
                kinds: vec!["reseal".to_owned(), OTHER.to_owned()],
                weights: vec![0.5; 1234],
                ..LearnedWords::default()
            },
            steps,
            until: Some(date(2026, 3, 4)),
        }
    }

    #[test]
    fn the_weights_are_as_reviewed() {
        let table = WeightsTable::new(&model(), Some(210), 219, Prior::stated(4.0), None);
        insta::assert_snapshot!("weights", text(&table, 80));
        let shipped = WeightsTable::new(&Model::shipped(), None, 40, Prior::stated(4.0), None);
        insta::assert_snapshot!("weights_shipped", text(&shipped, 80));
    }

    #[test]
    fn the_words_of_an_article_are_as_reviewed() {
        let word = |word: &str, times, cases| WordSays {
            word: word.to_owned(),
            times,
            cases,
        };
        let all = [
            word("rcd", 140.0, 10),
            word("trips", 21.6, 8),
            word("connector", 1.2, 0),
            word("the", 1.05, 30),
            word("now", 0.9, 2),
            word("card", 0.11, 0),
        ];
        let article = ArticleWords::new("rcd-trips".into(), "RCD trips".into(), 33, &all);
        let table = WeightsTable::new(&model(), Some(210), 219, Prior::stated(4.0), Some(article));
        insta::assert_snapshot!("words", text(&table, 80));
    }
}
