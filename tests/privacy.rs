//! How much of the personal data in invented lines is taken out, and how little else.
//!
//! `tests/data/privacy/README.md` says who wrote the lines and which of them were learned from.

use fixtally::tickets::Scrubber;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::ops::Range;
use std::path::Path;

/// The least precision and recall on all lines, and on those that nothing was learned from.
const BARS: [(&str, f64); 2] = [("all", 0.95), ("unseen", 0.94)];

#[derive(Default)]
struct Count {
    items: usize,
    covered: usize,
    removed: usize,
    right: usize,
}

impl Count {
    fn recall(&self) -> f64 {
        self.covered as f64 / self.items.max(1) as f64
    }

    fn precision(&self) -> f64 {
        self.right as f64 / self.removed.max(1) as f64
    }
}

#[test]
fn personal_data_go_and_figures_stay() {
    let scrubber = Scrubber::new(Some("BR[0-9]{8}")).unwrap();
    let mut counts: BTreeMap<String, Count> = BTreeMap::new();
    let mut report = String::new();
    for line in lines("find.jsonl") {
        let text = line["text"].as_str().unwrap();
        let half = half_of(&line);
        let removed = removed(text, &scrubber.text(text));
        let items: Vec<(String, Range<usize>)> = line["find"]
            .as_array()
            .unwrap()
            .iter()
            .map(|item| {
                let found = item["text"].as_str().unwrap();
                let at = text.find(found).unwrap_or_else(|| panic!("{line}"));
                (
                    item["what"].as_str().unwrap().to_owned(),
                    at..at + found.len(),
                )
            })
            .collect();
        for (what, span) in &items {
            let covered = removed
                .iter()
                .any(|r| r.start <= span.start && span.end <= r.end);
            for group in ["all", half, what] {
                let count = counts.entry(group.to_owned()).or_default();
                count.items += 1;
                count.covered += usize::from(covered);
            }
            if !covered && half == "learned" {
                writeln!(report, "{}: {what} left: {text}", line["id"]).unwrap();
            }
        }
        for range in removed {
            let right = items
                .iter()
                .any(|(_, s)| s.start < range.end && range.start < s.end);
            for group in ["all", half] {
                let count = counts.entry(group.to_owned()).or_default();
                count.removed += 1;
                count.right += usize::from(right);
            }
            if !right && half == "learned" {
                writeln!(
                    report,
                    "{}: `{}` taken out: {text}",
                    line["id"], &text[range]
                )
                .unwrap();
            }
        }
    }
    for line in lines("keep.jsonl") {
        let text = line["text"].as_str().unwrap();
        let half = half_of(&line);
        for range in removed(text, &scrubber.text(text)) {
            for group in ["all", half] {
                counts.entry(group.to_owned()).or_default().removed += 1;
            }
            if half == "learned" {
                writeln!(
                    report,
                    "{}: `{}` taken out: {text}",
                    line["id"], &text[range]
                )
                .unwrap();
            }
        }
    }
    for (group, count) in &counts {
        writeln!(
            report,
            "{group:8} {:3} of {:3} items, recall {:.3}; {:3} of {:3} taken out rightly, precision {:.3}",
            count.covered,
            count.items,
            count.recall(),
            count.right,
            count.removed,
            count.precision(),
        )
        .unwrap();
    }
    println!("{report}");
    for (group, bar) in BARS {
        let count = &counts[group];
        assert!(
            count.recall() >= bar && count.precision() >= bar,
            "\n{report}"
        );
    }
}

fn lines(name: &str) -> Vec<Value> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/privacy")
        .join(name);
    let text = std::fs::read_to_string(path).unwrap();
    text.lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

/// Lines with an odd number were learned from.
fn half_of(line: &Value) -> &'static str {
    let id = line["id"].as_str().unwrap();
    match id[1..].parse::<usize>().unwrap() % 2 {
        1 => "learned",
        _ => "unseen",
    }
}

/// What of a text is no longer there: the gaps between the pieces that are.
fn removed(text: &str, cleaned: &str) -> Vec<Range<usize>> {
    const PLACEHOLDERS: [&str; 7] = [
        "[mail]",
        "[phone]",
        "[address]",
        "[serial]",
        "[name]",
        "[account]",
        "[plate]",
    ];
    let mut pieces = vec![cleaned.to_owned()];
    for placeholder in PLACEHOLDERS {
        pieces = pieces
            .iter()
            .flat_map(|piece| piece.split(placeholder).map(str::to_owned))
            .collect();
    }
    let mut gaps = Vec::new();
    let mut from = 0;
    let last = pieces.len() - 1;
    for (at, piece) in pieces.iter().enumerate() {
        let start = match at {
            0 => 0,
            _ if at == last => text.len() - piece.len(),
            // Something stood in the gap.
            _ => {
                let least = from + text[from..].chars().next().map_or(0, char::len_utf8);
                least
                    + text[least..]
                        .find(piece.as_str())
                        .expect("a piece of the text")
            }
        };
        if at > 0 {
            gaps.push(from..start);
        }
        from = start + piece.len();
    }
    gaps
}
