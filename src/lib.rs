//! fixtally: what fixed it last time, ranked by proof.
//!
//! The rooms, and what each may use (`tests/layers.rs` holds this rule):
//!
//! | room | may use | what it does |
//! |---|---|---|
//! | [`base`] | nothing | ids, problems, text analysis, explanations, escaping |
//! | [`articles`] | base | Markdown to articles, settings, lint |
//! | [`tickets`] | base | records, import, scrubbing, the ledger |
//! | [`notes`] | base, tickets | free text to tries |
//! | [`evidence`] | base, articles, tickets, notes | the statistics behind the ranking |
//! | [`search`] | base, articles, tickets, evidence | tantivy, and only here |
//! | [`call`] | base, articles, tickets, evidence | one case in progress |
//! | [`curate`] | all above but search | what the lead tech reads |
//! | [`backtest`] | all above but search | how good the answers would have been |
//! | [`pack`] | view, call and what they use | the one file for a place without signal |
//! | [`view`] | all of the core | what a page or a terminal shows, as plain values |
//! | [`sheet`] | view, and the small trait it declares | the web page and its HTTP interface |
//! | [`cli`] | all | arguments, printing, progress |

pub mod articles;
pub mod backtest;
pub mod base;
pub mod call;
pub mod cli;
pub mod curate;
pub mod evidence;
pub mod notes;
pub mod pack;
pub mod search;
pub mod sheet;
pub mod tickets;
pub mod view;
