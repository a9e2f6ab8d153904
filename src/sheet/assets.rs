//! The page's files, built into the program: no folder to install, no request to anywhere else.

use super::answer::{Id, Refusal};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use sha2::{Digest, Sha256};
use std::sync::LazyLock;

const SCRIPT: &str = "text/javascript; charset=utf-8";
const STYLE: &str = "text/css; charset=utf-8";
const PAGE: &str = "text/html; charset=utf-8";
const DRAWING: &str = "image/svg+xml";

macro_rules! shared {
    ($name:literal) => {
        include_str!(concat!("../page/", $name))
    };
}

macro_rules! own {
    ($name:literal) => {
        include_str!(concat!("page/", $name))
    };
}

/// Name, kind, content.
const FILES: &[(&str, &str, &str)] = &[
    ("article.mjs", SCRIPT, shared!("article.mjs")),
    ("case.mjs", SCRIPT, shared!("case.mjs")),
    ("danger.mjs", SCRIPT, shared!("danger.mjs")),
    ("dom.mjs", SCRIPT, shared!("dom.mjs")),
    ("fix.mjs", SCRIPT, shared!("fix.mjs")),
    ("panel.mjs", SCRIPT, shared!("panel.mjs")),
    ("paper.css", STYLE, shared!("paper.css")),
    ("tally.mjs", SCRIPT, shared!("tally.mjs")),
    ("words.mjs", SCRIPT, shared!("words.mjs")),
    ("api.mjs", SCRIPT, own!("api.mjs")),
    ("content.mjs", SCRIPT, own!("content.mjs")),
    ("draft.mjs", SCRIPT, own!("draft.mjs")),
    ("held.mjs", SCRIPT, own!("held.mjs")),
    ("keys.mjs", SCRIPT, own!("keys.mjs")),
    ("mark.svg", DRAWING, own!("mark.svg")),
    ("reading.mjs", SCRIPT, own!("reading.mjs")),
    ("rows.mjs", SCRIPT, own!("rows.mjs")),
    ("sheet.css", STYLE, own!("sheet.css")),
    ("sheet.mjs", SCRIPT, own!("sheet.mjs")),
    ("sign-in.mjs", SCRIPT, own!("sign-in.mjs")),
];

/// Changes with every change of any file: browsers ask again and are told that nothing changed.
static MARK: LazyLock<String> = LazyLock::new(|| {
    let mut hash = Sha256::new();
    for (name, _, content) in FILES {
        hash.update(name.as_bytes());
        hash.update(content.as_bytes());
    }
    let digest: String = hash.finalize()[..8]
        .iter()
        .map(|b| format!("{b:02x}"))
        .collect();
    format!("\"{digest}\"")
});

pub(super) async fn file(Id(name): Id, headers: HeaderMap) -> Result<Response, Refusal> {
    let Some((_, kind, content)) = FILES.iter().find(|(known, _, _)| *known == name) else {
        return Err(Refusal::new(StatusCode::NOT_FOUND, "there is no such file"));
    };
    let about = [
        (header::CONTENT_TYPE, *kind),
        (header::ETAG, MARK.as_str()),
        (header::CACHE_CONTROL, "no-cache"),
    ];
    let known = headers.get(header::IF_NONE_MATCH);
    if known.is_some_and(|value| value.as_bytes() == MARK.as_bytes()) {
        return Ok((StatusCode::NOT_MODIFIED, about).into_response());
    }
    Ok((about, *content).into_response())
}

pub(super) async fn sheet() -> Response {
    page(own!("sheet.html"))
}

pub(super) fn sign_in() -> Response {
    page(own!("sign-in.html"))
}

fn page(content: &'static str) -> Response {
    ([(header::CONTENT_TYPE, PAGE)], content).into_response()
}

/// The HTTP interface in OpenAPI 3.1.
pub(super) async fn openapi() -> Response {
    let kind = [(header::CONTENT_TYPE, "application/json")];
    (kind, include_str!("openapi.json")).into_response()
}
