//! `fixtally twins`: articles that say or catch the same.

use super::{Exit, Failure, Session};
use crate::articles::Article;
use crate::articles::folder;
use crate::base::ids::ArticleId;
use crate::base::problem::did_you_mean;
use crate::cli::Desk;
use crate::curate::merge::merge;
use crate::curate::twins::twins;
use crate::curate::wording::{marked, pieces};
use crate::view::twins_text;
use std::io::Write;

/// Show pairs of articles that say or catch the same
///
/// Articles are compared by what callers said in their cases, by their symptoms and by their texts.
/// Two names show the two side by side, word by word. --merge prints one article made of both, with
/// `was`, so that evidence follows: save it in the place of the first, remove the second, and let
/// `fixtally compare` say what that changes. Exit code 1 where no two are alike.
/// Example: `fixtally twins --merge one-point-offline single-post-lost`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Two articles to show side by side
    #[arg(value_name = "ARTICLE", num_args = 0..=2, conflicts_with = "merge")]
    both: Vec<String>,
    /// Print one article made of these two; the first is kept
    #[arg(long, num_args = 2, value_names = ["A", "B"])]
    merge: Option<Vec<String>>,
    /// Show all pairs, not only the ten most alike
    #[arg(long)]
    all: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    if let Some(names) = &args.merge {
        return merged(&names[0], &names[1], session);
    }
    if let [first, second] = &args.both[..] {
        if first == second {
            let failure = Failure::new(format!("`{first}` is one article, not two"));
            return Err(failure.hint("name another one beside it"));
        }
        return beside(first, second, session);
    }
    if let [one] = &args.both[..] {
        let failure = Failure::new(format!(
            "`{one}` is one article, and two are shown side by side"
        ));
        return Err(failure.hint("name another one beside it, or none for all pairs"));
    }
    let desk = Desk::open(session)?;
    let pairs = twins(&desk.spoken(session)?);
    session.print(&pairs, || twins_text::twins(&pairs, args.all))?;
    Ok(Exit::findings_if(pairs.is_empty()))
}

/// An article with its file.
fn read(name: &str, session: &Session) -> Result<(Article, String), Failure> {
    let kb = folder::read(&session.kb, session.today()).map_err(|e| {
        Failure::because("cannot read the knowledge base", &e).hint("name its folder: `--kb DIR`")
    })?;
    let found = kb.articles.iter().find(|a| a.id.as_str() == name).cloned();
    let Some(article) = found else {
        let known = kb.articles.iter().map(|a| a.id.as_str());
        let failure = Failure::new(format!("there is no article `{name}`"));
        return Err(match did_you_mean(name, known) {
            Some(hint) => failure.hint(hint),
            None => failure,
        });
    };
    let path = session.kb.join(&article.path);
    let text = std::fs::read_to_string(&path).map_err(|e| Failure::file("read", &path, &e))?;
    Ok((article, text))
}

fn beside(first: &str, second: &str, session: &Session) -> Result<Exit, Failure> {
    let ((a, a_text), (b, b_text)) = (read(first, session)?, read(second, session)?);
    let words = pieces(&a_text, &b_text);
    if session.json {
        session.print_json(&serde_json::json!({"old": a.id, "new": b.id, "words": words}))?;
    } else {
        let shown = crate::view::markdown::wrap(&marked(&words), 80).join("\n");
        writeln!(session.out(), "[-{}-] {{+{}+}}\n\n{shown}", a.id, b.id)?;
    }
    Ok(Exit::Done)
}

fn merged(keep: &str, other: &str, session: &Session) -> Result<Exit, Failure> {
    let ((kept, kept_text), (gone, gone_text)) = (read(keep, session)?, read(other, session)?);
    let text = merge((&kept, &kept_text), (&gone, &gone_text))
        .map_err(|why| Failure::new(format!("cannot merge: {why}")))?;
    if session.json {
        let was: Vec<&ArticleId> = vec![&gone.id];
        session.print_json(
            &serde_json::json!({"keep": kept.path, "remove": gone.path, "was": was, "text": text}),
        )?;
    } else {
        write!(session.out(), "{text}")?;
        let (keep, remove) = (&kept.path, &gone.path);
        session.notice(&format!(
            "Save this as {keep}, remove {remove}, mend what `fixtally lint` then says of links to it."
        ));
    }
    Ok(Exit::Done)
}
