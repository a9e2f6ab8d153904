//! One file per command.

mod reference;
