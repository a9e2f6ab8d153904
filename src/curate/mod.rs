//! What the lead tech needs to look after the articles.
//!
//! [`clusters`] gathers texts that say the same and names what is peculiar to each group.

pub mod clusters;
