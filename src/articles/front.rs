//! The front matter of an article: YAML between two lines of `---`.
//!
//! Every value keeps its place, so that lint can point at the third device of a list. One bad
//! value never hides the others.

use super::finding::Finding;
use super::firmware::Range as Firmware;
use super::model::State;
use super::source::{Source, Spot};
use super::yaml::{self, Node, Pair};
use crate::base::problem::did_you_mean;
use jiff::civil::Date;
use std::ops::Range;

/// The keys an article may have.
pub const KEYS: [&str; 14] = [
    "id",
    "was",
    "title",
    "devices",
    "firmware",
    "symptoms",
    "codes",
    "signs",
    "owner",
    "reviewed",
    "state",
    "danger",
    "stop-words",
    "harmless",
];

/// The front matter as read; what could not be read is missing and has its finding.
#[derive(Clone, Debug, Default)]
pub struct Front {
    /// Today's id.
    pub id: Option<Spot<String>>,
    /// Earlier ids.
    pub was: Vec<Spot<String>>,
    /// The title.
    pub title: Option<Spot<String>>,
    /// Devices it is about.
    pub devices: Vec<Spot<String>>,
    /// Firmware it is about.
    pub firmware: Option<Firmware>,
    /// How callers say it.
    pub symptoms: Vec<Spot<String>>,
    /// Fault codes.
    pub codes: Vec<Spot<String>>,
    /// Indicators and their states.
    pub signs: Vec<(Spot<String>, Spot<String>)>,
    /// Who keeps it true.
    pub owner: Option<Spot<String>>,
    /// When it was last read against the product.
    pub reviewed: Option<Spot<Date>>,
    /// Whether it is served.
    pub state: State,
    /// Set where it is a danger article; the place is the value's.
    pub danger: Option<Range<usize>>,
    /// Phrases that stop the call.
    pub stop_words: Vec<Spot<String>>,
    /// Where the key `stop-words` stands.
    pub stop_words_at: Option<Range<usize>>,
    /// Phrases that sound like a stop phrase and are none.
    pub harmless: Vec<Spot<String>>,
    /// Where the key `harmless` stands.
    pub harmless_at: Option<Range<usize>>,
    /// Whether there is front matter and all of it could be taken apart.
    pub readable: bool,
}

/// The text's parts: the YAML's bytes, and where the Markdown begins.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Parts {
    pub(super) yaml: Option<Range<usize>>,
    pub(super) body: usize,
}

/// Finds the front matter; without a closing line of `---` there is none.
pub(super) fn split(text: &str) -> Parts {
    let none = Parts {
        yaml: None,
        body: text.len() - text.trim_start_matches('\u{feff}').len(),
    };
    let mut at = none.body;
    let mut start = None;
    for line in text[at..].split_inclusive('\n') {
        let fence = line.trim_end() == "---";
        at += line.len();
        match start {
            None if fence => start = Some(at),
            None => return none,
            Some(start) if fence => {
                return Parts {
                    yaml: Some(start..at - line.len()),
                    body: at,
                };
            }
            Some(_) => {}
        }
    }
    none
}

/// Reads the front matter.
pub(super) fn read(source: &Source, parts: &Parts, findings: &mut Vec<Finding>) -> Front {
    let mut front = Front::default();
    let Some(range) = parts.yaml.clone() else {
        findings.push(
            Finding::article(source.error(
                "front-matter",
                0..0,
                "expected front matter between two lines of `---` at the top, but found none",
            ))
            .help(Some(
                "begin the file with `---`, `id: …`, `title: …`, `---`".to_owned(),
            )),
        );
        return front;
    };
    let base = range.start;
    match yaml::read(&source.text[range]) {
        Err(broken) => findings.push(Finding::article(source.error(
            "front-matter",
            shift(&broken.at, base),
            format!("the front matter is no YAML: {}", broken.value),
        ))),
        Ok(entries) => {
            front.readable = true;
            let mut reader = Reader {
                source,
                base,
                findings,
            };
            reader.entries(&mut front, entries);
        }
    }
    front
}

fn shift(at: &Range<usize>, by: usize) -> Range<usize> {
    at.start + by..at.end + by
}

struct Reader<'a> {
    source: &'a Source,
    base: usize,
    findings: &'a mut Vec<Finding>,
}

impl Reader<'_> {
    fn entries(&mut self, front: &mut Front, entries: Vec<Pair>) {
        let mut seen: Vec<String> = Vec::new();
        for (key, value) in entries {
            let key_at = shift(&key.at, self.base);
            if seen.contains(&key.value) {
                self.wrong(
                    "double-key",
                    key_at,
                    format!("`{}` stands twice", key.value),
                );
                continue;
            }
            self.entry(front, &key.value, key_at, value);
            seen.push(key.value);
        }
    }

    fn entry(&mut self, front: &mut Front, key: &str, key_at: Range<usize>, value: Spot<Node>) {
        match key {
            "id" => front.id = self.text(key, value),
            "was" => front.was = self.list(key, value),
            "title" => front.title = self.text(key, value),
            "devices" => front.devices = self.list(key, value),
            "firmware" => front.firmware = self.firmware(value),
            "symptoms" => front.symptoms = self.list(key, value),
            "codes" => front.codes = self.list(key, value),
            "signs" => front.signs = self.signs(value),
            "owner" => front.owner = self.text(key, value),
            "reviewed" => front.reviewed = self.date(value),
            "state" => front.state = self.state(value).unwrap_or_default(),
            "danger" => front.danger = self.danger(value),
            "stop-words" => {
                front.stop_words = self.list(key, value);
                front.stop_words_at = Some(key_at);
            }
            "harmless" => {
                front.harmless = self.list(key, value);
                front.harmless_at = Some(key_at);
            }
            _ => {
                let problem = self.source.error(
                    "unknown-key",
                    key_at,
                    format!("no article has a key `{key}`"),
                );
                let help = did_you_mean(key, KEYS)
                    .unwrap_or_else(|| format!("the keys are {}", KEYS.join(", ")));
                let finding = Finding::article(problem).slip(key, KEYS);
                self.findings.push(finding.help(Some(help)));
            }
        }
    }

    fn wrong(&mut self, rule: &'static str, at: Range<usize>, message: String) {
        self.findings
            .push(Finding::article(self.source.error(rule, at, message)));
    }

    fn wrong_type(&mut self, key: &str, wanted: &str, found: &Node, at: Range<usize>) {
        let found = found.sort();
        self.wrong(
            "wrong-type",
            at,
            format!("`{key}` should be {wanted}, but is {found}"),
        );
    }

    fn text(&mut self, key: &str, value: Spot<Node>) -> Option<Spot<String>> {
        let at = shift(&value.at, self.base);
        match value.value {
            Node::Scalar(text) => Some(Spot::new(text, at)),
            Node::Null => None,
            other => {
                self.wrong_type(key, "one value", &other, at);
                None
            }
        }
    }

    fn list(&mut self, key: &str, value: Spot<Node>) -> Vec<Spot<String>> {
        match value.value {
            Node::List(items) => items
                .into_iter()
                .filter_map(|item| {
                    if item.value == Node::Null {
                        let at = shift(&item.at, self.base);
                        self.wrong("wrong-type", at, format!("`{key}` has an empty entry"));
                        return None;
                    }
                    self.text(key, item)
                })
                .collect(),
            Node::Null => Vec::new(),
            other => {
                let at = shift(&value.at, self.base);
                self.wrong_type(key, "a list such as `[one, two]`", &other, at);
                Vec::new()
            }
        }
    }

    fn signs(&mut self, value: Spot<Node>) -> Vec<(Spot<String>, Spot<String>)> {
        let at = shift(&value.at, self.base);
        match value.value {
            Node::Map(entries) => entries
                .into_iter()
                .filter_map(|(name, state)| {
                    let name = Spot::new(name.value, shift(&name.at, self.base));
                    if state.value == Node::Null {
                        let message = format!("`{}` has no state", name.value);
                        self.wrong("wrong-type", name.at, message);
                        return None;
                    }
                    Some((name, self.text("signs", state)?))
                })
                .collect(),
            Node::Null => Vec::new(),
            other => {
                self.wrong_type(
                    "signs",
                    "a table such as `{ status-lamp: green }`",
                    &other,
                    at,
                );
                Vec::new()
            }
        }
    }

    fn firmware(&mut self, value: Spot<Node>) -> Option<Firmware> {
        let text = self.text("firmware", value)?;
        match Firmware::read(&text.value) {
            Ok(range) => Some(range),
            Err(words) => {
                self.wrong("firmware", text.at, words);
                None
            }
        }
    }

    fn date(&mut self, value: Spot<Node>) -> Option<Spot<Date>> {
        let text = self.text("reviewed", value)?;
        if let Ok(date) = text.value.parse() {
            return Some(Spot::new(date, text.at));
        }
        let message = format!(
            "expected a date such as `2026-09-14`, but found `{}`",
            text.value
        );
        self.wrong("reviewed", text.at, message);
        None
    }

    fn state(&mut self, value: Spot<Node>) -> Option<State> {
        const STATES: [&str; 3] = ["draft", "live", "withdrawn"];
        let text = self.text("state", value)?;
        match text.value.as_str() {
            "draft" => Some(State::Draft),
            "live" => Some(State::Live),
            "withdrawn" => Some(State::Withdrawn),
            other => {
                let problem = self.source.error(
                    "unknown-state",
                    text.at,
                    format!("`state` is draft, live or withdrawn, but found `{other}`"),
                );
                self.findings
                    .push(Finding::article(problem).help(did_you_mean(other, STATES)));
                None
            }
        }
    }

    fn danger(&mut self, value: Spot<Node>) -> Option<Range<usize>> {
        let text = self.text("danger", value)?;
        if text.value != "stop" {
            let message = format!("`danger` can only be `stop`, but found `{}`", text.value);
            self.wrong("danger", text.at.clone(), message);
        }
        Some(text.at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn front_matter_stands_between_two_fences_at_the_top() {
        for (text, yaml, body) in [
            ("---\nid: a\n---\nText", Some(4..10), 14),
            ("\u{feff}---\r\nid: a\r\n---\r\nText", Some(8..15), 20),
            ("---\n---\n", Some(4..4), 8),
            ("No fence\n---\n", None, 0),
            ("---\nnever closed\n", None, 0),
            ("", None, 0),
        ] {
            assert_eq!(split(text), Parts { yaml, body }, "{text:?}");
        }
    }

    #[test]
    fn one_bad_value_hides_no_other() {
        let text = "---\nid: [a]\ntitel: x\nstate: life\nreviewed: soon\nfirmware: '2'\nsigns: [x]\ncodes: K31\ndanger: yes\nid: b\n---\n";
        let source = Source::new("a.md", text);
        let mut findings = Vec::new();
        let front = read(&source, &split(text), &mut findings);
        assert!(front.readable);
        let rules: Vec<_> = findings
            .iter()
            .map(|f| (f.problem.rule, f.problem.place.line, f.problem.place.column))
            .collect();
        assert_eq!(
            rules,
            [
                ("wrong-type", 2, 5),
                ("unknown-key", 3, 1),
                ("unknown-state", 4, 8),
                ("reviewed", 5, 11),
                ("firmware", 6, 11),
                ("wrong-type", 7, 8),
                ("wrong-type", 8, 8),
                ("danger", 9, 9),
                ("double-key", 10, 1),
            ]
        );
    }
}
