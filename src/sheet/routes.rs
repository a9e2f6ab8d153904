//! Which request goes where.

use super::answer::{LARGEST_BODY, Refusal};
use super::{App, assets, cases, doors, reading};
use axum::Json;
use axum::Router;
use axum::extract::{DefaultBodyLimit, State};
use axum::http::{StatusCode, header};
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use serde_json::{Value, json};
use std::time::Duration;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::timeout::TimeoutLayer;

/// The longest any request may take; waiting for a change is the longest.
const LONGEST: Duration = Duration::from_secs(30);

/// The sheet's service.
pub fn router(app: App) -> Router {
    Router::new()
        .route("/", get(assets::sheet))
        .route("/cases/{case}", get(assets::sheet))
        .route("/articles", get(assets::sheet))
        .route("/articles/{article}", get(assets::sheet))
        .route("/page/{name}", get(assets::file))
        .route("/pictures/{*path}", get(reading::picture))
        .route("/openapi.json", get(assets::openapi))
        .route("/health", get(health))
        .route("/metrics", get(metrics))
        .route("/sign-in", post(doors::sign_in))
        .route("/api/desk", get(reading::about))
        .route("/api/changes", get(cases::changes))
        .route("/api/articles", get(reading::articles))
        .route("/api/articles/{article}", get(reading::article))
        .route("/api/remarks", post(cases::remark))
        .route("/api/cases", post(cases::begin))
        .route("/api/cases/{case}", get(cases::look))
        .route("/api/cases/{case}/lines", post(cases::write))
        .route("/api/cases/{case}/peek", post(cases::peek))
        .route("/api/cases/{case}/undo", post(cases::undo))
        .route("/api/cases/{case}/strike", post(cases::strike))
        .route("/api/cases/{case}/similar", get(cases::similar))
        .route("/api/cases/{case}/summary", get(cases::summary))
        .fallback(nowhere)
        .method_not_allowed_fallback(not_so)
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .layer(TimeoutLayer::with_status_code(
            StatusCode::SERVICE_UNAVAILABLE,
            LONGEST,
        ))
        .layer(CatchPanicLayer::custom(panicked))
        .layer(CompressionLayer::new())
        .layer(from_fn_with_state(app.clone(), doors::door))
        .with_state(app)
}

async fn nowhere() -> Refusal {
    Refusal::new(StatusCode::NOT_FOUND, "there is no such page")
}

async fn not_so() -> Refusal {
    Refusal::new(StatusCode::METHOD_NOT_ALLOWED, "this cannot be done so")
}

/// What a panic is answered with: nothing of where it was.
#[allow(
    clippy::needless_pass_by_value,
    reason = "the layer asks for this form"
)]
fn panicked(_: Box<dyn std::any::Any + Send>) -> Response {
    tracing::error!("a request panicked");
    let why = "the desk cannot do this now; its log says why";
    Refusal::new(StatusCode::INTERNAL_SERVER_ERROR, why).into_response()
}

async fn health(State(app): State<App>) -> Json<Value> {
    let stopping = *app.changes.borrow() == 0;
    Json(json!({"status": if stopping { "stopping" } else { "ok" }, "version": app.desk.version()}))
}

async fn metrics(State(app): State<App>) -> Response {
    let text = app.metrics.text(app.desk.figures());
    let kind = [(
        header::CONTENT_TYPE,
        "text/plain; version=0.0.4; charset=utf-8",
    )];
    (kind, text).into_response()
}
