//! `sayings/*.jsonl`: what callers said, and whether it was a danger. Examples to learn hearing from.
//!
//! One object a line: `{"said": "it smells of hot plastic", "stops": true}`; `topic` may say for people
//! what it is about. A line that cannot be read is a problem and hides no other.

use crate::base::problem::{Place, Problem};
use serde::{Deserialize, Serialize};

/// The folder inside a knowledge base.
pub const FOLDER: &str = "sayings";

/// Something a caller said.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Saying {
    /// The words.
    pub said: String,
    /// Whether a call must stop at them.
    pub stops: bool,
    /// What it is about, for people.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub topic: String,
}

/// Reads one file.
#[must_use]
pub fn read(file: &str, text: &str) -> (Vec<Saying>, Vec<Problem>) {
    let (mut sayings, mut problems) = (Vec::new(), Vec::new());
    for (at, line) in text
        .lines()
        .enumerate()
        .filter(|(_, l)| !l.trim().is_empty())
    {
        match serde_json::from_str::<Saying>(line) {
            Ok(saying) => sayings.push(saying),
            Err(error) => {
                let place = Place {
                    line: at + 1,
                    column: error.column(),
                    ..Place::file(file)
                };
                let problem = Problem::error(
                    "saying",
                    place,
                    format!("this saying cannot be read: {error}"),
                );
                problems.push(problem.help(
                    "write it like {\"said\": \"it smells of hot plastic\", \"stops\": true}",
                ));
            }
        }
    }
    (sayings, problems)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bad_line_is_told_with_its_place_and_hides_no_other() {
        let text = "{\"said\": \"a\", \"stops\": true}\n\nnonsense\n{\"said\": \"b\", \"stops\": false, \"topic\": \"x\"}\n{\"said\": \"c\"}\n";
        let (sayings, problems) = read("sayings/x.jsonl", text);
        let said: Vec<(&str, bool)> = sayings.iter().map(|s| (s.said.as_str(), s.stops)).collect();
        assert_eq!(said, [("a", true), ("b", false)]);
        let lines: Vec<usize> = problems.iter().map(|p| p.place.line).collect();
        assert_eq!(lines, [3, 5]);
    }
}
