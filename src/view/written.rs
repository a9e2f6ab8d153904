//! The lines of a case as they stand on a sheet: what was said in the caller's words, the rest in ours.

use super::call_words::heard;
use crate::call::hand_over::spoken;
use crate::call::{Act, Case, Ground};
use serde::Serialize;

/// One line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Written {
    /// Its number, from 0.
    pub n: usize,
    /// In words.
    pub text: String,
    /// What sort of line it is.
    pub kind: Kind,
    /// Struck through: it says nothing any more.
    pub struck: bool,
}

/// What sort of line it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Something said, shown or answered.
    Said,
    /// A fix attempted.
    Try,
    /// A fix taken up.
    TakeUp,
    /// The end, and what was asked for it.
    End,
}

/// The lines of a case.
#[must_use]
pub fn written(case: &Case, ground: Ground<'_>) -> Vec<Written> {
    let lines = case.lines.iter().enumerate();
    lines
        .map(|(n, line)| Written {
            n,
            text: text(&line.acts, ground),
            kind: kind(&line.acts),
            struck: line.struck,
        })
        .collect()
}

fn kind(acts: &[Act]) -> Kind {
    let of = |act: &Act| match act {
        Act::Try { .. } => Some(Kind::Try),
        Act::Pick(_) => Some(Kind::TakeUp),
        Act::End(_) | Act::Article(_) | Act::Follows(_) | Act::NoReference => Some(Kind::End),
        _ => None,
    };
    acts.iter().find_map(of).unwrap_or(Kind::Said)
}

/// The acts in words. What was read out of the caller's own words is not said twice, nor that a line
/// told which site it is.
fn text(acts: &[Act], ground: Ground<'_>) -> String {
    let mut parts: Vec<String> = Vec::new();
    for act in acts {
        let part = match act {
            Act::Say(words) => words.clone(),
            Act::Note(note) => format!("note: {note}"),
            Act::Site(_) => continue,
            Act::Code(code) => code.clone(),
            Act::Sign { lamp, state } => format!("{} {}", spoken(lamp), spoken(state)),
            Act::Device(id) => id.clone(),
            other => heard(std::slice::from_ref(other), ground).concat(),
        };
        let told = parts.iter().any(|said| says(said, &part));
        if !told {
            parts.push(part);
        }
    }
    if parts.is_empty() {
        return "which site it is".to_owned();
    }
    parts.join(", ")
}

fn says(said: &str, part: &str) -> bool {
    said.to_lowercase().contains(&part.to_lowercase())
}
