//! One article, or one check or fix of it, as a person reads it: cautions first.
//!
//! Reading is not answering: drafts, withdrawn articles and articles with errors are shown, and
//! say what they are. A block with errors of its own shows only its title, because a caution may
//! be what is missing.

mod terminal;

pub use terminal::text;

use super::markdown::{self, Block};
use crate::articles::Settings;
use crate::articles::model::{Article, Before, Check, Entry, Fix, State, Work};
use crate::base::problem::did_you_mean;
use serde::Serialize;
use std::collections::BTreeSet;

/// The line under everything that is shown.
pub const FOOTER: &str = "Local codes and licensed practice prevail over anything this page says.";

/// Everything a page is made from.
#[derive(Clone, Copy, Debug)]
pub struct Shelf<'a> {
    /// All articles, drafts and faulty ones included.
    pub articles: &'a [Article],
    /// What `kb.toml` says.
    pub settings: &'a Settings,
    /// Ids of articles and full ids of blocks that have errors.
    pub left_out: &'a BTreeSet<String>,
}

/// An article as it is read.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Page {
    /// Its id today.
    pub id: String,
    /// The name that was asked for, where it is an old one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<String>,
    /// The title.
    pub title: String,
    /// The file, relative to the knowledge base.
    pub path: String,
    /// Whether it is served.
    pub state: State,
    /// Whether it has errors that keep it from being served.
    pub errors: bool,
    /// Titles of its devices; empty means all.
    pub devices: Vec<String>,
    /// The firmware it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub firmware: Option<String>,
    /// When it was last reviewed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reviewed: Option<String>,
    /// Who keeps it true.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub owner: Option<String>,
    /// What to do now, in a danger article.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub do_now: Vec<String>,
    /// What is going on.
    pub text: Vec<Block>,
    /// How callers say it.
    pub symptoms: Vec<String>,
    /// Fault codes.
    pub codes: Vec<String>,
    /// Indicators and states.
    pub signs: Vec<Sign>,
    /// The checks.
    pub checks: Vec<Piece>,
    /// The fixes.
    pub fixes: Vec<Piece>,
    /// Whether only one check or fix was asked for.
    pub single: bool,
    /// What holds for every page.
    pub footer: &'static str,
}

/// An indicator and its state.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Sign {
    /// The indicator.
    pub name: String,
    /// The state it shows.
    pub state: String,
}

/// A check or a fix as it is read.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Piece {
    /// The full id.
    pub id: String,
    /// The title or the question.
    pub title: String,
    /// What sort of fix it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<String>,
    /// The answers of a check.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<String>,
    /// Minutes it takes.
    pub minutes: f64,
    /// The first role that may do it.
    pub who: String,
    /// Hazards by name.
    pub hazards: Vec<String>,
    /// Their cautions, to be shown before the steps.
    pub cautions: Vec<String>,
    /// What must be done before, by full id.
    pub after: Vec<String>,
    /// The same in words.
    pub after_words: Vec<String>,
    /// Answers that speak for it, in words.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub expect: Vec<String>,
    /// The steps.
    pub steps: Vec<String>,
    /// Everything below its heading.
    pub text: Vec<Block>,
    /// How one knows that it is done.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub done_when: Option<String>,
    /// The article it is written in, where that is another one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// Why nothing but the title is shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub left_out: Option<String>,
}

/// There is nothing of this name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unknown {
    /// What was not found.
    pub message: String,
    /// Names close to it.
    pub help: Option<String>,
}

/// The page of `ARTICLE` or `ARTICLE#BLOCK`, today's name or an old one.
///
/// # Errors
/// Where there is no such article, or no such block in it.
pub fn page(shelf: &Shelf<'_>, name: &str) -> Result<Page, Unknown> {
    let (id, short) = match name.split_once('#') {
        Some((id, short)) => (id, Some(short)),
        None => (name, None),
    };
    let article = shelf.article(id).ok_or_else(|| Unknown {
        message: format!("there is no article `{id}`"),
        help: did_you_mean(id, shelf.articles.iter().map(|a| a.id.as_str())),
    })?;
    let mut page = shelf.whole(article);
    if let Some(short) = short {
        shelf.only(article, &mut page, short)?;
    }
    let renamed = article.id.as_str() != id || short.is_some_and(|s| page.is_old(s));
    page.asked = renamed.then(|| name.to_owned());
    Ok(page)
}

impl Page {
    fn is_old(&self, short: &str) -> bool {
        let mut all = self.checks.iter().chain(&self.fixes);
        all.all(|p| p.id.rsplit('#').next() != Some(short))
    }
}

impl<'a> Shelf<'a> {
    fn article(&self, id: &str) -> Option<&'a Article> {
        let now = self.articles.iter().find(|a| a.id.as_str() == id);
        now.or_else(|| {
            let was = |a: &&Article| a.was.iter().any(|w| w.as_str() == id);
            self.articles.iter().find(was)
        })
    }

    fn whole(&self, article: &'a Article) -> Page {
        let title = |id: &String| {
            let device = self.settings.devices.get(id);
            device.map_or_else(|| id.clone(), |d| d.title.clone())
        };
        let danger = article.danger.as_ref();
        Page {
            id: article.id.to_string(),
            asked: None,
            title: article.title.clone(),
            path: article.path.clone(),
            state: article.state,
            errors: self.left_out.contains(article.id.as_str()),
            devices: article.devices.iter().map(title).collect(),
            firmware: article.firmware.as_ref().map(ToString::to_string),
            reviewed: article.reviewed.map(|d| d.to_string()),
            owner: article.owner.clone(),
            do_now: danger.map(|d| d.do_now.clone()).unwrap_or_default(),
            text: markdown::blocks(&article.intro),
            symptoms: article.symptoms.clone(),
            codes: article.codes.clone(),
            signs: article
                .signs
                .iter()
                .map(|(name, state)| Sign {
                    name: name.clone(),
                    state: state.clone(),
                })
                .collect(),
            checks: article
                .checks
                .iter()
                .map(|e| self.check(e, article))
                .collect(),
            fixes: article.fixes.iter().map(|e| self.fix(e, article)).collect(),
            single: false,
            footer: FOOTER,
        }
    }

    /// Keeps only the block of this short id.
    fn only(&self, article: &Article, page: &mut Page, short: &str) -> Result<(), Unknown> {
        let now = old_name(article, short);
        let named = |p: &Piece| p.id.rsplit('#').next() == Some(short);
        let all = || page.checks.iter().chain(&page.fixes);
        if !all().any(named) && now.is_none() {
            let known: Vec<&str> = all().filter_map(|p| p.id.rsplit('#').next()).collect();
            return Err(Unknown {
                message: format!("`{}` has no check and no fix `{short}`", page.id),
                help: did_you_mean(short, known),
            });
        }
        let there = all().any(named);
        let keep = |p: &Piece| {
            if there {
                named(p)
            } else {
                Some(p.id.as_str()) == now.as_deref()
            }
        };
        page.checks.retain(keep);
        page.fixes.retain(keep);
        page.single = true;
        Ok(())
    }

    fn find_check(&self, id: &str) -> Option<(&'a Article, &'a Check)> {
        self.articles.iter().find_map(|article| {
            let mut own = article.checks.iter().filter_map(|e| e.own());
            let found = own.find(|c| c.id.as_str() == id || c.was.iter().any(|w| w.as_str() == id));
            found.map(|check| (article, check))
        })
    }

    fn find_fix(&self, id: &str) -> Option<(&'a Article, &'a Fix)> {
        self.articles.iter().find_map(|article| {
            let mut own = article.fixes.iter().filter_map(|e| e.own());
            let found = own.find(|f| f.id.as_str() == id || f.was.iter().any(|w| w.as_str() == id));
            found.map(|fix| (article, fix))
        })
    }

    fn check(&self, entry: &'a Entry<Check>, article: &'a Article) -> Piece {
        let found = match entry {
            Entry::Own(check) => Some((article, check)),
            Entry::Link { target, .. } => self.find_check(target),
        };
        let Some((home, check)) = found else {
            return nowhere(entry);
        };
        let mut piece = self.piece(
            &check.work,
            &check.after,
            (home, article),
            check.id.as_str(),
        );
        piece.title.clone_from(&check.question);
        piece.answers.clone_from(&check.answers);
        piece
    }

    fn fix(&self, entry: &'a Entry<Fix>, article: &'a Article) -> Piece {
        let found = match entry {
            Entry::Own(fix) => Some((article, fix)),
            Entry::Link { target, .. } => self.find_fix(target),
        };
        let Some((home, fix)) = found else {
            return nowhere(entry);
        };
        let mut piece = self.piece(&fix.work, &fix.after, (home, article), fix.id.as_str());
        piece.title.clone_from(&fix.title);
        piece.kind = Some(fix.kind.clone());
        if piece.left_out.is_none() {
            piece.done_when.clone_from(&fix.done_when);
        }
        piece.expect = fix
            .expect
            .iter()
            .map(|(check, answer)| {
                let title = self
                    .find_check(check.as_str())
                    .map(|(_, c)| c.question.as_str());
                format!("{} {answer}", title.unwrap_or(check.as_str()))
            })
            .collect();
        piece
    }

    fn piece(
        &self,
        work: &Work,
        after: &[Before],
        (home, article): (&Article, &Article),
        id: &str,
    ) -> Piece {
        let mut piece = Piece {
            id: id.to_owned(),
            minutes: work.minutes,
            who: work.who.clone(),
            hazards: work.hazards.clone(),
            cautions: self.settings.cautions(&work.hazards),
            after: after.iter().map(ToString::to_string).collect(),
            after_words: after.iter().map(|b| self.before(b)).collect(),
            from: (home.id != article.id).then(|| home.id.to_string()),
            ..Piece::default()
        };
        let elsewhere = home.id != article.id && home.state != State::Live;
        if self.left_out.contains(id) {
            piece.left_out = Some("it has errors; `fixtally lint` says which".to_owned());
        } else if elsewhere {
            piece.left_out = Some(format!("`{}` is not live", home.id));
        } else {
            piece.steps.clone_from(&work.steps);
            piece.text = markdown::blocks(&work.markdown);
        }
        piece
    }

    fn before(&self, before: &Before) -> String {
        let title = match before {
            Before::Fix(id) => self.find_fix(id.as_str()).map(|(_, f)| &f.title),
            Before::Check(id) => self.find_check(id.as_str()).map(|(_, c)| &c.question),
        };
        title.cloned().unwrap_or_else(|| before.to_string())
    }
}

/// Today's full id of the article's own block that was once called `short`.
fn old_name(article: &Article, short: &str) -> Option<String> {
    let old = format!("#{short}");
    let checks = article.checks.iter().filter_map(|e| e.own());
    let fixes = article.fixes.iter().filter_map(|e| e.own());
    let check = checks
        .filter(|c| c.was.iter().any(|w| w.as_str().ends_with(&old)))
        .map(|c| c.id.to_string());
    let fix = fixes
        .filter(|f| f.was.iter().any(|w| w.as_str().ends_with(&old)))
        .map(|f| f.id.to_string());
    check.chain(fix).next()
}

fn nowhere<T>(entry: &Entry<T>) -> Piece {
    let mut piece = Piece {
        left_out: Some("its link leads nowhere; `fixtally lint` says more".to_owned()),
        ..Piece::default()
    };
    if let Entry::Link { target, title, .. } = entry {
        piece.id.clone_from(target);
        piece.title.clone_from(title);
    }
    piece
}
