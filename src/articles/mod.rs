//! What the desk knows: articles with their checks and fixes, and the settings of a knowledge
//! base.
//!
//! [`parse`] turns Markdown into an [`Article`]; [`catalog`] joins all articles, resolves links and
//! says what is wrong; [`lint`] looks at what is joined. Reading files is the folder reader's job.

pub mod catalog;
pub mod firmware;
pub mod model;
pub mod settings;

pub use catalog::Catalog;
pub use model::{Article, Check, Danger, Fix, State};
pub use settings::Settings;
