//! Article by article: what became of it, its order, and the words that changed.

use super::{Changed, Fate, Part, Version};
use crate::articles::Catalog;
use crate::articles::model::{Article, Before, Check, Fix, Work};
use crate::base::ids::{ArticleId, FixId};
use crate::curate::wording::{Change, Piece, pieces};
use std::collections::BTreeSet;

/// Articles that changed, by id.
pub(super) fn changed(old: Version<'_>, new: Version<'_>) -> Vec<Changed> {
    let mut all = Vec::new();
    let mut met: BTreeSet<&ArticleId> = BTreeSet::new();
    for was in old.written.articles.values() {
        let known = old.evidence.articles.get(&was.id);
        let cases = known.map_or(0, |known| known.cases);
        let served = |version: Version<'_>, id| version.catalog.articles.contains_key(id);
        let now = new.written.article(&was.id);
        if let Some(now) = now {
            met.insert(&now.id);
        }
        match now.filter(|now| served(new, &now.id) || !served(old, &was.id)) {
            Some(now) => all.extend(one(was, now, cases, (old, new))),
            None => all.push(whole(was, Fate::Gone, cases)),
        }
    }
    let fresh = new.written.articles.values();
    let fresh = fresh.filter(|now| !met.contains(&now.id));
    all.extend(fresh.map(|now| whole(now, Fate::New, 0)));
    all.sort_by(|a, b| a.id.cmp(&b.id));
    all
}

fn whole(article: &Article, fate: Fate, cases: u64) -> Changed {
    Changed {
        id: article.id.clone(),
        title: article.title.clone(),
        fate,
        cases,
        order: None,
        added: Vec::new(),
        removed: Vec::new(),
        parts: Vec::new(),
    }
}

/// The fixes that an article offers, as they are called now.
fn offered(catalog: &Catalog, article: &ArticleId, new: &Catalog) -> Vec<FixId> {
    let fixes = catalog.fixes_of.get(article).into_iter().flatten();
    fixes.map(|id| new.fix_id(id)).collect()
}

fn one(
    was: &Article,
    now: &Article,
    cases: u64,
    (old, new): (Version<'_>, Version<'_>),
) -> Option<Changed> {
    let before = offered(old.catalog, &was.id, new.catalog);
    let after = offered(new.catalog, &now.id, new.catalog);
    let among = |list: &[FixId], other: &[FixId], wanted: bool| -> Vec<FixId> {
        let some = list.iter().filter(|id| other.contains(id) == wanted);
        some.cloned().collect()
    };
    let (first, second) = (among(&before, &after, true), among(&after, &before, true));
    let mut found = whole(now, Fate::Changed, cases);
    found.order = (first != second).then_some((first, second));
    found.added = among(&after, &before, false);
    found.removed = among(&before, &after, false);
    found.parts = parts(was, now, new.written);
    let any = found.order.is_some()
        || !(found.added.is_empty() && found.removed.is_empty() && found.parts.is_empty());
    any.then_some(found)
}

/// Texts of an article by the name of the part, in the order of reading.
type Texts = Vec<(String, String)>;

/// Parts whose words changed.
fn parts(was: &Article, now: &Article, new: &Catalog) -> Vec<Part> {
    let (old, new) = (texts(was, new), texts(now, new));
    let text = |texts: &Texts, name: &str| {
        let found = texts.iter().find(|(other, _)| other == name);
        found.map_or_else(String::new, |(_, text)| text.clone())
    };
    let fresh = new
        .iter()
        .filter(|(name, _)| !old.iter().any(|(other, _)| other == name));
    let names = old.iter().chain(fresh).map(|(name, _)| name);
    names
        .filter_map(|name| {
            let words = pieces(&text(&old, name), &text(&new, name));
            (!words.is_empty()).then(|| Part {
                name: name.clone(),
                figures_gone: figures(&words, Change::Gone),
                figures_new: figures(&words, Change::New),
                words,
            })
        })
        .collect()
}

/// Everything an article says; blocks are named as they are called now.
fn texts(article: &Article, now: &Catalog) -> Texts {
    let mut texts = vec![
        ("title".to_owned(), article.title.clone()),
        ("front matter".to_owned(), front(article)),
        ("text".to_owned(), article.intro.clone()),
    ];
    if let Some(danger) = &article.danger {
        let all = [&danger.stop_words, &danger.harmless, &danger.do_now];
        let lines: Vec<&str> = all.into_iter().flatten().map(String::as_str).collect();
        texts.push(("danger".to_owned(), lines.join("\n")));
    }
    let checks = article.checks.iter().filter_map(|entry| entry.own());
    texts.extend(checks.map(|check| {
        let name = format!("check {}", now.check_id(&check.id).short());
        (name, check_text(check))
    }));
    let fixes = article.fixes.iter().filter_map(|entry| entry.own());
    texts.extend(fixes.map(|fix| {
        let name = format!("fix {}", now.fix_id(&fix.id).short());
        (name, fix_text(fix))
    }));
    texts
}

fn front(article: &Article) -> String {
    let signs: Vec<String> = article
        .signs
        .iter()
        .map(|(name, state)| format!("{name} {state}"))
        .collect();
    let firmware = article
        .firmware
        .as_ref()
        .map(ToString::to_string)
        .unwrap_or_default();
    [
        article.devices.join(", "),
        firmware,
        article.symptoms.join("\n"),
        article.codes.join(", "),
        signs.join(", "),
    ]
    .join("\n")
}

fn work_text(work: &Work, after: &[Before]) -> String {
    let after: Vec<String> = after.iter().map(ToString::to_string).collect();
    format!(
        "minutes {} who {} hazards {} after {}\n{}",
        work.minutes,
        work.who,
        work.hazards.join(", "),
        after.join(", "),
        work.markdown
    )
}

fn check_text(check: &Check) -> String {
    let work = work_text(&check.work, &check.after);
    format!(
        "{}\nanswers {}\n{work}",
        check.question,
        check.answers.join(", ")
    )
}

fn fix_text(fix: &Fix) -> String {
    let expect: Vec<String> = fix
        .expect
        .iter()
        .map(|(check, answer)| format!("{check}:{answer}"))
        .collect();
    let work = work_text(&fix.work, &fix.after);
    format!(
        "{}\nkind {} expect {} {work}",
        fix.title,
        fix.kind,
        expect.join(", ")
    )
}

/// Words with a digit on one side alone.
fn figures(words: &[Piece], side: Change) -> Vec<String> {
    let pieces = words.iter().filter(|piece| piece.change == side);
    let words = pieces.flat_map(|piece| piece.text.split_whitespace());
    let figures = words.filter(|word| word.contains(|c: char| c.is_ascii_digit()));
    figures
        .map(|word| word.trim_matches(|c: char| ",.;:()".contains(c)).to_owned())
        .collect()
}
