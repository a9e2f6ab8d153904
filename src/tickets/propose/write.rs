//! A proposed map as TOML, with what a person should look at.

use super::{Proposal, Sheet, headings};
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
    id(&mut out, proposal, sheet);
    columns(&mut out, proposal, sheet);
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

fn id(out: &mut String, proposal: &Proposal, sheet: &Sheet) {
    match proposal.id {
        Some(at) => {
            if proposal.id_repeats {
                out.push_str(
                    "# CHECK: ids repeat; rows of one id become one ticket, the last row counts.\n",
                );
            }
            let name = quoted(&sheet.columns[at].name);
            let _ = writeln!(out, "id = {{ column = {name} }}");
        }
        None => out.push_str(
            "# No column holds an id for each row, so rows are numbered under the file's name.\n\
             id = { row = true }\n",
        ),
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
        let by_contents = at
            .iter()
            .all(|at| headings::names(field, &sheet.columns[*at].name) == 0.0);
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
    let used = |at: usize| {
        proposal.id == Some(at) || proposal.columns.values().any(|fed| fed.contains(&at))
    };
    let unused: Vec<String> = sheet
        .columns
        .iter()
        .enumerate()
        .filter(|(at, _)| !used(*at))
        .map(|(_, column)| quoted(&column.name))
        .collect();
    if !unused.is_empty() {
        let line = format!("Not used: {}", unused.join(", "));
        let options = textwrap::Options::new(98)
            .initial_indent("# ")
            .subsequent_indent("#   ");
        let _ = writeln!(out, "{}", textwrap::fill(&line, options));
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
        let options = textwrap::Options::new(98)
            .initial_indent("# ")
            .subsequent_indent("# ");
        let _ = writeln!(out, "\n{}", textwrap::fill(&line, options));
    }
}
