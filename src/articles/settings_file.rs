//! `kb.toml`: text to [`Settings`] and problems. What cannot be read keeps its default.

use super::firmware::Version;
use super::settings::{Device, Hazard, Lamp, Settings};
use super::source::Source;
use super::toml_read::{Reader, Value, number};
use crate::base::problem::{Problem, did_you_mean};
use crate::base::text::split;
use jiff::tz::TimeZone;
use toml::de::DeTable;

/// The file's name in the folder of a knowledge base.
pub const FILE: &str = "kb.toml";

const KEYS: [&str; 11] = [
    "name",
    "language",
    "demo",
    "review-months",
    "hand-on-minutes",
    "serial",
    "zone",
    "roles",
    "devices",
    "hazards",
    "model",
];

/// Reads `kb.toml`.
#[must_use]
pub fn read(text: &str) -> (Settings, Vec<Problem>) {
    let source = Source::new(FILE, text);
    let (mut reader, table) = Reader::open(&source);
    let mut settings = Settings::default();
    reader.only(&table, &KEYS, "`kb.toml`");
    // Roles first: hazards name them.
    if let Some(value) = table.get("roles") {
        roles(&mut reader, value, &mut settings);
    }
    for (key, value) in &table {
        top(&mut reader, key.get_ref(), value, &mut settings);
    }
    let mut problems = reader.problems;
    problems.sort_by(|a, b| a.place.cmp(&b.place));
    (settings, problems)
}

fn top(reader: &mut Reader<'_>, key: &str, value: &Value<'_>, settings: &mut Settings) {
    match key {
        "name" => set(&mut settings.name, reader.text(key, value)),
        "language" => set(&mut settings.language, reader.text(key, value)),
        "demo" => set(&mut settings.demo, reader.truth(key, value)),
        "review-months" => {
            let months = reader.number(key, value, 1.0).map(|n| format!("{n}"));
            match months.map(|n| n.parse()) {
                Some(Ok(months)) => settings.review_months = months,
                Some(Err(_)) => {
                    let message = "`review-months` should be a whole number".to_owned();
                    reader.error("wrong-type", value.span(), message);
                }
                None => {}
            }
        }
        "hand-on-minutes" => set(
            &mut settings.hand_on_minutes,
            reader.number(key, value, 0.0),
        ),
        "serial" => settings.serial = serial(reader, value),
        "zone" => settings.zone = zone(reader, value),
        "devices" => devices(reader, value, settings),
        "hazards" => hazards(reader, value, settings),
        "model" => model(reader, value, settings),
        _ => {}
    }
}

fn set<T>(place: &mut T, value: Option<T>) {
    if let Some(value) = value {
        *place = value;
    }
}

fn serial(reader: &mut Reader<'_>, value: &Value<'_>) -> Option<String> {
    let pattern = reader.text("serial", value)?;
    match regex::Regex::new(&pattern) {
        Ok(regex) if regex.is_match("") => {
            let message = format!("`{pattern}` matches everywhere, even where nothing stands");
            reader.error("serial", value.span(), message);
            None
        }
        Ok(_) => Some(pattern),
        Err(error) => {
            let why = error.to_string();
            let why = why
                .lines()
                .last()
                .unwrap_or_default()
                .trim_start_matches("error: ");
            let message = format!("`serial` is no pattern: {why}");
            reader.error("serial", value.span(), message);
            None
        }
    }
}

fn zone(reader: &mut Reader<'_>, value: &Value<'_>) -> Option<String> {
    let name = reader.text("zone", value)?;
    if TimeZone::get(&name).is_ok() {
        return Some(name);
    }
    let message = format!("expected a time zone such as `Europe/Berlin`, but found `{name}`");
    reader.error("unknown-zone", value.span(), message);
    None
}

fn roles(reader: &mut Reader<'_>, value: &Value<'_>, settings: &mut Settings) {
    let Some(table) = reader.table("roles", value) else {
        return;
    };
    reader.only(table, &["order"], "`[roles]`");
    let Some(order) = table.get("order") else {
        let message = "`[roles]` needs `order`, a list of roles".to_owned();
        reader.error("missing-key", value.span(), message);
        return;
    };
    let names = reader.set("order", order);
    if names.is_empty() {
        let message = "`order` names no role".to_owned();
        reader.error("missing-key", order.span(), message);
    } else {
        settings.roles = names;
    }
}

fn devices(reader: &mut Reader<'_>, value: &Value<'_>, settings: &mut Settings) {
    let Some(table) = reader.table("devices", value) else {
        return;
    };
    for (id, value) in table {
        let name = id.get_ref().to_string();
        if let Some(entry) = reader.table(&name, value) {
            let device = device(reader, &name, entry);
            settings.devices.insert(name, device);
        }
    }
}

fn device(reader: &mut Reader<'_>, id: &str, table: &DeTable<'_>) -> Device {
    let place = format!("`[devices.{id}]`");
    reader.only(table, &["title", "firmware", "codes", "lamps"], &place);
    let mut device = Device {
        title: id.to_owned(),
        ..Device::default()
    };
    if let Some(value) = table.get("title") {
        set(&mut device.title, reader.text("title", value));
    }
    if let Some(value) = table.get("firmware") {
        for (version, at) in reader.texts("firmware", value) {
            if Version::read(&version).is_none() {
                let message = format!("expected a version such as `2.4.0`, but found `{version}`");
                reader.error("firmware", at, message);
            }
            device.firmware.push(version);
        }
    }
    if let Some(value) = table.get("codes") {
        device.codes = reader.set("codes", value);
    }
    if let Some(value) = table.get("lamps") {
        for item in reader.list("lamps", value) {
            lamp(reader, item, &mut device.lamps);
        }
    }
    device
}

fn lamp(reader: &mut Reader<'_>, value: &Value<'_>, lamps: &mut Vec<Lamp>) {
    let Some(table) = reader.table("lamps", value) else {
        return;
    };
    reader.only(table, &["name", "at", "states"], "a lamp");
    let Some(name) = table.get("name").and_then(|name| reader.text("name", name)) else {
        if table.get("name").is_none() {
            reader.error(
                "missing-key",
                value.span(),
                "a lamp needs a `name`".to_owned(),
            );
        }
        return;
    };
    if lamps.iter().any(|l| l.name == name) {
        let at = table.get("name").map_or(value.span(), toml::Spanned::span);
        reader.error(
            "double-lamp",
            at,
            format!("this device has two lamps `{name}`"),
        );
        return;
    }
    let at = table.get("at").and_then(|at| position(reader, at));
    let states = match table.get("states") {
        Some(states) => reader.set("states", states),
        None => Vec::new(),
    };
    if states.is_empty() {
        reader.error(
            "missing-key",
            value.span(),
            format!("the lamp `{name}` has no `states`"),
        );
    }
    lamps.push(Lamp { name, at, states });
}

fn position(reader: &mut Reader<'_>, value: &Value<'_>) -> Option<[f64; 2]> {
    let numbers: Vec<Option<f64>> = reader
        .list("at", value)
        .into_iter()
        .map(|n| number(n.get_ref()))
        .collect();
    if let [Some(x), Some(y)] = numbers[..] {
        return Some([x, y]);
    }
    let message = "`at` should be two numbers such as `[40, 60]`".to_owned();
    reader.error("wrong-type", value.span(), message);
    None
}

fn hazards(reader: &mut Reader<'_>, value: &Value<'_>, settings: &mut Settings) {
    let Some(table) = reader.table("hazards", value) else {
        return;
    };
    for (id, value) in table {
        let name = id.get_ref().to_string();
        let Some(entry) = reader.table(&name, value) else {
            continue;
        };
        let hazard = hazard(reader, &name, entry, settings);
        for (key, missing) in [
            ("caution", hazard.caution.trim().is_empty()),
            ("roles", hazard.roles.is_empty()),
        ] {
            if missing {
                let message = format!("the hazard `{name}` needs `{key}`");
                reader.error("missing-key", id.span(), message);
            }
        }
        settings.hazards.insert(name, hazard);
    }
}

fn hazard(reader: &mut Reader<'_>, id: &str, table: &DeTable<'_>, settings: &Settings) -> Hazard {
    let place = format!("`[hazards.{id}]`");
    reader.only(table, &["caution", "roles", "triggers"], &place);
    let mut hazard = Hazard::default();
    if let Some(value) = table.get("caution") {
        set(&mut hazard.caution, reader.text("caution", value));
    }
    if let Some(value) = table.get("roles") {
        for (role, at) in reader.texts("roles", value) {
            if settings.roles.contains(&role) {
                hazard.roles.push(role);
            } else {
                let help = did_you_mean(&role, settings.roles.iter().map(String::as_str));
                let message = format!("no role is called `{role}`");
                reader.error_with_help("unknown-role", at, message, help);
            }
        }
    }
    if let Some(value) = table.get("triggers") {
        for (trigger, at) in reader.texts("triggers", value) {
            if split(&trigger).is_empty() {
                let message = format!("the trigger `{trigger}` holds no word");
                reader.error("empty-value", at, message);
            } else {
                hazard.triggers.push(trigger);
            }
        }
    }
    hazard
}

fn model(reader: &mut Reader<'_>, value: &Value<'_>, settings: &mut Settings) {
    let Some(table) = reader.table("model", value) else {
        return;
    };
    reader.only(
        table,
        &["prior-cases", "half-life-days", "hold-days"],
        "`[model]`",
    );
    if let Some(value) = table.get("prior-cases") {
        set(
            &mut settings.model.prior_cases,
            reader.number("prior-cases", value, 0.0),
        );
    }
    if let Some(value) = table.get("hold-days") {
        set(
            &mut settings.model.hold_days,
            reader.number("hold-days", value, 0.0),
        );
    }
    let Some(value) = table.get("half-life-days") else {
        return;
    };
    match value.get_ref().as_str() {
        Some("off") => settings.model.half_life_days = None,
        Some(other) => {
            let message = format!("`half-life-days` is a number or `off`, but found `{other}`");
            reader.error("wrong-type", value.span(), message);
        }
        None => {
            if let Some(days) = reader.number("half-life-days", value, 1.0) {
                settings.model.half_life_days = Some(days);
            }
        }
    }
}

#[cfg(test)]
mod tests;
