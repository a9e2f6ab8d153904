//! How dangers sound, as carried by a pack.

use super::bytes::{At, Blob};
use super::postings::front_coded;
use crate::evidence::ear::Ear;
use serde::Serialize;

/// Terms with their weights.
#[derive(Serialize)]
pub(super) struct EarPart {
    /// Front-coded.
    terms: String,
    /// Twice the weight of each in steps, less one where it is below 0.
    weights: At,
    /// In steps.
    bias: i32,
}

pub(super) fn ear(ear: &Ear, blob: &mut Blob) -> EarPart {
    let folded = |weight: &i32| {
        let twice = 2 * u64::from(weight.unsigned_abs());
        if *weight < 0 { twice - 1 } else { twice }
    };
    EarPart {
        terms: front_coded(ear.terms.iter().map(String::as_str)),
        weights: blob.numbers(ear.weights.iter().map(folded)),
        bias: ear.bias,
    }
}
