//! What the lead tech reads to look after the articles: what to write, mend, merge and teach.
//!
//! | file | question |
//! |---|---|
//! | [`unwritten`], [`draft`] | what do callers ring about that no article covers; how would one begin? |
//! | [`drift`], [`tried`] | which fixes work less or more since a firmware or a date? |
//! | [`rising`] | which symptoms arrive faster? |
//! | [`twins`], [`shingles`], [`merge`] | which articles say the same; what would one of two be? |
//! | [`compare`], [`wording`] | what does a change of the articles mean? |
//! | [`month`] | how did a month go? |
//! | [`advice`] | what do tickets say about how articles are written? |
//! | [`clusters`] | which texts say the same, and what is peculiar to them? |
//! | [`fisher`], [`mantel_haenszel`], [`poisson_rates`], [`false_discovery`] | is a difference more than chance? |
//!
//! Values in, values out: "now" is [`Material::as_of`].

pub mod advice;
pub mod clusters;
pub mod compare;
pub mod draft;
pub mod drift;
pub mod false_discovery;
pub mod fisher;
pub mod mantel_haenszel;
pub mod merge;
pub mod month;
pub mod poisson_rates;
pub mod rising;
pub mod shingles;
pub mod tried;
pub mod twins;
pub mod unwritten;
pub mod wording;

use crate::articles::{Catalog, Settings};
use crate::base::text::Analyzer;
use crate::evidence::Case;
use jiff::civil::Date;

/// The bar below which an adjusted p-value is a finding: of all findings, one in twenty is expected
/// to be chance.
pub const BAR: f64 = 0.05;

/// What every report is made from.
#[derive(Clone, Copy, Debug)]
pub struct Material<'a> {
    /// The cases, in order of (closed, id).
    pub cases: &'a [Case],
    /// The articles in force.
    pub catalog: &'a Catalog,
    /// What `kb.toml` says.
    pub settings: &'a Settings,
    /// The text analysis.
    pub analyzer: &'a Analyzer,
    /// The day taken as today.
    pub as_of: Date,
}
