//! Proposes the map of a table from its headings and its contents, for a person to correct.
//!
//! Each field goes to the column whose heading names it best ([`headings`]) and whose values can be
//! it: dates for times, few values for outcomes, known devices for devices, words for texts. Where no
//! heading helps, contents decide for the fields a ticket cannot do without.

use super::Scrubber;
use super::map::FIELDS;
use std::collections::{BTreeMap, BTreeSet, HashSet};

mod column;
mod dates;
mod devices;
mod headings;
mod values;
mod write;

pub use column::{Column, Sheet};
pub(crate) use devices::parted;
pub use write::{Unused, toml_text};

/// How many kinds of results are few enough for an outcome.
const FEW_RESULTS: usize = 12;

/// The names a knowledge base knows.
#[derive(Clone, Debug, Default)]
pub struct Names {
    /// Devices, id to title.
    pub devices: BTreeMap<String, String>,
    /// Codes of devices.
    pub codes: BTreeSet<String>,
    /// Ids of articles.
    pub articles: BTreeSet<String>,
    /// Ids of fixes, short and full.
    pub fixes: BTreeSet<String>,
}

/// Which column feeds which field, and how values are written.
#[derive(Clone, Debug, Default)]
pub struct Proposal {
    /// The column of the id; none where rows are to be numbered.
    id: Option<usize>,
    /// Whether nothing but the contents of its column speaks for the id.
    id_by_contents: bool,
    columns: BTreeMap<&'static str, Vec<usize>>,
    dates: dates::Written,
    values: BTreeMap<&'static str, BTreeMap<String, String>>,
    /// Values that no usual word is in.
    unknown: BTreeSet<(&'static str, String)>,
}

impl Proposal {
    /// The devices in the table that the knowledge base does not know, as they are written there.
    pub fn unknown_devices(&self) -> impl Iterator<Item = &str> {
        let devices = self.unknown.iter().filter(|(field, _)| *field == "device");
        devices.map(|(_, value)| value.as_str())
    }

    /// Whether no column holds an id, so that rows are numbered.
    #[must_use]
    pub fn numbers_rows(&self) -> bool {
        self.id.is_none()
    }

    /// The columns nothing is taken from, with a value to tell them by.
    #[must_use]
    pub fn unused(&self, sheet: &Sheet, scrubber: &Scrubber) -> Vec<Unused> {
        write::unused(self, sheet, scrubber)
    }

    /// The fields a ticket cannot do without that no column was found for.
    #[must_use]
    pub fn missing(&self) -> Vec<&'static str> {
        let mut missing = Vec::new();
        if !self.columns.contains_key("closed") {
            missing.push("closed");
        }
        if !self.columns.contains_key("said") && !self.columns.contains_key("notes") {
            missing.push("said");
        }
        missing
    }
}

/// Proposes a map.
#[must_use]
pub fn propose(sheet: &Sheet, names: &Names) -> Proposal {
    let mut found = Proposal::default();
    // A heading names one column: the first of that name is the one a map can mean.
    let mut headed = HashSet::new();
    let mut free: Vec<usize> = (0..sheet.columns.len())
        .filter(|at| {
            let column = &sheet.columns[*at];
            column.filled > 0 && !column.name.is_empty() && headed.insert(&column.name)
        })
        .collect();
    // All pairs of field and column, best first; each field and each column is given once.
    let fields = FIELDS.iter().copied().chain(["id"]);
    let mut pairs: Vec<(f64, &'static str, usize)> = fields
        .flat_map(|field| free.iter().map(move |at| (field, *at)))
        .map(|(field, at)| (fit(field, &sheet.columns[at], names), field, at))
        .filter(|(fit, ..)| *fit > 0.0)
        .collect();
    pairs.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
    for (_, field, at) in pairs {
        let taken = found.columns.contains_key(field) || (field == "id" && found.id.is_some());
        if taken || !free.contains(&at) {
            continue;
        }
        free.retain(|other| *other != at);
        if field == "id" {
            found.id = Some(at);
        } else {
            found.columns.insert(field, vec![at]);
        }
    }
    by_contents(&mut found, &mut free, sheet);
    further_texts(&mut found, &mut free, sheet);
    notes_by_contents(&mut found, &mut free, sheet);
    without_fixes(&mut found, sheet);
    found.dates = written_dates(&found, sheet);
    firmware_of_devices(&mut found, sheet);
    for (field, at) in found.columns.clone() {
        let column = &sheet.columns[at[0]];
        let (table, unknown) = table(field, column, names);
        found
            .unknown
            .extend(unknown.into_iter().map(|v| (field, v)));
        if !table.is_empty() {
            found.values.insert(field, table);
        }
    }
    found
}

/// How well a column can feed a field: by its heading, where its values allow it.
fn fit(field: &str, column: &Column, names: &Names) -> f64 {
    let named = headings::names(field, &column.name);
    let few = !column.many;
    let known = |all: &BTreeSet<String>| column.share(|v| all.contains(v));
    let can = match field {
        "opened" | "closed" | "reopened" => dates::is_dates(&column.sample),
        "said" | "notes" => {
            column.share(|v| v.chars().any(char::is_alphabetic)) > 0.5
                && !dates::is_dates(&column.sample)
        }
        "outcome" | "result" => few && column.share(|v| values::meaning(field, v).is_some()) > 0.4,
        "minutes" => column.share(|v| v.replacen(',', ".", 1).parse::<f64>().is_ok()) > 0.9,
        // `Customer number` is a number too.
        "id" if !headings::surely("id", &column.name) => {
            column.counts_cases() && !headings::of_others(&column.name)
        }
        "id" | "ref" | "follows" => {
            column.share(|v| v.len() <= 60 && v.split_whitespace().count() <= 2) > 0.9
                && !dates::is_dates(&column.sample)
        }
        "codes" => column.share(looks_like_codes) > 0.8,
        "article" => known(&names.articles) > 0.3,
        "fix" => known(&names.fixes) > 0.3,
        "device" | "channel" => few,
        "firmware" => column.share(|v| v.chars().any(|c| c.is_ascii_digit())) > 0.5,
        _ => false,
    };
    if !can {
        return 0.0;
    }
    // Names of this knowledge base say more than a heading.
    let content = match field {
        "device" => 1.2 * column.share(|v| device(v, names).is_some()),
        "codes" => 1.2 * known(&names.codes),
        "article" => 1.2 * known(&names.articles),
        "fix" => 1.2 * known(&names.fixes),
        _ => 0.0,
    };
    if named > 0.0 {
        named + content
    } else if content > 0.6 {
        content
    } else {
        0.0
    }
}

/// Codes are short, and a letter stands before a digit.
fn looks_like_codes(value: &str) -> bool {
    value
        .split([',', ' ', ';'])
        .filter(|code| !code.is_empty())
        .all(|code| code.len() <= 10 && code.chars().any(|c| c.is_ascii_digit()))
}

/// The device a value means: its id, or its title, with or without a firmware behind.
fn device<'a>(value: &str, names: &'a Names) -> Option<&'a str> {
    let named = |value: &str| {
        let plain = headings::plain(value);
        let mut devices = names.devices.iter();
        devices.find(|(id, title)| {
            headings::plain(id) == plain || (!title.is_empty() && headings::plain(title) == plain)
        })
    };
    named(value)
        .or_else(|| named(parted(value)?.0))
        .map(|(id, _)| id.as_str())
}

/// Where no heading helped: what a ticket needs, by contents alone.
fn by_contents(found: &mut Proposal, free: &mut Vec<usize>, sheet: &Sheet) {
    let take = |free: &mut Vec<usize>, at: usize| free.retain(|other| *other != at);
    if !found.columns.contains_key("closed") {
        // The last of the dates: a case is closed after everything else.
        let date = free
            .iter()
            .copied()
            .rfind(|at| dates::is_dates(&sheet.columns[*at].sample));
        if let Some(at) = date {
            take(free, at);
            found.columns.insert("closed", vec![at]);
        }
    }
    if !found.columns.contains_key("said") && !found.columns.contains_key("notes") {
        let most = |a: &&usize, b: &&usize| {
            sheet.columns[**a]
                .words()
                .total_cmp(&sheet.columns[**b].words())
        };
        let text = free.iter().max_by(most).copied();
        if let Some(at) = text.filter(|at| sheet.columns[*at].words() > 2.0) {
            take(free, at);
            found.columns.insert("said", vec![at]);
        }
    }
    if found.id.is_none() {
        let counts = |at: &usize| {
            let column = &sheet.columns[*at];
            column.many && column.counts_cases() && !headings::of_others(&column.name)
        };
        found.id = free.iter().copied().find(counts);
        if let Some(at) = found.id {
            found.id_by_contents = true;
            take(free, at);
        }
    }
}

/// Further columns of text under a usual heading are joined to what was said and noted.
fn further_texts(found: &mut Proposal, free: &mut Vec<usize>, sheet: &Sheet) {
    for field in ["said", "notes"] {
        let more: Vec<usize> = free
            .iter()
            .copied()
            .filter(|at| {
                let column = &sheet.columns[*at];
                headings::names(field, &column.name) >= 0.6
                    && column.words() > 2.5
                    && !dates::is_dates(&column.sample)
            })
            .collect();
        if found.columns.contains_key(field) {
            free.retain(|at| !more.contains(at));
            found.columns.entry(field).or_default().extend(more);
        }
    }
}

/// Where no heading names the notes: the free text that is longest, for the fixes stand there.
fn notes_by_contents(found: &mut Proposal, free: &mut Vec<usize>, sheet: &Sheet) {
    if found.columns.contains_key("notes") || !found.columns.contains_key("said") {
        return;
    }
    let most = |a: &usize, b: &usize| {
        let words = |at: &usize| sheet.columns[*at].words();
        words(a).total_cmp(&words(b))
    };
    let texts = free.iter().copied().filter(|at| {
        let column = &sheet.columns[*at];
        column.is_free_text() && !headings::of_others(&column.name)
    });
    if let Some(at) = texts.max_by(most) {
        free.retain(|other| *other != at);
        found.columns.insert("notes", vec![at]);
    }
}

/// A result belongs to a fix. Where no column names fixes, it says how the case ended.
fn without_fixes(found: &mut Proposal, sheet: &Sheet) {
    if found.columns.contains_key("fix") && found.columns.contains_key("result") {
        return;
    }
    for field in ["fix", "result", "minutes"] {
        found.columns.remove(field);
    }
    if found.columns.contains_key("outcome") {
        return;
    }
    let ends = (0..sheet.columns.len()).find(|at| {
        let column = &sheet.columns[*at];
        let taken = found.id == Some(*at) || found.columns.values().any(|fed| fed.contains(at));
        let named = headings::surely("result", &column.name);
        let few = !column.many && (1..=FEW_RESULTS).contains(&column.distinct.len());
        !taken && named && few && column.share(|v| values::meaning("outcome", v).is_some()) > 0.2
    });
    if let Some(at) = ends {
        found.columns.insert("outcome", vec![at]);
    }
}

/// A column of devices that holds their firmware as well feeds both.
fn firmware_of_devices(found: &mut Proposal, sheet: &Sheet) {
    let Some(at) = found.columns.get("device").map(|at| at[0]) else {
        return;
    };
    let column = &sheet.columns[at];
    if found.columns.contains_key("firmware") || column.share(|v| parted(v).is_some()) < 0.2 {
        return;
    }
    let firmware = column.distinct.iter().map(|value| {
        let firmware = parted(value).map_or("", |(_, firmware)| firmware);
        (value.clone(), firmware.to_owned())
    });
    found.values.insert("firmware", firmware.collect());
    found.columns.insert("firmware", vec![at]);
}

fn written_dates(found: &Proposal, sheet: &Sheet) -> dates::Written {
    let of = |field: &str| found.columns.get(field).map(|at| at[0]);
    let columns: Vec<usize> = ["closed", "opened", "reopened"]
        .iter()
        .filter_map(|field| of(field))
        .collect();
    let values: Vec<&str> = columns
        .iter()
        .flat_map(|at| sheet.columns[*at].sample.iter().take(400))
        .map(String::as_str)
        .collect();
    let pairs: Vec<(&str, &str)> = match (of("opened"), of("closed")) {
        (Some(opened), Some(closed)) => sheet
            .firsts
            .iter()
            .filter_map(|row| Some((row.get(opened)?.as_str(), row.get(closed)?.as_str())))
            .collect(),
        _ => Vec::new(),
    };
    dates::written(&values, &pairs)
}

/// The table of a field's values, and the values whose meaning is not known.
fn table(
    field: &'static str,
    column: &Column,
    names: &Names,
) -> (BTreeMap<String, String>, Vec<String>) {
    let mut table = BTreeMap::new();
    let mut unknown = Vec::new();
    for value in &column.distinct {
        match field {
            "outcome" | "result" => match values::meaning(field, value) {
                Some(meaning) if meaning == value => {}
                Some(meaning) => drop(table.insert(value.clone(), meaning.to_owned())),
                None => {
                    table.insert(value.clone(), String::new());
                    unknown.push(value.clone());
                }
            },
            "device" => match device(value, names) {
                None if devices::is_none(value) => drop(table.insert(value.clone(), String::new())),
                Some(id) if id == value => {}
                Some(id) => drop(table.insert(value.clone(), id.to_owned())),
                None => unknown.push(value.clone()),
            },
            _ => {}
        }
    }
    (table, unknown)
}

#[cfg(test)]
mod tests;
