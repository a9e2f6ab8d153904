//! One case in progress: what is believed after everything said, seen and tried, what to do next
//! and what to ask next. Pure values; the same for every face.
//!
//! [`advice`] and what it stands on answer a case at one moment. [`case`] is a conversation: a list
//! of lines, each with what was understood by it; [`understand`] turns the next line into acts,
//! [`state`] is what all acts together say, and [`closing`] makes a ticket of it.

pub mod acts;
pub mod advice;
pub mod belief;
pub mod case;
pub mod closing;
pub mod hand_over;
pub mod lexicon;
pub mod next_check;
pub mod next_step;
pub mod state;
pub mod steps;
pub mod understand;

pub use acts::Act;
pub use advice::{Advice, By, InHand, advise, advise_fixes};
pub use belief::{Belief, Ground};
pub use case::Case;
pub use state::State;
pub use understand::{Understood, understand};
