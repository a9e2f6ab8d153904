//! The counts and the estimate behind the ranking, article by article.

use super::answer::Basis;
use crate::articles::Catalog;
use crate::base::ids::{ArticleId, FixId};
use crate::evidence::prior::Prior;
use crate::evidence::{Evidence, Moved, Orphan, Share};
use jiff::civil::Date;
use serde::Serialize;
use std::collections::BTreeMap;

/// What the tickets say, ready to print.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct EvidenceTable {
    /// The day ages are measured from.
    pub as_of: Date,
    /// The newest closing day used.
    pub evidence_to: Option<Date>,
    /// Tickets used.
    pub tickets: u64,
    /// Cases they make.
    pub cases: u64,
    /// Tickets closed after `as_of`, left out.
    pub ignored_later: u64,
    /// The articles asked for, by id.
    pub articles: Vec<ArticleTable>,
    /// Age-weighted cases that no article covers.
    pub unlisted: f64,
    /// What is believed of an article's fixes before its own tickets speak.
    pub prior: Prior,
    /// How closely devices follow an article's shares, in cases.
    pub kappa: f64,
    /// Fixes that tickets name and no article lists any more.
    pub orphans: Vec<Orphan>,
    /// Articles that tickets name and that are not served, with how many tickets.
    pub gone_articles: BTreeMap<ArticleId, u64>,
    /// Cases counted under another article than the recorded one.
    pub moved: Vec<Moved>,
}

/// One article.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ArticleTable {
    /// The article.
    pub id: ArticleId,
    /// Its title.
    pub title: String,
    /// Tickets with it.
    pub cases: u64,
    /// Its cases weighted by age.
    pub weight: f64,
    /// Whether tickets or only the author speak.
    pub basis: Basis,
    /// Its fixes: by share where tickets speak, else in the author's order.
    pub fixes: Vec<FixRow>,
    /// The share that none of its fixes ends; none where only the author speaks.
    pub other: Option<Share>,
}

/// One fix of an article.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FixRow {
    /// The fix.
    pub id: FixId,
    /// Its title.
    pub title: String,
    /// What sort of fix it is.
    pub kind: String,
    /// Cases it resolved, over all articles and devices.
    pub resolved: u64,
    /// Cases it was tried in.
    pub tries: u64,
    /// How many of them were read from notes.
    pub inferred: u64,
    /// Wilson's 95 % interval of `resolved` of `tries`.
    pub raw_low: f64,
    /// Its upper end.
    pub raw_high: f64,
    /// The share of the article's cases that it ends; none where only the author speaks.
    pub share: Option<Share>,
    /// Minutes it is expected to take.
    pub minutes: f64,
    /// The first role that may do it.
    pub who: String,
    /// Other articles that offer it.
    pub shared_with: Vec<ArticleId>,
}

/// The table of one article, or of all; none where the article is unknown.
#[must_use]
pub fn table(
    evidence: &Evidence,
    catalog: &Catalog,
    article: Option<&ArticleId>,
) -> Option<EvidenceTable> {
    let only = match article {
        Some(id) => Some(&catalog.article(id)?.id),
        None => None,
    };
    let asked = |id: &ArticleId| only.is_none_or(|only| only == id);
    // What an article was called once is its own too.
    let belongs = |id: &ArticleId| asked(catalog.article(id).map_or(id, |now| &now.id));
    Some(EvidenceTable {
        as_of: evidence.as_of,
        evidence_to: evidence.to,
        tickets: evidence.tickets,
        cases: evidence.cases,
        ignored_later: evidence.ignored_later,
        articles: catalog
            .articles
            .keys()
            .filter(|id| asked(id))
            .filter_map(|id| article_table(id, evidence, catalog))
            .collect(),
        unlisted: evidence.unlisted,
        prior: evidence.prior,
        kappa: evidence.kappa,
        orphans: evidence
            .orphans
            .iter()
            .filter(|orphan| belongs(&FixId::new(&orphan.fix).article()))
            .cloned()
            .collect(),
        gone_articles: match only {
            Some(_) => BTreeMap::new(),
            None => evidence.gone_articles.clone(),
        },
        moved: evidence
            .moved
            .iter()
            .filter(|moved| belongs(&moved.from) || belongs(&moved.to))
            .cloned()
            .collect(),
    })
}

fn article_table(id: &ArticleId, evidence: &Evidence, catalog: &Catalog) -> Option<ArticleTable> {
    let found = evidence.articles.get(id)?;
    let basis = if evidence.only_author(id) {
        Basis::Author
    } else {
        Basis::Tickets
    };
    let told = |share: &Share| (basis == Basis::Tickets).then_some(*share);
    let mut fixes: Vec<FixRow> = catalog
        .fixes_of
        .get(id)?
        .iter()
        .zip(&found.shares)
        .filter_map(|(fix, share)| fix_row(id, fix, told(share), evidence, catalog))
        .collect();
    if basis == Basis::Tickets {
        let share = |row: &FixRow| row.share.map_or(0.0, |share| share.share);
        fixes.sort_by(|a, b| share(b).total_cmp(&share(a)).then_with(|| a.id.cmp(&b.id)));
    }
    Some(ArticleTable {
        id: id.clone(),
        title: catalog.articles.get(id)?.title.clone(),
        cases: found.cases,
        weight: found.weight,
        basis,
        fixes,
        other: told(&found.other),
    })
}

fn fix_row(
    article: &ArticleId,
    id: &FixId,
    share: Option<Share>,
    evidence: &Evidence,
    catalog: &Catalog,
) -> Option<FixRow> {
    let (fix, found) = (catalog.fixes.get(id)?, evidence.fixes.get(id)?);
    let offers = catalog.articles_of.get(id).map_or(&[][..], Vec::as_slice);
    Some(FixRow {
        id: id.clone(),
        title: fix.title.clone(),
        kind: fix.kind.clone(),
        resolved: found.resolved,
        tries: found.tries,
        inferred: found.inferred,
        raw_low: found.raw_low,
        raw_high: found.raw_high,
        share,
        minutes: found.minutes,
        who: fix.work.who.clone(),
        shared_with: offers.iter().filter(|a| *a != article).cloned().collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::articles::Settings;
    use crate::evidence::testing::{catalog, date, scrubbed, tried};
    use crate::evidence::{Cases, gather};

    fn evidence() -> Evidence {
        let mut tickets: Vec<_> = (0..8)
            .map(|i| {
                tried(
                    &format!("T-{i}"),
                    "2026-05-01",
                    "trips",
                    "swap-lead, reseal+",
                    None,
                )
            })
            .collect();
        tickets.push(tried("T-8", "2026-05-01", "trips", "gone+", None));
        tickets.push(tried(
            "T-9",
            "2026-05-01",
            "trips",
            "network#swap-card+",
            None,
        ));
        let settings = Settings::default();
        let (tickets, as_of) = (scrubbed(tickets), date("2026-06-30"));
        let none = BTreeMap::new();
        let cases = Cases::of(&tickets, &none, &catalog(), &settings.model, as_of);
        gather(&cases, &catalog(), &settings, as_of)
    }

    #[test]
    fn fixes_stand_by_share_and_shares_only_where_tickets_speak() {
        let all = table(&evidence(), &catalog(), None).unwrap();
        let [network, trips] = &all.articles[..] else {
            panic!("{all:?}")
        };
        assert_eq!(
            (network.basis, trips.basis),
            (Basis::Author, Basis::Tickets)
        );
        assert!(network.fixes.iter().all(|fix| fix.share.is_none()));
        assert_eq!((network.other, network.cases), (None, 1));
        let first = &trips.fixes[0];
        assert_eq!(
            (first.id.as_str(), first.resolved, first.tries),
            ("trips#reseal", 8, 8)
        );
        assert!(first.share.unwrap().share > 0.5);
        assert_eq!(
            trips.fixes.last().unwrap().shared_with,
            [ArticleId::new("network")]
        );
    }

    #[test]
    fn one_article_comes_with_its_own_orphans_and_moves() {
        let of = |id: &str| table(&evidence(), &catalog(), Some(&id.into()));
        let trips = of("trips").unwrap();
        assert_eq!(
            (trips.articles.len(), trips.orphans.len(), trips.moved.len()),
            (1, 1, 1)
        );
        let network = of("network").unwrap();
        assert_eq!((network.orphans.len(), network.moved.len()), (0, 1));
        assert_eq!(of("unknown"), None);
    }
}
