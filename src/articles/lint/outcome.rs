//! From findings to what is served: blocks and articles with errors are left out, and with them
//! whatever would have to come after them.

use super::blocks::is_work;
use super::order::befores;
use super::{Context, Found};
use crate::articles::catalog::Catalog;
use crate::articles::finding::{Drops, Finding};
use crate::articles::model::{Article, Before, Entry, State};
use crate::articles::parse::{Kind, Parsed};
use crate::base::ids::{CheckId, FixId};
use crate::base::problem::{Grade, Problem};
use std::collections::{BTreeMap, BTreeSet};

/// What lint says.
#[derive(Clone, Debug, Default)]
pub struct Checked {
    /// All articles that could be read, drafts and faulty ones included, in the order of files;
    /// `after` and `expect` name today's ids.
    pub articles: Vec<Article>,
    /// Articles without errors, live ones, joined.
    pub catalog: Catalog,
    /// Ids of articles and full ids of blocks that have errors and are not served.
    pub left_out: BTreeSet<String>,
    /// What is wrong, by place.
    pub problems: Vec<Problem>,
}

/// Which files and blocks have errors.
struct Faults {
    files: Vec<bool>,
    lines: BTreeSet<(usize, usize)>,
}

impl Faults {
    fn new(parsed: &[Parsed], found: &Found) -> Self {
        let mut faults = Self {
            files: vec![false; parsed.len()],
            lines: BTreeSet::new(),
        };
        for (file, finding) in &found.0 {
            faults.add(*file, finding);
            // What is wrong with the article inside of a block spoils the block as well: below a
            // misspelt heading stand the steps of another fix, whose cautions would be missing.
            let line = finding.problem.place.line;
            let around = parsed[*file].block_around(line).filter(|b| is_work(b.kind));
            if let (Drops::Article, Some(block)) = (finding.drops, around) {
                faults.lines.insert((*file, block.line));
            }
        }
        faults
    }

    fn add(&mut self, file: usize, finding: &Finding) {
        match finding.drops {
            Drops::Nothing => {}
            Drops::Article => self.files[file] = true,
            Drops::Block(line) => {
                self.lines.insert((file, line));
            }
        }
    }

    fn hits(&self, file: usize, line: usize) -> bool {
        self.files[file] || self.lines.contains(&(file, line))
    }
}

pub(super) fn settle(context: &Context<'_>, mut found: Found) -> Checked {
    let mut faults = Faults::new(context.parsed, &found);
    wait_for_faulty(context, &mut faults, &mut found);
    let mut checked = Checked::default();
    let mut fit = Vec::new();
    for (file, parsed) in context.parsed.iter().enumerate() {
        if parsed.front.readable && parsed.front.id.is_some() {
            let article = resolved(context, parsed);
            if faults.files[file] {
                checked.left_out.insert(article.id.to_string());
                fit.extend(still_stopping(&article));
            } else {
                fit.push(without_faulty(&faults, file, &article));
            }
            leave_out(&faults, file, &article, &mut checked.left_out);
            checked.articles.push(article);
        }
    }
    checked.catalog = Catalog::join(fit);
    keep_served_answers(&mut checked.catalog);
    checked.problems = found
        .0
        .into_iter()
        .map(|(_, finding)| finding.problem)
        .collect();
    checked.problems.sort_by(|a, b| {
        (&a.place, a.grade, a.rule, &a.message).cmp(&(&b.place, b.grade, b.rule, &b.message))
    });
    checked.problems.dedup();
    checked
}

/// A danger article stops calls whatever else is wrong with it: a slip in its date must not let a
/// burning smell be answered with a fix.
fn still_stopping(article: &Article) -> Option<Article> {
    let mut bare = article.clone();
    let danger = bare.danger.as_mut()?;
    if danger.do_now.is_empty() {
        danger.do_now = vec![DO_NOW.to_owned()];
    }
    bare.fixes.clear();
    bare.checks.clear();
    bare.pictures.clear();
    Some(bare)
}

/// Where a faulty danger article has no steps that can be read.
const DO_NOW: &str = "Nobody touches anything. Everybody keeps away. Ask a licensed electrician.";

/// A block that must come after one that is not served cannot be served either: it would be
/// offered without what makes it safe.
fn wait_for_faulty(context: &Context<'_>, faults: &mut Faults, found: &mut Found) {
    let mut waiting: BTreeMap<&str, Vec<Waiting>> = BTreeMap::new();
    let mut todo: Vec<Waiting> = Vec::new();
    for (file, parsed) in context.parsed.iter().enumerate() {
        if faults.files[file] || parsed.article.state != State::Live {
            continue;
        }
        for (id, line, befores) in befores(&parsed.article) {
            for before in befores {
                let Some(at) = context.index.find(context.parsed, &before) else {
                    continue;
                };
                let (id, before) = (id.clone(), at.id.clone());
                let wait = Waiting {
                    file,
                    line,
                    id,
                    before,
                };
                waiting.entry(&at.id).or_default().push(wait.clone());
                todo.push(wait);
            }
        }
    }
    while let Some(wait) = todo.pop() {
        if faults.hits(wait.file, wait.line) {
            continue;
        }
        let parsed = &context.parsed[wait.file];
        let reason = unserved(context, faults, &wait.before);
        let (Some(reason), Some(block)) = (reason, parsed.block_at(wait.line)) else {
            continue;
        };
        let at = block.place_of("after");
        let problem = parsed.source.error("after-left-out", at, reason);
        let finding = Finding::block(wait.line, problem);
        faults.add(wait.file, &finding);
        found.add(wait.file, finding);
        todo.extend(waiting.get(wait.id.as_str()).into_iter().flatten().cloned());
    }
}

/// A block that waits for another.
#[derive(Clone)]
struct Waiting {
    file: usize,
    line: usize,
    id: String,
    before: String,
}

fn unserved(context: &Context<'_>, faults: &Faults, id: &str) -> Option<String> {
    let at = context.index.find(context.parsed, id)?;
    let there = &context.parsed[at.file];
    let why = match there.article.state {
        State::Draft => "stands in a draft",
        State::Withdrawn => "stands in a withdrawn article",
        State::Live if faults.hits(at.file, at.line) => "has errors",
        State::Live => return None,
    };
    Some(format!("this must come after `{}`, which {why}", at.id))
}

/// Today's ids in `after` and `expect`, and for every `after` whether it is a check or a fix.
fn resolved(context: &Context<'_>, parsed: &Parsed) -> Article {
    let find = |id: &str| context.index.find(context.parsed, id);
    let before = |b: &mut Before| {
        if let Some(at) = find(&b.to_string()) {
            *b = match at.kind {
                Kind::Check => Before::Check(CheckId::new(&at.id)),
                _ => Before::Fix(FixId::new(&at.id)),
            };
        }
    };
    let mut article = parsed.article.clone();
    for entry in &mut article.checks {
        if let Entry::Own(check) = entry {
            check.after.iter_mut().for_each(before);
        }
    }
    for entry in &mut article.fixes {
        if let Entry::Own(fix) = entry {
            fix.after.iter_mut().for_each(before);
            for (check, _) in &mut fix.expect {
                if let Some(at) = find(check.as_str()) {
                    *check = CheckId::new(&at.id);
                }
            }
        }
    }
    article
}

fn line_of<T>(entry: &Entry<T>, own: impl Fn(&T) -> usize) -> usize {
    match entry {
        Entry::Own(block) => own(block),
        Entry::Link { line, .. } => *line,
    }
}

fn without_faulty(faults: &Faults, file: usize, article: &Article) -> Article {
    let mut fit = article.clone();
    fit.checks
        .retain(|e| !faults.hits(file, line_of(e, |c| c.work.line)));
    fit.fixes
        .retain(|e| !faults.hits(file, line_of(e, |f| f.work.line)));
    fit
}

fn leave_out(faults: &Faults, file: usize, article: &Article, out: &mut BTreeSet<String>) {
    for check in article.checks.iter().filter_map(|e| e.own()) {
        if faults.lines.contains(&(file, check.work.line)) {
            out.insert(check.id.to_string());
        }
    }
    for fix in article.fixes.iter().filter_map(|e| e.own()) {
        if faults.lines.contains(&(file, fix.work.line)) {
            out.insert(fix.id.to_string());
        }
    }
}

/// An expected answer to a check that is not served says nothing.
fn keep_served_answers(catalog: &mut Catalog) {
    let Catalog {
        fixes,
        checks,
        articles,
        ..
    } = catalog;
    for fix in fixes.values_mut() {
        fix.expect.retain(|(check, _)| checks.contains_key(check));
    }
    let entries = articles.values_mut().flat_map(|a| &mut a.fixes);
    for entry in entries {
        if let Entry::Own(fix) = entry {
            fix.expect.retain(|(check, _)| checks.contains_key(check));
        }
    }
}

/// Whether anything of grade error is among these.
#[must_use]
pub fn any_error(problems: &[Problem]) -> bool {
    problems.iter().any(|p| p.grade == Grade::Error)
}
