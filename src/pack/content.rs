//! What the page ranks with: JSON for what has names, bytes for many small numbers.
//!
//! The page's ranker is the core's twin, so it must have the very numbers: counts, shares and weights
//! are written whole, none is rounded or pruned. Words of callers are here only as counts, and only
//! those that the index holds too: used by three tickets of three days. No ticket's text, id or
//! agent is here.

use super::choice::{Chosen, Wish};
use super::postings::{At, Blob, Postings, front_coded, postings};
use crate::articles::model::{Article, Before, Check, Danger, Fix};
use crate::articles::settings::Device;
use crate::articles::{Catalog, Settings};
use crate::base::common;
use crate::base::ids::{ArticleId, CheckId, FixId};
use crate::base::negation::{self, WordLists};
use crate::base::spelling::Vocabulary;
use crate::base::text::Words;
use crate::evidence::danger::StopWords;
use crate::evidence::equation::Weights;
use crate::evidence::facts::SeenAnswers;
use crate::evidence::layout::Layout;
use crate::evidence::learned::LearnedWords;
use crate::evidence::learning::Model;
use crate::evidence::texts::{Bags, Family};
use crate::evidence::{Evidence, Share};
use crate::view::answer::About;
use serde::Serialize;

/// Raised with every change of what the page reads; `ground.mjs` names the same number.
pub const FORMAT: u32 = 1;

/// Everything a pack is made from.
#[derive(Clone, Copy)]
pub struct Source<'a> {
    /// Which knowledge base, and how fresh.
    pub about: &'a About,
    /// What `kb.toml` says.
    pub settings: &'a Settings,
    /// What `words.toml` says.
    pub words: &'a Words,
    /// The articles in force.
    pub catalog: &'a Catalog,
    /// Their numbers.
    pub layout: &'a Layout,
    /// What the tickets say.
    pub evidence: &'a Evidence,
    /// What was learned.
    pub model: &'a Model,
    /// The texts that questions are compared with.
    pub bags: &'a Bags,
    /// Every known term.
    pub known: &'a Vocabulary,
    /// The stop phrases, analysed.
    pub stop_words: &'a StopWords,
}

#[derive(Serialize)]
struct Content<'a> {
    format: u32,
    about: &'a About,
    wish: &'a Wish,
    settings: SettingsPart<'a>,
    words: WordsPart<'a>,
    lists: Lists,
    vocabulary: String,
    kinds: &'a [String],
    articles: Vec<ArticlePart<'a>>,
    fixes: Vec<FixPart<'a>>,
    checks: Vec<CheckPart<'a>>,
    evidence: EvidencePart<'a>,
    weights: &'a Weights,
    families: Vec<Postings>,
    learned: LearnedPart<'a>,
}

/// The tables of `words.toml` as lists: an object of a script puts names that are numbers first.
#[derive(Serialize)]
struct WordsPart<'a> {
    same: Vec<(&'a String, &'a Vec<String>)>,
    short: Vec<(&'a String, &'a String)>,
    apart: Vec<(&'a String, &'a Vec<String>)>,
    groups: Vec<(&'a String, &'a Vec<String>)>,
}

#[derive(Serialize)]
struct Lists {
    common: &'static [&'static str],
    negation: Vec<(&'static str, &'static [&'static str])>,
    lexical: &'static [&'static [&'static str]],
}

#[derive(Serialize)]
struct SettingsPart<'a> {
    roles: &'a [String],
    hand_on_minutes: f64,
    devices: Vec<DevicePart<'a>>,
    hazards: Vec<HazardPart<'a>>,
}

#[derive(Serialize)]
struct DevicePart<'a> {
    id: &'a str,
    title: &'a str,
    codes: &'a [String],
    lamps: Vec<LampPart<'a>>,
}

#[derive(Serialize)]
struct LampPart<'a> {
    name: &'a str,
    at: Option<[f64; 2]>,
    states: &'a [String],
}

#[derive(Serialize)]
struct HazardPart<'a> {
    id: &'a str,
    caution: &'a str,
    roles: &'a [String],
}

#[derive(Serialize)]
struct ArticlePart<'a> {
    id: &'a ArticleId,
    title: &'a str,
    area: &'a str,
    devices: &'a [String],
    firmware: Option<String>,
    codes: &'a [String],
    signs: Vec<(&'a String, &'a String)>,
    danger: Option<DangerPart<'a>>,
    fixes: Vec<usize>,
    checks: Vec<usize>,
}

#[derive(Serialize)]
struct DangerPart<'a> {
    stop: &'a [String],
    harmless: &'a [String],
    own: Vec<&'a str>,
    do_now: &'a [String],
}

#[derive(Serialize)]
struct FixPart<'a> {
    id: &'a FixId,
    title: &'a str,
    kind: &'a str,
    expect: &'a [(CheckId, String)],
    after: Vec<String>,
    minutes: f64,
    who: &'a str,
    hazards: &'a [String],
    articles: Vec<usize>,
}

#[derive(Serialize)]
struct CheckPart<'a> {
    id: &'a CheckId,
    question: &'a str,
    answers: &'a [String],
    after: Vec<String>,
    minutes: f64,
    who: &'a str,
    hazards: &'a [String],
}

#[derive(Serialize)]
struct EvidencePart<'a> {
    unlisted: f64,
    articles: Vec<ArticleCounts<'a>>,
    /// Resolved, tries, inferred, Wilson's low and high, minutes.
    fixes: Vec<(u64, u64, u64, f64, f64, f64)>,
    checks: Vec<CheckCounts<'a>>,
}

/// Share, low, high.
type ShareRow = (f64, f64, f64);

#[derive(Serialize)]
struct ArticleCounts<'a> {
    cases: u64,
    weight: f64,
    known: f64,
    /// Of each fix, "none of the listed" last.
    shares: Vec<ShareRow>,
    devices: Vec<(&'a String, Vec<ShareRow>)>,
}

type Answers<'a> = Vec<(&'a String, &'a u64)>;

/// A fix and the answers in the cases that it ended.
type ByFix<'a> = Vec<(usize, Answers<'a>)>;

#[derive(Serialize)]
struct CheckCounts<'a> {
    seen: Answers<'a>,
    total: u64,
    /// Article; answers by fix; answers where nothing listed ended it.
    ended: Vec<(usize, ByFix<'a>, Answers<'a>)>,
}

#[derive(Serialize)]
struct LearnedPart<'a> {
    articles: &'a [ArticleId],
    kinds: &'a [String],
    /// The known runs, see [`front_coded`].
    runs: String,
    idf: At,
    /// How many weights each run has.
    counts: At,
    columns: At,
    weights: WeightsPart,
}

/// Weights as whole multiples of `1/per_one`; as 32-bit floats where `per_one` is 0.
#[derive(Serialize)]
struct WeightsPart {
    per_one: u32,
    at: At,
}

/// The content as bytes: the length of the JSON in four bytes, low ones first, the JSON, the numbers.
///
/// # Errors
/// Never in practice: names and numbers can always be written as JSON.
pub fn content(
    source: &Source<'_>,
    chosen: &Chosen,
    wish: &Wish,
) -> Result<Vec<u8>, serde_json::Error> {
    let mut blob = Blob::default();
    let parts = Parts { source, chosen };
    let whole = Content {
        format: FORMAT,
        about: source.about,
        wish,
        settings: settings(source.settings),
        words: words(source.words),
        lists: lists(),
        vocabulary: front_coded(source.known.terms().iter().map(String::as_str)),
        kinds: &source.layout.kinds,
        articles: parts.articles(),
        fixes: parts.fixes(),
        checks: parts.checks(),
        evidence: parts.evidence(),
        weights: &source.model.weights,
        families: parts.families(&mut blob),
        learned: learned(&source.model.words, &mut blob),
    };
    let json = serde_json::to_vec(&whole)?;
    let length = u32::try_from(json.len()).unwrap_or(u32::MAX);
    let mut bytes = length.to_le_bytes().to_vec();
    bytes.extend(json);
    bytes.extend(blob.bytes());
    Ok(bytes)
}

struct Parts<'a> {
    source: &'a Source<'a>,
    chosen: &'a Chosen,
}

impl<'a> Parts<'a> {
    fn articles(&self) -> Vec<ArticlePart<'a>> {
        let Source {
            catalog,
            stop_words,
            ..
        } = *self.source;
        let part = |article: &'a Article| ArticlePart {
            id: &article.id,
            title: &article.title,
            area: &article.area,
            devices: &article.devices,
            firmware: article.firmware.as_ref().map(ToString::to_string),
            codes: &article.codes,
            signs: article.signs.iter().collect(),
            danger: article.danger.as_ref().map(|danger: &Danger| DangerPart {
                stop: &danger.stop_words,
                harmless: &danger.harmless,
                own: stop_words.own_words(&article.id).collect(),
                do_now: &danger.do_now,
            }),
            fixes: self.numbers_of_fixes(&article.id),
            checks: (catalog.checks_of.get(&article.id).into_iter().flatten())
                .filter_map(|check| self.check(check))
                .collect(),
        };
        let chosen = self.chosen.articles.iter();
        chosen.map(|id| part(&catalog.articles[id])).collect()
    }

    fn article(&self, id: &ArticleId) -> Option<usize> {
        self.chosen.articles.binary_search(id).ok()
    }

    fn fix(&self, id: &FixId) -> Option<usize> {
        self.chosen.fixes.binary_search(id).ok()
    }

    fn check(&self, id: &CheckId) -> Option<usize> {
        self.chosen.checks.binary_search(id).ok()
    }

    fn numbers_of_fixes(&self, article: &ArticleId) -> Vec<usize> {
        let fixes = self.source.catalog.fixes_of.get(article);
        let fixes = fixes.into_iter().flatten();
        fixes.filter_map(|fix| self.fix(fix)).collect()
    }

    fn fixes(&self) -> Vec<FixPart<'a>> {
        let catalog = self.source.catalog;
        let part = |fix: &'a Fix| FixPart {
            id: &fix.id,
            title: &fix.title,
            kind: &fix.kind,
            expect: &fix.expect,
            after: steps(&fix.after),
            minutes: fix.work.minutes,
            who: &fix.work.who,
            hazards: &fix.work.hazards,
            articles: (catalog.articles_of.get(&fix.id).into_iter().flatten())
                .filter_map(|article| self.article(article))
                .collect(),
        };
        let chosen = self.chosen.fixes.iter();
        chosen.map(|id| part(&catalog.fixes[id])).collect()
    }

    fn checks(&self) -> Vec<CheckPart<'a>> {
        let part = |check: &'a Check| CheckPart {
            id: &check.id,
            question: &check.question,
            answers: &check.answers,
            after: steps(&check.after),
            minutes: check.work.minutes,
            who: &check.work.who,
            hazards: &check.work.hazards,
        };
        let chosen = self.chosen.checks.iter();
        let checks = &self.source.catalog.checks;
        chosen.map(|id| part(&checks[id])).collect()
    }

    fn evidence(&self) -> EvidencePart<'a> {
        let evidence = self.source.evidence;
        let chosen = self.chosen;
        EvidencePart {
            unlisted: evidence.unlisted,
            articles: chosen
                .articles
                .iter()
                .map(|a| counts(a, evidence))
                .collect(),
            fixes: (chosen.fixes.iter())
                .map(|id| {
                    let found = evidence.fixes.get(id).cloned().unwrap_or_default();
                    let (low, high) = (found.raw_low, found.raw_high);
                    let (resolved, tries) = (found.resolved, found.tries);
                    (resolved, tries, found.inferred, low, high, found.minutes)
                })
                .collect(),
            checks: chosen.checks.iter().map(|c| self.answers(c)).collect(),
        }
    }

    fn answers(&self, check: &CheckId) -> CheckCounts<'a> {
        let Some(found) = self.source.evidence.checks.get(check) else {
            return CheckCounts {
                seen: Vec::new(),
                total: 0,
                ended: Vec::new(),
            };
        };
        let by_fix = |seen: &'a SeenAnswers| -> ByFix<'a> {
            let fixes = seen.fixes.iter();
            let answers = fixes.filter_map(|(fix, a)| Some((self.fix(fix)?, a.iter().collect())));
            answers.collect()
        };
        CheckCounts {
            seen: found.seen.iter().collect(),
            total: found.total,
            ended: (found.ended.iter())
                .filter_map(|(article, seen)| {
                    let number = self.article(article)?;
                    Some((number, by_fix(seen), seen.other.iter().collect()))
                })
                .collect(),
        }
    }

    fn families(&self, blob: &mut Blob) -> Vec<Postings> {
        let layout = self.source.layout;
        let articles: Vec<usize> = (self.chosen.articles.iter())
            .filter_map(|id| layout.article(id))
            .collect();
        let fixes: Vec<usize> = (self.chosen.fixes.iter())
            .filter_map(|id| layout.fix(id))
            .collect();
        let pairs: Vec<usize> = (articles.iter())
            .flat_map(|a| layout.pairs_of[*a].clone())
            .collect();
        let kinds: Vec<usize> = (0..layout.kinds.len()).collect();
        let none = Vec::new();
        let write = |family: Family| {
            let went_in = match family {
                Family::Own | Family::Callers | Family::CallersGrams => &articles,
                Family::Fix => &fixes,
                Family::Pair => &pairs,
                Family::Kind | Family::KindGrams => &kinds,
            };
            let texts = self.source.bags.get(&family).unwrap_or(&none);
            postings(family, texts, went_in, blob)
        };
        Family::ALL.into_iter().map(write).collect()
    }
}

fn counts<'a>(id: &ArticleId, evidence: &'a Evidence) -> ArticleCounts<'a> {
    let row = |share: &Share| (share.share, share.low, share.high);
    let found = evidence.articles.get(id);
    ArticleCounts {
        cases: found.map_or(0, |f| f.cases),
        weight: found.map_or(0.0, |f| f.weight),
        known: found.map_or(0.0, |f| f.known),
        shares: found.map_or_else(Vec::new, |f| f.overall().iter().map(row).collect()),
        devices: (found.into_iter().flat_map(|f| &f.devices))
            .map(|(device, shares)| (device, shares.iter().map(row).collect()))
            .collect(),
    }
}

fn steps(after: &[Before]) -> Vec<String> {
    let step = |before: &Before| match before {
        Before::Fix(id) => format!("fix {id}"),
        Before::Check(id) => format!("check {id}"),
    };
    after.iter().map(step).collect()
}

fn device<'a>(id: &'a str, device: &'a Device) -> DevicePart<'a> {
    DevicePart {
        id,
        title: &device.title,
        codes: &device.codes,
        lamps: (device.lamps.iter())
            .map(|lamp| LampPart {
                name: &lamp.name,
                at: lamp.at,
                states: &lamp.states,
            })
            .collect(),
    }
}

fn settings(settings: &Settings) -> SettingsPart<'_> {
    SettingsPart {
        roles: &settings.roles,
        hand_on_minutes: settings.hand_on_minutes,
        devices: (settings.devices.iter())
            .map(|(id, found)| device(id, found))
            .collect(),
        hazards: (settings.hazards.iter())
            .map(|(id, hazard)| HazardPart {
                id,
                caution: &hazard.caution,
                roles: &hazard.roles,
            })
            .collect(),
    }
}

fn words(words: &Words) -> WordsPart<'_> {
    WordsPart {
        same: words.same.iter().collect(),
        short: words.short.iter().collect(),
        apart: words.apart.iter().collect(),
        groups: words.groups.iter().collect(),
    }
}

fn lists() -> Lists {
    let WordLists { single, lexical } = negation::word_lists();
    Lists {
        common: common::words(),
        negation: single,
        lexical,
    }
}

/// All of it, also of articles that did not go in: with them the same ones are among the best, so that
/// a pack for one device answers as `ask --device` does.
fn learned<'a>(words: &'a LearnedWords, blob: &mut Blob) -> LearnedPart<'a> {
    let mut from = 0;
    let counts = words.ends.iter().map(|end| {
        let count = end - from;
        from = *end;
        u64::from(count)
    });
    LearnedPart {
        articles: &words.articles,
        kinds: &words.kinds,
        runs: front_coded(words.known.grams.iter().map(String::as_str)),
        idf: blob.doubles(&words.known.idf),
        counts: blob.numbers(counts),
        columns: blob.numbers(words.columns.iter().map(|column| u64::from(*column))),
        weights: weights(&words.weights, blob),
    }
}

/// How many of the grains that learned weights are rounded to make one.
const PER_ONE: u16 = 64;

fn weights(weights: &[f32], blob: &mut Blob) -> WeightsPart {
    let whole = |weight: &f32| {
        let grains = weight * f32::from(PER_ONE);
        // Whole numbers of this size are exact in 32 bits.
        #[allow(clippy::cast_possible_truncation, reason = "it is whole and small")]
        let number = grains as i64;
        (grains.fract().abs() <= 0.0 && grains.abs() < 1e6).then_some(number)
    };
    match weights.iter().map(whole).collect::<Option<Vec<i64>>>() {
        Some(numbers) => WeightsPart {
            per_one: u32::from(PER_ONE),
            at: blob.signed(numbers),
        },
        None => WeightsPart {
            per_one: 0,
            at: blob.singles(weights),
        },
    }
}
