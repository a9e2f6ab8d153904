//! Rules about links: to checks and fixes written elsewhere, and in the text.

use super::{Context, Found};
use crate::articles::finding::Finding;
use crate::articles::model::State;
use crate::articles::parse::{Block, Kind, Parsed, Target, is_outside, resolve, stem, target};
use crate::articles::source::Spot;
use crate::base::problem::{did_you_mean, nearest};
use std::collections::BTreeMap;

pub(super) fn blocks(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in context.parsed.iter().enumerate() {
        for block in &parsed.blocks {
            if let Some(link) = block.link.as_ref().filter(|l| !l.value.path.is_empty()) {
                let offers = found.wants_names();
                let finding = linked(context, parsed, block, link, offers);
                found.0.extend(finding.map(|f| (file, f)));
            }
        }
    }
}

fn linked(
    context: &Context<'_>,
    parsed: &Parsed,
    block: &Block,
    link: &Spot<Target>,
    offers: bool,
) -> Option<Finding> {
    let anchor = link.value.anchor.as_ref()?;
    let error = |message: String, help: Option<String>| {
        let problem = parsed.source.error("broken-link", link.at.clone(), message);
        Some(Finding::block(block.line, problem).help(help))
    };
    let Some(file) = context.index.paths.get(&link.value.path) else {
        let message = format!("there is no article `{}`", link.value.path);
        let near = offers.then(|| near_path(context, &link.value.path));
        return error(message, near.flatten());
    };
    let there = &context.parsed[*file];
    let id = format!("{}#{anchor}", there.article.id);
    let Some(found) = context.index.find(context.parsed, &id) else {
        let help = offers.then(|| near_block(there, anchor)).flatten();
        return error(
            format!("`{}` has no block `{anchor}`", link.value.path),
            help,
        );
    };
    if found.file == context.index.paths[&parsed.source.file] {
        return error("the link leads to its own article".to_owned(), None);
    }
    if found.kind != block.kind {
        let message = format!(
            "`{id}` is a {}, not a {}",
            name(found.kind),
            name(block.kind)
        );
        return error(message, None);
    }
    state(there).map(|state| {
        let message = format!("`{id}` stands in {state} and is not offered here");
        Finding::note(
            parsed
                .source
                .note("link-not-served", link.at.clone(), message),
        )
    })
}

fn near_block(there: &Parsed, anchor: &str) -> Option<String> {
    let known = there.blocks.iter().filter_map(|b| b.id.as_ref());
    did_you_mean(anchor, known.map(|i| i.value.as_str()))
}

fn name(kind: Kind) -> &'static str {
    match kind {
        Kind::Check => "check",
        Kind::Fix => "fix",
        Kind::DoNow => "list of what to do now",
    }
}

fn state(there: &Parsed) -> Option<&'static str> {
    match there.article.state {
        State::Live => None,
        State::Draft => Some("a draft"),
        State::Withdrawn => Some("a withdrawn article"),
    }
}

/// The path of the article whose file is called the same or similarly; folders do not count.
fn near_path(context: &Context<'_>, path: &str) -> Option<String> {
    let names: BTreeMap<&str, &str> = context
        .index
        .paths
        .keys()
        .map(|path| (stem(path), path.as_str()))
        .collect();
    let near = nearest(stem(path), names.keys().copied());
    let near = near.first().and_then(|name| names.get(name))?;
    Some(format!("did you mean `{near}`?"))
}

pub(super) fn texts(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in context.parsed.iter().enumerate() {
        for link in &parsed.links {
            let finding = text(context, parsed, link, found.wants_names());
            found.0.extend(finding.map(|f| (file, f)));
        }
    }
}

fn text(
    context: &Context<'_>,
    parsed: &Parsed,
    link: &Spot<String>,
    offers: bool,
) -> Option<Finding> {
    if is_outside(&link.value) {
        return None;
    }
    let note = |rule, message: String, help: Option<String>| {
        let problem = parsed.source.note(rule, link.at.clone(), message);
        Some(Finding::note(problem).help(help))
    };
    let Some(target) = target(&parsed.source.file, &link.value) else {
        let path = resolve(&parsed.source.file, &link.value);
        return match path {
            Some(path) if !super::pictures::is_picture(&path) => None,
            Some(path) if context.pictures.get(&path).is_some_and(Option::is_some) => None,
            Some(path) => note("text-link", format!("there is no picture `{path}`"), None),
            None => {
                let message = format!("`{}` leads out of the knowledge base", link.value);
                note("text-link", message, None)
            }
        };
    };
    let Some(file) = context.index.paths.get(&target.path) else {
        let help = offers.then(|| near_path(context, &target.path)).flatten();
        return note(
            "text-link",
            format!("there is no article `{}`", target.path),
            help,
        );
    };
    let there = &context.parsed[*file];
    if let Some(anchor) = target.anchor.as_deref().filter(|a| !a.is_empty()) {
        let id = format!("{}#{anchor}", there.article.id);
        if context.index.find(context.parsed, &id).is_none() {
            let help = offers.then(|| near_block(there, anchor)).flatten();
            let message = format!("`{}` has no block `{anchor}`", target.path);
            return note("text-link", message, help);
        }
    }
    let state = state(there)?;
    note(
        "link-not-served",
        format!("`{}` is {state}", there.article.id),
        None,
    )
}
