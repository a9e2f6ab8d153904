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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::call::hand_over::Likely;

    fn case() -> HandOver {
        HandOver {
            said: vec!["trips at once".to_owned(), "only in rain".to_owned()],
            shown: vec!["device post-22".to_owned(), "code K31".to_owned()],
            likely: vec![Likely {
                id: "a#f".to_owned(),
                title: "Dry the gland".to_owned(),
                chance: 0.46,
                only_author: false,
                who: "electrician".to_owned(),
                hazards: vec!["mains".to_owned()],
                after: vec!["Is it dry?".to_owned()],
            }],
            bring: vec!["a meter".to_owned()],
            cautions: vec!["Danger of death.".to_owned()],
            ..HandOver::default()
        }
    }

    #[test]
    fn whoever_takes_a_case_on_reads_what_is_left() {
        assert_eq!(
            text("C-261031-1", Some("handed on"), &case()),
            "C-261031-1: handed on\n\
             Said: trips at once / only in rain\n\
             Shown: device post-22; code K31\n\
             Tried: nothing\n\
             Still likely:\n\
             - 46 %, Dry the gland (electrician, HAZARD mains), first: Is it dry?\n\
             Bring: a meter\n\
             Caution: Danger of death.\n\
             Local codes and licensed practice prevail.\n"
        );
    }

    #[test]
    fn a_case_that_is_fixed_has_nothing_left_to_try() {
        let mut fixed = case();
        fixed.tried = vec!["Dry the gland: ended it".to_owned()];
        let text = text("C-261031-1", Some("resolved by Dry the gland"), &fixed);
        assert!(text.contains("Tried: Dry the gland: ended it\n"), "{text}");
        assert!(!text.contains("Still likely"), "{text}");
    }
}
