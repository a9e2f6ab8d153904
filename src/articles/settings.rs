//! `kb.toml` as values: devices with their signs, hazards with their cautions, roles, and the
//! settings of the model. [`super::settings_file`] reads it.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Everything `kb.toml` says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// The knowledge base's name.
    pub name: String,
    /// Language of the articles, such as `en`.
    pub language: String,
    /// Whether `tickets/` is loaded into a ledger that does not exist yet.
    pub demo: bool,
    /// Months after which a review is overdue.
    pub review_months: u32,
    /// Minutes that handing a case on costs.
    pub hand_on_minutes: f64,
    /// Pattern of serial numbers, scrubbed from tickets.
    pub serial: Option<String>,
    /// The time zone of times that name none, in exports that need no map. Asked by imports alone, which
    /// read the file itself, so it is in no derived one.
    #[serde(skip)]
    pub zone: Option<String>,
    /// Roles in order: each may do its own and the earlier ones' work.
    pub roles: Vec<String>,
    /// Devices by id.
    pub devices: BTreeMap<String, Device>,
    /// Hazards by id.
    pub hazards: BTreeMap<String, Hazard>,
    /// Settings of the model.
    pub model: Model,
}

/// A device callers ring about.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Device {
    /// Its name in words.
    pub title: String,
    /// Firmware versions in the field.
    pub firmware: Vec<String>,
    /// Fault codes it can show.
    pub codes: Vec<String>,
    /// Its indicators.
    pub lamps: Vec<Lamp>,
}

/// An indicator and the states it can show.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Lamp {
    /// Its name, such as `status-lamp`.
    pub name: String,
    /// Where it sits on the panel drawing, in hundredths of its width and height.
    pub at: Option<[f64; 2]>,
    /// The states, such as `red-slow`.
    pub states: Vec<String>,
}

/// Something that can hurt whoever does the work.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Hazard {
    /// Shown before the steps, wherever they are shown.
    pub caution: String,
    /// Roles that may do such work.
    pub roles: Vec<String>,
    /// Phrases that must not stand in a fix or check without this hazard.
    pub triggers: Vec<String>,
}

/// Settings of the statistics.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Model {
    /// Strength of the author's order in cases, until enough articles have tickets; `prior-cases`.
    pub prior_cases: f64,
    /// Days after which a ticket counts half, none for `off`; `half-life-days`.
    pub half_life_days: Option<f64>,
    /// Days a fix must hold before it is proven; `hold-days`.
    pub hold_days: f64,
}

impl Default for Model {
    fn default() -> Self {
        Self {
            prior_cases: 4.0,
            half_life_days: Some(365.0),
            hold_days: 30.0,
        }
    }
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            name: "knowledge base".to_owned(),
            language: "en".to_owned(),
            demo: false,
            review_months: 12,
            hand_on_minutes: 120.0,
            serial: None,
            zone: None,
            roles: vec!["anyone".to_owned()],
            devices: BTreeMap::new(),
            hazards: BTreeMap::new(),
            model: Model::default(),
        }
    }
}

impl Settings {
    /// The place of a role in the order, lowest first.
    #[must_use]
    pub fn rank_of(&self, role: &str) -> Option<usize> {
        self.roles.iter().position(|r| r == role)
    }

    /// Whether `role` may do work that asks for `who`; a role may do its own and all earlier
    /// ones' work. Work that asks for an unknown role is allowed to nobody.
    #[must_use]
    pub fn may(&self, role: &str, who: &str) -> bool {
        matches!((self.rank_of(role), self.rank_of(who)), (Some(mine), Some(asked)) if mine >= asked)
    }

    /// The cautions of these hazards, in their order.
    #[must_use]
    pub fn cautions(&self, hazards: &[String]) -> Vec<String> {
        hazards
            .iter()
            .filter_map(|h| self.hazards.get(h))
            .map(|h| h.caution.clone())
            .collect()
    }

    /// Every indicator's name with all its states, over all devices.
    #[must_use]
    pub fn signs(&self) -> BTreeMap<&str, Vec<&str>> {
        let mut signs: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for lamp in self.devices.values().flat_map(|d| &d.lamps) {
            let states = signs.entry(&lamp.name).or_default();
            for state in &lamp.states {
                if !states.contains(&state.as_str()) {
                    states.push(state);
                }
            }
        }
        signs
    }
}
