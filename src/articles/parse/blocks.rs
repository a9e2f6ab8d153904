//! From an opening to a check, a fix or the steps of `## Do now`. [`super::values`] reads the
//! attributes, [`super::steps`] what stands below the heading.

use super::attributes;
use super::content::{Body, one_line};
use super::headings::Opening;
use super::{Attribute, Block, Kind, links};
use crate::articles::finding::Finding;
use crate::articles::model::{Check, Entry, Fix};
use crate::articles::source::{Source, Spot};
use crate::base::ids::{ArticleId, CheckId, FixId, is_plain_id};
use crate::base::problem::{Problem, did_you_mean, slip_of};
use std::collections::HashMap;
use std::ops::Range;

/// What the blocks of a file make.
#[derive(Debug, Default)]
pub(super) struct Built {
    pub(super) checks: Vec<Entry<Check>>,
    pub(super) fixes: Vec<Entry<Fix>>,
    pub(super) do_now: Vec<String>,
    pub(super) blocks: Vec<Block>,
}

const CHECK_KEYS: [&str; 6] = ["answers", "minutes", "who", "hazard", "after", "was"];
const FIX_KEYS: [&str; 7] = ["kind", "minutes", "who", "hazard", "expect", "after", "was"];

/// Builds every block of a file.
pub(super) fn build(
    source: &Source,
    body: &Body,
    openings: Vec<Opening>,
    id: &ArticleId,
    first_role: &str,
    findings: &mut Vec<Finding>,
) -> Built {
    let mut builder = Builder {
        source,
        body,
        id,
        first_role,
        findings,
        built: Built::default(),
        do_now: 0,
        names: HashMap::new(),
    };
    let frames: Vec<(Opening, Block)> = openings
        .into_iter()
        .map(|opening| {
            let block = builder.frame(&opening);
            (opening, block)
        })
        .collect();
    builder.built.blocks = frames.iter().map(|(_, block)| block.clone()).collect();
    builder.names = builder.names();
    for (opening, block) in &frames {
        builder.fill(opening, block);
    }
    builder.built
}

pub(super) struct Builder<'a> {
    pub(super) source: &'a Source,
    pub(super) body: &'a Body,
    pub(super) id: &'a ArticleId,
    first_role: &'a str,
    findings: &'a mut Vec<Finding>,
    pub(super) built: Built,
    do_now: usize,
    /// The blocks by short id: what they are, and their full id.
    pub(super) names: HashMap<String, (Kind, String)>,
}

impl Builder<'_> {
    pub(super) fn wrong(&mut self, block: &Block, problem: Problem, help: Option<String>) {
        let finding = if block.kind == Kind::DoNow {
            Finding::article(problem)
        } else {
            Finding::block(block.line, problem)
        };
        self.findings.push(finding.help(help));
    }

    pub(super) fn error(
        &mut self,
        block: &Block,
        rule: &'static str,
        at: Range<usize>,
        message: String,
    ) {
        let problem = self.source.error(rule, at, message);
        self.wrong(block, problem, None);
    }

    /// The places of a block: needed for all blocks before any is filled, since `after` and
    /// `expect` may name a later one.
    fn frame(&mut self, opening: &Opening) -> Block {
        let (id, attributes) = attributes::read(self.source, &opening.heading);
        let mut block = Block {
            kind: opening.kind,
            line: self.source.line_of(opening.heading.at.start),
            at: opening.at.clone(),
            heading: trimmed(self.source, &opening.heading.at),
            id,
            attributes,
            link: None,
        };
        if let Some(link) = &opening.heading.link
            && opening.kind != Kind::DoNow
            && one_line(&link.text) == opening.title
        {
            match links::target(&self.source.file, &link.url) {
                Some(target) => block.link = Some(Spot::new(target, link.at.clone())),
                None => {
                    let problem = self.source.error(
                        "broken-link",
                        link.at.clone(),
                        format!("`{}` is no article of this knowledge base", link.url),
                    );
                    let help = "link it like `../network/controller-restart.md#restart`";
                    self.wrong(&block, problem, Some(help.to_owned()));
                    block.link = Some(Spot::new(links::Target::default(), link.at.clone()));
                }
            }
        }
        block
    }

    fn fill(&mut self, opening: &Opening, block: &Block) {
        if let Some(link) = &block.link {
            self.linked(opening, block, link);
            return;
        }
        match block.kind {
            Kind::DoNow => self.do_now(block),
            Kind::Check => self.check(opening, block),
            Kind::Fix => self.fix(opening, block),
        }
    }

    fn do_now(&mut self, block: &Block) {
        self.do_now += 1;
        if self.do_now > 1 {
            let message = "`## Do now` stands twice".to_owned();
            self.error(block, "do-now", block.heading.clone(), message);
        }
        let (steps, _) = self.steps(block, false);
        self.built.do_now.extend(steps);
    }

    fn linked(&mut self, opening: &Opening, block: &Block, link: &Spot<links::Target>) {
        if block.id.is_some() || !block.attributes.is_empty() {
            let message = "a linked block has its id and attributes where it is written".to_owned();
            self.error(block, "linked-attributes", block.heading.clone(), message);
        }
        if !link.value.path.is_empty() && link.value.anchor.is_none() {
            let message = "the link names an article, but no check or fix in it".to_owned();
            let problem = self.source.error("broken-link", link.at.clone(), message);
            self.wrong(block, problem, Some("add its id after `#`".to_owned()));
        }
        let (target, title, line) = (link.value.full_id(), opening.title.clone(), block.line);
        match block.kind {
            Kind::Check => self.built.checks.push(Entry::Link {
                target,
                title,
                line,
            }),
            _ => self.built.fixes.push(Entry::Link {
                target,
                title,
                line,
            }),
        }
    }

    fn check(&mut self, opening: &Opening, block: &Block) {
        let named = self.common(opening, block, &CHECK_KEYS);
        let answers = self.words(block, "answers");
        if answers.len() < 2 {
            let problem = self.source.error(
                "check-answers",
                block.place_of("answers"),
                "a check needs at least two answers",
            );
            self.wrong(
                block,
                problem,
                Some("write them like `answers=yes,no`".to_owned()),
            );
        }
        let mut work = self.work(block);
        if block.attribute("minutes").is_none() {
            work.minutes = 1.0;
        }
        if work.who.is_empty() && block.attribute("who").is_none() {
            self.first_role.clone_into(&mut work.who);
        }
        let after = self.after(block);
        let was = self.was(block);
        if let Some(short) = named {
            self.built.checks.push(Entry::Own(Check {
                id: CheckId::of(self.id, &short),
                was: was.iter().map(|w| CheckId::new(w)).collect(),
                question: opening.title.clone(),
                answers,
                after,
                work,
            }));
        }
    }

    fn fix(&mut self, opening: &Opening, block: &Block) {
        let named = self.common(opening, block, &FIX_KEYS);
        let kind = self.words(block, "kind");
        if kind.len() > 1 {
            let message = "a fix has one `kind`".to_owned();
            self.error(block, "kind", block.place_of("kind"), message);
        }
        let (expect, after, was) = (self.expect(block), self.after(block), self.was(block));
        let work = self.work(block);
        let (_, done_when) = self.steps(block, true);
        if let Some(short) = named {
            self.built.fixes.push(Entry::Own(Fix {
                id: FixId::of(self.id, &short),
                was: was.iter().map(|w| FixId::new(w)).collect(),
                title: opening.title.clone(),
                kind: kind
                    .into_iter()
                    .next()
                    .unwrap_or_else(|| verb(&opening.title)),
                expect,
                after,
                work,
                done_when,
            }));
        }
    }

    /// Title, id and known keys; the short id where there is one.
    fn common(&mut self, opening: &Opening, block: &Block, keys: &[&str]) -> Option<String> {
        if opening.title.is_empty() {
            let message = "the heading has no title".to_owned();
            self.error(block, "title", block.heading.clone(), message);
        }
        let mut seen: Vec<&str> = Vec::new();
        for attribute in &block.attributes {
            self.known(block, attribute, keys);
            if seen.contains(&attribute.key.as_str()) {
                let message = format!("`{}` stands twice", attribute.key);
                self.error(block, "double-key", attribute.at.clone(), message);
            }
            seen.push(&attribute.key);
        }
        let Some(id) = &block.id else {
            let raw = &self.source.text[block.heading.clone()];
            let (message, help) = if raw.contains("{#") {
                (
                    "the attributes cannot be read",
                    "they end with `}` and hold no `{`, `<` or `\\`",
                )
            } else {
                (
                    "the heading has no id",
                    "end it with one, such as `{#restart-controller}`",
                )
            };
            let problem = self
                .source
                .error("block-id", block.heading.clone(), message);
            self.wrong(block, problem, Some(help.to_owned()));
            return None;
        };
        if !is_plain_id(&id.value) {
            let problem = self.source.error(
                "plain-id",
                id.at.clone(),
                format!("`{}` is no plain id", id.value),
            );
            let help = "use letters a to z, digits and single hyphens, a letter first";
            self.wrong(block, problem, Some(help.to_owned()));
        }
        Some(id.value.clone())
    }

    fn known(&mut self, block: &Block, attribute: &Attribute, keys: &[&str]) {
        let sort = if block.kind == Kind::Check {
            "check"
        } else {
            "fix"
        };
        if !keys.contains(&attribute.key.as_str()) {
            let mut problem = self.source.error(
                "unknown-attribute",
                attribute.at.clone(),
                format!("no {sort} has an attribute `{}`", attribute.key),
            );
            let written = &self.source.text[attribute.at.clone()];
            problem.mend = slip_of(&attribute.key, keys.iter().copied())
                .filter(|_| !attribute.values.is_empty())
                .map(|meant| written.replacen(attribute.key.as_str(), meant, 1));
            let help = if attribute.values.is_empty() {
                Some("a value holds no spaces; part several by commas alone".to_owned())
            } else {
                did_you_mean(&attribute.key, keys.iter().copied())
            };
            let help = help.unwrap_or_else(|| format!("the attributes are {}", keys.join(", ")));
            self.wrong(block, problem, Some(help));
        } else if attribute.values.is_empty() || attribute.values.iter().any(|v| v.value.is_empty())
        {
            let message = format!("`{}` has an empty value", attribute.key);
            self.error(block, "empty-value", attribute.at.clone(), message);
        }
    }
}

fn verb(title: &str) -> String {
    title
        .split(|c: char| !c.is_alphanumeric() && c != '-')
        .find(|w| !w.is_empty())
        .unwrap_or("fix")
        .to_lowercase()
}

fn trimmed(source: &Source, at: &Range<usize>) -> Range<usize> {
    at.start..at.start + source.text[at.clone()].trim_end().len()
}
