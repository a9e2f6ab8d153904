//! Small made-up catalogs and tickets for the tests of this room.

use crate::articles::Catalog;
use crate::articles::model::{Article, Check, Entry, Fix, State, Work};
use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::tickets::record::RawTicket;
use crate::tickets::{Outcome, Ticket, Try, TryResult};
use jiff::civil::Date;

/// A ticket closed at noon of a day, with nothing else in it.
pub(crate) fn ticket(id: &str, closed: &str) -> RawTicket {
    serde_json::from_value(serde_json::json!({"id": id, "closed": format!("{closed}T12:00:00Z")}))
        .unwrap()
}

/// A ticket of an article: `swap-lead, reseal+, check-app?` are tries with no change, resolved
/// and not possible.
pub(crate) fn tried(
    id: &str,
    closed: &str,
    article: &str,
    tries: &str,
    outcome: Option<Outcome>,
) -> RawTicket {
    let mut raw = ticket(id, closed);
    raw.article = (!article.is_empty()).then(|| ArticleId::new(article));
    raw.outcome = outcome;
    raw.tries = tries
        .split(", ")
        .filter(|t| !t.is_empty())
        .map(|t| Try {
            fix: t.trim_end_matches(['+', '?']).to_owned(),
            result: match t.chars().last() {
                Some('+') => TryResult::Resolved,
                Some('?') => TryResult::NotPossible,
                _ => TryResult::NoChange,
            },
            minutes: None,
        })
        .collect();
    raw
}

/// Vouches for made-up tickets.
pub(crate) fn scrubbed(raw: Vec<RawTicket>) -> Vec<Ticket> {
    raw.into_iter().map(Ticket::for_test).collect()
}

/// An article with these fixes (a name with `#` is a link), each 10 minutes, kind = short id.
pub(crate) fn article(id: &str, fixes: &[&str]) -> Article {
    let id = ArticleId::new(id);
    let fixes = fixes.iter().map(|name| {
        if name.contains('#') {
            return Entry::Link {
                target: (*name).to_owned(),
                title: (*name).to_owned(),
                line: 1,
            };
        }
        Entry::Own(Fix {
            id: FixId::of(&id, name),
            was: Vec::new(),
            title: (*name).to_owned(),
            kind: (*name).to_owned(),
            expect: Vec::new(),
            after: Vec::new(),
            work: work(10.0),
            done_when: None,
        })
    });
    Article {
        fixes: fixes.collect(),
        was: Vec::new(),
        title: id.to_string(),
        area: "area".to_owned(),
        path: format!("articles/area/{id}.md"),
        devices: Vec::new(),
        firmware: None,
        symptoms: Vec::new(),
        codes: Vec::new(),
        signs: std::collections::BTreeMap::new(),
        owner: None,
        reviewed: None,
        state: State::Live,
        danger: None,
        intro: String::new(),
        pictures: Vec::new(),
        checks: Vec::new(),
        id,
    }
}

/// A yes-or-no check for an article.
pub(crate) fn check(article: &str, short: &str) -> Entry<Check> {
    Entry::Own(Check {
        id: CheckId::of(&ArticleId::new(article), short),
        was: Vec::new(),
        question: short.to_owned(),
        answers: vec!["yes".to_owned(), "no".to_owned()],
        after: Vec::new(),
        work: work(1.0),
    })
}

fn work(minutes: f64) -> Work {
    Work {
        minutes,
        who: "anyone".to_owned(),
        ..Work::default()
    }
}

/// Two articles: `trips` with swap-lead, reseal and the shared `network#restart`; `network` with
/// restart and swap-card.
pub(crate) fn catalog() -> Catalog {
    let mut trips = article("trips", &["swap-lead", "reseal", "network#restart"]);
    trips.checks.push(check("trips", "empty"));
    Catalog::join([trips, article("network", &["restart", "swap-card"])])
}

/// A date.
pub(crate) fn date(text: &str) -> Date {
    text.parse().unwrap()
}
