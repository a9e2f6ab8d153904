//! Leaf types that every room may use: ids, problems, text analysis, explanations, escaping.
//!
//! Nothing in here reads a file, a clock or the environment.

pub mod codes;
pub mod common;
pub mod escape;
pub mod explain;
pub mod ids;
pub mod negation;
pub mod phrases;
pub mod problem;
pub mod spelling;
pub mod text;
