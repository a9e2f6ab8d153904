//! `words.toml`: text to [`Words`] and problems. An entry that contradicts an earlier one is left
//! out.

use super::source::Source;
use super::toml_read::Reader;
use crate::base::problem::Problem;
use crate::base::text::{Words, split};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use toml::de::DeTable;

/// The file's name in the folder of a knowledge base.
pub const FILE: &str = "words.toml";

/// Reads `words.toml`.
#[must_use]
pub fn read(text: &str) -> (Words, Vec<Problem>) {
    let source = Source::new(FILE, text);
    let (mut reader, table) = Reader::open(&source);
    reader.only(
        &table,
        &["same", "short", "apart", "groups"],
        "`words.toml`",
    );
    let mut words = Words::default();
    let apart = section(&mut reader, &table, "apart");
    for (name, others) in lists(&mut reader, apart) {
        words
            .apart
            .insert(name.0, others.into_iter().map(|(word, _)| word).collect());
    }
    let groups = section(&mut reader, &table, "groups");
    for (name, members) in lists(&mut reader, groups) {
        words
            .groups
            .insert(name.0, members.into_iter().map(|(word, _)| word).collect());
    }
    let same = section(&mut reader, &table, "same");
    let same = lists(&mut reader, same);
    let short = section(&mut reader, &table, "short");
    let mut meanings = Meanings::new(&same, &words);
    for (name, synonyms) in same {
        let mut kept = Vec::new();
        for (synonym, at) in synonyms {
            if meanings.add(&mut reader, &synonym, &name.0, at) {
                kept.push(synonym);
            }
        }
        words.same.insert(name.0, kept);
    }
    for (key, value) in short.into_iter().flatten() {
        let name = key.get_ref().to_string();
        if let Some(long) = reader.text(&name, value)
            && meanings.add(&mut reader, &name, &long, key.span())
        {
            words.short.insert(name, long);
        }
    }
    let mut problems = reader.problems;
    problems.sort_by(|a, b| a.place.cmp(&b.place));
    (words, problems)
}

fn section<'t, 'i>(
    reader: &mut Reader<'_>,
    table: &'t DeTable<'i>,
    key: &str,
) -> Option<&'t DeTable<'i>> {
    reader.table(key, table.get(key)?)
}

type Named = (String, Range<usize>);

fn lists(reader: &mut Reader<'_>, table: Option<&DeTable<'_>>) -> Vec<(Named, Vec<Named>)> {
    let mut lists = Vec::new();
    for (key, value) in table.into_iter().flatten() {
        let name = key.get_ref().to_string();
        let words = reader.texts(&name, value);
        lists.push(((name, key.span()), words));
    }
    // In the order of the file, so that the later of two contradicting entries is the wrong one.
    lists.sort_by_key(|((_, at), _)| at.start);
    lists
}

/// What each phrase means already, compared as the analyser splits it.
struct Meanings {
    names: BTreeMap<String, String>,
    given: BTreeMap<String, String>,
    /// By meaning, what has it.
    having: BTreeMap<String, Vec<String>>,
    /// Both ways round.
    apart: BTreeSet<(String, String)>,
}

impl Meanings {
    fn new(same: &[(Named, Vec<Named>)], words: &Words) -> Self {
        let parted = words.apart.iter().flat_map(|(name, others)| {
            let name = plain(name);
            others.iter().flat_map(move |other| {
                let (one, other) = (name.clone(), plain(other));
                [(one.clone(), other.clone()), (other, one)]
            })
        });
        Self {
            apart: parted.collect(),
            having: BTreeMap::new(),
            names: same
                .iter()
                .map(|((name, _), _)| (plain(name), name.clone()))
                .collect(),
            given: BTreeMap::new(),
        }
    }

    /// Whether the phrase may get this meaning; what speaks against it is reported.
    fn add(
        &mut self,
        reader: &mut Reader<'_>,
        phrase: &str,
        meaning: &str,
        at: Range<usize>,
    ) -> bool {
        let (from, to) = (plain(phrase), plain(meaning));
        if from.is_empty() || to.is_empty() {
            let message = format!("`{phrase}` for `{meaning}`: both need at least one word");
            reader.error("empty-value", at, message);
            return false;
        }
        if from == to {
            let problem = reader.source.note(
                "needless-word",
                at,
                format!("`{phrase}` means `{meaning}` anyway"),
            );
            reader.problems.push(problem);
            return true;
        }
        let wrong = if let Some(name) = self.names.get(&from) {
            Some(format!(
                "`{phrase}` means `{meaning}` here, but is itself the name `{name}`"
            ))
        } else if let Some(other) = self.given.get(&from).filter(|o| plain(o) != to) {
            Some(format!(
                "`{phrase}` means `{meaning}` here, but `{other}` above"
            ))
        } else if self.parted(&from, &to) {
            Some(format!(
                "`{phrase}` means `{meaning}` here, but `[apart]` parts them"
            ))
        } else {
            // Two words parted by `[apart]` must not meet in a third one either.
            let having = self.having.get(&to).map_or(&[][..], Vec::as_slice);
            having
                .iter()
                .find(|other| self.parted(&from, other))
                .map(|other| {
                    format!(
                        "`{phrase}` and `{other}` both mean `{meaning}`, but `[apart]` parts them"
                    )
                })
        };
        if let Some(message) = wrong {
            let help = "say in one place what it means".to_owned();
            reader.error_with_help("double-meaning", at, message, Some(help));
            return false;
        }
        self.having.entry(to).or_default().push(from.clone());
        if self.given.insert(from, meaning.to_owned()).is_some() {
            let message = format!("`{phrase}` stands twice for `{meaning}`");
            let problem = reader.source.note("needless-word", at, message);
            reader.problems.push(problem);
        }
        true
    }

    fn parted(&self, a: &str, b: &str) -> bool {
        self.apart.contains(&(a.to_owned(), b.to_owned()))
    }
}

fn plain(phrase: &str) -> String {
    split(phrase).join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_four_tables_are_read() {
        let (words, problems) = read(
            "[same]\nocpp-link = [\"backend link\", \"ws link\"]\n[short]\ncp = \"control pilot\"\n[apart]\nfi = [\"rcd\"]\n[groups]\npart = [\"plug\"]\n",
        );
        assert_eq!(problems, []);
        assert_eq!(words.same["ocpp-link"], ["backend link", "ws link"]);
        assert_eq!(words.short["cp"], "control pilot");
        assert_eq!(words.apart["fi"], ["rcd"]);
        assert_eq!(words.groups["part"], ["plug"]);
    }

    #[test]
    fn contradictions_are_reported_and_left_out() {
        for (text, rule, line, column) in [
            ("[sam]\n", "unknown-key", 1, 2),
            ("[same]\na = 'b'\n", "wrong-type", 2, 5),
            ("[same]\na = ['x y']\nb = ['X-Y']\n", "double-meaning", 3, 6),
            ("[same]\na = ['b']\nb = ['c']\n", "double-meaning", 2, 6),
            ("[same]\na = ['x', 'x']\n", "needless-word", 2, 11),
            (
                "[same]\na = ['x']\n[short]\nx = 'b'\n",
                "double-meaning",
                4,
                1,
            ),
            (
                "[short]\nfi = 'rcd'\n[apart]\nfi = ['rcd']\n",
                "double-meaning",
                2,
                1,
            ),
            (
                "[same]\na = ['x', 'y']\n[apart]\nx = ['y']\n",
                "double-meaning",
                2,
                11,
            ),
            ("[same]\na = ['!']\n", "empty-value", 2, 6),
        ] {
            let (_, problems) = read(text);
            let found: Vec<_> = problems
                .iter()
                .map(|p| (p.rule, p.place.line, p.place.column))
                .collect();
            assert_eq!(found, [(rule, line, column)], "{text}");
        }
        let (words, _) = read("[same]\na = ['x']\nb = ['x']\n");
        assert!(words.same["b"].is_empty());
    }
}
