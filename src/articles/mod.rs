//! What the desk knows: articles with their checks and fixes, and the settings of a knowledge
//! base.
//!
//! [`parse`] turns one Markdown file into an [`Article`]; [`lint`] looks at all of them together
//! and says what is wrong; [`catalog`] joins what is fit to serve. [`folder`] alone reads files.

pub mod catalog;
pub mod finding;
pub mod firmware;
pub mod front;
pub mod model;
pub mod parse;
pub mod settings;
pub mod source;
mod yaml;

pub use catalog::Catalog;
pub use model::{Article, Check, Danger, Fix, Picture, State};
pub use settings::Settings;
