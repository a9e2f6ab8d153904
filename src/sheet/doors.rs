//! Who is let in, and what every answer says to browsers.
//!
//! - The host asked for must be one of this sheet's own names: a name that somebody else points at this
//!   machine is refused (DNS rebinding).
//! - A write must come from the sheet's own page or from no page at all: `Origin` and `Sec-Fetch-Site`
//!   say so, and its body is JSON, which no plain form can send.
//! - Where the sheet listens to more than its own machine every request needs the token.

use super::answer::{Body, Refusal};
use super::token::{COOKIE, Token};
use super::{App, assets};
use axum::extract::{MatchedPath, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use std::time::Instant;

/// Nothing but the sheet's own files, and nobody may frame it.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
     base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Who is let in.
#[derive(Clone, Debug, Default)]
pub struct Doors {
    /// Names of the sheet, without ports, in small letters; `[::1]` with brackets.
    pub names: Vec<String>,
    /// The token that every request needs; none on the own machine.
    pub token: Option<Token>,
    /// Whether browsers come by https, through TLS here or at a proxy before it.
    pub secure: bool,
}

impl Doors {
    fn knows(&self, host: &str) -> bool {
        let name = match host.rsplit_once(':') {
            Some((name, port)) if port.bytes().all(|b| b.is_ascii_digit()) => name,
            _ => host,
        };
        self.names.iter().any(|own| own.eq_ignore_ascii_case(name))
    }

    fn lets_in(&self, headers: &HeaderMap) -> bool {
        let Some(token) = &self.token else {
            return true;
        };
        let text = |name| headers.get(name).and_then(|value| value.to_str().ok());
        let bearer = text(header::AUTHORIZATION).and_then(|value| value.strip_prefix("Bearer "));
        bearer.is_some_and(|given| token.is(given.trim()))
            || text(header::COOKIE).is_some_and(|cookies| token.in_cookies(cookies))
    }
}

/// Why a request is refused before anybody looks at it; none where it is let on.
fn refused(doors: &Doors, request: &Request) -> Option<Refusal> {
    let headers = request.headers();
    let text = |name: &str| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    let authority = request
        .uri()
        .authority()
        .map(axum::http::uri::Authority::as_str);
    let host = text("host").or(authority).unwrap_or_default();
    if !doors.knows(host) {
        let why = "this sheet is not known by that name; its own names are given with `--name`";
        return Some(Refusal::new(StatusCode::MISDIRECTED_REQUEST, why));
    }
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    let site = text("sec-fetch-site");
    let strange_site = site.is_some_and(|site| !matches!(site, "same-origin" | "none"));
    let origin = text("origin");
    let strange_origin = origin.is_some_and(|origin| {
        let of = origin.split_once("://").map_or("", |(_, of)| of);
        !(of.eq_ignore_ascii_case(host) || (doors.secure && doors.knows(of)))
    });
    // A link from elsewhere may lead to a page; scripts of elsewhere may neither read nor write.
    let page = reads && text("sec-fetch-mode").is_none_or(|mode| mode == "navigate");
    if (strange_site || strange_origin) && !page {
        let why = "only the sheet's own pages may do this";
        return Some(Refusal::new(StatusCode::FORBIDDEN, why));
    }
    None
}

/// The door: measures, refuses, lets in, and adds what every answer says.
pub(super) async fn door(State(app): State<App>, request: Request, next: Next) -> Response {
    let started = Instant::now();
    let method = request.method().clone();
    let route = request.extensions().get::<MatchedPath>();
    let route = route.map_or_else(|| "none".to_owned(), |path| path.as_str().to_owned());
    let mut response = match refused(&app.doors, &request) {
        Some(refusal) => refusal.into_response(),
        None if opens(&route) || app.doors.lets_in(request.headers()) => next.run(request).await,
        None => no_token(&request),
    };
    let took = started.elapsed();
    let status = response.status();
    app.metrics.request(&route, status.as_u16(), took);
    // The route alone: ids and words of callers are no business of the log.
    tracing::debug!(%method, route, status = status.as_u16(), ms = took.as_secs_f64() * 1000.0, "request");
    say_to_browsers(response.headers_mut());
    response
}

/// Routes that need no token: those that ask for it.
fn opens(route: &str) -> bool {
    matches!(route, "/sign-in" | "/page/{name}")
}

fn no_token(request: &Request) -> Response {
    let accept = request.headers().get(header::ACCEPT);
    let page = accept
        .and_then(|value| value.to_str().ok())
        .is_some_and(|value| value.contains("text/html"));
    let mut response = if page {
        assets::sign_in()
    } else {
        Refusal::new(StatusCode::UNAUTHORIZED, "the token of this desk is needed").into_response()
    };
    *response.status_mut() = StatusCode::UNAUTHORIZED;
    let scheme = HeaderValue::from_static("Bearer");
    response
        .headers_mut()
        .insert(header::WWW_AUTHENTICATE, scheme);
    response
}

fn say_to_browsers(headers: &mut HeaderMap) {
    for (name, value) in [
        ("content-security-policy", POLICY),
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "no-referrer"),
        ("cross-origin-opener-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
        (
            "permissions-policy",
            "camera=(), microphone=(), geolocation=()",
        ),
        ("cache-control", "no-store"),
    ] {
        let name = header::HeaderName::from_static(name);
        headers
            .entry(name)
            .or_insert_with(|| HeaderValue::from_static(value));
    }
}

/// A token handed over.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SignIn {
    token: String,
}

/// Takes the token and gives a cookie that scripts cannot read.
pub(super) async fn sign_in(
    State(app): State<App>,
    Body(body): Body<SignIn>,
) -> Result<Response, Refusal> {
    let Some(token) = app
        .doors
        .token
        .as_ref()
        .filter(|token| token.is(&body.token))
    else {
        return Err(Refusal::new(
            StatusCode::UNAUTHORIZED,
            "that is not the token of this desk",
        ));
    };
    let secure = if app.doors.secure { "; Secure" } else { "" };
    let month = 30 * 86_400;
    let cookie = format!(
        "{COOKIE}={}; HttpOnly; SameSite=Strict; Path=/; Max-Age={month}{secure}",
        token.cookie()
    );
    Ok((StatusCode::NO_CONTENT, [(header::SET_COOKIE, cookie)]).into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_its_own_names_are_known_whatever_the_port() {
        let names = ["localhost", "127.0.0.1", "[::1]", "sheet.example.org"];
        let doors = Doors {
            names: names.map(str::to_owned).to_vec(),
            ..Doors::default()
        };
        for (host, known) in [
            ("localhost", true),
            ("LocalHost:4180", true),
            ("[::1]:80", true),
            ("[::1]", true),
            ("sheet.example.org:443", true),
            ("sheet.example.org.evil.example", false),
            ("evil.example:4180", false),
            ("localhost:x", false),
            ("", false),
            ("?", false),
        ] {
            assert_eq!(doors.knows(host), known, "{host}");
        }
    }
}
