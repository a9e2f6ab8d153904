//! The chance of every candidate for a question.

use super::counted::CountsError;
use super::equation::{Feature, Row, Weights, softmax, sum_and_doubt};
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

/// The exponent of `unlisted`: a constant; how often nothing covered a case, in the measure of the
/// prior; and what the exponents of the `others` say, all together and of the doubt between them.
///
/// `θ₁ < 1` makes `unlisted` less likely the more speaks for any candidate at all. Without the last
/// two, a question far from everything would be covered as surely as one that is close to many.
#[must_use]
pub fn unlisted_utility(weights: &Weights, times: f64, others: &[f64]) -> f64 {
    let (sum, doubt) = sum_and_doubt(others);
    weights.unlisted
        + weights.beta[Feature::Common as usize] * (times + 1.0).ln()
        + weights.unlisted_by_sum * sum
        + weights.unlisted_by_doubt * doubt
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
    utilities.push(unlisted_utility(weights, unlisted_times, &utilities));
    let mut chance = softmax(&utilities);
    let unlisted = chance.pop().unwrap_or(1.0);
    Chances {
        pairs: table.pairs,
        chance,
        rows: table.rows,
        unlisted,
    }
}
