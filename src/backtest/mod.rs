//! How well would this have answered the tickets it had not seen?

pub mod calibration;
pub mod compare;
pub mod dice;
pub mod measure;
