//! What is wrong with the articles of a knowledge base, and what of them is fit to serve.
//!
//! [`RULES`] is the table of rules, one function each; to add one, write the function in the file
//! of its topic and name it there. Reading the files has reported its own problems before, so a
//! rule sees whatever could be read. The grades: an error keeps the article, or the check or fix
//! it stands in, from being served; a note changes nothing.

mod blocks;
mod contradictions;
mod doubles;
mod fronts;
mod index;
mod links;
mod order;
mod outcome;
mod pictures;

pub use outcome::{Checked, any_error};
pub use pictures::Pictures;
pub(super) use pictures::is_picture;

use super::finding::Finding;
use super::parse::Parsed;
use super::settings::Settings;
use crate::base::text::Analyzer;
use index::Index;
use jiff::civil::Date;

/// Everything lint looks at.
#[derive(Clone, Copy, Debug)]
pub struct Input<'a> {
    /// All files, in the order of their paths.
    pub parsed: &'a [Parsed],
    /// What `kb.toml` says.
    pub settings: &'a Settings,
    /// The text analysis with the words of `words.toml`.
    pub analyzer: &'a Analyzer,
    /// The day reviews are measured from.
    pub today: Date,
    /// The pictures' sizes.
    pub pictures: &'a Pictures,
}

/// One rule.
#[derive(Clone, Copy)]
pub struct Rule {
    /// Its short name; the problems it yields carry it or one that begins with the same topic.
    pub name: &'static str,
    /// What it asks for, in words.
    pub about: &'static str,
    run: fn(&Context<'_>, &mut Found),
}

impl std::fmt::Debug for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name)
    }
}

/// What every rule sees.
struct Context<'a> {
    parsed: &'a [Parsed],
    settings: &'a Settings,
    analyzer: &'a Analyzer,
    today: Date,
    pictures: &'a Pictures,
    index: Index,
}

/// Findings with the number of their file.
#[derive(Default)]
struct Found(Vec<(usize, Finding)>);

impl Found {
    fn add(&mut self, file: usize, finding: Finding) {
        self.0.push((file, finding));
    }

    /// Whether near names are still looked for: beyond a thousand problems nobody reads them, and
    /// comparing every wrong name with every known one would take minutes on a hostile file.
    fn wants_names(&self) -> bool {
        self.0.len() < 1000
    }
}

macro_rules! rules {
    ($($name:literal, $about:literal, $run:path;)*) => {
        &[$(Rule { name: $name, about: $about, run: $run }),*]
    };
}

/// All rules, by topic.
pub const RULES: &[Rule] = rules! {
    "missing-key", "an article has an id and a title", fronts::needed;
    "file-name", "the id is plain and equals the file's name", fronts::file_name;
    "unknown-device", "devices are those of kb.toml", fronts::devices;
    "unknown-code", "codes are shown by a device of the article", fronts::codes;
    "unknown-sign", "signs and states are shown by a device of the article", fronts::signs;
    "danger", "danger articles stop the call, and only they", fronts::danger;
    "no-symptom", "an article says how callers put it", fronts::symptoms;
    "review", "an article was reviewed not long ago", fronts::review;
    "future-review", "no review lies ahead", fronts::future_review;
    "double-id", "ids of articles, checks and fixes are unique", doubles::ids;
    "old-id", "old ids collide with nothing", doubles::old_ids;
    "no-steps", "a fix has steps", blocks::steps;
    "no-minutes", "a fix says how long it takes", blocks::minutes;
    "long-minutes", "nothing takes longer than a day", blocks::long_minutes;
    "who", "a fix says who may do it, and the role exists", blocks::who;
    "no-done-when", "a fix says how one knows that it is done", blocks::done_when;
    "unknown-hazard", "hazards are those of kb.toml", blocks::hazards;
    "role-not-allowed", "dangerous work is left to the roles of its hazards", blocks::roles;
    "missing-hazard", "trigger words stand only where their hazard does", blocks::triggers;
    "step-role", "a step is not told to a later role than the heading's", contradictions::roles;
    "step-leads", "a step leads to nothing that asks for more than the heading", contradictions::leads;
    "broken-link", "linked checks and fixes exist", links::blocks;
    "text-link", "links in the text lead somewhere", links::texts;
    "after", "what must be done before exists", order::after;
    "expect", "expected answers exist", order::expect;
    "after-cycle", "nothing must be done before itself", order::cycles;
    "picture", "pictures exist, are small and have words", pictures::all;
};

/// Looks at everything; says what is wrong and joins what is fit.
#[must_use]
pub fn lint(input: &Input<'_>) -> Checked {
    let context = Context {
        parsed: input.parsed,
        settings: input.settings,
        analyzer: input.analyzer,
        today: input.today,
        pictures: input.pictures,
        index: Index::new(input.parsed),
    };
    let mut found = Found::default();
    for (file, parsed) in input.parsed.iter().enumerate() {
        for finding in &parsed.findings {
            found.add(file, finding.clone());
        }
    }
    for rule in RULES {
        (rule.run)(&context, &mut found);
    }
    outcome::settle(&context, found)
}

#[cfg(test)]
mod tests;
