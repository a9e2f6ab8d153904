//! Answers as they are typed or stand in a file, checked against the articles.

use super::super::readings::Readings;
use super::{Answered, Failure, Session};
use crate::articles::Catalog;
use crate::base::ids::{ArticleId, TicketId};
use crate::base::problem::{Place, Problem, did_you_mean};
use crate::cli::{ledger, problem};
use crate::notes::Reading;
use crate::tickets::ledger::SqliteLedger;
use crate::tickets::record::{OTHER, UNLISTED};
use crate::tickets::store::Ledger;
use crate::tickets::{Confirmed, Confirms, Ticket, Try, TryResult};
use serde::Deserialize;
use std::io::Read;
use std::path::Path;

/// What is wrong with an answer.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Wrong {
    pub(super) message: String,
    pub(super) help: Option<String>,
}

impl Wrong {
    fn new(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            help: None,
        }
    }
}

/// One line of a file. What `--list` adds for people, and all of a ticket, may stand in it too.
#[derive(Deserialize)]
struct Line {
    id: String,
    answer: Option<String>,
    article: Option<String>,
    #[serde(default)]
    tries: Vec<LineTry>,
    /// As `tickets export --with-readings` writes it.
    confirmed: Option<Confirmed>,
}

#[derive(Deserialize)]
struct LineTry {
    fix: String,
    result: TryResult,
    minutes: Option<f64>,
}

/// What was read, as a fact.
pub(super) fn as_read(reading: &Reading) -> Confirmed {
    let tries = reading.tries.iter().map(|read| Try {
        fix: read.fix.to_string(),
        result: read.result,
        minutes: None,
    });
    Confirmed {
        article: reading.article.as_ref().map(|(article, _)| article.clone()),
        tries: tries.collect(),
    }
}

/// The article a person names.
pub(super) fn article(id: &str, catalog: &Catalog) -> Result<ArticleId, Wrong> {
    if id == UNLISTED {
        return Ok(ArticleId::new(UNLISTED));
    }
    if let Some(article) = catalog.article(&ArticleId::new(id)) {
        return Ok(article.id.clone());
    }
    let known = catalog.articles.keys().map(|id| id.as_str());
    Err(Wrong {
        message: format!("there is no article `{id}`"),
        help: did_you_mean(id, known),
    })
}

/// The fix a person names, in full.
fn fix(name: &str, of: Option<&ArticleId>, catalog: &Catalog) -> Result<String, Wrong> {
    if name == OTHER {
        return Ok(OTHER.to_owned());
    }
    if let Some(fix) = catalog.resolve_fix(of, name) {
        return Ok(fix.to_string());
    }
    let own = of.and_then(|article| catalog.fixes_of.get(article));
    let help = match own {
        Some(fixes) => did_you_mean(name, fixes.iter().map(|fix| fix.short())),
        None => did_you_mean(name, catalog.fixes.keys().map(|fix| fix.as_str())),
    };
    Err(Wrong {
        message: match of {
            Some(article) => format!("`{article}` has no fix `{name}`"),
            None => format!("expected a fix in full, such as `article#fix`, but found `{name}`"),
        },
        help,
    })
}

/// Reads "swap-lead=no-change, reseal-gland=resolved".
pub(super) fn tries(
    text: &str,
    of: Option<&ArticleId>,
    catalog: &Catalog,
) -> Result<Vec<Try>, Wrong> {
    text.split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .map(|part| {
            let (name, result) = part
                .split_once('=')
                .ok_or_else(|| Wrong::new(format!("expected FIX=RESULT, but found `{part}`")))?;
            let result = match result.trim() {
                "resolved" => TryResult::Resolved,
                "no-change" => TryResult::NoChange,
                "not-possible" => TryResult::NotPossible,
                other => {
                    let expected = "expected `resolved`, `no-change` or `not-possible`";
                    return Err(Wrong::new(format!("{expected}, but found `{other}`")));
                }
            };
            Ok(Try {
                fix: fix(name.trim(), of, catalog)?,
                result,
                minutes: None,
            })
        })
        .collect()
}

/// Takes all answers of a file; where one is wrong, tells what and takes none.
pub(super) fn take(
    file: &Path,
    store: &mut SqliteLedger,
    catalog: &Catalog,
    session: &Session,
) -> Result<Option<Answered>, Failure> {
    let text = read(file).map_err(|e| Failure::file("read", file, &e))?;
    let readings = Readings::open(session, store)?;
    let mut done = Answered::default();
    let (mut said, mut problems) = (Vec::new(), Vec::new());
    for (number, content) in text.lines().enumerate() {
        let content = content.trim_start_matches('\u{feff}').trim();
        if content.is_empty() {
            continue;
        }
        let place = Place::line(file, number + 1);
        let answer = serde_json::from_str::<Line>(content).map_err(|e| {
            Wrong::new(format!(
                "expected an answer as `--list --json` writes it, but {e}"
            ))
        });
        let ticket = |line: &Line| store.get(&line.id).map_err(ledger::failure);
        let checked = match answer {
            Ok(line) => {
                let ticket = ticket(&line)?;
                check(&line, ticket, &readings, catalog, &mut done)
            }
            Err(wrong) => Err(wrong),
        };
        match checked {
            Ok(Some(one)) => said.push(one),
            Ok(None) => {}
            Err(wrong) => {
                let mut problem = Problem::error("wrong-answer", place, wrong.message);
                problem.help = wrong.help;
                problems.push(problem);
            }
        }
    }
    if !problems.is_empty() {
        problem::print(session, &problems)?;
        session.notice("Nothing was taken.");
        return Ok(None);
    }
    store.confirm(&said).map_err(ledger::failure)?;
    Ok(Some(done))
}

fn read(file: &Path) -> std::io::Result<String> {
    if file == Path::new("-") {
        let mut text = String::new();
        std::io::stdin().lock().read_to_string(&mut text)?;
        return Ok(text);
    }
    std::fs::read_to_string(file)
}

/// One line checked: what is to be kept, if anything.
fn check(
    line: &Line,
    ticket: Option<Ticket>,
    readings: &Readings,
    catalog: &Catalog,
    done: &mut Answered,
) -> Result<Option<(TicketId, Option<Confirmed>)>, Wrong> {
    let ticket = ticket.ok_or_else(|| Wrong::new(format!("there is no ticket `{}`", line.id)))?;
    let said = match (line.answer.as_deref(), &line.confirmed) {
        (None, Some(confirmed)) => {
            done.confirmed += 1;
            confirmed.clone()
        }
        // A ticket of an export of which nobody said anything.
        (None, None) => return Ok(None),
        (Some("later" | "l"), _) => {
            done.later += 1;
            return Ok(None);
        }
        (Some("reject" | "r"), _) => {
            done.rejected += 1;
            Confirmed::default()
        }
        (Some("accept" | "a"), _) => {
            let reading = readings.of(&ticket).ok_or_else(|| {
                Wrong::new(format!("nothing was read of `{}` to accept", line.id))
            })?;
            done.confirmed += 1;
            as_read(&reading)
        }
        (Some("correct" | "c"), _) => {
            let said = corrected(line, &ticket, catalog)?;
            done.confirmed += 1;
            said
        }
        (Some(other), _) => {
            let expected = "expected `accept`, `correct`, `reject` or `later` in `answer`";
            return Err(Wrong::new(format!("{expected}, but found `{other}`")));
        }
    };
    Ok(Some((ticket.id.clone(), Some(said))))
}

fn corrected(line: &Line, ticket: &Ticket, catalog: &Catalog) -> Result<Confirmed, Wrong> {
    let own = ticket.article.clone();
    let named = match (&own, &line.article) {
        (None, Some(id)) => Some(article(id, catalog)?),
        _ => None,
    };
    let of = own.as_ref().or(named.as_ref()).cloned();
    let tries = line.tries.iter().map(|one| {
        Ok(Try {
            fix: fix(&one.fix, of.as_ref(), catalog)?,
            result: one.result,
            minutes: one.minutes,
        })
    });
    Ok(Confirmed {
        tries: tries.collect::<Result<_, Wrong>>()?,
        article: named,
    })
}
