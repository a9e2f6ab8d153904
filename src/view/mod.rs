//! What a page, a report or a terminal shows, as plain serialisable values, and the terminal's
//! rendering of them. No printing: the callers write the text.

pub mod answer;
pub mod backtest_plot;
pub mod backtest_text;
pub mod call;
pub mod call_text;
pub mod call_words;
pub mod compare_text;
pub mod curate_plot;
pub mod curate_text;
pub mod evidence_table;
pub mod evidence_text;
pub mod markdown;
pub mod month_page;
pub(crate) mod numbers;
pub mod percent;
pub mod sarif;
pub mod show;
pub mod summary;
pub mod table;
pub mod taken_out;
pub mod twins_text;
pub mod weights;
pub mod weights_text;
pub mod why_text;
pub mod written;
