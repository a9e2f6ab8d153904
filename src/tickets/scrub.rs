//! Takes personal data out of tickets: the only way from [`RawTicket`] to [`Ticket`].
//!
//! What is found becomes a placeholder: `[mail]`, `[phone]`, `[address]`, `[serial]`, `[name]`,
//! `[account]`, `[plate]`.
//! Ids, times and the names of checks and signs stay as they are. Each kind of personal data has
//! its patterns in [`patterns`]; this file applies them, each to the text between placeholders,
//! again and again until nothing more is found, so that scrubbing twice changes nothing.

mod patterns;

use super::record::{RawTicket, Ticket};
use regex::Regex;
use serde::Serialize;
use serde_json::Value;
use std::ops::{AddAssign, Range};
use std::sync::LazyLock;

/// A kind of personal data.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Mail,
    Phone,
    Address,
    Serial,
    Name,
    Account,
    Plate,
}

impl Kind {
    const ALL: [Self; 7] = [
        Self::Mail,
        Self::Phone,
        Self::Address,
        Self::Serial,
        Self::Name,
        Self::Account,
        Self::Plate,
    ];

    fn placeholder(self) -> &'static str {
        match self {
            Self::Mail => "[mail]",
            Self::Phone => "[phone]",
            Self::Address => "[address]",
            Self::Serial => "[serial]",
            Self::Name => "[name]",
            Self::Account => "[account]",
            Self::Plate => "[plate]",
        }
    }
}

/// What stands in a scrubbed text where personal data were.
#[must_use]
pub fn placeholders() -> [&'static str; 7] {
    Kind::ALL.map(Kind::placeholder)
}

/// A scrubbed text with a blank where personal data were.
#[must_use]
pub fn without_placeholders(text: &str) -> String {
    placeholders()
        .iter()
        .fold(text.to_owned(), |text, placeholder| {
            text.replace(placeholder, " ")
        })
}

/// How many of each kind were taken out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Removed {
    /// E-mail addresses.
    pub mail: u64,
    /// Telephone numbers.
    pub phone: u64,
    /// Street addresses.
    pub address: u64,
    /// Serial numbers.
    pub serial: u64,
    /// Names of people.
    pub name: u64,
    /// Numbers of bank accounts.
    pub account: u64,
    /// Number plates of vehicles.
    pub plate: u64,
}

impl Removed {
    /// All of them.
    #[must_use]
    pub fn total(&self) -> u64 {
        self.mail + self.phone + self.address + self.serial + self.name + self.account + self.plate
    }

    /// How many were taken out of what a ticket says, by the placeholders that stand for them.
    #[must_use]
    pub fn out_of(ticket: &RawTicket) -> Self {
        let mut removed = Self::default();
        for text in ticket.said.iter().chain(&ticket.notes) {
            for found in PLACEHOLDER.find_iter(text) {
                let kinds = Kind::ALL.iter();
                let kind = kinds.filter(|kind| kind.placeholder() == found.as_str());
                kind.for_each(|kind| removed.count(*kind));
            }
        }
        removed
    }

    fn count(&mut self, kind: Kind) {
        *match kind {
            Kind::Mail => &mut self.mail,
            Kind::Phone => &mut self.phone,
            Kind::Address => &mut self.address,
            Kind::Serial => &mut self.serial,
            Kind::Name => &mut self.name,
            Kind::Account => &mut self.account,
            Kind::Plate => &mut self.plate,
        } += 1;
    }
}

impl AddAssign for Removed {
    fn add_assign(&mut self, other: Self) {
        self.mail += other.mail;
        self.phone += other.phone;
        self.address += other.address;
        self.serial += other.serial;
        self.name += other.name;
        self.account += other.account;
        self.plate += other.plate;
    }
}

static PLACEHOLDER: LazyLock<Regex> = LazyLock::new(|| {
    Regex::new(r"\[(?:mail|phone|address|serial|name|account|plate)\]")
        .expect("a fixed pattern, tested below")
});

/// Takes personal data out of text and tickets.
#[derive(Clone, Debug, Default)]
pub struct Scrubber {
    serial: Option<Regex>,
}

impl Scrubber {
    /// A scrubber that also takes out what the knowledge base's own `serial` pattern finds.
    pub fn new(serial: Option<&str>) -> Result<Self, regex::Error> {
        Ok(Self {
            serial: serial.map(Regex::new).transpose()?,
        })
    }

    /// The knowledge base's own pattern of serial numbers.
    #[must_use]
    pub fn serial(&self) -> Option<&str> {
        self.serial.as_ref().map(Regex::as_str)
    }

    /// Makes the patterns ready, which the first text would else wait for (a twentieth of a second).
    pub fn wake(&self) {
        let _ = self.text("hello");
    }

    /// The ticket without personal data, and how much was found.
    #[must_use]
    pub fn ticket(&self, mut raw: RawTicket) -> (Ticket, Removed) {
        let mut removed = Removed::default();
        let mut clean = |text: &mut String| {
            if let Some(cleaned) = self.clean(text, &mut removed) {
                *text = cleaned;
            }
        };
        let texts = [
            &mut raw.device,
            &mut raw.firmware,
            &mut raw.channel,
            &mut raw.said,
            &mut raw.source,
            &mut raw.notes,
        ];
        texts.into_iter().flatten().for_each(&mut clean);
        raw.codes.iter_mut().for_each(&mut clean);
        raw.signs.values_mut().for_each(&mut clean);
        raw.seen.values_mut().for_each(&mut clean);
        // A fix is an id; where an export puts free text in its place, there may be anything in it.
        let free = |fix: &&mut String| fix.contains(|c: char| c.is_whitespace() || c == '@');
        let fixes = raw.tries.iter_mut().map(|t| &mut t.fix);
        fixes.filter(free).for_each(&mut clean);
        (Ticket::scrubbed(raw), removed)
    }

    /// A text without personal data.
    #[must_use]
    pub fn text(&self, text: &str) -> String {
        self.clean(text, &mut Removed::default())
            .unwrap_or_else(|| text.to_owned())
    }

    /// What in a text tells one site from others: mail addresses, telephone and serial numbers, in
    /// small letters and digits alone. Personal data: to be turned into a digest at once.
    #[must_use]
    pub fn marks(&self, text: &str) -> Vec<String> {
        let own = self.serial.iter().flat_map(|s| s.find_iter(text));
        let own = own.map(|found| found.range());
        let telling = |kind: &Kind| matches!(kind, Kind::Mail | Kind::Phone | Kind::Serial);
        let finders = patterns::FINDERS.iter().filter(|(kind, _)| telling(kind));
        let mut marks: Vec<String> = own
            .chain(finders.flat_map(|(_, find)| find(text)))
            .map(|range| {
                let plain = text[range].chars().filter(|c| c.is_alphanumeric());
                plain.flat_map(char::to_lowercase).collect()
            })
            .collect();
        marks.sort_unstable();
        marks.dedup();
        marks
    }

    /// A row of a file without personal data: JSON text by text, so that its escapes hide nothing,
    /// anything else as it stands.
    #[must_use]
    pub fn line(&self, line: &str) -> String {
        match serde_json::from_str::<Value>(line) {
            Ok(mut value @ (Value::Object(_) | Value::Array(_))) => {
                self.value(&mut value);
                value.to_string()
            }
            _ => self.text(line),
        }
    }

    fn value(&self, value: &mut Value) {
        match value {
            Value::String(text) => *text = self.text(text),
            Value::Array(items) => items.iter_mut().for_each(|item| self.value(item)),
            Value::Object(pairs) => pairs.values_mut().for_each(|item| self.value(item)),
            Value::Null | Value::Bool(_) | Value::Number(_) => {}
        }
    }

    /// The cleaned text, or nothing where there was nothing to clean.
    fn clean(&self, text: &str, removed: &mut Removed) -> Option<String> {
        let mut cleaned: Option<String> = None;
        while let Some(after) = self.pass(cleaned.as_deref().unwrap_or(text), removed) {
            cleaned = Some(after);
        }
        cleaned
    }

    /// Every finder once; nothing where none finds anything. Each find takes at least one
    /// character out of what is left to look at, so passes come to an end.
    fn pass(&self, text: &str, removed: &mut Removed) -> Option<String> {
        let mut current: Option<String> = None;
        let mut apply = |kind, find: &dyn Fn(&str) -> Vec<Range<usize>>| {
            if let Some(after) = outside(current.as_deref().unwrap_or(text), kind, find, removed) {
                current = Some(after);
            }
        };
        if let Some(serial) = &self.serial {
            apply(Kind::Serial, &|segment| {
                serial.find_iter(segment).map(|m| m.range()).collect()
            });
        }
        for (kind, finder) in patterns::FINDERS {
            apply(*kind, finder);
        }
        current
    }
}

/// Replaces what a finder finds between placeholders; nothing where it finds nothing.
fn outside(
    text: &str,
    kind: Kind,
    find: &dyn Fn(&str) -> Vec<Range<usize>>,
    removed: &mut Removed,
) -> Option<String> {
    let mut out = String::new();
    let mut copied = 0;
    let mut from = 0;
    let gaps = PLACEHOLDER.find_iter(text).map(|m| m.range());
    for gap in gaps.chain(std::iter::once(text.len()..text.len())) {
        for found in find(&text[from..gap.start]) {
            let (start, end) = (from + found.start, from + found.end);
            if found.is_empty() || start < copied {
                continue;
            }
            out.push_str(&text[copied..start]);
            out.push_str(kind.placeholder());
            removed.count(kind);
            copied = end;
        }
        from = gap.end;
    }
    if copied == 0 {
        return None;
    }
    out.push_str(&text[copied..]);
    Some(out)
}

#[cfg(test)]
mod tests;
