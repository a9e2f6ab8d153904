//! A case as plain text, to be copied into the office's own system: what was said, seen and tried, how it
//! ended or what remains likely.

use super::percent;
use crate::call::hand_over::HandOver;
use std::fmt::Write as _;

/// The text; ends with a line feed. `case` is its id, `ending` how it ended, where it did.
#[must_use]
pub fn text(case: &str, ending: Option<&str>, of: &HandOver) -> String {
    let mut out = match ending {
        Some(ending) => format!("{case}: {ending}\n"),
        None => format!("{case}: still open\n"),
    };
    for danger in &of.danger {
        let _ = writeln!(out, "DANGER: {danger}");
    }
    let all = |lines: &[String], with: &str| (!lines.is_empty()).then(|| lines.join(with));
    let none = || Some("nothing".to_owned());
    for (label, told) in [
        ("Said", all(&of.said, " / ")),
        ("Shown", all(&of.shown, "; ")),
        ("Seen", all(&of.seen, "; ")),
        ("Tried", all(&of.tried, "; ").or_else(none)),
        (
            "No danger, as somebody on site said",
            all(&of.not_danger, "; "),
        ),
        ("Notes", all(&of.notes, "; ")),
    ] {
        if let Some(told) = told {
            let _ = writeln!(out, "{label}: {told}");
        }
    }
    if !ending.is_some_and(|ending| ending.starts_with("resolved")) {
        likely(&mut out, of);
    }
    let _ = writeln!(out, "Local codes and licensed practice prevail.");
    out
}

fn likely(out: &mut String, of: &HandOver) {
    if !of.likely.is_empty() {
        out.push_str("Still likely:\n");
    }
    for fix in &of.likely {
        let chance = if fix.only_author {
            String::new()
        } else {
            format!("{}, ", percent::chance(fix.chance))
        };
        let mut line = format!("- {chance}{} ({}", fix.title, fix.who);
        if !fix.hazards.is_empty() {
            let _ = write!(line, ", HAZARD {}", fix.hazards.join(", "));
        }
        line.push(')');
        if !fix.after.is_empty() {
            let _ = write!(line, ", first: {}", fix.after.join("; "));
        }
        let _ = writeln!(out, "{line}");
    }
    for (label, told) in [
        ("Bring", of.bring.join("; ")),
        ("Caution", of.cautions.join(" ")),
    ] {
        if !told.is_empty() {
            let _ = writeln!(out, "{label}: {told}");
        }
    }
}
