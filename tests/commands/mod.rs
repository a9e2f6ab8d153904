//! One file per command.

mod reference;
mod tickets;
mod tickets_csv;
mod tickets_laws;
mod tickets_together;
