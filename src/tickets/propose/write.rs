//! A proposed map as TOML, with what a person should look at.

use super::{Column, Proposal, Sheet, headings};
use crate::tickets::Scrubber;
use std::fmt::Write as _;

/// How many devices that the knowledge base does not know are listed.
const LISTED: usize = 8;

/// The proposal as a commented map; `zone` is the time zone of this computer. Comments hold no
/// personal data.
#[must_use]
pub fn toml_text(proposal: &Proposal, sheet: &Sheet, zone: &str, scrubber: &Scrubber) -> String {
    let mut out = String::from(
        "# How this export's columns become the fields of tickets. Proposed from headings and contents:\n\
         # look it over, correct it, then try `fixtally tickets import FILE --map THIS --look`.\n\n",
    );
    let _ = writeln!(
        out,
        "# The time zone of dates that carry none; this computer's, unless you know better.\nzone = {}",
        quoted(zone)
    );
    dates(&mut out, proposal);
    let delimiter = char::from(sheet.delimiter).to_string();
    let _ = writeln!(out, "delimiter = {}", quoted(&delimiter));
    if let Some(encoding) = sheet.encoding {
        let _ = writeln!(
            out,
            "# Told from the bytes; correct it where letters look wrong.\nencoding = {}",
            quoted(encoding)
        );
    }
    id(&mut out, proposal, sheet, scrubber);
    columns(&mut out, proposal, sheet);
    not_used(&mut out, &unused(proposal, sheet, scrubber));
    values(&mut out, proposal, scrubber);
    out
}

/// As TOML on one line: JSON's escapes are TOML's too, and it keeps one more character out.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text)
        .to_string()
        .replace('\u{7f}', "\\u007f")
}

fn dates(out: &mut String, proposal: &Proposal) {
    let written = &proposal.dates;
    if written.patterns.is_empty() {
        out.push_str("# Dates are of the form 2026-03-02 09:14, so no `dates` are needed.\n");
        return;
    }
    if let Some(other) = written.or {
        let _ = writeln!(
            out,
            "# CHECK: day and month cannot be told apart here; the other way is {}.",
            quoted(other)
        );
    }
    let all: Vec<String> = written.patterns.iter().map(|p| quoted(p)).collect();
    let _ = writeln!(out, "dates = [{}]", all.join(", "));
}

fn id(out: &mut String, proposal: &Proposal, sheet: &Sheet, scrubber: &Scrubber) {
    let Some(at) = proposal.id else {
        out.push_str(
            "# CHECK: no column holds an id, so rows are numbered under the file's name. With one row more\n\
             # on top of the next export, or under another file name, every ticket comes in anew, as another.\n\
             # If a column holds the number of the case, name it: id = { column = \"…\" }\n\
             id = { row = true }\n",
        );
        return;
    };
    let column = &sheet.columns[at];
    if proposal.id_by_contents {
        out.push_str("# CHECK: taken for the id by its contents alone.\n");
    }
    let mut doubts = Vec::new();
    if column.doubled > 0 {
        let rows = rows_have(column.doubled);
        let first = column.doubles.as_deref().unwrap_or_default();
        let first = quoted(&scrubber.text(first));
        doubts.push(format!("{rows} the id of an earlier row, such as {first}"));
    }
    if column.empty() > 0 {
        let rows = rows_have(column.empty());
        doubts.push(format!("{rows} no id"));
    }
    if !doubts.is_empty() {
        let line = format!(
            "CHECK: {}. The import rejects such rows, unless a doubled one says the same.",
            doubts.join(", and ")
        );
        comment(out, &line);
    }
    let _ = writeln!(out, "id = {{ column = {} }}", quoted(&column.name));
}

fn rows_have(count: u64) -> String {
    if count == 1 {
        "1 row has".to_owned()
    } else {
        format!("{count} rows have")
    }
}

/// A comment, wrapped.
fn comment(out: &mut String, text: &str) {
    let options = textwrap::Options::new(98)
        .initial_indent("# ")
        .subsequent_indent("# ");
    let _ = writeln!(out, "{}", textwrap::fill(text, options));
}

/// A column that nothing is taken from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unused {
    /// Its heading.
    pub name: String,
    /// A value to tell it by, without personal data; none where the values may be people or places.
    pub sample: Option<String>,
}

pub(super) fn unused(proposal: &Proposal, sheet: &Sheet, scrubber: &Scrubber) -> Vec<Unused> {
    let used = |at: usize| {
        proposal.id == Some(at) || proposal.columns.values().any(|fed| fed.contains(&at))
    };
    let columns = sheet.columns.iter().enumerate();
    columns
        .filter(|(at, _)| !used(*at))
        .map(|(_, column)| Unused {
            name: column.name.clone(),
            sample: sample(column, scrubber),
        })
        .collect()
}

/// The first value. A bare name is nothing that a scrubber could tell from a word, so none is shown of a
/// column that may hold them.
fn sample(column: &Column, scrubber: &Scrubber) -> Option<String> {
    const LONGEST: usize = 40;
    let value = column.sample.first()?;
    let name_like = |v: &str| {
        let capital = |word: &str| word.starts_with(char::is_uppercase);
        v.split_whitespace().count() <= 3
            && v.split_whitespace().all(capital)
            && !v.contains(|c: char| c.is_ascii_digit())
    };
    let may_be_people = column.many && column.share(name_like) > 0.5;
    if headings::of_others(&column.name) || may_be_people {
        return None;
    }
    let plain = scrubber.text(value).replace(['\n', '\r'], " ");
    let cut = plain.chars().count() > LONGEST;
    let shown: String = plain.chars().take(LONGEST).collect();
    Some(if cut { shown + "…" } else { shown })
}

fn not_used(out: &mut String, unused: &[Unused]) {
    if unused.is_empty() {
        return;
    }
    out.push_str("# Not used, with a value of each:\n");
    for column in unused {
        let sample = column.sample.as_deref().map(quoted);
        let sample = sample.unwrap_or_else(|| "(no value shown)".to_owned());
        let _ = writeln!(out, "#   {}: {sample}", quoted(&column.name));
    }
}

/// In the order people think of a ticket.
const ORDER: &[&str] = &[
    "ref", "follows", "opened", "closed", "reopened", "channel", "device", "firmware", "codes",
    "said", "notes", "article", "fix", "result", "minutes", "outcome", "source",
];

fn columns(out: &mut String, proposal: &Proposal, sheet: &Sheet) {
    out.push_str("\n[columns]\n");
    for field in ORDER {
        let Some(at) = proposal.columns.get(field) else {
            continue;
        };
        let names: Vec<String> = at
            .iter()
            .map(|at| quoted(&sheet.columns[*at].name))
            .collect();
        let value = match &names[..] {
            [one] => one.clone(),
            several => format!("[{}]", several.join(", ")),
        };
        // What feeds the device too was told from its values, which stand below.
        let shared = *field == "firmware" && proposal.columns.get("device") == Some(at);
        let unnamed = |at: &usize| headings::names(field, &sheet.columns[*at].name) == 0.0;
        let by_contents = !shared && at.iter().all(unnamed);
        let check = if by_contents {
            "  # CHECK: by its contents alone"
        } else {
            ""
        };
        let _ = writeln!(out, "{field} = {value}{check}");
    }
    for field in proposal.missing() {
        let _ = writeln!(
            out,
            "# CHECK: nothing was found for `{field}`, and it is needed:\n# {field} = \"…\""
        );
    }
}

fn values(out: &mut String, proposal: &Proposal, scrubber: &Scrubber) {
    for (field, table) in &proposal.values {
        let _ = writeln!(out, "\n[values.{field}]");
        if *field == "outcome" {
            out.push_str("# resolved, handed-on, dropped, or empty where it is none of them\n");
        }
        for (from, to) in table {
            let unknown = proposal.unknown.contains(&(*field, from.clone()));
            let check = if unknown { "  # CHECK" } else { "" };
            let _ = writeln!(out, "{} = {}{check}", quoted(from), quoted(to));
        }
    }
    let devices: Vec<String> = proposal
        .unknown
        .iter()
        .filter(|(field, _)| *field == "device")
        .map(|(_, value)| quoted(&scrubber.text(value)))
        .collect();
    if !devices.is_empty() {
        let more = devices.len().saturating_sub(LISTED);
        let shown = devices[..devices.len().min(LISTED)].join(", ");
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        let line = format!(
            "Devices that `kb.toml` does not know: {shown}{more}. Name them there, or map them under [values.device]."
        );
        out.push('\n');
        comment(out, &line);
    }
}
