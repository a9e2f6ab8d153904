//! Names in tickets that the knowledge base does not have: articles, fixes, devices, codes. Such a
//! ticket is kept and counts as far as it can; somebody should hear of it, for it may be a slip of the
//! export or something that nobody wrote down yet.

use super::names::Names;
use crate::articles::Catalog;
use crate::articles::settings::Settings;
use crate::base::text::fold;
use crate::tickets::RawTicket;
use crate::tickets::record::{OTHER, UNLISTED};
use std::collections::{BTreeMap, HashSet};

/// How many different names of a sort are remembered; their tickets are counted beyond.
const MOST_NAMES: usize = 1_000;

/// A sort of names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// Ids of articles.
    Article,
    /// Fixes, as the ticket names them.
    Fix,
    /// Devices.
    Device,
    /// Codes shown.
    Code,
}

/// What tickets name of one sort and nobody knows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Unknown {
    /// Tickets with at least one such name.
    pub tickets: u64,
    /// Tickets by name.
    pub names: BTreeMap<String, u64>,
}

impl Unknown {
    /// The names in most tickets, at most so many.
    #[must_use]
    pub fn most(&self, many: usize) -> Vec<&str> {
        let mut names: Vec<(&str, u64)> =
            self.names.iter().map(|(n, c)| (n.as_str(), *c)).collect();
        names.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
        names.into_iter().take(many).map(|(name, _)| name).collect()
    }
}

/// Looks at tickets one by one.
pub struct Looker<'a> {
    catalog: &'a Catalog,
    names: Names<'a>,
    devices: HashSet<String>,
    codes: HashSet<String>,
    /// What was found so far.
    pub found: BTreeMap<Sort, Unknown>,
}

impl<'a> Looker<'a> {
    /// Of one knowledge base. Where it lists no device or no code, every one is taken for known.
    #[must_use]
    pub fn new(catalog: &'a Catalog, settings: &Settings) -> Self {
        let articles = catalog.articles.values();
        let devices = articles.clone().flat_map(|article| &article.devices);
        let own = settings.devices.iter();
        let titles = own.clone().map(|(_, device)| &device.title);
        let codes = articles.flat_map(|article| &article.codes);
        let shown = own.clone().flat_map(|(_, device)| &device.codes);
        Self {
            catalog,
            names: Names::new(catalog),
            devices: settings
                .devices
                .keys()
                .chain(devices)
                .chain(titles)
                .map(|name| fold(name.trim()))
                .collect(),
            codes: codes.chain(shown).map(|code| fold(code.trim())).collect(),
            found: BTreeMap::new(),
        }
    }

    /// Whether a ticket names something that nobody knows; it is counted.
    pub fn sees(&mut self, ticket: &RawTicket) -> bool {
        let recorded = ticket.article.as_ref();
        let article = recorded.filter(|id| id.as_str() != UNLISTED);
        let gone = article.filter(|id| self.catalog.article(id).is_none());
        let fixes: Vec<&str> = ticket
            .tries
            .iter()
            .map(|one| one.fix.trim())
            .filter(|name| *name != OTHER && self.names.listed(article, name).is_none())
            .collect();
        let is_new = |known: &HashSet<String>, name: &str| {
            !known.is_empty() && !known.contains(&fold(name.trim()))
        };
        let device = ticket.device.as_deref();
        let device = device.filter(|name| is_new(&self.devices, name));
        let codes = ticket.codes.iter().map(String::as_str);
        let codes: Vec<&str> = codes.filter(|name| is_new(&self.codes, name)).collect();
        let article: Vec<&str> = gone.into_iter().map(|id| id.as_str()).collect();
        let device: Vec<&str> = device.into_iter().collect();
        let mut any = false;
        for (sort, names) in [
            (Sort::Article, article),
            (Sort::Fix, fixes),
            (Sort::Device, device),
            (Sort::Code, codes),
        ] {
            any |= !names.is_empty();
            self.count(sort, &names);
        }
        any
    }

    fn count(&mut self, sort: Sort, names: &[&str]) {
        if names.is_empty() {
            return;
        }
        let unknown = self.found.entry(sort).or_default();
        unknown.tickets += 1;
        for name in names {
            if let Some(times) = unknown.names.get_mut(*name) {
                *times += 1;
            } else if unknown.names.len() < MOST_NAMES {
                unknown.names.insert((*name).to_owned(), 1);
            }
        }
    }
}

impl std::fmt::Debug for Looker<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Looker")
            .field("found", &self.found)
            .finish()
    }
}
