//! What comes back from a site: JSON Lines that the page saves, shows as text or as a code to scan.
//!
//! ```json
//! {"fixtally_site":1,"kb":"…","fingerprint":"…","as_of":"2026-10-31"}
//! {"ticket":{"id":"S-…","closed":"…",…}}
//! {"remark":{"on":"article#fix","at":"…","case":"S-…","text":"step 3: …"}}
//! ```
//!
//! The first line says which pack it came from; a ticket is in the form of `fixtally tickets export`.

use jiff::Timestamp;
use serde::Deserialize;
use serde_json::Value;

/// The form that is read.
const FORM: u64 = 1;

/// One line.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// Which pack it came from.
    Pack,
    /// A ticket, as JSON.
    Ticket(String),
    /// A remark.
    Remark(Remark),
}

/// What somebody on site says is wrong, as it arrives.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub struct Remark {
    /// The fix or the article it is about.
    pub on: String,
    /// When it was left.
    pub at: Timestamp,
    /// The case it was left in.
    #[serde(default)]
    pub case: Option<String>,
    /// What is wrong.
    pub text: String,
}

/// Reads one line; `first` is set for the first one, which must say where it came from.
///
/// # Errors
/// In words: what was expected and found.
pub fn read(line: &str, first: bool) -> Result<Line, String> {
    let value: Value = serde_json::from_str(line).map_err(|e| format!("this is no JSON: {e}"))?;
    let form = value.get("fixtally_site").and_then(Value::as_u64);
    match form {
        Some(FORM) => return Ok(Line::Pack),
        Some(other) => {
            return Err(format!(
                "a pack of another version of fixtally saved it: expected form {FORM}, but found {other}"
            ));
        }
        None if first => {
            return Err(
                "no pack saved this: expected a first line with `fixtally_site`".to_owned(),
            );
        }
        None => {}
    }
    match (value.get("ticket"), value.get("remark")) {
        (Some(ticket), None) if ticket["id"].is_string() => Ok(Line::Ticket(ticket.to_string())),
        (Some(_), None) => Err("a ticket must have an `id`, so that it comes in once".to_owned()),
        (None, Some(remark)) => Remark::deserialize(remark)
            .map(Line::Remark)
            .map_err(|e| format!("this is no remark: {e}")),
        _ => Err("expected `ticket` or `remark`".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_read_or_say_what_is_wrong() {
        for (line, first, found) in [
            (r#"{"fixtally_site":1,"kb":"x"}"#, true, Ok(Line::Pack)),
            (
                r#"{"ticket":{"id":"S-1"}}"#,
                false,
                Ok(Line::Ticket(r#"{"id":"S-1"}"#.to_owned())),
            ),
            (
                r#"{"remark":{"on":"a#b","at":"2026-03-02T09:14:00Z","text":"t"}}"#,
                false,
                Ok(Line::Remark(Remark {
                    on: "a#b".to_owned(),
                    at: "2026-03-02T09:14:00Z".parse().unwrap(),
                    case: None,
                    text: "t".to_owned(),
                })),
            ),
            ("{\"ticket\":{}}", true, Err("no pack saved this")),
            (
                r#"{"fixtally_site":2}"#,
                true,
                Err("expected form 1, but found 2"),
            ),
            (
                r#"{"ticket":{"closed":"2026-03-02T09:14:00Z"}}"#,
                false,
                Err("an `id`"),
            ),
            ("not json", false, Err("no JSON")),
            ("[1]", false, Err("expected `ticket` or `remark`")),
            (r#"{"remark":{"on":"a"}}"#, false, Err("no remark")),
        ] {
            match (read(line, first), found) {
                (Ok(read), Ok(found)) => assert_eq!(read, found, "{line}"),
                (Err(why), Err(part)) => assert!(why.contains(part), "{line}: {why}"),
                (read, _) => panic!("{line}: {read:?}"),
            }
        }
    }
}
