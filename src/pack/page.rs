//! Everything in one file that may load nothing: no address is named in it, and its content security
//! policy forbids every request, so it shows the same with and without a network.

use super::article::{self, Drawing, Pictures, anchor, in_order};
use super::carried::Carried;
use super::choice::{Chosen, Wish};
use super::content::{ContentError, Source, content};
use super::join::join;
use crate::base::escape::html;
use base64::{Engine, engine::general_purpose::STANDARD};
use sha2::{Digest, Sha256};
use std::fmt::Write;
use thiserror::Error;

const SHELL: &str = include_str!("page/page.html");
const STYLE: &str = include_str!("page/page.css");

macro_rules! modules {
    ($($path:literal),* $(,)?) => {
        &[$(($path, include_str!(concat!("page/", $path)))),*]
    };
}

/// The modules, those of the ranking first.
const MODULES: &[(&str, &str)] = modules![
    "rank/advice.mjs",
    "rank/answer.mjs",
    "rank/ask.mjs",
    "rank/belief.mjs",
    "rank/chance.mjs",
    "rank/chars.mjs",
    "rank/closing.mjs",
    "rank/counted.mjs",
    "rank/danger.mjs",
    "rank/ear.mjs",
    "rank/features.mjs",
    "rank/find.mjs",
    "rank/firmware.mjs",
    "rank/gaps.mjs",
    "rank/grams.mjs",
    "rank/ground.mjs",
    "rank/learned.mjs",
    "rank/letters.mjs",
    "rank/negation.mjs",
    "rank/next_check.mjs",
    "rank/numbers.mjs",
    "rank/order.mjs",
    "rank/phrases.mjs",
    "rank/question.mjs",
    "rank/scope.mjs",
    "rank/spelling.mjs",
    "rank/stem.mjs",
    "rank/steps.mjs",
    "rank/text.mjs",
    "rank/view.mjs",
    "../../page/dom.mjs",
    "../../page/words.mjs",
    "answer_view.mjs",
    "case.mjs",
    "home_view.mjs",
    "keep.mjs",
    "main.mjs",
    "press.mjs",
    "qr.mjs",
    "reading.mjs",
    "shown.mjs",
    "wording.mjs",
    "work_view.mjs",
];

/// The script that opens the others.
const BOOT: &[(&str, &str)] = modules!["packed.mjs", "boot.mjs"];

/// What kept a pack from being made; a fault of fixtally's own.
#[derive(Debug, Error)]
pub enum PackError {
    /// The modules do not fit together.
    #[error("the page's modules cannot be joined: {0}")]
    Modules(String),
    /// The content could not be written.
    #[error("the content cannot be written")]
    Content(#[from] ContentError),
    /// The content could not be compressed.
    #[error("the content cannot be compressed")]
    Compress(#[from] std::io::Error),
}

/// What is written around what is carried.
struct Live<'a> {
    boot: &'a str,
    script: &'a str,
    carried: &'a str,
}

/// Everything that a page carries packed.
///
/// # Errors
/// Only where fixtally itself is at fault.
pub fn carried(
    source: &Source<'_>,
    wish: &Wish,
    pictures: &Pictures,
) -> Result<Carried, PackError> {
    let chosen = wish.choose(source.catalog);
    Ok(Carried {
        script: joined(MODULES)?,
        reading: reading(&drawing(source, wish, &chosen, pictures)),
        content: content(source, &chosen, wish)?,
    })
}

/// The page: a person searches, reads and works in it.
///
/// # Errors
/// Only where fixtally itself is at fault.
pub fn page(source: &Source<'_>, wish: &Wish, carried: &Carried) -> Result<String, PackError> {
    let chosen = wish.choose(source.catalog);
    let pictures = Pictures::new();
    let live = Live {
        boot: &joined(BOOT)?,
        script: &carried.script,
        carried: &carried.text()?,
    };
    Ok(filled(
        &drawing(source, wish, &chosen, &pictures),
        source,
        Some(&live),
    ))
}

/// The booklet: the same articles for paper, without any script.
#[must_use]
pub fn booklet(source: &Source<'_>, wish: &Wish, pictures: &Pictures) -> String {
    let chosen = wish.choose(source.catalog);
    filled(&drawing(source, wish, &chosen, pictures), source, None)
}

fn joined(modules: &[(&str, &str)]) -> Result<String, PackError> {
    let named: Vec<(&str, &str)> = modules
        .iter()
        .map(|(path, text)| (path.rsplit('/').next().unwrap_or(path), *text))
        .collect();
    join(&named).map_err(PackError::Modules)
}

fn drawing<'a>(
    source: &Source<'a>,
    wish: &'a Wish,
    chosen: &'a Chosen,
    pictures: &'a Pictures,
) -> Drawing<'a> {
    Drawing {
        settings: source.settings,
        catalog: source.catalog,
        chosen,
        wish,
        pictures,
    }
}

fn filled(drawing: &Drawing<'_>, source: &Source<'_>, live: Option<&Live<'_>>) -> String {
    let scripts = live.map_or_else(
        || "'none'".to_owned(),
        |live| {
            format!(
                "'sha256-{}' 'sha256-{}'",
                digest(live.boot),
                digest(live.script)
            )
        },
    );
    let policy = format!(
        "default-src 'none'; img-src data:; style-src 'sha256-{}'; script-src {scripts}; \
         base-uri 'none'; form-action 'none'",
        digest(STYLE),
    );
    let wish = drawing.wish;
    let title = format!("{}: {}", source.about.name, what(wish, source));
    let mut out =
        String::with_capacity(live.map_or(1 << 19, |live| live.carried.len() + (1 << 16)));
    let mut rest = SHELL;
    while let Some((before, after)) = rest.split_once("<!-- slot ") {
        out.push_str(before);
        let (name, after) = after.split_once(" -->").unwrap_or((after, ""));
        let part = match (name, live) {
            ("policy", _) => {
                format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">")
            }
            ("title", _) => html(&title).into_owned(),
            ("name", _) => html(&source.about.name).into_owned(),
            ("style", _) => format!("<style>{STYLE}</style>"),
            ("mode", live) => live.map_or("booklet", |_| "live").to_owned(),
            ("stand", _) => html(&stand(source, wish)).into_owned(),
            ("boot", Some(live)) => format!("<script>{}</script>", live.boot),
            ("bare", Some(_)) => bare(drawing),
            ("reading", None) => reading(drawing),
            ("data", Some(live)) => format!(
                "<script type=\"text/plain\" id=\"content\">{}</script>",
                live.carried
            ),
            _ => String::new(),
        };
        out.push_str(&part);
        rest = after;
    }
    out.push_str(rest);
    out
}

/// What is shown where the packed part cannot be opened: what it needs, and what to do in danger.
fn bare(drawing: &Drawing<'_>) -> String {
    let mut out = String::from(
        "<section id=\"bare\">\n<p class=\"warn\">This page searches, and shows its articles, only with \
         scripts and in a browser of 2023 or later<span id=\"why\"></span>. Open the file in the browser \
         itself, not in a preview; or ask the desk for the booklet, which needs neither.</p>\n",
    );
    let dangers = in_order(drawing).into_iter();
    let dangers = dangers.filter_map(|id| {
        let article = &drawing.catalog.articles[id];
        Some((article, article.danger.as_ref()?))
    });
    for (article, danger) in dangers {
        let _ = write!(
            out,
            "<h2>Danger: {}</h2>\n<ol class=\"now\">\n",
            html(&article.title)
        );
        for step in &danger.do_now {
            let _ = writeln!(out, "<li>{}</li>", html(step));
        }
        out.push_str("</ol>\n");
    }
    out.push_str("</section>");
    out
}

/// Contents, articles, and what the devices show.
fn reading(drawing: &Drawing<'_>) -> String {
    let mut out = String::from("<section id=\"contents\">\n<h2>All articles</h2>\n");
    contents(&mut out, drawing);
    out.push_str("</section>\n<div id=\"articles\">");
    out.push_str(&article::articles(drawing));
    out.push_str("</div>\n<section id=\"tables\">\n<h2>What the device shows</h2>\n");
    tables(&mut out, drawing);
    out.push_str("</section>\n");
    out
}

fn digest(text: &str) -> String {
    STANDARD.encode(Sha256::digest(text.as_bytes()))
}

fn what(wish: &Wish, source: &Source<'_>) -> String {
    let mut parts: Vec<&str> = Vec::new();
    for id in &wish.devices {
        let device = source.settings.devices.get(id);
        parts.push(device.map_or(id.as_str(), |d| &d.title));
    }
    parts.extend(wish.areas.iter().map(String::as_str));
    if parts.is_empty() {
        parts.push("all articles");
    }
    parts.join(", ")
}

/// Which pack this is and how fresh, in one line.
fn stand(source: &Source<'_>, wish: &Wish) -> String {
    let about = source.about;
    let to = about.evidence_to.as_deref();
    let tickets = to.map_or_else(
        || "no tickets yet".to_owned(),
        |day| format!("tickets up to {day}"),
    );
    let role = wish
        .role
        .as_ref()
        .map_or_else(String::new, |role| format!(", for: {role}"));
    format!(
        "Pack of {}: {}{role}; {tickets}; knowledge base {}.",
        about.as_of,
        what(wish, source),
        about.fingerprint
    )
}

fn contents(out: &mut String, drawing: &Drawing<'_>) {
    let mut area = None;
    for id in in_order(drawing) {
        let article = &drawing.catalog.articles[id];
        let heading = if article.danger.is_some() {
            "Danger"
        } else {
            article.area.as_str()
        };
        if area != Some(heading) {
            out.push_str(if area.is_some() { "</ul>\n" } else { "" });
            let _ = write!(out, "<h3>{}</h3>\n<ul>\n", html(heading));
            area = Some(heading);
        }
        let _ = writeln!(
            out,
            "<li><a href=\"#{}\">{}</a></li>",
            html(id.as_str()),
            html(&article.title)
        );
    }
    out.push_str(if area.is_some() { "</ul>\n" } else { "" });
}

/// Codes and lamps of each device with the articles that name them.
fn tables(out: &mut String, drawing: &Drawing<'_>) {
    for (id, device) in &drawing.settings.devices {
        let wanted = &drawing.wish.devices;
        if !wanted.is_empty() && !wanted.contains(id) {
            continue;
        }
        let about = |of: &dyn Fn(&crate::articles::Article) -> bool| -> String {
            let links: Vec<String> = in_order(drawing)
                .into_iter()
                .map(|id| &drawing.catalog.articles[id])
                .filter(|a| (a.devices.is_empty() || a.devices.contains(id)) && of(a))
                .map(|a| {
                    let to = anchor(a.id.as_str());
                    format!("<a href=\"#{}\">{}</a>", html(&to), html(&a.title))
                })
                .collect();
            links.join("<br>")
        };
        let mut rows = String::new();
        let mut row = |shows: &str, links: String| {
            if !links.is_empty() {
                let _ = writeln!(
                    rows,
                    "<tr><th scope=\"row\">{}</th><td>{links}</td></tr>",
                    html(shows)
                );
            }
        };
        for code in &device.codes {
            row(code, about(&|a| a.codes.contains(code)));
        }
        for lamp in &device.lamps {
            for state in &lamp.states {
                let shown = |a: &crate::articles::Article| a.signs.get(&lamp.name) == Some(state);
                row(&format!("{} {state}", lamp.name), about(&shown));
            }
        }
        if !rows.is_empty() {
            let _ = write!(
                out,
                "<h3>{}</h3>\n<table>\n<thead><tr><th scope=\"col\">it shows</th>\
                 <th scope=\"col\">read</th></tr></thead>\n<tbody>\n{rows}</tbody>\n</table>\n",
                html(&device.title)
            );
        }
    }
}
