//! The backtest's report in 80 columns: which cases, how good, how honest, against what.

use super::percent::percent;
use super::table::lines;
use crate::backtest::calibration::Calibration;
use crate::backtest::compare::Difference;
use crate::backtest::report::{BlockScores, Report, RivalScores, Scores};
use std::fmt::Write as _;

const WIDTH: usize = 80;

/// The whole report.
#[must_use]
pub fn text(report: &Report) -> String {
    let mut out = String::new();
    paragraph(&mut out, &which(report));
    if report.counts.scored == 0 {
        paragraph(
            &mut out,
            "Nothing can be scored. A case counts where a person recorded its article and the try \
             that resolved it.",
        );
        return out;
    }
    section(
        &mut out,
        "How often the right fix stood first",
        &ways(report),
    );
    paragraph(
        &mut out,
        "MRR is the mean of 1/place, absent counting 0. Minutes are those of the fixes in the order of \
         time up to the right one, or up to the stop and what handing on costs. \"Author's words\": what \
         articles and fixes say themselves, nothing else. \"Frequency\": how often each fix ended a case, \
         whatever was said. \"Desk's order\": the fixes of the likeliest article as this desk used to try \
         them, then handing on. \"Told article\": the same of the article that turned out to be the \
         right one, which nobody knows on the telephone; it is no rival, but shows what knowing it \
         would be worth.",
    );
    section(
        &mut out,
        "fixtally less each other way, same cases, 95 % intervals (* is clear of 0)",
        &differences(report),
    );
    section(
        &mut out,
        "Were the chances honest? First fix, scored cases",
        &calibration(&report.calibration),
    );
    paragraph(&mut out, &honesty(report));
    section(
        &mut out,
        "The same for the likeliest end of all cases with a known end",
        &calibration(&report.calibration_all),
    );
    paragraph(&mut out, &honesty_of_all(report));
    section(&mut out, "Over time", &over_time(&report.blocks));
    out.truncate(out.trim_end().len());
    out.push('\n');
    out
}

fn which(report: &Report) -> String {
    let counts = &report.counts;
    let days = match (counts.from, counts.to) {
        (Some(from), Some(to)) => format!("from {from} to {to} "),
        _ => String::new(),
    };
    let mut text = format!(
        "{} tickets. The {} cases {days}were answered in {}, each from the tickets closed before it \
         and from today's articles. Scored: the {} whose article and resolving fix a person recorded. \
         They are not all cases: {} more were ended by something no article lists",
        counts.tickets,
        counts.cases,
        blocks(report.blocks.len()),
        counts.scored,
        counts.known - counts.scored,
    );
    if counts.silent > 0 {
        let _ = write!(text, ", {} said and showed nothing", counts.silent);
    }
    text.push_str(", of the rest the end is not known.");
    if counts.stopped > 0 {
        let _ = write!(
            text,
            " In {} of the scored ones a danger would have stopped the call: no fix is offered then, \
             and they count as absent.",
            counts.stopped
        );
    }
    text
}

fn blocks(number: usize) -> String {
    if number == 1 {
        "one block".to_owned()
    } else {
        format!("{number} blocks")
    }
}

fn ways(report: &Report) -> Vec<String> {
    let row = |words: &str, scores: &Scores| {
        vec![
            words.to_owned(),
            percent(scores.hit_1),
            percent(scores.hit_3),
            format!("{:.3}", scores.mrr),
            format!("{:.1}", scores.minutes),
        ]
    };
    let mut rows = vec![row("fixtally", &report.ours)];
    rows.extend(report.rivals.iter().map(|r| row(r.words, &r.scores)));
    let count = format!("{} cases", report.counts.scored);
    table(&[&count, "first", "first 3", "MRR", "minutes"], &rows)
}

fn differences(report: &Report) -> Vec<String> {
    type Measure = (&'static str, fn(&RivalScores) -> String);
    let measures: [Measure; 4] = [
        ("first, %", |r| interval(&r.hit_1, 100.0, 0)),
        ("first 3, %", |r| interval(&r.hit_3, 100.0, 0)),
        ("MRR", |r| interval(&r.mrr, 1.0, 2)),
        ("minutes", |r| interval(&r.minutes, 1.0, 1)),
    ];
    let rivals = report.rivals.iter().filter(|r| r.rival.is_fair());
    let rows: Vec<Vec<String>> = measures
        .iter()
        .map(|(name, cell)| {
            let cells = rivals.clone().map(cell);
            std::iter::once((*name).to_owned()).chain(cells).collect()
        })
        .collect();
    let head: Vec<&str> = std::iter::once("").chain(rivals.map(|r| r.words)).collect();
    table(&head, &rows)
}

fn interval(found: &Difference, scale: f64, digits: usize) -> String {
    let of = |number: f64| {
        // Adding 0 turns a rounded −0 into 0.
        let rounded = format!("{:.digits$}", number * scale).parse::<f64>();
        format!("{:+.digits$}", rounded.unwrap_or(number * scale) + 0.0)
    };
    let star = if found.is_clear() { "*" } else { "" };
    format!(
        "{}{star} ({} {})",
        of(found.mean),
        of(found.low),
        of(found.high)
    )
}

fn calibration(table_of: &Calibration) -> Vec<String> {
    let rows: Vec<Vec<String>> = table_of
        .bins
        .iter()
        .map(|bin| {
            vec![
                bin.count.to_string(),
                percent(bin.said),
                percent(bin.happened),
                bar(bin.said, bin.happened),
            ]
        })
        .collect();
    table(&["cases", "said", "was so", "said |, was so #"], &rows)
}

/// What happened as a bar, what was said as a mark: 40 columns wide.
fn bar(said: f64, happened: f64) -> String {
    let column = |part: f64| {
        let wanted = (part * 40.0).round();
        (0..=40_u8).find(|c| f64::from(*c) >= wanted).unwrap_or(40)
    };
    let (mark, end) = (column(said), column(happened));
    let cell = |at: u8| match at {
        _ if at == mark => '|',
        _ if at < end => '#',
        _ => ' ',
    };
    let cells: String = (0..=40).map(cell).collect();
    cells.trim_end().to_owned()
}

fn honesty(report: &Report) -> String {
    format!(
        "Mean distance of said and so: {}. {} Log loss {:.2}{}; Brier score of the first fix {:.3}.",
        points(report.calibration.error),
        perfect(&report.calibration),
        report.log_loss.mean,
        match report.log_loss.clipped {
            0 => String::new(),
            1 => " (1 case below one in a million, cut there)".to_owned(),
            n => format!(" ({n} cases below one in a million, cut there)"),
        },
        report.brier,
    )
}

fn honesty_of_all(report: &Report) -> String {
    format!(
        "Mean distance of said and so: {}. {} That none of the listed fixes ends it was said in {} and \
         was so in {} of {} cases.",
        points(report.calibration_all.error),
        perfect(&report.calibration_all),
        percent(report.none_listed.said),
        percent(report.none_listed.happened),
        report.none_listed.count,
    )
}

fn perfect(found: &Calibration) -> String {
    format!(
        "Were every chance exactly right, it would still be {} on average and up to {} in 19 of 20 \
         ledgers.",
        points(found.perfect_mean),
        points(found.perfect_95)
    )
}

fn over_time(blocks: &[BlockScores]) -> Vec<String> {
    let rows: Vec<Vec<String>> = blocks
        .iter()
        .map(|block| {
            vec![
                format!("{} to {}", block.from, block.to),
                block.past_tickets.to_string(),
                match block.weights_from {
                    0 => "shipped".to_owned(),
                    cases => format!("{cases} cases"),
                },
                block.scored.to_string(),
                percent(block.ours.hit_1),
                percent(block.ours.hit_3),
                format!("{:.3}", block.ours.mrr),
            ]
        })
        .collect();
    table(
        &[
            "answered", "past", "weights", "scored", "first", "first 3", "MRR",
        ],
        &rows,
    )
}

fn table(head: &[&str], rows: &[Vec<String>]) -> Vec<String> {
    let head: Vec<String> = head.iter().map(|cell| (*cell).to_owned()).collect();
    lines(&head, rows, WIDTH)
}

fn points(part: f64) -> String {
    format!("{:.1} points", part * 100.0)
}

fn section(out: &mut String, title: &str, lines: &[String]) {
    out.push_str(title);
    out.push_str("\n\n");
    for line in lines {
        out.push_str(line);
        out.push('\n');
    }
    out.push('\n');
}

fn paragraph(out: &mut String, text: &str) {
    for line in textwrap::wrap(text, WIDTH) {
        out.push_str(&line);
        out.push('\n');
    }
    out.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::backtest::calibration::Bin;
    use crate::backtest::measure::LogLoss;
    use crate::backtest::report::Counts;
    use crate::backtest::rivals::Rival;
    use unicode_width::UnicodeWidthStr;

    fn made_up() -> Report {
        let scores = |hit_1: f64| Scores {
            hit_1,
            hit_3: hit_1 + 0.3,
            mrr: hit_1 + 0.2,
            minutes: 80.0 - 60.0 * hit_1,
        };
        let bins = (0..10_u8).map(|n| Bin {
            count: 24,
            said: 0.05 + 0.1 * f64::from(n),
            happened: 0.09 * f64::from(n),
        });
        let table = Calibration {
            count: 240,
            bins: bins.collect(),
            error: 0.0512,
            perfect_mean: 0.0611,
            perfect_95: 0.0984,
        };
        let difference = |mean: f64| Difference {
            mean,
            low: mean - 0.1,
            high: mean + 0.1,
        };
        let rivals = Rival::ALL.iter().zip([0.3, 0.1, 0.4, 0.48]);
        let from = jiff::civil::date(2026, 1, 1);
        Report {
            counts: Counts {
                tickets: 800,
                from: Some(from),
                to: Some(jiff::civil::date(2026, 6, 30)),
                cases: 370,
                known: 262,
                silent: 3,
                scored: 240,
                stopped: 5,
            },
            ours: scores(0.5),
            log_loss: LogLoss {
                mean: 1.234,
                clipped: 1,
            },
            brier: 0.2012,
            rivals: rivals
                .map(|(rival, hit_1)| RivalScores {
                    rival: *rival,
                    words: rival.words(),
                    scores: scores(hit_1),
                    hit_1: difference(0.5 - hit_1),
                    hit_3: difference(-0.001),
                    mrr: difference(0.5 - hit_1),
                    minutes: difference(60.0 * (hit_1 - 0.5)),
                })
                .collect(),
            calibration: table.clone(),
            calibration_all: table,
            none_listed: Bin {
                count: 262,
                said: 0.1,
                happened: 0.08,
            },
            blocks: vec![BlockScores {
                from,
                to: jiff::civil::date(2026, 6, 30),
                past_tickets: 400,
                weights_from: 0,
                scored: 240,
                ours: scores(0.5),
                own_words_hit_1: 0.3,
            }],
            seed: 1,
        }
    }

    #[test]
    fn the_report_is_as_reviewed_and_fits_80_columns() {
        let text = text(&made_up());
        assert!(text.lines().all(|line| line.width() <= WIDTH));
        insta::assert_snapshot!(text);
    }

    #[test]
    fn nothing_scored_says_so() {
        let mut report = made_up();
        report.counts.scored = 0;
        let text = text(&report);
        assert!(text.contains("Nothing can be scored."), "{text}");
        assert!(!text.contains("MRR"));
    }

    #[test]
    fn a_bar_has_its_mark_at_what_was_said() {
        for (said, happened, expected) in [
            (0.0, 0.0, "|"),
            (0.1, 0.05, "##  |"),
            (0.05, 0.1, "##|#"),
            (1.0, 0.0, &format!("{}|", " ".repeat(40))),
        ] {
            assert_eq!(bar(said, happened), expected);
        }
    }
}
