//! What is read on the sheet: articles, their pictures, and what the desk says of itself.

use super::opened::Opened;
use crate::articles::model::{Article, Entry, State, Work};
use crate::base::ids::ArticleId;
use crate::call::understand::HELP;
use crate::sheet::desk::{About, Device, Lamp, Reading, Title, Trouble};
use crate::view::evidence_table;
use crate::view::show::{self, Shelf};
use std::path::Path;

/// Lines that a sheet has its own ways for.
const OTHERWISE: &[&str] = &["1", "more, again", "next, leave", "go on, take back ID"];

/// The largest picture that is shown, in bytes.
const LARGEST: u64 = 4 << 20;

pub(super) fn about(opened: &Opened) -> About {
    let desk = &opened.room.desk;
    let devices = desk.settings.devices.iter();
    About {
        name: desk.settings.name.clone(),
        version: opened.version,
        as_of: desk.as_of.to_string(),
        evidence_to: desk.evidence.to.map(|day| day.to_string()),
        roles: desk.settings.roles.clone(),
        devices: devices
            .map(|(id, device)| Device {
                id: id.clone(),
                title: device.title.clone(),
                codes: device.codes.clone(),
                lamps: device
                    .lamps
                    .iter()
                    .map(|lamp| Lamp {
                        name: lamp.name.clone(),
                        at: lamp.at,
                        states: lamp.states.clone(),
                    })
                    .collect(),
            })
            .collect(),
        help: HELP
            .iter()
            .filter(|(say, _)| !OTHERWISE.contains(say))
            .map(|(say, what)| ((*say).to_owned(), (*what).to_owned()))
            .collect(),
    }
}

/// Articles in force, by title.
pub(super) fn titles(opened: &Opened) -> Vec<Title> {
    let live = opened.room.desk.catalog.articles.values();
    let mut titles: Vec<Title> = live
        .map(|article| Title {
            id: article.id.to_string(),
            title: article.title.clone(),
            area: article.area.clone(),
            danger: article.danger.is_some(),
        })
        .collect();
    titles.sort_by(|a, b| a.title.cmp(&b.title).then_with(|| a.id.cmp(&b.id)));
    titles
}

pub(super) fn article(opened: &Opened, id: &str) -> Result<Reading, Trouble> {
    let folder = &opened.shelf;
    let shelf = Shelf {
        articles: &folder.articles,
        settings: &folder.settings,
        left_out: &folder.left_out,
    };
    let page = show::page(&shelf, id).map_err(|unknown| {
        Trouble::Missing(match unknown.help {
            Some(help) => format!("{}; {help}", unknown.message),
            None => unknown.message,
        })
    })?;
    let desk = &opened.room.desk;
    let article = ArticleId::new(&page.id);
    let table = evidence_table::table(&desk.evidence, &desk.catalog, Some(&article));
    let intro = folder.articles.iter().find(|one| one.id == article);
    let shown = page.checks.iter().chain(&page.fixes);
    let pieces = shown
        .filter(|piece| piece.left_out.is_none())
        .filter_map(|piece| {
            let (work, path) = work_of(&folder.articles, &piece.id)?;
            Some((piece.id.clone(), work.markdown.clone(), path.to_owned()))
        })
        .collect();
    Ok(Reading {
        intro: intro.map_or_else(String::new, |one| one.intro.clone()),
        pieces,
        evidence: table.and_then(|table| table.articles.into_iter().next()),
        page,
    })
}

/// The work behind a full id, with the file it is written in.
fn work_of<'a>(articles: &'a [Article], id: &str) -> Option<(&'a Work, &'a str)> {
    let home = ArticleId::new(id.split('#').next()?);
    let article = articles.iter().find(|article| article.id == home)?;
    let checks = article.checks.iter().filter_map(Entry::own);
    let fixes = article.fixes.iter().filter_map(Entry::own);
    let check = checks.filter(|c| c.id.as_str() == id).map(|c| &c.work);
    let fix = fixes.filter(|f| f.id.as_str() == id).map(|f| &f.work);
    let work = check.chain(fix).next()?;
    Some((work, &article.path))
}

pub(super) fn path_of(opened: &Opened, article: &str) -> Option<String> {
    let found = opened.room.desk.catalog.article(&ArticleId::new(article))?;
    Some(found.path.clone())
}

/// A picture that a readable article shows, and nothing else: the path is looked up, not followed.
pub(super) fn picture(opened: &Opened, kb: &Path, path: &str) -> Option<Vec<u8>> {
    let articles = opened.shelf.articles.iter();
    let readable = articles.filter(|article| article.state != State::Withdrawn);
    let shown = readable.flat_map(|article| &article.pictures);
    shown.into_iter().find(|picture| picture.path == path)?;
    // A link in the folder may lead out of it.
    let file = kb.join(path).canonicalize().ok()?;
    let inside = file.starts_with(kb.canonicalize().ok()?);
    let small = file.metadata().ok()?.len() <= LARGEST;
    (inside && small).then(|| std::fs::read(file).ok())?
}
