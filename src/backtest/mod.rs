//! How well would this have answered the tickets it had not seen?
//!
//! | file | question |
//! |---|---|
//! | [`split`] | where does the past end? |
//! | [`past`] | what was known then, and what would have been learned from it? |
//! | [`truth`] | what did a case say when it came in, and what ended it? |
//! | [`answer`] | what would have been answered? |
//! | [`rivals`], [`habit`] | what would simpler ways have answered? |
//! | [`measure`], [`calibration`], [`compare`] | how good is that, is it honest, is it luck? |
//! | [`run`], [`report`] | everything together |
//!
//! The rule that holds it together: an answer follows from tickets closed before the first day of its
//! block, from today's articles and from what its own first ticket said. A test changes all the rest
//! and finds the same answer.

pub mod answer;
pub mod calibration;
pub mod compare;
pub mod dice;
pub mod habit;
pub mod measure;
pub mod past;
pub mod report;
pub mod rivals;
pub mod run;
pub mod split;
pub mod truth;
