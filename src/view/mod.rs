//! What a page, a report or a terminal shows, as plain serialisable values, and the terminal's
//! rendering of them. No printing: the callers write the text.

pub mod answer;
pub mod backtest_plot;
pub mod backtest_text;
pub mod call;
pub mod call_text;
pub mod call_words;
pub mod evidence_table;
pub mod evidence_text;
pub mod markdown;
pub mod percent;
pub mod show;
pub mod summary;
pub mod table;
pub mod weights;
pub mod weights_text;
pub mod why_text;
pub mod written;
