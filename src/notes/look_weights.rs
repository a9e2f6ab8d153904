//! What the second look learned: for each thing that it looks at, how far it speaks for having ended a resolved
//! ticket, and, in what did not, for resolved, no change and not possible, against not being told at all.
//!
//! Learned by `tools/measure/second_look.py`, which says from what; what is gained where a set is left out stands in
//! `tests/data/notes/README.md`.

/// How many things are looked at.
pub(super) const FEATURES: usize = 52;

#[rustfmt::skip]
#[allow(clippy::approx_constant, reason = "learned, and near some constant by chance")]
pub(super) const WEIGHTS: [(&str, [f64; 4]); FEATURES] = [
    ("always one", [3.823, -16.043, -1.841, -3.961]),
    ("half the log odds that the walk finds it tried", [0.182, 0.165, 0.304, 0.191]),
    ("log of what the walk expects: resolved", [0.294, -0.284, -0.255, -0.596]),
    ("no change", [-0.172, 0.425, 0.926, 0.348]),
    ("not possible", [0.363, 0.378, 0.012, 1.121]),
    ("spoken of", [0.515, -0.141, -0.283, -0.141]),
    ("evidence that the walk used", [-0.164, -0.046, 0.055, -0.191]),
    ("evidence in the sentence", [0.795, 0.585, 0.825, 0.931]),
    ("log of how often it is tried", [-0.041, 0.017, 0.382, -0.331]),
    ("of another article", [-2.633, -1.875, -2.879, -2.746]),
    ("not listed", [-0.813, -1.697, -2.498, -2.593]),
    ("other fixes' part of the evidence in the sentence", [-0.903, -1.179, -1.847, -1.689]),
    ("how far the phrase is no fix", [0.350, 0.630, 0.537, 1.353]),
    ("a question in the sentence", [-0.002, -0.836, -1.571, -0.938]),
    ("in the last sentence", [-0.652, -0.376, -0.632, -0.497]),
    ("in the first sentence", [-0.240, -0.111, 0.266, -0.600]),
    ("number of sentences", [-0.823, -0.232, -0.346, -0.349]),
    ("other fixes tried", [0.149, 0.150, 0.205, 0.244]),
    ("the ticket is resolved", [0.000, -0.171, -0.146, -0.368]),
    ("most that the walk expects another fix to have resolved it", [0.023, 0.097, 0.341, -0.049]),
    ("the walk expects it most of this one", [0.064, -0.018, 0.174, -0.228]),
    ("resolved ticket: log of what the walk expects, resolved", [0.294, 0.106, 0.206, 0.112]),
    ("resolved ticket: no change", [-0.172, 0.094, 0.223, 0.058]),
    ("resolved ticket: most that another fix resolved it", [0.023, 0.164, 0.542, -0.049]),
    ("resolved ticket: the walk expects it most of this one", [0.064, 0.105, -0.265, 0.580]),
    ("the ticket is handed on", [0.000, -0.096, -0.560, 0.272]),
    ("how far its words lie apart", [0.245, 0.114, 0.177, 0.166]),
    ("resolved ticket: other fixes tried", [0.149, 0.009, -0.088, 0.114]),
    ("in its phrase: resolved", [-0.417, 0.106, 0.430, -0.112]),
    ("no change", [-0.072, -0.272, -0.803, -0.014]),
    ("not possible", [-0.037, -0.245, -0.130, -0.604]),
    ("spoken of", [-0.178, 0.177, -0.349, 0.880]),
    ("in its sentence: resolved", [0.343, 0.316, 0.626, 0.322]),
    ("no change", [-0.850, 0.473, 0.804, 0.614]),
    ("not possible", [-0.791, 0.460, -0.051, 1.431]),
    ("spoken of", [-0.436, 0.197, 0.290, 0.301]),
    ("told next: resolved", [0.101, -0.002, -0.168, 0.163]),
    ("no change", [-0.331, 0.252, 0.342, 0.414]),
    ("not possible", [-0.870, 0.210, 0.123, 0.506]),
    ("spoken of", [-0.176, -0.023, -0.460, 0.390]),
    ("told before it: resolved", [0.341, -0.049, -0.118, -0.028]),
    ("no change", [0.106, -0.282, -0.361, -0.484]),
    ("not possible", [0.541, 0.028, 0.312, -0.227]),
    ("spoken of", [0.133, -0.464, -0.493, -0.897]),
    ("resolved ticket, told next: resolved", [0.101, 0.172, 0.122, 0.394]),
    ("no change", [-0.331, 0.387, 0.474, 0.687]),
    ("not possible", [-0.870, 0.642, 0.710, 1.215]),
    ("spoken of", [-0.176, 0.674, 1.386, 0.635]),
    ("most that a token of the sentence tells: resolved", [0.398, -0.246, -0.559, -0.177]),
    ("no change", [-0.076, 0.157, 0.884, -0.413]),
    ("not possible", [-1.157, 0.027, -0.165, 0.246]),
    ("spoken of", [-0.200, -0.094, -0.367, 0.083]),
];
