//! What a request is refused with, and how bodies, ids and queries are read: always answered in JSON, and
//! never with anything of this machine.

use super::desk::Trouble;
use axum::Json;
use axum::extract::rejection::{BytesRejection, PathRejection};
use axum::extract::{FromRequest, FromRequestParts, Path, Request};
use axum::http::request::Parts;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::de::DeserializeOwned;
use serde_json::json;

/// The largest body that is read, in bytes.
pub const LARGEST_BODY: usize = 64 << 10;

/// A refusal: a status and why, in words.
#[derive(Debug)]
pub struct Refusal {
    status: StatusCode,
    why: String,
    state: Option<serde_json::Value>,
}

impl Refusal {
    /// A refusal with nothing but a reason.
    #[must_use]
    pub fn new(status: StatusCode, why: impl Into<String>) -> Self {
        Self {
            status,
            why: why.into(),
            state: None,
        }
    }

    /// The same with the state as it is.
    pub(super) fn with(mut self, state: serde_json::Value) -> Self {
        self.state = Some(state);
        self
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let body = match self.state {
            Some(state) => json!({"error": self.why, "state": state}),
            None => json!({"error": self.why}),
        };
        (self.status, Json(body)).into_response()
    }
}

impl From<Trouble> for Refusal {
    fn from(trouble: Trouble) -> Self {
        match trouble {
            Trouble::Missing(what) => Self::new(StatusCode::NOT_FOUND, what),
            Trouble::Held(what) => Self::new(StatusCode::LOCKED, what),
            Trouble::Input(why) => Self::new(StatusCode::BAD_REQUEST, why),
            Trouble::Conflict(sheet) => {
                let why = "the case was written on meanwhile";
                let state = serde_json::to_value(sheet).unwrap_or_default();
                Self::new(StatusCode::CONFLICT, why).with(state)
            }
            Trouble::Broken(why) => {
                tracing::error!(why, "a request could not be answered");
                let why = "the desk cannot do this now; its log says why";
                Self::new(StatusCode::INTERNAL_SERVER_ERROR, why)
            }
        }
    }
}

/// A JSON body.
pub(super) struct Body<T>(pub(super) T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for Body<T> {
    type Rejection = Refusal;

    async fn from_request(request: Request, state: &S) -> Result<Self, Refusal> {
        let kind = request.headers().get(header::CONTENT_TYPE);
        let is_json = kind
            .and_then(|kind| kind.to_str().ok())
            .is_some_and(|kind| {
                let plain = kind.split(';').next().unwrap_or_default();
                plain.trim().eq_ignore_ascii_case("application/json")
            });
        if !is_json {
            let why = "expected a body of the type `application/json`";
            return Err(Refusal::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, why));
        }
        let bytes = axum::body::Bytes::from_request(request, state)
            .await
            .map_err(|rejection: BytesRejection| {
                let why = format!("expected a body of at most {LARGEST_BODY} bytes");
                Refusal::new(rejection.status(), why)
            })?;
        serde_json::from_slice(&bytes)
            .map(Self)
            .map_err(|error| Refusal::new(StatusCode::BAD_REQUEST, error.to_string()))
    }
}

/// An id out of the path.
pub(super) struct Id(pub(super) String);

impl<S: Send + Sync> FromRequestParts<S> for Id {
    type Rejection = Refusal;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Refusal> {
        match Path::<String>::from_request_parts(parts, state).await {
            Ok(Path(id)) => Ok(Self(id)),
            Err(rejection) => Err(not_read(&rejection)),
        }
    }
}

fn not_read(_: &PathRejection) -> Refusal {
    Refusal::new(StatusCode::BAD_REQUEST, "the path cannot be read")
}

/// A number out of the query, 0 where it is not there.
pub(super) fn number(query: Option<&str>, name: &str) -> Result<u64, Refusal> {
    let pairs = query.unwrap_or_default().split('&');
    let found = pairs
        .filter_map(|pair| pair.split_once('='))
        .find(|(key, _)| *key == name);
    match found {
        None => Ok(0),
        Some((_, value)) => value.parse().map_err(|_| {
            let why = format!("expected a whole number as `{name}`");
            Refusal::new(StatusCode::BAD_REQUEST, why)
        }),
    }
}
