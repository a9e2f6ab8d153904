//! Which headings open a block, and which look as if they were meant to.

use super::Kind;
use super::content::{Body, Heading, one_line};
use crate::articles::finding::Finding;
use crate::articles::source::Source;
use std::ops::Range;

/// A heading that opens a block, and the bytes up to the next such heading.
#[derive(Clone, Debug)]
pub(super) struct Opening {
    pub(super) kind: Kind,
    /// What stands after `Fix:` or `Check:`.
    pub(super) title: String,
    pub(super) heading: Heading,
    pub(super) at: Range<usize>,
}

/// Finds the openings; a misspelt one is reported, because its steps would silently become part
/// of the block above.
pub(super) fn openings(source: &Source, body: &Body, findings: &mut Vec<Finding>) -> Vec<Opening> {
    let mut found: Vec<Opening> = Vec::new();
    for heading in &body.headings {
        match read(&heading.text) {
            Some((kind, title)) if heading.level == 2 => {
                if let Some(last) = found.last_mut() {
                    last.at.end = heading.at.start;
                }
                found.push(Opening {
                    kind,
                    title,
                    heading: heading.clone(),
                    at: heading.at.start..source.text.len(),
                });
            }
            Some((kind, _)) => findings.push(misspelt(
                source,
                heading,
                format!("write it with two `#`: `## {}`", name(kind)),
            )),
            None => {
                if let Some(meant) = meant(heading) {
                    findings.push(misspelt(
                        source,
                        heading,
                        format!("did you mean `## {meant}`?"),
                    ));
                }
            }
        }
    }
    found
}

fn misspelt(source: &Source, heading: &Heading, help: String) -> Finding {
    let text = one_line(&heading.text);
    Finding::article(source.error(
        "misspelt-heading",
        heading.at.clone(),
        format!("the heading `{text}` opens no check and no fix"),
    ))
    .help(Some(help))
}

fn name(kind: Kind) -> &'static str {
    match kind {
        Kind::Check => "Check: …",
        Kind::Fix => "Fix: …",
        Kind::DoNow => "Do now",
    }
}

fn read(text: &str) -> Option<(Kind, String)> {
    let text = text.trim();
    if text == "Do now" {
        return Some((Kind::DoNow, String::new()));
    }
    let (word, title) = text.split_once(':')?;
    let kind = match word {
        "Check" => Kind::Check,
        "Fix" => Kind::Fix,
        _ => return None,
    };
    Some((kind, one_line(title)))
}

/// What a heading was probably meant to be. The limits of one or two wrong letters were chosen so
/// that `Fiks:`, `Chek:` and `Do it now` are caught while `Mixing:` and `Checklist:` are not.
fn meant(heading: &Heading) -> Option<&'static str> {
    if heading.level != 2 {
        return None;
    }
    let text = one_line(&heading.text).to_lowercase();
    let word = text.split(':').next().unwrap_or_default().trim();
    let near = |name: &str, limit| strsim::osa_distance(word, name) <= limit;
    let colon = text.contains(':');
    if colon && (near("fix", 1) || near("fixes", 1) || near("fixed", 0) || word == "fiks") {
        Some("Fix: …")
    } else if colon && (near("check", 2) && word != "checklist") {
        Some("Check: …")
    } else if near("do now", 1) || ["do this now", "do it now", "what to do now"].contains(&word) {
        Some("Do now")
    } else if heading.has_attributes || text.contains("{#") {
        Some(if text.contains('?') {
            "Check: …"
        } else {
            "Fix: …"
        })
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn misspelt_headings_are_caught_and_plain_ones_are_not() {
        let heading = |text: &str| Heading {
            level: 2,
            text: text.to_owned(),
            at: 0..0,
            has_attributes: false,
            link: None,
        };
        for (text, found) in [
            ("fix: restart", Some("Fix: …")),
            ("Fxi: restart", Some("Fix: …")),
            ("Fixes: restart", Some("Fix: …")),
            ("Chek: is it on?", Some("Check: …")),
            ("check : is it on?", Some("Check: …")),
            ("Do Now", Some("Do now")),
            ("Do now:", Some("Do now")),
            ("Restart it {#restart", Some("Fix: …")),
            ("Background", None),
            ("What happened", None),
            ("Checklist: before you go", None),
            ("Fix", None),
        ] {
            assert_eq!(meant(&heading(text)), found, "{text}");
        }
        assert_eq!(
            read("Fix: Restart  it"),
            Some((Kind::Fix, "Restart it".to_owned()))
        );
    }
}
