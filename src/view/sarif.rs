//! Problems in the Static Analysis Results Interchange Format, version 2.1.0 (OASIS standard of
//! 2020-03-27), for tools that show them beside the lines of a review.
//!
//! Columns count characters (`columnKind`), as everywhere here. A problem of a whole file has no
//! region. What `lint --mend` would put in stands as a fix.

use crate::base::problem::{Grade, Place, Problem};
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// What stays as it is in a path of a URI (RFC 3986, section 2.3 and 3.3).
const PATH: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~')
    .remove(b'/');

/// The log of one run. `folder` is the knowledge base as reviewers see it from the root of what they
/// review, with `/` between its parts, empty where it is the root, or its whole path; `about` says in words what rules ask
/// for.
#[must_use]
pub fn sarif(problems: &[Problem], folder: &str, about: &BTreeMap<&str, &str>) -> Value {
    let mut rules: BTreeMap<&str, usize> = problems.iter().map(|p| (p.rule, 0)).collect();
    for (number, place) in rules.values_mut().enumerate() {
        *place = number;
    }
    let described: Vec<Value> = rules.keys().map(|rule| described(rule, about)).collect();
    let results: Vec<Value> = problems
        .iter()
        .map(|problem| result(problem, rules[problem.rule], folder))
        .collect();
    json!({
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": {
                "name": env!("CARGO_PKG_NAME"),
                "version": env!("CARGO_PKG_VERSION"),
                "rules": described,
            }},
            "columnKind": "unicodeCodePoints",
            "results": results,
        }],
    })
}

fn described(rule: &str, about: &BTreeMap<&str, &str>) -> Value {
    match about.get(rule) {
        Some(words) => json!({ "id": rule, "shortDescription": { "text": words } }),
        None => json!({ "id": rule }),
    }
}

fn result(problem: &Problem, rule: usize, folder: &str) -> Value {
    let level = match problem.grade {
        Grade::Error => "error",
        Grade::Note => "note",
    };
    let text = match &problem.help {
        Some(help) => format!("{}\nHelp: {help}", problem.message),
        None => problem.message.clone(),
    };
    let file = json!({ "uri": uri(folder, &problem.place) });
    let mut place = json!({ "artifactLocation": file });
    if let Some(region) = region(&problem.place) {
        place["region"] = region;
    }
    let mut result = json!({
        "ruleId": problem.rule,
        "ruleIndex": rule,
        "level": level,
        "message": { "text": text },
        "locations": [{ "physicalLocation": place }],
    });
    if let (Some(meant), Some(region)) = (&problem.mend, region(&problem.place)) {
        let replacement = json!({ "deletedRegion": region, "insertedContent": { "text": meant } });
        result["fixes"] = json!([{
            "artifactChanges": [{ "artifactLocation": file, "replacements": [replacement] }],
        }]);
    }
    result
}

/// None for a file as a whole; the line alone where no column is known.
fn region(place: &Place) -> Option<Value> {
    match (place.line, place.column) {
        (0, _) => None,
        (line, 0) => Some(json!({ "startLine": line })),
        (line, column) => Some(json!({
            "startLine": line,
            "startColumn": column,
            "endColumn": column + place.width.max(1),
        })),
    }
}

fn uri(folder: &str, place: &Place) -> String {
    let file = place.file.to_string_lossy().replace('\\', "/");
    let parts = [folder.trim_end_matches('/'), &file];
    let parts: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    let path = utf8_percent_encode(&parts.join("/"), PATH).to_string();
    match folder.as_bytes() {
        [b'/', ..] => format!("file://{path}"),
        [_, b':', ..] => format!("file:///{path}"),
        _ => path,
    }
}
