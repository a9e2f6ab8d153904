//! One file per command.

mod ask;
mod ask_input;
mod backtest;
mod evidence;
mod lint;
mod paper;
mod reference;
mod show;
mod tickets;
mod tickets_csv;
mod tickets_laws;
mod tickets_read;
mod tickets_together;
