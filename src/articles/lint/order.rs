//! Rules about what must be done before, and about expected answers.

use super::blocks::is_work;
use super::index::BlockAt;
use super::{Context, Found};
use crate::articles::finding::Finding;
use crate::articles::model::{Article, Before};
use crate::articles::parse::{Block, Kind, Parsed};
use crate::base::problem::{did_you_mean, slip_of};
use std::collections::{BTreeMap, BTreeSet};

/// A block, its line and the full ids of what must be done before it.
pub(super) fn befores(article: &Article) -> Vec<(String, usize, Vec<String>)> {
    let names = |after: &[Before]| -> Vec<String> { after.iter().map(|b| b.to_string()).collect() };
    let checks = article.checks.iter().filter_map(|e| e.own());
    let fixes = article.fixes.iter().filter_map(|e| e.own());
    checks
        .map(|c| (c.id.to_string(), c.work.line, names(&c.after)))
        .chain(fixes.map(|f| (f.id.to_string(), f.work.line, names(&f.after))))
        .collect()
}

fn unknown(
    context: &Context<'_>,
    parsed: &Parsed,
    block: &Block,
    key: &'static str,
    id: &str,
    offers: bool,
) -> Finding {
    let own = format!("{}#", parsed.article.id);
    let shown = id.strip_prefix(&own).unwrap_or(id);
    // Names of the own article are offered short, as they may be written.
    let names: BTreeSet<&str> = context
        .index
        .names()
        .map(|name| name.strip_prefix(&own).unwrap_or(name))
        .filter(|name| offers && name.contains('#') == shown.contains('#'))
        .collect();
    let problem = parsed.source.error(
        key,
        block.place_of(key),
        format!("`{key}` names `{shown}`, which is no check or fix"),
    );
    Finding::block(block.line, problem).help(did_you_mean(shown, names))
}

pub(super) fn after(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in context.parsed.iter().enumerate() {
        for (id, line, befores) in befores(&parsed.article) {
            let Some(block) = parsed.block_at(line) else {
                continue;
            };
            for before in befores {
                if before != id && context.index.find(context.parsed, &before).is_none() {
                    found.add(
                        file,
                        unknown(
                            context,
                            parsed,
                            block,
                            "after",
                            &before,
                            found.wants_names(),
                        ),
                    );
                }
            }
        }
    }
}

pub(super) fn expect(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in context.parsed.iter().enumerate() {
        for fix in parsed.article.fixes.iter().filter_map(|e| e.own()) {
            let Some(block) = parsed.block_at(fix.work.line) else {
                continue;
            };
            for (check, answer) in &fix.expect {
                match context.index.find(context.parsed, check.as_str()) {
                    None => found.add(
                        file,
                        unknown(
                            context,
                            parsed,
                            block,
                            "expect",
                            check.as_str(),
                            found.wants_names(),
                        ),
                    ),
                    Some(at) => {
                        if let Some(finding) = answered(context, parsed, block, at, answer) {
                            found.add(file, finding);
                        }
                    }
                }
            }
        }
    }
}

fn answered(
    context: &Context<'_>,
    parsed: &Parsed,
    block: &Block,
    at: &BlockAt,
    answer: &str,
) -> Option<Finding> {
    let error = |message: String, help: Option<String>| {
        let problem = parsed
            .source
            .error("expect", block.place_of("expect"), message);
        Some(Finding::block(block.line, problem).help(help))
    };
    if at.kind != Kind::Check {
        return error(format!("`{}` is a fix and has no answers", at.id), None);
    }
    let checks = &context.parsed[at.file].article.checks;
    let check = checks
        .iter()
        .filter_map(|e| e.own())
        .find(|c| c.work.line == at.line)?;
    if check.answers.iter().any(|a| a == answer) {
        return None;
    }
    let answers = || check.answers.iter().map(String::as_str);
    let help = did_you_mean(answer, answers())
        .unwrap_or_else(|| format!("its answers are {}", check.answers.join(", ")));
    let written = &parsed.source.text[block.place_of("expect")];
    let mend = slip_of(answer, answers())
        .and_then(|meant| Some(format!("{}{meant}", written.strip_suffix(answer)?)));
    error(format!("`{}` has no answer `{answer}`", at.id), Some(help)).map(|mut finding| {
        finding.problem.mend = mend;
        finding
    })
}

/// What must be done before what, over all articles: from each block to those before it.
type Order = BTreeMap<String, Vec<String>>;

pub(super) fn cycles(context: &Context<'_>, found: &mut Found) {
    let mut order = Order::new();
    for parsed in context.parsed {
        for (id, _, befores) in befores(&parsed.article) {
            let now = befores
                .iter()
                .filter_map(|b| context.index.find(context.parsed, b))
                .map(|b| b.id.clone());
            order.entry(id).or_default().extend(now);
        }
    }
    let core = core(&order);
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    for start in &core {
        let mut path: Vec<&str> = Vec::new();
        let mut at: &str = start;
        while seen.insert(at) {
            path.push(at);
            match order[at].iter().find(|next| core.contains(*next)) {
                Some(next) => at = next,
                None => break,
            }
        }
        if let Some(from) = path.iter().position(|id| *id == at) {
            report(context, &path[from..], found);
        }
    }
}

/// The blocks on a cycle, or between two: what is left when those with nothing before them and
/// those that nobody waits for are taken away again and again.
fn core(order: &Order) -> BTreeSet<String> {
    let mut core: BTreeSet<String> = order.keys().cloned().collect();
    for reversed in [false, true] {
        let mut waiting: BTreeMap<&str, usize> = BTreeMap::new();
        let mut next: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for (id, befores) in order {
            for before in befores {
                let (a, b) = if reversed { (before, id) } else { (id, before) };
                if core.contains(a) && core.contains(b) {
                    *waiting.entry(a).or_default() += 1;
                    next.entry(b).or_default().push(a);
                }
            }
        }
        let mut free: Vec<&str> = order.keys().map(String::as_str).collect();
        free.retain(|id| core.contains(*id) && !waiting.contains_key(id));
        while let Some(id) = free.pop() {
            core.remove(id);
            for other in next.get(id).into_iter().flatten() {
                if let Some(count) = waiting.get_mut(other) {
                    *count -= 1;
                    if *count == 0 {
                        free.push(other);
                    }
                }
            }
        }
    }
    core
}

fn report(context: &Context<'_>, cycle: &[&str], found: &mut Found) {
    let mut members: Vec<&BlockAt> = cycle
        .iter()
        .filter_map(|id| context.index.blocks.get(*id))
        .collect();
    let words: Vec<String> = cycle
        .iter()
        .chain(cycle.first())
        .map(|id| format!("`{id}`"))
        .collect();
    let words = words.join(" after ");
    members.sort_by_key(|m| (m.file, m.line));
    for member in members {
        let parsed = &context.parsed[member.file];
        let Some(block) = parsed.block_at(member.line).filter(|b| is_work(b.kind)) else {
            continue;
        };
        let problem = parsed.source.error(
            "after-cycle",
            block.place_of("after"),
            format!("these wait for each other: {words}"),
        );
        let help = "take one `after` out".to_owned();
        found.add(
            member.file,
            Finding::block(member.line, problem).help(Some(help)),
        );
    }
}
