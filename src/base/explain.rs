//! Why a number is what it is: a tree of value, words and parts.

use serde::{Deserialize, Serialize};

/// One number with its reason. The words say what the parts are and how they combine.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Explain {
    /// The number explained.
    pub value: f64,
    /// What it is, in words a lead tech understands.
    pub words: String,
    /// What it is made of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<Self>,
}

impl Explain {
    /// A number without parts.
    pub fn leaf(value: f64, words: impl Into<String>) -> Self {
        Self {
            value,
            words: words.into(),
            parts: Vec::new(),
        }
    }

    /// A number made of parts.
    pub fn of(value: f64, words: impl Into<String>, parts: Vec<Self>) -> Self {
        Self {
            value,
            words: words.into(),
            parts,
        }
    }
}
