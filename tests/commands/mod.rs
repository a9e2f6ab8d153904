//! One file per command.

mod backtest;
mod lint;
mod reference;
mod show;
mod tickets;
mod tickets_csv;
mod tickets_laws;
mod tickets_together;
