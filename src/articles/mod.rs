//! What the desk knows: articles with their checks and fixes, and the settings of a knowledge
//! base.
//!
//! [`parse`] turns one Markdown file into an [`Article`]; [`lint`] looks at all of them together
//! and says what is wrong; [`catalog`] joins what is fit to serve. [`folder`] alone reads files.

pub mod catalog;
pub mod finding;
pub mod firmware;
pub mod folder;
pub mod front;
pub mod lint;
pub mod mend;
pub mod model;
pub mod parse;
pub mod sayings;
pub mod settings;
pub mod settings_file;
pub mod source;
mod toml_read;
pub mod words_file;
mod yaml;

pub use catalog::Catalog;
pub use model::{Article, Check, Danger, Fix, Picture, State};
pub use settings::Settings;
