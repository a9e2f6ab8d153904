//! A call at a terminal or from a pipe: lines come in, states go out.

mod anew;
pub(super) mod clock;
pub(super) mod conversation;
mod drawing;
mod ending;
pub(super) mod input;
pub(super) mod keep;
pub(super) mod on_sheet;
pub(super) mod room;
