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
    ("always one", [3.167, -14.956, -1.785, -3.159]),
    ("half the log odds that the walk finds it tried", [0.214, 0.176, 0.309, 0.219]),
    ("log of what the walk expects: resolved", [0.283, -0.186, -0.242, -0.315]),
    ("no change", [-0.146, 0.402, 0.913, 0.293]),
    ("not possible", [0.240, 0.359, 0.020, 1.059]),
    ("spoken of", [0.381, -0.134, -0.288, -0.111]),
    ("evidence that the walk used", [-0.136, -0.054, 0.038, -0.199]),
    ("evidence in the sentence", [0.732, 0.606, 0.859, 0.958]),
    ("log of how often it is tried", [0.009, -0.044, 0.324, -0.457]),
    ("of another article", [-2.434, -2.028, -3.045, -3.033]),
    ("not listed", [-0.772, -1.867, -2.730, -2.866]),
    ("other fixes' part of the evidence in the sentence", [-0.984, -1.205, -1.888, -1.727]),
    ("how far the phrase is no fix", [0.408, 0.571, 0.404, 1.306]),
    ("a question in the sentence", [-0.833, -0.796, -1.571, -0.812]),
    ("in the last sentence", [-0.589, -0.444, -0.712, -0.621]),
    ("in the first sentence", [-0.273, -0.122, 0.291, -0.657]),
    ("number of sentences", [-1.360, -0.217, -0.332, -0.318]),
    ("other fixes tried", [0.127, 0.138, 0.191, 0.223]),
    ("the ticket is resolved", [0.000, -0.068, -0.059, -0.143]),
    ("most that the walk expects another fix to have resolved it", [0.068, 0.065, 0.274, -0.082]),
    ("the walk expects it most of this one", [0.050, -0.047, 0.162, -0.302]),
    ("resolved ticket: log of what the walk expects, resolved", [0.283, 0.117, 0.196, 0.154]),
    ("resolved ticket: no change", [-0.146, 0.060, 0.191, -0.010]),
    ("resolved ticket: most that another fix resolved it", [0.068, 0.147, 0.494, -0.055]),
    ("resolved ticket: the walk expects it most of this one", [0.050, 0.166, -0.078, 0.575]),
    ("the ticket is handed on", [0.000, -0.169, -0.608, 0.100]),
    ("how far its words lie apart", [0.248, 0.116, 0.141, 0.210]),
    ("resolved ticket: other fixes tried", [0.127, -0.018, -0.116, 0.062]),
    ("in its phrase: resolved", [-0.469, 0.130, 0.450, -0.060]),
    ("no change", [-0.033, -0.267, -0.802, 0.001]),
    ("not possible", [-0.481, -0.239, -0.180, -0.537]),
    ("spoken of", [-0.356, 0.182, -0.337, 0.882]),
    ("in its sentence: resolved", [0.373, 0.280, 0.621, 0.216]),
    ("no change", [-0.917, 0.498, 0.825, 0.669]),
    ("not possible", [-0.861, 0.432, -0.123, 1.418]),
    ("spoken of", [-0.426, 0.203, 0.319, 0.292]),
    ("told next: resolved", [0.215, -0.059, -0.201, 0.022]),
    ("no change", [-0.361, 0.238, 0.331, 0.384]),
    ("not possible", [-1.085, 0.204, 0.094, 0.518]),
    ("spoken of", [-0.274, -0.056, -0.489, 0.322]),
    ("told before it: resolved", [0.481, -0.080, -0.193, -0.046]),
    ("no change", [0.082, -0.264, -0.339, -0.452]),
    ("not possible", [0.468, 0.110, 0.462, -0.132]),
    ("spoken of", [-0.055, -0.475, -0.572, -0.852]),
    ("resolved ticket, told next: resolved", [0.215, 0.019, -0.009, 0.065]),
    ("no change", [-0.361, 0.308, 0.406, 0.517]),
    ("not possible", [-1.085, 0.538, 0.685, 0.929]),
    ("spoken of", [-0.274, 0.663, 1.200, 0.789]),
    ("most that a token of the sentence tells: resolved", [0.244, -0.233, -0.549, -0.151]),
    ("no change", [-0.263, 0.132, 0.833, -0.440]),
    ("not possible", [-1.419, 0.064, -0.080, 0.271]),
    ("spoken of", [-0.410, -0.060, -0.400, 0.222]),
];
