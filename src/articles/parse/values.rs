//! What the attributes of a block say: minutes, roles, hazards, order, expected answers.

use super::blocks::Builder;
use super::{Block, Kind};
use crate::articles::model::{Before, Work};
use crate::base::ids::{CheckId, FixId};
use std::collections::HashMap;

impl Builder<'_> {
    /// The values of an attribute, each once.
    pub(super) fn words(&mut self, block: &Block, key: &str) -> Vec<String> {
        let mut words: Vec<String> = Vec::new();
        for value in block.attribute(key).into_iter().flat_map(|a| &a.values) {
            if words.contains(&value.value) {
                let message = format!("`{}` stands twice in `{key}`", value.value);
                self.error(block, "double-value", value.at.clone(), message);
            } else if !value.value.is_empty() {
                words.push(value.value.clone());
            }
        }
        words
    }

    pub(super) fn work(&mut self, block: &Block) -> Work {
        let minutes = self.minutes(block);
        let who = self.words(block, "who");
        if who.len() > 1 {
            let problem = self.source.error(
                "who",
                block.place_of("who"),
                "`who` names one role: the first that may do it; later ones may too",
            );
            self.wrong(block, problem, None);
        }
        Work {
            minutes,
            who: who.into_iter().next().unwrap_or_default(),
            hazards: self.words(block, "hazard"),
            steps: self.steps(block, true).0,
            markdown: self.markdown(block),
            line: block.line,
        }
    }

    /// Minutes above 0; 0 where there are none, which lint reports for a fix.
    pub(super) fn minutes(&mut self, block: &Block) -> f64 {
        let Some(attribute) = block.attribute("minutes") else {
            return 0.0;
        };
        let text: Vec<&str> = attribute.values.iter().map(|v| v.value.as_str()).collect();
        let text = text.join(",");
        match text.parse::<f64>() {
            Ok(minutes) if minutes.is_finite() && minutes > 0.0 => minutes,
            _ => {
                let problem = self.source.error(
                    "minutes",
                    attribute.at.clone(),
                    format!("`minutes` should be a number above 0, but is `{text}`"),
                );
                self.wrong(
                    block,
                    problem,
                    Some("write it like `minutes=15`".to_owned()),
                );
                0.0
            }
        }
    }

    pub(super) fn was(&mut self, block: &Block) -> Vec<String> {
        let own = self.id;
        self.words(block, "was")
            .into_iter()
            .map(|w| {
                if w.contains('#') {
                    w
                } else {
                    format!("{own}#{w}")
                }
            })
            .collect()
    }

    /// The blocks of this article by short id, linked ones included; of doubles the first.
    pub(super) fn names(&self) -> HashMap<String, (Kind, String)> {
        let mut names = HashMap::new();
        for block in &self.built.blocks {
            let named = match (&block.link, &block.id) {
                (Some(link), _) => link.value.anchor.clone().map(|a| (a, link.value.full_id())),
                (None, Some(id)) => Some((id.value.clone(), format!("{}#{}", self.id, id.value))),
                (None, None) => None,
            };
            if let Some((short, full)) = named {
                names.entry(short).or_insert((block.kind, full));
            }
        }
        names
    }

    fn find(&self, name: &str) -> Option<(Kind, String)> {
        self.names.get(name).cloned()
    }

    /// Of full ids only joining all articles tells fixes from checks; until then they count as
    /// fixes. Names without a block stay and are reported by lint.
    pub(super) fn after(&mut self, block: &Block) -> Vec<Before> {
        self.words(block, "after")
            .into_iter()
            .map(|name| match self.find(&name) {
                Some((Kind::Check, full)) => Before::Check(CheckId::new(&full)),
                Some((_, full)) => Before::Fix(FixId::new(&full)),
                None if name.contains('#') => Before::Fix(FixId::new(&name)),
                None => Before::Fix(FixId::of(self.id, &name)),
            })
            .collect()
    }

    pub(super) fn expect(&mut self, block: &Block) -> Vec<(CheckId, String)> {
        let mut expect = Vec::new();
        for word in self.words(block, "expect") {
            let Some((check, answer)) = word.split_once(':') else {
                let problem = self.source.error(
                    "expect",
                    block.place_of("expect"),
                    format!("`{word}` is no check with an answer"),
                );
                self.wrong(
                    block,
                    problem,
                    Some("write it like `expect=trips-empty:yes`".to_owned()),
                );
                continue;
            };
            let id = match self.find(check) {
                Some((_, full)) => CheckId::new(&full),
                None if check.contains('#') => CheckId::new(check),
                None => CheckId::of(self.id, check),
            };
            expect.push((id, answer.to_owned()));
        }
        expect
    }
}
