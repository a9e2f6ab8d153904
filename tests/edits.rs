//! Fifty seeded edits of the demo's articles: `compare` names each for what it is.

use fixtally::articles::lint::{Checked, Input, Pictures, lint};
use fixtally::articles::parse::{Parsed, parse};
use fixtally::articles::sayings::Saying;
use fixtally::articles::{Catalog, Settings, settings_file};
use fixtally::backtest::dice::Dice;
use fixtally::base::ids::FixId;
use fixtally::base::text::{Analyzer, Words};
use fixtally::curate::compare::{Protection, Report, Version, compare};
use fixtally::evidence::{Cases, Evidence, gather};
use jiff::civil::{Date, date};
use std::ops::Range;
use std::path::Path;

const EDITS: usize = 50;
const TODAY: Date = date(2026, 11, 1);

/// The demo's texts.
#[derive(Clone)]
struct Texts {
    kb: String,
    /// Path and text of each article.
    articles: Vec<(String, String)>,
}

/// One version, read.
struct Side {
    settings: Settings,
    words: Words,
    sayings: Vec<Saying>,
    checked: Checked,
    written: Catalog,
    evidence: Evidence,
}

fn demo() -> Texts {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("kb");
    let files = walkdir::WalkDir::new(root.join("articles")).sort_by_file_name();
    let articles = files.into_iter().map(Result::unwrap).filter_map(|entry| {
        let path = entry.path().strip_prefix(&root).unwrap();
        let path = path.to_str().unwrap().replace('\\', "/");
        let text = path
            .ends_with(".md")
            .then(|| std::fs::read_to_string(entry.path()));
        Some((path, text?.unwrap()))
    });
    Texts {
        kb: std::fs::read_to_string(root.join("kb.toml")).unwrap(),
        articles: articles.collect(),
    }
}

fn parsed(articles: &[(String, String)]) -> Vec<Parsed> {
    let each = articles.iter();
    each.map(|(path, text)| parse(path, text, "caller"))
        .collect()
}

fn read(kb: &str, parsed: &[Parsed]) -> Side {
    let (settings, problems) = settings_file::read(kb);
    assert_eq!(problems, []);
    let shown = parsed.iter().flat_map(|p| &p.article.pictures);
    let pictures: Pictures = shown.map(|p| (p.path.clone(), Some(1))).collect();
    let checked = lint(&Input {
        parsed,
        settings: &settings,
        analyzer: &Analyzer::default(),
        today: TODAY,
        pictures: &pictures,
    });
    Side {
        written: Catalog::join(checked.articles.clone()),
        evidence: gather(&Cases::default(), &checked.catalog, &settings, TODAY),
        settings,
        words: Words::default(),
        sayings: Vec::new(),
        checked,
    }
}

fn version(side: &Side) -> Version<'_> {
    Version {
        catalog: &side.checked.catalog,
        written: &side.written,
        problems: &side.checked.problems,
        settings: &side.settings,
        words: &side.words,
        sayings: &side.sayings,
        evidence: &side.evidence,
    }
}

/// A check or a fix as it is written.
struct Block {
    article: usize,
    at: Range<usize>,
    /// Its heading.
    head: String,
    /// Its full id; none for one written elsewhere.
    id: Option<String>,
}

fn blocks(texts: &Texts) -> Vec<Block> {
    let mut blocks = Vec::new();
    for (article, (path, text)) in texts.articles.iter().enumerate() {
        let stem = Path::new(path).file_stem().unwrap().to_str().unwrap();
        let starts: Vec<usize> = text.match_indices("\n## ").map(|(at, _)| at + 1).collect();
        for (number, start) in starts.iter().enumerate() {
            let end = starts.get(number + 1).copied().unwrap_or(text.len());
            let head = text[*start..end].lines().next().unwrap().to_owned();
            let id = head.split("{#").nth(1).map(|rest| {
                let short = rest.split([' ', '}']).next().unwrap();
                format!("{stem}#{short}")
            });
            blocks.push(Block {
                article,
                at: *start..end,
                head,
                id,
            });
        }
    }
    blocks
}

/// The value of a key in a heading.
fn value<'a>(head: &'a str, key: &str) -> Option<&'a str> {
    let rest = head.split(&format!(" {key}=")).nth(1)?;
    rest.split([' ', '}']).next()
}

/// One of those that fit.
fn pick<'a, T>(dice: &mut Dice, from: &'a [T], fits: impl Fn(&T) -> bool) -> &'a T {
    let fitting: Vec<&T> = from.iter().filter(|one| fits(one)).collect();
    fitting[dice.below(fitting.len())]
}

/// An edit: the new texts, the article edited, and whether the report names it.
struct Edit {
    what: String,
    texts: Texts,
    named: Box<dyn Fn(&Report) -> bool>,
}

fn in_block(texts: &Texts, block: &Block, from: &str, to: &str) -> Texts {
    let mut new = texts.clone();
    let text = &mut new.articles[block.article].1;
    let changed = text[block.at.clone()].replacen(from, to, 1);
    assert_ne!(changed, text[block.at.clone()], "{from}");
    text.replace_range(block.at.clone(), &changed);
    new
}

fn removes(report: &Report, what: Protection, place: &str, words: &str) -> bool {
    let mut all = report.removals.iter();
    all.any(|r| r.what == what && r.place == place && r.words.contains(words))
}

fn drop_fix(texts: &Texts, dice: &mut Dice) -> Edit {
    let blocks = blocks(texts);
    let block = pick(dice, &blocks, |b| {
        b.head.starts_with("## Fix") && b.id.is_some()
    });
    let id = block.id.clone().unwrap();
    let mut new = texts.clone();
    new.articles[block.article]
        .1
        .replace_range(block.at.clone(), "");
    Edit {
        what: format!("dropped {id}"),
        texts: new,
        named: Box::new(move |report| report.dropped.iter().any(|d| d.fix.as_str() == id)),
    }
}

fn shorten_caution(texts: &Texts, dice: &mut Dice) -> Edit {
    let hazards = ["switching", "mains", "height", "current-transformer"];
    let hazard = *pick(dice, &hazards, |_| true);
    let start = texts
        .kb
        .find(&format!("[hazards.{hazard}]\ncaution = \""))
        .unwrap();
    let end = start + texts.kb[start..].find("\"\nroles").unwrap();
    let caution = texts.kb[start..end].split_once('"').unwrap().1;
    let sentences: Vec<&str> = caution.split_inclusive(". ").collect();
    let gone = *pick(dice, &sentences, |_| true);
    let longest = gone
        .split_whitespace()
        .max_by_key(|word| word.len())
        .unwrap()
        .to_owned();
    // The same sentence may stand in several cautions.
    let mut new = texts.clone();
    let shorter = texts.kb[start..end].replacen(gone, "", 1);
    new.kb.replace_range(start..end, &shorter);
    Edit {
        what: format!("caution of {hazard} without: {gone}"),
        texts: new,
        named: Box::new(move |r| removes(r, Protection::Caution, hazard, &longest)),
    }
}

/// Takes a key out of a heading, or gives it another value.
fn change_key(
    texts: &Texts,
    dice: &mut Dice,
    (key, to, what): (&str, Option<&str>, Protection),
    fits: impl Fn(&str) -> bool,
) -> Edit {
    let blocks = blocks(texts);
    let block = pick(dice, &blocks, |b| {
        b.id.is_some() && value(&b.head, key).is_some_and(&fits)
    });
    let (id, was) = (block.id.clone().unwrap(), value(&block.head, key).unwrap());
    let new = to.map_or_else(String::new, |to| format!(" {key}={to}"));
    // Of several names the first is looked for; those of the own article are written short.
    let first = was.split(',').next().unwrap().to_owned();
    Edit {
        what: format!("{key}={was} of {id} is now `{new}`"),
        texts: in_block(texts, block, &format!(" {key}={was}"), &new),
        named: Box::new(move |report| removes(report, what, &id, &first)),
    }
}

fn swap_fixes(texts: &Texts, dice: &mut Dice) -> Edit {
    let blocks = blocks(texts);
    let numbers: Vec<usize> = (1..blocks.len()).collect();
    let fix = |at: usize| blocks[at].head.starts_with("## Fix");
    let at = *pick(dice, &numbers, |at| {
        fix(*at) && fix(at - 1) && blocks[*at].article == blocks[at - 1].article
    });
    let (first, second) = (&blocks[at - 1], &blocks[at]);
    let mut new = texts.clone();
    let (path, text) = &mut new.articles[first.article];
    let swapped = format!(
        "{}\n\n{}\n\n",
        text[second.at.clone()].trim_end(),
        text[first.at.clone()].trim_end()
    );
    text.replace_range(first.at.start..second.at.end, &swapped);
    let id = Path::new(path)
        .file_stem()
        .unwrap()
        .to_str()
        .unwrap()
        .to_owned();
    Edit {
        what: format!("swapped {} and {}", first.head, second.head),
        texts: new,
        named: Box::new(move |report| {
            let one = report.articles.iter().find(|a| a.id.as_str() == id);
            let moved = one.is_some_and(|one| one.order.as_ref().is_some_and(|(a, b)| a != b));
            moved && report.articles.len() == 1 && report.removals.is_empty()
        }),
    }
}

/// A figure in a step, as `compare` shows it.
fn figure_of(block: &Block, texts: &Texts) -> Option<String> {
    let text = &texts.articles[block.article].1[block.at.clone()];
    let steps = text
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()));
    let words = steps.flat_map(|line| line.split_whitespace().skip(1));
    let mut figures = words
        .filter(|word| {
            word.chars()
                .all(|c| c.is_ascii_digit() || c == '.' || c == ',')
        })
        .map(|word| word.trim_matches(['.', ',']).to_owned())
        .filter(|word| !word.is_empty());
    figures.next()
}

fn change_figure(texts: &Texts, dice: &mut Dice) -> Edit {
    let blocks = blocks(texts);
    let block = pick(dice, &blocks, |b| {
        b.id.is_some() && figure_of(b, texts).is_some()
    });
    let (id, figure) = (block.id.clone().unwrap(), figure_of(block, texts).unwrap());
    let other = format!("9{figure}");
    let (gone, new) = (figure.clone(), other.clone());
    Edit {
        what: format!("{figure} of {id} is now {other}"),
        texts: in_block(texts, block, &format!(" {figure}"), &format!(" {other}")),
        named: Box::new(move |report| {
            let parts = report.articles.iter().flat_map(|article| &article.parts);
            let mut named = parts.filter(|part| {
                part.figures_gone.contains(&gone) && part.figures_new.contains(&new)
            });
            named.next().is_some() && report.articles.len() == 1 && report.removals.is_empty()
        }),
    }
}

fn edit(number: usize, texts: &Texts) -> Edit {
    let dice = &mut Dice::new(number as u64);
    match number % 7 {
        0 => drop_fix(texts, dice),
        1 => shorten_caution(texts, dice),
        2 => change_key(texts, dice, ("hazard", None, Protection::Hazard), |_| true),
        3 => {
            let roles = ("who", Some("caller"), Protection::Role);
            change_key(texts, dice, roles, |who| who != "caller")
        }
        4 => change_key(texts, dice, ("after", None, Protection::After), |_| true),
        5 => swap_fixes(texts, dice),
        _ => change_figure(texts, dice),
    }
}

#[test]
fn compare_names_fifty_seeded_edits_of_the_demo() {
    let texts = demo();
    let files = parsed(&texts.articles);
    let old = read(&texts.kb, &files);
    assert!(compare(version(&old), version(&old)).articles.is_empty());
    let mut unnamed = Vec::new();
    for number in 0..EDITS {
        let edit = edit(number, &texts);
        let mut files = files.clone();
        for (at, (path, text)) in edit.texts.articles.iter().enumerate() {
            if *text != texts.articles[at].1 {
                files[at] = parse(path, text, "caller");
            }
        }
        let new = read(&edit.texts.kb, &files);
        let report = compare(version(&old), version(&new));
        if !(edit.named)(&report) {
            unnamed.push(format!("{}: {:?}", edit.what, report.removals));
        }
    }
    assert!(unnamed.is_empty(), "{}", unnamed.join("\n"));
}

#[test]
fn a_role_below_its_hazard_is_named_though_the_fix_is_not_served_any_more() {
    let texts = demo();
    let blocks = blocks(&texts);
    let block = blocks
        .iter()
        .find(|b| b.id.as_deref() == Some("rcd-trips-on-plug-in#reseal-gland"));
    let texts_new = in_block(&texts, block.unwrap(), "who=electrician", "who=caller");
    let old = read(&texts.kb, &parsed(&texts.articles));
    let new = read(&texts_new.kb, &parsed(&texts_new.articles));
    let report = compare(version(&old), version(&new));
    let id = "rcd-trips-on-plug-in#reseal-gland";
    assert!(removes(
        &report,
        Protection::Role,
        id,
        "`caller` may do it now"
    ));
    assert!(
        report
            .faults
            .iter()
            .any(|fault| fault.rule == "role-not-allowed")
    );
    assert!(
        report
            .dropped
            .iter()
            .any(|dropped| dropped.fix.as_str() == id)
    );
}

/// What is heard rests on more than the articles, and work that can hurt begins by making it safe.
#[test]
fn less_to_hear_by_and_another_first_step_are_named_first() {
    let texts = demo();
    let (old, mut new) = (
        read(&texts.kb, &parsed(&texts.articles)),
        read(&texts.kb, &parsed(&texts.articles)),
    );
    let group = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
    let say = |said: &str, stops| Saying {
        said: said.to_owned(),
        stops,
        topic: String::new(),
    };
    let old = Side {
        words: Words {
            groups: [("post".to_owned(), group(&["box", "unit"]))].into(),
            ..Words::default()
        },
        sayings: vec![
            say("it burns", true),
            say("it is slow", false),
            say("it smokes", true),
        ],
        ..old
    };
    new.words.groups = [("post".to_owned(), group(&["box"]))].into();
    new.sayings = vec![say("it smokes", true)];
    let id: FixId = "rcd-trips-on-plug-in#reseal-gland".into();
    let steps = &mut new.written.fixes.get_mut(&id).unwrap().work.steps;
    let first = std::mem::replace(&mut steps[0], "Begin.".to_owned());
    let report = compare(version(&old), version(&new));
    assert!(removes(
        &report,
        Protection::StopWord,
        "<post>",
        "no longer holds: unit"
    ));
    assert!(removes(&report, Protection::Saying, "sayings", "it burns"));
    assert!(removes(&report, Protection::FirstStep, id.as_str(), &first));
    assert_eq!(report.removals.len(), 3, "{:?}", report.removals);
}
