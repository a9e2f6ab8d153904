//! Requests about articles and pictures, and about the desk itself.

use super::App;
use super::answer::{Id, Refusal};
use super::desk::Reading;
use super::markdown;
use axum::Json;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde_json::{Map, Value, json};

pub(super) async fn about(State(app): State<App>) -> Result<Json<Value>, Refusal> {
    let about = app.off(|desk| Ok(desk.about())).await?;
    Ok(Json(serde_json::to_value(about).unwrap_or_default()))
}

pub(super) async fn articles(State(app): State<App>) -> Result<Json<Value>, Refusal> {
    let all = app.off(|desk| Ok(desk.articles())).await?;
    Ok(Json(serde_json::to_value(all).unwrap_or_default()))
}

pub(super) async fn article(State(app): State<App>, Id(id): Id) -> Result<Json<Value>, Refusal> {
    let reading = app.off(move |desk| desk.article(&id)).await?;
    Ok(Json(drawn(&reading)))
}

fn drawn(reading: &Reading) -> Value {
    let pieces: Map<String, Value> = reading
        .pieces
        .iter()
        .map(|(id, text, path)| (id.clone(), json!(markdown::html(text, path))))
        .collect();
    json!({
        "page": reading.page,
        "html": {"intro": markdown::html(&reading.intro, &reading.page.path), "pieces": pieces},
        "evidence": reading.evidence,
    })
}

/// Kinds of pictures, by the ending of their names.
const KINDS: &[(&str, &str)] = &[
    ("svg", "image/svg+xml"),
    ("png", "image/png"),
    ("jpg", "image/jpeg"),
    ("jpeg", "image/jpeg"),
    ("webp", "image/webp"),
];

/// A picture that an article shows. A drawing opened by itself may run nothing and fetch nothing.
pub(super) async fn picture(State(app): State<App>, Id(path): Id) -> Result<Response, Refusal> {
    let missing = || Refusal::new(StatusCode::NOT_FOUND, "no article shows such a picture");
    let ending = path.rsplit('.').next().unwrap_or_default().to_lowercase();
    let Some((_, kind)) = KINDS.iter().find(|(known, _)| *known == ending) else {
        return Err(missing());
    };
    let found = app.off(move |desk| Ok(desk.picture(&path))).await?;
    let bytes = found.ok_or_else(missing)?;
    let policy = "default-src 'none'; style-src 'unsafe-inline'; sandbox";
    Ok((
        [
            (header::CONTENT_TYPE, *kind),
            (header::CONTENT_SECURITY_POLICY, policy),
        ],
        bytes,
    )
        .into_response())
}
