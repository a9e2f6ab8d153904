//! The chance of every candidate for a question.

use super::counted::CountsError;
use super::equation::{Feature, Row, Weights, softmax};
use super::features::{Sources, Table, table};
use super::question::Question;

/// Candidates with their chances; together with `unlisted` they sum to one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Chances {
    /// Numbers of the pairs, ascending.
    pub pairs: Vec<usize>,
    /// The chance of each.
    pub chance: Vec<f64>,
    /// The features of each.
    pub rows: Vec<Row>,
    /// The chance that no article covers the case.
    pub unlisted: f64,
}

/// The exponent of `unlisted`: a constant, and how often nothing covered a case, in the measure of
/// the prior.
#[must_use]
pub fn unlisted_utility(weights: &Weights, times: f64) -> f64 {
    weights.unlisted + weights.beta[Feature::Prior as usize] * (times + 1.0).ln()
}

/// Ranks a question by the equation.
///
/// # Errors
/// Where the index cannot be read.
pub fn chances(
    question: &Question,
    sources: Sources<'_>,
    weights: &Weights,
) -> Result<Chances, CountsError> {
    Ok(of_table(
        table(question, sources)?,
        weights,
        sources.evidence.unlisted,
    ))
}

/// Chances from features already computed.
#[must_use]
pub fn of_table(table: Table, weights: &Weights, unlisted_times: f64) -> Chances {
    let mut utilities: Vec<f64> = table.rows.iter().map(|row| weights.utility(row)).collect();
    utilities.push(unlisted_utility(weights, unlisted_times));
    let mut chance = softmax(&utilities);
    let unlisted = chance.pop().unwrap_or(1.0);
    Chances {
        pairs: table.pairs,
        chance,
        rows: table.rows,
        unlisted,
    }
}
