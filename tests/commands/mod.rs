//! One file per command.

mod lint;
mod reference;
mod show;
