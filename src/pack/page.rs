//! Everything in one file that may load nothing: no address is named in it, and its content security
//! policy forbids every request, so it shows the same with and without a network.

use super::article::{self, Drawing, Pictures, anchor, in_order};
use super::choice::{Chosen, Wish};
use super::content::{Source, content};
use super::join::join;
use crate::base::escape::html;
use base64::{Engine, engine::general_purpose::STANDARD};
use flate2::Compression;
use flate2::write::GzEncoder;
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
    "rank/features.mjs",
    "rank/find.mjs",
    "rank/firmware.mjs",
    "rank/gaps.mjs",
    "rank/ground.mjs",
    "rank/learned.mjs",
    "rank/letters.mjs",
    "rank/negation.mjs",
    "rank/next_check.mjs",
    "rank/order.mjs",
    "rank/phrases.mjs",
    "rank/question.mjs",
    "rank/scope.mjs",
    "rank/spelling.mjs",
    "rank/stem.mjs",
    "rank/steps.mjs",
    "rank/text.mjs",
    "rank/view.mjs",
    "answer_view.mjs",
    "case.mjs",
    "dom.mjs",
    "home_view.mjs",
    "keep.mjs",
    "main.mjs",
    "qr.mjs",
    "reading.mjs",
    "shown.mjs",
    "wording.mjs",
    "work_view.mjs",
];

/// What kept a pack from being made; a fault of fixtally's own.
#[derive(Debug, Error)]
pub enum PackError {
    /// The modules do not fit together.
    #[error("the page's modules cannot be joined: {0}")]
    Modules(String),
    /// The content could not be written as JSON.
    #[error("the content cannot be written")]
    Json(#[from] serde_json::Error),
    /// The content could not be compressed.
    #[error("the content cannot be compressed")]
    Compress(#[from] std::io::Error),
}

/// The page: a person searches, reads and works in it.
///
/// # Errors
/// Only where fixtally itself is at fault.
pub fn page(source: &Source<'_>, wish: &Wish, pictures: &Pictures) -> Result<String, PackError> {
    let chosen = wish.choose(source.catalog);
    let bytes = content(source, &chosen, wish)?;
    let mut packed = GzEncoder::new(Vec::new(), Compression::best());
    std::io::Write::write_all(&mut packed, &bytes)?;
    let packed = STANDARD.encode(packed.finish()?);
    let named: Vec<(&str, &str)> = MODULES
        .iter()
        .map(|(path, text)| (path.rsplit('/').next().unwrap_or(path), *text))
        .collect();
    let script = join(&named).map_err(PackError::Modules)?;
    Ok(filled(
        source,
        wish,
        &chosen,
        pictures,
        Some((&packed, &script)),
    ))
}

/// The booklet: the same articles for paper, without any script.
#[must_use]
pub fn booklet(source: &Source<'_>, wish: &Wish, pictures: &Pictures) -> String {
    let chosen = wish.choose(source.catalog);
    filled(source, wish, &chosen, pictures, None)
}

fn filled(
    source: &Source<'_>,
    wish: &Wish,
    chosen: &Chosen,
    pictures: &Pictures,
    live: Option<(&str, &str)>,
) -> String {
    let drawing = Drawing {
        settings: source.settings,
        catalog: source.catalog,
        chosen,
        wish,
        pictures,
    };
    let (data, script) = live.unwrap_or_default();
    let policy = format!(
        "default-src 'none'; img-src data:; style-src 'sha256-{}'; script-src {}; base-uri 'none'; \
         form-action 'none'",
        digest(STYLE),
        if script.is_empty() {
            "'none'".to_owned()
        } else {
            format!("'sha256-{}'", digest(script))
        },
    );
    let title = format!("{}: {}", source.about.name, what(wish, source));
    let mut out = String::with_capacity(data.len() + script.len() + (1 << 20));
    let mut rest = SHELL;
    while let Some((before, after)) = rest.split_once("<!-- slot ") {
        out.push_str(before);
        let (name, after) = after.split_once(" -->").unwrap_or((after, ""));
        match name {
            "policy" => {
                let _ = write!(
                    out,
                    "<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">"
                );
            }
            "title" => out.push_str(&html(&title)),
            "name" => out.push_str(&html(&source.about.name)),
            "style" => {
                let _ = write!(out, "<style>{STYLE}</style>");
            }
            "mode" => out.push_str(if script.is_empty() { "booklet" } else { "live" }),
            "stand" => out.push_str(&html(&stand(source, wish))),
            "contents" => contents(&mut out, &drawing),
            "articles" => out.push_str(&article::articles(&drawing)),
            "tables" => tables(&mut out, &drawing),
            "data" if !data.is_empty() => {
                let _ = write!(
                    out,
                    "<script type=\"text/plain\" id=\"content\">{data}</script>\n<script>{script}</script>"
                );
            }
            _ => {}
        }
        rest = after;
    }
    out.push_str(rest);
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
