//! The fields of a ticket: their names, how their values are read, what must hold between them.
//!
//! JSON Lines and CSV both come through here, so that a wrong value reads the same from both.

use super::record::{Outcome, RawTicket, TryResult};
use crate::base::problem::did_you_mean;

/// The keys of a ticket in JSON Lines.
pub(super) const KEYS: &[&str] = &[
    "id",
    "ref",
    "follows",
    "opened",
    "closed",
    "device",
    "firmware",
    "channel",
    "said",
    "codes",
    "signs",
    "seen",
    "article",
    "tries",
    "outcome",
    "reopened",
    "not_danger",
    "source",
    "notes",
    "read",
];

/// The keys of what was read of a forgotten text, of its article and of its tries.
pub(super) const READ_KEYS: &[&str] = &["article", "tries"];
pub(super) const READ_ARTICLE_KEYS: &[&str] = &["id", "chance"];
pub(super) const READ_TRY_KEYS: &[&str] = &["fix", "result", "chance"];

/// The keys of a try in JSON Lines.
pub(super) const TRY_KEYS: &[&str] = &["fix", "result", "minutes"];

/// Longest id, in bytes: longer ones come from a column that holds something else.
const LONGEST_ID: usize = 200;

/// Most minutes of one try: a year. More is seconds, or a slip.
const MOST_MINUTES: f64 = 525_600.0;

/// What is wrong with a row, before its place is known.
#[derive(Debug)]
pub(super) struct Fault {
    /// The rule's name.
    pub(super) rule: &'static str,
    /// The field it stands in; empty for the row as a whole.
    pub(super) field: String,
    /// What was expected and found.
    pub(super) message: String,
    /// What to do.
    pub(super) help: Option<String>,
}

impl Fault {
    pub(super) fn new(rule: &'static str, field: &str, message: impl Into<String>) -> Self {
        Self {
            rule,
            field: field.to_owned(),
            message: message.into(),
            help: None,
        }
    }

    pub(super) fn help(mut self, help: Option<String>) -> Self {
        self.help = help;
        self
    }

    /// A field that must be there and is not.
    pub(super) fn missing(field: &str) -> Self {
        Self::new("missing-field", "", format!("`{field}` is missing"))
    }

    /// A key nobody knows.
    pub(super) fn unknown_key(key: &str, known: &[&str]) -> Self {
        let help = did_you_mean(key, known.iter().copied());
        Self::new("unknown-key", key, format!("unknown key `{}`", cut(key))).help(help)
    }
}

/// A value short enough to quote.
pub(super) fn cut(text: &str) -> String {
    const LONGEST: usize = 40;
    if text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    text.chars().take(LONGEST).chain(['…']).collect()
}

/// Reads an id: one line, not empty, not endless.
pub(super) fn id(field: &str, text: &str) -> Result<String, Fault> {
    let text = text.trim();
    if text.len() > LONGEST_ID || text.chars().any(char::is_control) {
        let message = format!(
            "expected an id in `{field}` such as `T-10482`, but found `{}`",
            cut(text)
        );
        return Err(Fault::new("bad-id", field, message));
    }
    Ok(text.to_owned())
}

/// Reads an outcome.
pub(super) fn outcome(text: &str) -> Result<Outcome, Fault> {
    choose(
        "unknown-outcome",
        "outcome",
        text,
        &[
            ("resolved", Outcome::Resolved),
            ("handed-on", Outcome::HandedOn),
            ("dropped", Outcome::Dropped),
        ],
    )
}

/// Reads the result of a try.
pub(super) fn result(text: &str) -> Result<TryResult, Fault> {
    choose(
        "unknown-result",
        "result",
        text,
        &[
            ("resolved", TryResult::Resolved),
            ("no-change", TryResult::NoChange),
            ("not-possible", TryResult::NotPossible),
        ],
    )
}

fn choose<T: Copy>(
    rule: &'static str,
    field: &str,
    text: &str,
    known: &[(&str, T)],
) -> Result<T, Fault> {
    if let Some((_, value)) = known.iter().find(|(name, _)| *name == text) {
        return Ok(*value);
    }
    let names: Vec<String> = known.iter().map(|(name, _)| format!("`{name}`")).collect();
    let message = format!(
        "expected {} in `{field}`, but found `{}`",
        one_of(&names),
        cut(text)
    );
    Err(Fault::new(rule, field, message))
}

fn one_of(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// Checks minutes and keeps them to a hundredth, so that they print and read back exactly.
pub(super) fn minutes(value: f64) -> Result<f64, Fault> {
    if !value.is_finite() || !(0.0..=MOST_MINUTES).contains(&value) {
        let message = format!(
            "expected `minutes` between 0 and {MOST_MINUTES} (a year), but found `{value}`"
        );
        return Err(Fault::new("bad-minutes", "minutes", message));
    }
    // Adding 0.0 turns -0.0 into 0.0.
    Ok((value * 100.0).round() / 100.0 + 0.0)
}

/// Checks a chance and keeps it to a ten-thousandth, so that it prints and reads back exactly.
pub(super) fn chance(value: f64) -> Result<f64, Fault> {
    if !(0.0..=1.0).contains(&value) {
        let message = format!("expected `chance` between 0 and 1, but found `{value}`");
        return Err(Fault::new("bad-chance", "read", message));
    }
    Ok((value * 10_000.0).round() / 10_000.0 + 0.0)
}

/// What must hold between the fields of one ticket.
pub(super) fn check(ticket: &RawTicket) -> Result<(), Fault> {
    if ticket.said.is_none() && ticket.notes.is_none() {
        let message = "both `said` and `notes` are missing, one of them is needed";
        return Err(Fault::new("missing-field", "", message));
    }
    if let Some(opened) = ticket.opened
        && opened > ticket.closed
    {
        let message = format!(
            "closed before it was opened: `closed` is `{}`, `opened` is `{opened}`",
            ticket.closed
        );
        return Err(Fault::new("closed-before-opened", "closed", message));
    }
    if let Some(reopened) = ticket.reopened
        && reopened <= ticket.closed
    {
        let message = format!(
            "`reopened` must be later than `closed`: `closed` is `{}`, `reopened` is `{reopened}`",
            ticket.closed
        );
        return Err(Fault::new("reopened-before-closed", "reopened", message));
    }
    let own = |id: &str| id == ticket.id.as_str() || Some(id) == ticket.reference.as_deref();
    if let Some(follows) = ticket.follows.as_ref().filter(|f| own(f.as_str())) {
        let message = format!("`follows` names the ticket itself, `{follows}`");
        return Err(Fault::new("follows-itself", "follows", message));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_are_kept_to_a_hundredth_and_within_a_year() {
        for (given, kept) in [
            (0.0, Some(0.0)),
            (12.5, Some(12.5)),
            (1.0 / 3.0, Some(0.33)),
            (-1.0, None),
            (f64::NAN, None),
            (f64::INFINITY, None),
            (600_000.0, None),
        ] {
            assert_eq!(minutes(given).ok(), kept, "{given}");
        }
    }

    #[test]
    fn a_wrong_value_is_told_with_what_was_expected() {
        let fault = outcome("resolvd").unwrap_err();
        assert_eq!(
            fault.message,
            "expected `resolved`, `handed-on` or `dropped` in `outcome`, but found `resolvd`"
        );
    }
}
