//! `fixtally evidence`: the counts and the estimate behind the ranking.

use super::{Exit, Failure, Session};
use crate::articles::Article;
use crate::base::ids::{ArticleId, FixId};
use crate::base::problem::did_you_mean;
use crate::cli::Desk;
use crate::view::{evidence_table, evidence_text, weights_text};

/// Show how often each fix really ended the cases of an article
///
/// Counts are of closed tickets: `fixed` of `tries`, with the 95 % interval of that part. The
/// share is the estimated part of the article's cases that the fix is the one to end, with its
/// 90 % interval; it corrects for what had been tried before.
///
/// `--weights` shows what answers look at and how much it counts, learned from the tickets beside
/// shipped. `odds` is what a typical `step` does to the odds between two candidates, `e^(weight·step)`.
///
/// Example: `fixtally evidence rcd-trips-on-plug-in`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The article; all where it is left out
    #[arg(value_name = "ARTICLE")]
    article: Option<String>,
    /// Explain the share of one fix: which tickets count, with what weight, what the author's
    /// order added; `ARTICLE#other` for "none of the listed"
    #[arg(long, value_name = "FIX", conflicts_with = "article")]
    why: Option<String>,
    /// Show the weights that answers go by, learned and shipped; of an article its strongest learned
    /// words. What is not learned yet from the tickets is learned first
    #[arg(long, conflicts_with = "why")]
    weights: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    if args.weights {
        return weights(args.article.as_deref(), session);
    }
    let desk = Desk::open_counted(session)?;
    match &args.why {
        Some(fix) => explain(fix, &desk, session),
        None => table(args.article.as_deref(), &desk, session),
    }
}

fn table(article: Option<&str>, desk: &Desk, session: &Session) -> Result<Exit, Failure> {
    let id = article.map(ArticleId::new);
    let Some(table) = evidence_table::table(&desk.evidence, &desk.catalog, id.as_ref()) else {
        return Err(unknown("article", article.unwrap_or_default(), desk));
    };
    session.print(&table, || evidence_text::text(&table, 80))?;
    Ok(Exit::Done)
}

fn weights(article: Option<&str>, session: &Session) -> Result<Exit, Failure> {
    let desk = Desk::open_learned(session)?;
    let found = match article {
        Some(name) => Some(served(name, &desk)?),
        None => None,
    };
    let table = desk.weights(session, found)?;
    session.print(&table, || weights_text::text(&table, 80))?;
    Ok(Exit::Done)
}

fn served<'a>(name: &str, desk: &'a Desk) -> Result<&'a Article, Failure> {
    let found = desk.catalog.article(&ArticleId::new(name));
    found.ok_or_else(|| unknown("article", name, desk))
}

fn explain(name: &str, desk: &Desk, session: &Session) -> Result<Exit, Failure> {
    let (article, short) = name.split_once('#').ok_or_else(|| {
        Failure::new(format!("expected `ARTICLE#FIX`, but found `{name}`"))
            .hint("fixtally evidence --why rcd-trips-on-plug-in#reseal-gland")
    })?;
    let article = served(article, desk)?;
    let fix = match short {
        "other" => None,
        _ => {
            let found = desk.catalog.resolve_fix(Some(&article.id), short);
            Some(found.ok_or_else(|| unknown("fix", name, desk))?)
        }
    };
    let reasons = desk
        .why(session, &article.id, fix.as_ref())?
        .ok_or_else(|| unknown("fix", name, desk))?;
    session.print(&reasons, || evidence_text::reasons(&reasons))?;
    Ok(Exit::Done)
}

fn unknown(what: &str, name: &str, desk: &Desk) -> Failure {
    let failure = Failure::new(format!(
        "there is no {what} `{name}` among the articles served"
    ));
    let hint = match what {
        "fix" => did_you_mean(name, desk.catalog.fixes.keys().map(FixId::as_str)),
        _ => did_you_mean(name, desk.catalog.articles.keys().map(ArticleId::as_str)),
    };
    match hint {
        Some(hint) => failure.hint(hint),
        None => failure,
    }
}
