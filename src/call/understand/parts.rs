//! Lines that open with a word that says what follows, and lines of facts and words.

use super::{AtHand, Context, Request, Understood, answers, at_hand};
use crate::base::ids::CheckId;
use crate::base::text::split;
use crate::call::acts::Act;
use crate::call::lexicon::Lexicon;
use crate::call::state::State;
use crate::tickets::scrub::without_placeholders;

/// `said: …`, `note: …`, `remark: …`, `site: …`, `ref …`, `go on …`, `take back …`, or a quote.
pub(super) fn opened_by_a_word(line: &str, context: &Context<'_>) -> Option<Understood> {
    let acts = |text: String, acts: Vec<Act>| Some(Understood::Acts { text, acts });
    let scrubbed = |text: &str| context.scrubber.text(text);
    if let Some(quoted) = line.strip_prefix('"') {
        let words = scrubbed(quoted.trim_end_matches('"').trim());
        return (!words.is_empty()).then(|| said(line, words, context))?;
    }
    if let Some(words) = after(line, "said").filter(|w| !w.is_empty()) {
        return said(line, scrubbed(words), context);
    }
    if let Some(text) = after(line, "note").filter(|t| !t.is_empty()) {
        let text = scrubbed(text);
        return acts(format!("note: {text}"), vec![Act::Note(text)]);
    }
    if let Some(text) = after(line, "remark").or_else(|| after(line, "wrong")) {
        return Some(if text.is_empty() {
            Understood::Unclear("say what is wrong: `remark: step 3 comes too late`".to_owned())
        } else {
            Understood::Asks(Request::Remark(scrubbed(text)))
        });
    }
    if let Some(text) = after(line, "site").filter(|t| !t.is_empty()) {
        let digest = (context.digest)(&split(text).concat());
        return acts("site: [site]".to_owned(), vec![Act::Site(digest)]);
    }
    let words: Vec<&str> = line.split_whitespace().collect();
    let lower: Vec<String> = words.iter().map(|w| w.to_lowercase()).collect();
    let lower: Vec<&str> = lower.iter().map(String::as_str).collect();
    match (&lower[..], &words[..]) {
        (["ref" | "ref:", _], [_, id]) => {
            acts(format!("ref {id}"), vec![Act::Reference((*id).to_owned())])
        }
        (["go", "on"], _) => Some(Understood::Asks(Request::GoOn(None))),
        (["go", "on", _], [_, _, id]) => {
            Some(Understood::Asks(Request::GoOn(Some((*id).to_owned()))))
        }
        (["take", "back", _], [_, _, id]) => {
            Some(Understood::Asks(Request::TakeBack((*id).to_owned())))
        }
        (["?"], _) => Some(Understood::Asks(Request::Help)),
        _ => None,
    }
}

/// What stands behind `word:`.
fn after<'a>(line: &'a str, word: &str) -> Option<&'a str> {
    let (first, rest) = line.split_once(':')?;
    first.trim().eq_ignore_ascii_case(word).then(|| rest.trim())
}

fn said(line: &str, words: String, context: &Context<'_>) -> Option<Understood> {
    let codes = context.lexicon.codes(&words).into_iter().map(Act::Code);
    let sites = sites(line, context);
    let acts = std::iter::once(Act::Say(words.clone())).chain(codes);
    Some(Understood::Acts {
        text: words,
        acts: acts.chain(sites).collect(),
    })
}

/// Digests of what tells the site: serial numbers, telephones, mail.
fn sites<'a>(line: &str, context: &'a Context<'_>) -> impl Iterator<Item = Act> + use<'a> {
    let marks = context.scrubber.marks(line);
    marks
        .into_iter()
        .map(|mark| Act::Site((context.digest)(&mark)))
}

/// A line between commas: each part a fact, or words of the caller.
pub(super) fn facts_and_words(line: &str, state: &State, context: &Context<'_>) -> Understood {
    let text = context.scrubber.text(line);
    let mut acts = Vec::new();
    let mut words: Vec<&str> = Vec::new();
    for (nth, part) in text.split([',', ';']).enumerate() {
        let found = fact(part, nth == 0, state, context);
        if found.is_empty() {
            words.push(part.trim());
        }
        acts.extend(found);
    }
    // Nothing but words: as they stand, with their punctuation.
    let words = if acts.is_empty() {
        text.clone()
    } else {
        words.retain(|w| !w.is_empty());
        words.join(", ")
    };
    if !split(&without_placeholders(&words)).is_empty() {
        let of_words = split(&words);
        let codes = context.lexicon.codes(&words).into_iter().map(Act::Code);
        let signs = context.lexicon.signs(&of_words).into_iter();
        let signs = signs.map(|sign| Act::Sign {
            lamp: sign.lamp,
            state: sign.state,
        });
        let at = usize::from(matches!(acts.first(), Some(Act::Answer { .. })));
        acts.insert(at, Act::Say(words));
        acts.extend(codes.chain(signs));
    }
    acts.extend(sites(line, context));
    if acts.is_empty() {
        return Understood::Unclear(
            "nothing to go by in this line: `help` says what can be said".into(),
        );
    }
    Understood::Acts { text, acts }
}

/// Names in a line that only look like those of these articles, each with what is wrong; none in a
/// line that says that it is the caller's words.
#[must_use]
pub fn unknown_names(line: &str, lexicon: &Lexicon) -> Vec<String> {
    let opened = ["said", "note", "remark", "wrong", "site", "ref"]
        .iter()
        .any(|word| after(line, word).is_some());
    if opened || line.trim_start().starts_with('"') {
        return Vec::new();
    }
    lexicon.unknown(line)
}

/// What one part between commas states; nothing where it is words.
fn fact(part: &str, first: bool, state: &State, context: &Context<'_>) -> Vec<Act> {
    let words = split(part);
    let lexicon = context.lexicon;
    if first && let AtHand::Check(check) = at_hand(state, context.advice, context.ground) {
        let known = context.ground.catalog.checks.get(&check);
        if let Some(answer) = known.and_then(|c| answers::exact(c, &words)) {
            return vec![Act::Answer { check, answer }];
        }
    }
    if lexicon.only_codes(&words) {
        return lexicon.codes(part).into_iter().map(Act::Code).collect();
    }
    if let Some(device) = lexicon.device(&words) {
        return vec![Act::Device(device.to_owned())];
    }
    if let ["firmware" | "fw" | "version", .., version] = strs(&words)[..]
        && words.len() <= 3
        && version.starts_with(|c: char| c.is_ascii_digit())
    {
        return vec![Act::Firmware(version.to_owned())];
    }
    if let ["ref", _] = strs(&words)[..]
        && let Some(id) = part.split_whitespace().nth(1)
    {
        return vec![Act::Reference(id.to_owned())];
    }
    if let ["for", role] = strs(&words)[..]
        && let Some(role) = lexicon.roles.iter().find(|r| split(r).join(" ") == role)
    {
        return vec![Act::Role(role.clone())];
    }
    let signs = lexicon.signs(&words);
    if !signs.is_empty() && signs.iter().all(|s| s.alone) {
        let act = |sign: crate::call::lexicon::Sign| Act::Sign {
            lamp: sign.lamp,
            state: sign.state,
        };
        return signs.into_iter().map(act).collect();
    }
    named_check(&words, context).into_iter().collect()
}

fn strs(words: &[String]) -> Vec<&str> {
    words.iter().map(String::as_str).collect()
}

/// `trips-empty yes`: a check by its name, with its answer. Of checks of one name the one of the
/// likeliest article is meant.
fn named_check(words: &[String], context: &Context<'_>) -> Option<Act> {
    let (checks, rest) = context.lexicon.check(words)?;
    let catalog = context.ground.catalog;
    let likely = |id: &CheckId| {
        let offers = |(article, _): &(crate::base::ids::ArticleId, f64)| {
            catalog
                .checks_of
                .get(article)
                .is_some_and(|c| c.contains(id))
        };
        let place = context.advice.articles.iter().position(offers);
        place.unwrap_or(usize::MAX)
    };
    let check = checks.iter().min_by_key(|id| likely(id))?;
    let answer = answers::exact(catalog.checks.get(check)?, rest)?;
    Some(Act::Answer {
        check: check.clone(),
        answer,
    })
}
