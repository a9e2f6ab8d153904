//! What a page, a report or a terminal shows, as plain serialisable values.

pub mod answer;
pub mod evidence_table;
