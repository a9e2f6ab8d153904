//! One file per command.

mod ask;
mod ask_input;
mod ask_why;
mod backtest;
mod call;
mod call_kept;
mod evidence;
mod evidence_weights;
mod lint;
mod pack;
mod paper;
mod reference;
mod sheet;
mod sheet_safety;
mod sheet_server;
mod show;
mod start;
mod tickets;
mod tickets_add;
mod tickets_care;
mod tickets_csv;
mod tickets_intake;
mod tickets_laws;
mod tickets_read;
mod tickets_together;
