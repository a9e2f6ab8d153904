//! One case in progress: what is believed after everything said, seen and tried, what to do next
//! and what to ask next. Pure values; the same for every face.

pub mod advice;
pub mod belief;
pub mod next_check;
pub mod steps;

pub use advice::{Advice, By, InHand, advise, advise_fixes};
pub use belief::{Belief, Ground};
