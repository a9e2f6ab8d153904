//! Why the fixes of an answer have their chances, as text: things known down the side, fixes across,
//! so that it is seen in one row what sets two fixes apart.

use super::answer::{Answer, Basis, FixLine};
use super::markdown::options;
use super::percent;
use crate::base::escape::terminal_line;
use crate::evidence::factors::{Factors, WordFactor};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use unicode_width::UnicodeWidthStr;

/// Columns of one fix.
const COLUMN: usize = 7;

/// Fixes side by side; more make more tables.
const SIDE_BY_SIDE: usize = 5;

/// Words told one by one.
const WORDS: usize = 6;

/// What changes no chance of the table by more than this factor is summed up.
const TELLING: f64 = 1.15;

/// The tables for all fixes that are explained; empty where none is.
#[must_use]
pub fn text(answer: &Answer, width: usize) -> String {
    let explained: Vec<Column<'_>> = answer
        .fixes
        .iter()
        .filter_map(|fix| Some((fix, fix.why.as_ref()?)))
        .collect();
    let Some((_, first)) = explained.first() else {
        return String::new();
    };
    let known = explained.iter().any(|(fix, _)| fix.basis == Basis::Tickets);
    let average = if known {
        format!(" (1 in {})", two_digits(first.average.recip()))
    } else {
        String::new()
    };
    let intro = format!(
        "Why: what each thing known does to the chance, × raises and ÷ lowers it, against an average \
         one of the {} candidates{average}. All together times that is the chance. The columns are \
         the fixes above.",
        first.candidates
    );
    let mut out = textwrap::fill(&intro, options(width)) + "\n";
    for columns in explained.chunks(SIDE_BY_SIDE) {
        out.push('\n');
        out.push_str(&table(columns, width));
    }
    out
}

/// A fix and why.
type Column<'a> = (&'a FixLine, &'a Factors);

/// What it is, and its factor for each fix.
type Line = (String, Vec<f64>);

fn table(columns: &[Column<'_>], width: usize) -> String {
    let mut rest = vec![1.0; columns.len()];
    let mut lines: Vec<Line> = Vec::new();
    let mut add = |line: Line| {
        if is_telling(&line) {
            lines.push(line);
        } else {
            rest.iter_mut()
                .zip(line.1)
                .for_each(|(rest, times)| *rest *= times);
        }
    };
    let things = columns
        .iter()
        .map(|(_, why)| why.factors.len())
        .min()
        .unwrap_or(0);
    for thing in 0..things {
        let factors = columns.iter().map(|(_, why)| why.factors[thing].times);
        add((columns[0].1.factors[thing].words.clone(), factors.collect()));
    }
    words(columns).into_iter().for_each(&mut add);
    lines.push(("the rest".to_owned(), rest));
    let together = columns.iter().map(|(fix, why)| fix.chance / why.average);
    lines.push(("all together".to_owned(), together.collect()));

    let widest = lines
        .iter()
        .map(|(words, _)| words.width())
        .max()
        .unwrap_or(0);
    let room = (width - COLUMN * columns.len()).min(widest + 1);
    let mut out = String::new();
    let ranks = columns.iter().map(|(fix, _)| format!("{}.", fix.rank));
    row(&mut out, "", ranks, room);
    for (words, factors) in &lines {
        row(&mut out, words, factors.iter().map(|f| times(*f)), room);
    }
    let chances = columns.iter().map(|(fix, _)| match fix.basis {
        Basis::Tickets => percent::chance(fix.chance),
        Basis::Author => "-".to_owned(),
    });
    row(&mut out, "chance", chances, room);
    out
}

fn row(out: &mut String, words: &str, cells: impl Iterator<Item = String>, room: usize) {
    let words = crate::view::table::cut(&terminal_line(words), room - 1);
    let gap = room - words.width();
    let _ = write!(out, "{words}{:gap$}", "");
    for cell in cells {
        let gap = COLUMN.saturating_sub(cell.width());
        let _ = write!(out, "{:gap$}{cell}", "");
    }
    out.truncate(out.trim_end().len());
    out.push('\n');
}

fn is_telling((_, factors): &Line) -> bool {
    factors.iter().any(|f| strength(*f) >= TELLING)
}

/// How much a factor changes, whichever way; from 1.
fn strength(factor: f64) -> f64 {
    factor.max(factor.recip())
}

/// The strongest words one by one, the strongest first, and the others together.
fn words(columns: &[Column<'_>]) -> Vec<Line> {
    let mut by_word: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for (at, (_, why)) in columns.iter().enumerate() {
        for WordFactor { word, times } in &why.words {
            by_word
                .entry(word)
                .or_insert_with(|| vec![1.0; columns.len()])[at] = *times;
        }
    }
    let strongest = |factors: &[f64]| factors.iter().map(|f| strength(*f)).fold(1.0, f64::max);
    let mut by_word: Vec<(&str, Vec<f64>)> = by_word.into_iter().collect();
    by_word.sort_by(|a, b| {
        strongest(&b.1)
            .total_cmp(&strongest(&a.1))
            .then(a.0.cmp(b.0))
    });
    let told = by_word
        .iter()
        .take(WORDS)
        .filter(|(_, f)| strongest(f) >= TELLING)
        .count();
    let others = by_word.split_off(told);
    let mut lines: Vec<Line> = by_word
        .into_iter()
        .map(|(word, factors)| (format!("learned word: {word}"), factors))
        .collect();
    if !others.is_empty() {
        let product = |at: usize| others.iter().map(|(_, factors)| factors[at]).product();
        let product = (0..columns.len()).map(product).collect();
        let words = match (told, others.len()) {
            (0, n) => format!("learned words: {n}"),
            (_, 1) => "learned words: 1 other".to_owned(),
            (_, n) => format!("learned words: {n} others"),
        };
        lines.push((words, product));
    }
    lines
}

/// A factor: `×2.1`, `÷3.4`, `×150`.
#[must_use]
pub(super) fn times(factor: f64) -> String {
    let strength = strength(factor);
    let sign = if factor < 1.0 && strength >= 1.05 {
        '÷'
    } else {
        '×'
    };
    format!("{sign}{}", two_digits(strength))
}

/// A number from 1 on with two digits that count: `1.0`, `38`, `150`, `99k`.
fn two_digits(number: f64) -> String {
    match number {
        n if n < 9.95 => format!("{n:.1}"),
        n if n < 99.5 => format!("{n:.0}"),
        n if n < 9_950.0 => {
            let unit = 10_f64.powf(n.log10().floor() - 1.0);
            format!("{:.0}", (n / unit).round() * unit)
        }
        n if n < 995_000.0 => format!("{:.0}k", n / 1e3),
        n if n < 995_000_000.0 => format!("{:.0}M", n / 1e6),
        n => format!("{n:.0e}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::evidence::equation::Feature;
    use crate::evidence::factors::{Factor, What};

    fn fix(rank: usize, id: &str, basis: Basis, times: [f64; 3], words: &[(&str, f64)]) -> FixLine {
        let factor = |(what, words, times): (What, &str, f64)| Factor {
            what,
            words: words.to_owned(),
            times,
        };
        let factors = [
            (
                What::Feature(Feature::OwnArticle),
                "own words of the article",
                times[0],
            ),
            (
                What::Feature(Feature::Common),
                "how common the article's cases are",
                times[1],
            ),
            (What::Answer, "answer trips-empty=yes", times[2]),
        ];
        let word = |(word, times): &(&str, f64)| WordFactor {
            word: (*word).to_owned(),
            times: *times,
        };
        let why = Factors {
            article: "trips".into(),
            average: 0.000_21,
            candidates: 93,
            factors: factors.map(factor).to_vec(),
            words: words.iter().map(word).collect(),
        };
        let all = times.iter().chain(words.iter().map(|(_, times)| times));
        FixLine {
            rank,
            id: id.to_owned(),
            chance: why.average * all.product::<f64>(),
            basis,
            why: Some(why),
            ..FixLine::for_test()
        }
    }

    #[test]
    fn the_table_is_as_reviewed() {
        let said = [
            "in", "it", "lead", "night", "off", "rain", "the", "trips", "we", "when",
        ];
        let words =
            |times: [f64; 10]| -> Vec<(&str, f64)> { said.into_iter().zip(times).collect() };
        let first = words([1.0, 1.3, 1.4, 1.2, 1.1, 8.0, 1.0, 2.9, 1.0, 0.7]);
        let second = words([1.0, 0.9, 3.1, 1.2, 1.0, 0.2, 1.1, 2.9, 1.0, 0.9]);
        let mut answer = Answer::for_test();
        answer.fixes = vec![
            fix(1, "trips#reseal", Basis::Tickets, [11.0, 1.04, 2.1], &first),
            fix(
                2,
                "trips#swap-lead",
                Basis::Tickets,
                [11.0, 1.04, 0.3],
                &second,
            ),
            fix(
                3,
                "network#restart",
                Basis::Author,
                [0.06, 0.98, 1.0],
                &second,
            ),
        ];
        insta::assert_snapshot!(text(&answer, 80));
        answer.fixes.drain(..2);
        let told = text(&answer, 80);
        assert!(!told.contains('%') && !told.contains("1 in"), "{told}");
        answer.fixes.clear();
        assert_eq!(text(&answer, 80), "");
    }

    #[test]
    fn factors_have_two_digits_that_count() {
        for (factor, shown) in [
            (1.0, "×1.0"),
            (0.96, "×1.0"),
            (2.14, "×2.1"),
            (0.5, "÷2.0"),
            (0.049, "÷20"),
            (99.7, "×100"),
            (1_562.0, "×1600"),
            (23_000.0, "×23k"),
            (1e-7, "÷10M"),
            (3e12, "×3e12"),
        ] {
            assert_eq!(times(factor), shown);
        }
    }
}
