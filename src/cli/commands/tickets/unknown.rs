//! Names that tickets carry and the knowledge base does not have: said after an import, and listed.

use super::Session;
use crate::articles::folder::{self, Folder};
use crate::base::escape::terminal_line;
use crate::evidence::unknown_names::{Looker, Sort, Unknown};
use crate::view::numbers::counted;
use std::collections::BTreeMap;

/// How many names of a sort are shown.
const EXAMPLES: usize = 3;

/// What tickets are held against; none where nothing is written yet.
pub(super) fn knowledge(session: &Session) -> Option<Folder> {
    // What is wrong with it is said by everything else that opens it.
    let folder = folder::read(&session.kb, session.today()).ok()?;
    (!folder.catalog.articles.is_empty()).then_some(folder)
}

pub(super) fn looker(known: &Folder) -> Looker<'_> {
    Looker::new(&known.catalog, &known.settings)
}

/// What was found, in one line; none where nothing was.
pub(super) fn line(found: &BTreeMap<Sort, Unknown>) -> Option<String> {
    let parts: Vec<String> = found
        .iter()
        .map(|(sort, unknown)| part(*sort, unknown))
        .collect();
    (!parts.is_empty()).then(|| {
        format!(
            "{}. They are kept; `fixtally tickets list --unknown` lists them.",
            parts.join("; ")
        )
    })
}

fn part(sort: Sort, unknown: &Unknown) -> String {
    let (one, many, whose) = match sort {
        Sort::Article => ("an article", "articles", "nobody serves"),
        Sort::Fix => ("a fix", "fixes", "no article has"),
        Sort::Device => ("a device", "devices", "`kb.toml` does not list"),
        Sort::Code => ("a code", "codes", "no device and no article lists"),
    };
    let names = unknown.most(EXAMPLES);
    let mut shown: Vec<String> = names
        .iter()
        .map(|n| format!("`{}`", terminal_line(n)))
        .collect();
    if unknown.names.len() > names.len() {
        shown.push("…".to_owned());
    }
    let (name, what) = match unknown.tickets {
        1 => ("names", one),
        _ => ("name", many),
    };
    let tickets = counted(unknown.tickets, "ticket");
    format!("{tickets} {name} {what} {whose}: {}", shown.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_line_counts_tickets_and_shows_the_names_in_most_of_them() {
        let unknown = |tickets, names: &[(&str, u64)]| Unknown {
            tickets,
            names: names.iter().map(|(n, c)| ((*n).to_owned(), *c)).collect(),
        };
        let found = BTreeMap::from([
            (Sort::Device, unknown(1, &[("post-8", 1)])),
            (
                Sort::Fix,
                unknown(12, &[("a", 1), ("kick-it", 9), ("b", 1), ("c", 1)]),
            ),
        ]);
        assert_eq!(
            line(&found).unwrap(),
            "12 tickets name fixes no article has: `kick-it`, `a`, `b`, …; \
             1 ticket names a device `kb.toml` does not list: `post-8`. \
             They are kept; `fixtally tickets list --unknown` lists them."
        );
        assert_eq!(line(&BTreeMap::new()), None);
    }
}
