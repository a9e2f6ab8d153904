//! The statistics behind the ranking: tickets to cases, cases to shares, shares to an order.
//!
//! | file | question |
//! |---|---|
//! | [`cases`], [`making`] | which tickets make one case, how did it end, what had failed before? |
//! | [`weights`], [`hold`] | how much does a case count; has its fix held? |
//! | [`share`], [`observed`] | how often is this fix the one, and how sure is that? |
//! | [`prior`] | what is believed of an article before its tickets speak? |
//! | [`devices`] | does it differ by device? |
//! | [`cost`], [`order`] | what does a fix take; in which order, and when to stop? |
//! | [`texts`], [`spoken`], [`bm25`] | how alike are a question and what callers said before? |
//! | [`question`], [`features`], [`equation`], [`chance`] | what is the chance of each fix for this question? |
//! | [`letters`], [`learned`], [`lbfgs`] | what does each run of letters say for an article, for a kind of fix? |
//! | [`fit`], [`folds`] | how much does each of these numbers count? |
//! | [`readings`] | which article and which tries do a ticket's own words tell? |
//! | [`ear`] | does it sound like a danger? |
//! | [`danger`] | does what was said stop the call? |
//! | [`gather`] | everything at once, as one serialisable value |
//! | [`factors`] | what does each thing known multiply a chance by? |
//! | [`why`] | the share as a tree of reasons |
//!
//! Nothing in here reads a clock: "now" is always the `as_of` handed in, and ages are whole days
//! between UTC dates.

pub mod beta;
pub mod bm25;
pub mod cases;
mod chain;
pub mod chance;
pub mod cost;
pub mod counted;
pub mod danger;
pub mod devices;
pub mod ear;
mod ends;
mod entries;
pub mod equation;
pub mod factors;
pub mod facts;
pub mod features;
pub mod fit;
pub mod folds;
pub mod gather;
pub mod hold;
pub mod interval;
pub mod keeping;
pub mod layout;
pub mod lbfgs;
pub mod learned;
pub mod learning;
pub mod letters;
mod linear;
pub mod making;
mod names;
pub mod observed;
pub mod order;
pub mod prior;
pub mod question;
pub mod readings;
pub mod share;
pub mod spoken;
#[cfg(test)]
pub(crate) mod testing;
pub mod texts;
pub mod unknown_names;
pub mod weights;
pub mod why;

pub use cases::{Case, Cases, End, Moved, Orphan, ReadTry, Reading};
pub use facts::{
    ArticleEvidence, CheckEvidence, Evidence, FixEvidence, KindEvidence, SeenAnswers, Share,
};
pub use gather::{Gathering, gather, gather_where};
pub use why::why;
