//! The pack: one HTML file that answers without a network, for who is on site.
//!
//! | file | question |
//! |---|---|
//! | [`choice`] | which articles, fixes and checks go in? |
//! | [`content`] | what of the evidence and the texts does the page rank with? |
//! | [`article`] | how does an article look in the page and on paper? |
//! | [`carried`] | script, articles and numbers as one packed text |
//! | [`page`] | everything in one file that may load nothing |
//! | `join` | the page's modules as one script |
//! | [`returned`] | what comes back from the site |
//! | [`sign`] | who made it, and was it changed? |
//! | `page/rank/*.mjs` | the ranking itself, file by file the twin of the core |
//! | `page/*.mjs`, `*.css`, `*.html` | what a person sees and touches |
//!
//! Nothing here reads or writes a file: values in, text out.

pub mod article;
pub mod carried;
pub mod choice;
pub mod content;
mod join;
pub mod page;
pub mod returned;
pub mod sign;
