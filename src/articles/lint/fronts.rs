//! Rules about front matter.

use super::{Context, Found};
use crate::articles::finding::Finding;
use crate::articles::model::State;
use crate::articles::parse::{Kind, Parsed, stem};
use crate::articles::settings::Device;
use crate::base::ids::is_plain_id;
use crate::base::phrases::Book;
use crate::base::problem::did_you_mean;
use jiff::ToSpan;
use jiff::civil::Date;

/// Files whose front matter could be read, with their numbers.
fn readable<'a>(context: &Context<'a>) -> impl Iterator<Item = (usize, &'a Parsed)> {
    context
        .parsed
        .iter()
        .enumerate()
        .filter(|(_, p)| p.front.readable)
}

/// The bytes of a key's line in the front matter, for problems about what is missing.
fn top(parsed: &Parsed) -> std::ops::Range<usize> {
    match (&parsed.front.id, &parsed.front.title) {
        (Some(spot), _) | (None, Some(spot)) => spot.at.clone(),
        _ => 0..0,
    }
}

pub(super) fn needed(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in readable(context) {
        for (key, there) in [
            ("id", parsed.front.id.is_some()),
            ("title", !parsed.article.title.is_empty()),
        ] {
            let known = parsed
                .findings
                .iter()
                .any(|f| f.problem.message.starts_with(&format!("`{key}` should be")));
            if !there && !known {
                let problem = parsed.source.error(
                    "missing-key",
                    top(parsed),
                    format!("the front matter has no `{key}`"),
                );
                let help =
                    (key == "id").then(|| format!("add `id: {}`", stem(&parsed.source.file)));
                found.add(file, Finding::article(problem).help(help));
            }
        }
    }
}

pub(super) fn file_name(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in readable(context) {
        let Some(id) = &parsed.front.id else { continue };
        let name = stem(&parsed.source.file);
        if !is_plain_id(&id.value) {
            let problem = parsed.source.error(
                "plain-id",
                id.at.clone(),
                format!("`{}` is no plain id", id.value),
            );
            let help = "use letters a to z, digits and single hyphens, a letter first";
            found.add(file, Finding::article(problem).help(Some(help.to_owned())));
        } else if id.value != name {
            let problem = parsed.source.error(
                "file-name",
                id.at.clone(),
                format!(
                    "the id is `{}`, but the file is called `{name}.md`",
                    id.value
                ),
            );
            let help = format!(
                "name the file `{}.md`; where that id was in use, add `was: [{name}]`",
                id.value
            );
            found.add(file, Finding::article(problem).help(Some(help)));
        }
    }
}

pub(super) fn devices(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in readable(context) {
        for device in &parsed.front.devices {
            if !context.settings.devices.contains_key(&device.value) {
                let problem = parsed.source.error(
                    "unknown-device",
                    device.at.clone(),
                    format!("`kb.toml` has no device `{}`", device.value),
                );
                let known = context.settings.devices.keys().map(String::as_str);
                let help = did_you_mean(&device.value, known.clone());
                let finding = Finding::article(problem).slip(&device.value, known);
                found.add(file, finding.help(help));
            }
        }
    }
}

/// The devices an article is about: those it names, else all.
fn devices_of<'a>(context: &Context<'a>, parsed: &Parsed) -> Vec<&'a Device> {
    let named = &parsed.article.devices;
    context
        .settings
        .devices
        .iter()
        .filter(|(id, _)| named.is_empty() || named.contains(id))
        .map(|(_, device)| device)
        .collect()
}

pub(super) fn codes(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in readable(context) {
        let devices = devices_of(context, parsed);
        for code in &parsed.front.codes {
            if devices.iter().any(|d| d.codes.contains(&code.value)) {
                continue;
            }
            let message = format!("no device of this article shows the code `{}`", code.value);
            let problem = parsed
                .source
                .error("unknown-code", code.at.clone(), message);
            let known = devices.iter().flat_map(|d| &d.codes).map(String::as_str);
            let mut known: Vec<&str> = known.collect();
            known.sort_unstable();
            known.dedup();
            let help = did_you_mean(&code.value, known);
            found.add(file, Finding::article(problem).help(help));
        }
    }
}

pub(super) fn signs(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in readable(context) {
        let lamps: Vec<_> = devices_of(context, parsed)
            .into_iter()
            .flat_map(|d| &d.lamps)
            .collect();
        for (sign, state) in &parsed.front.signs {
            let mut names: Vec<&str> = lamps.iter().map(|l| l.name.as_str()).collect();
            names.sort_unstable();
            names.dedup();
            if !names.contains(&sign.value.as_str()) {
                let message = format!("no device of this article has a sign `{}`", sign.value);
                let problem = parsed
                    .source
                    .error("unknown-sign", sign.at.clone(), message);
                let help = did_you_mean(&sign.value, names.iter().copied());
                let finding = Finding::article(problem).slip(&sign.value, names);
                found.add(file, finding.help(help));
                continue;
            }
            let mut states: Vec<&str> = lamps
                .iter()
                .filter(|l| l.name == sign.value)
                .flat_map(|l| &l.states)
                .map(String::as_str)
                .collect();
            states.sort_unstable();
            states.dedup();
            if !states.contains(&state.value.as_str()) {
                let message = format!("`{}` never shows `{}`", sign.value, state.value);
                let problem = parsed
                    .source
                    .error("unknown-sign-state", state.at.clone(), message);
                let help = did_you_mean(&state.value, states.iter().copied())
                    .unwrap_or_else(|| format!("it shows {}", states.join(", ")));
                let finding = Finding::article(problem).slip(&state.value, states);
                found.add(file, finding.help(Some(help)));
            }
        }
    }
}

pub(super) fn danger(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in readable(context) {
        let do_now = parsed.blocks.iter().find(|b| b.kind == Kind::DoNow);
        let mut wrong = |at: std::ops::Range<usize>, message: &str, help: &str| {
            let problem = parsed.source.error("danger", at, message);
            found.add(file, Finding::article(problem).help(Some(help.to_owned())));
        };
        let Some(danger) = &parsed.front.danger else {
            let help = "add `danger: stop` where this article stops the call, or take it out";
            if let Some(at) = &parsed.front.stop_words_at {
                wrong(at.clone(), "only a danger article has `stop-words`", help);
            }
            if let Some(at) = &parsed.front.harmless_at {
                wrong(at.clone(), "only a danger article has `harmless`", help);
            }
            if let Some(block) = do_now {
                wrong(
                    block.heading.clone(),
                    "only a danger article has `## Do now`",
                    help,
                );
            }
            continue;
        };
        if let Some(fix) = parsed.blocks.iter().find(|b| b.kind == Kind::Fix) {
            let help = "move the fixes to an article of their own";
            wrong(fix.heading.clone(), "a danger article has no fixes", help);
        }
        if do_now.is_none() {
            let help = "add the heading `## Do now` with numbered steps";
            wrong(danger.clone(), "a danger article says what to do now", help);
        } else if parsed.do_now.is_empty() {
            let at = do_now.map_or(0..0, |b| b.heading.clone());
            wrong(
                at,
                "`## Do now` has no steps",
                "write them as a numbered list",
            );
        }
        if parsed.front.stop_words.is_empty() {
            let help = "add `stop-words: [burning smell]` or the like";
            wrong(
                danger.clone(),
                "a danger article names the words that stop a call",
                help,
            );
        }
        let mut book = Book::default();
        for word in parsed.front.stop_words.iter().chain(&parsed.front.harmless) {
            if let Err(message) = book.phrase(&word.value, context.analyzer) {
                wrong(
                    word.at.clone(),
                    &format!("this phrase cannot be read: {message}"),
                    "write a word, or take it out",
                );
            }
        }
    }
}

pub(super) fn symptoms(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in readable(context) {
        if parsed.article.symptoms.is_empty() {
            let problem = parsed.source.note(
                "no-symptom",
                top(parsed),
                "the article does not say how callers put it",
            );
            let help = "add `symptoms:` with the callers' own words";
            found.add(file, Finding::note(problem).help(Some(help.to_owned())));
        }
    }
}

pub(super) fn review(context: &Context<'_>, found: &mut Found) {
    let months = context.settings.review_months;
    for (file, parsed) in readable(context) {
        if parsed.article.state != State::Live {
            continue;
        }
        let Some(reviewed) = &parsed.front.reviewed else {
            if !parsed.findings.iter().any(|f| f.problem.rule == "reviewed") {
                let problem =
                    parsed
                        .source
                        .note("review", top(parsed), "nobody has reviewed this article");
                let help = format!(
                    "read it against the product, then add `reviewed: {}`",
                    context.today
                );
                found.add(file, Finding::note(problem).help(Some(help)));
            }
            continue;
        };
        if due(reviewed.value, months).is_some_and(|due| due < context.today) {
            let problem = parsed.source.note(
                "review",
                reviewed.at.clone(),
                format!("the review is overdue: it should be repeated every {months} months"),
            );
            let help = format!(
                "read it against the product, then set `reviewed: {}`",
                context.today
            );
            found.add(file, Finding::note(problem).help(Some(help)));
        }
    }
}

/// A review that lies ahead is a slip, and would keep the article from ever falling due.
pub(super) fn future_review(context: &Context<'_>, found: &mut Found) {
    for (file, parsed) in readable(context) {
        if let Some(reviewed) = &parsed.front.reviewed
            && reviewed.value > context.today
        {
            let problem = parsed.source.note(
                "future-review",
                reviewed.at.clone(),
                format!("the review lies ahead: today is {}", context.today),
            );
            let help = "write the day on which somebody read it against the product";
            found.add(file, Finding::note(problem).help(Some(help.to_owned())));
        }
    }
}

/// When a review of this date falls due; nothing where the calendar ends before.
fn due(reviewed: Date, months: u32) -> Option<Date> {
    let months = i64::from(months);
    // A span refuses more months than the calendar has.
    (months < 12 * 9_999).then(|| reviewed.checked_add(months.months()).ok())?
}
