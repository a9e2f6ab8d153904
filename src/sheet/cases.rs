//! Requests about cases: keystrokes, lines, what is undone, what lies on the pile.

use super::App;
use super::answer::{Body, Id, Refusal, number};
use super::desk::{Desk, Guard, NewRemark, Sheet, Trouble};
use super::markdown;
use axum::Json;
use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};
use std::time::Duration;

/// The longest line, in characters; the page's own field takes no more either.
const LONGEST: usize = 4_000;

/// How long a request waits for a change.
const PATIENCE: Duration = Duration::from_secs(20);

/// Changes of the pile within this time are told together.
const GATHER: Duration = Duration::from_millis(700);

/// A line to be written.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Line {
    line: String,
    on: u32,
    #[serde(default)]
    version: Option<u64>,
}

/// A keystroke: what stands on the line now.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Keystroke {
    line: String,
    seq: u32,
}

/// The last line back.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Undo {
    on: u32,
}

/// A line struck through, by its number.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Strike {
    line: u32,
    on: u32,
}

/// A remark.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RemarkBody {
    #[serde(default)]
    article: Option<String>,
    #[serde(default)]
    fix: Option<String>,
    #[serde(default)]
    case: Option<String>,
    text: String,
}

/// A sheet with its Markdown made safe.
#[derive(Serialize)]
pub(super) struct Drawn {
    #[serde(flatten)]
    sheet: Sheet,
    html: Html,
}

#[derive(Serialize)]
struct Html {
    /// How to answer the check that is asked.
    how: Option<String>,
    /// The text of the fix at hand where it has no numbered steps.
    text: Option<String>,
}

/// The answer to a keystroke carries its number, so that one that comes late is dropped.
#[derive(Serialize)]
pub(super) struct Peeked {
    seq: u32,
    state: Drawn,
}

fn drawn(desk: &dyn Desk, sheet: Sheet) -> Drawn {
    let safe = |id: &str, text: &str| {
        let article = id.split('#').next().unwrap_or_default();
        let path = desk.path_of(article).unwrap_or_default();
        (!text.is_empty()).then(|| markdown::html(text, &path))
    };
    let state = &sheet.state;
    let how = state.asking.as_ref();
    let how = how.and_then(|asking| safe(&asking.check.id, &asking.how));
    let text = state.showing.as_ref();
    let text = text.and_then(|fix| safe(&fix.id, fix.text.as_deref().unwrap_or_default()));
    let html = Html { how, text };
    Drawn { sheet, html }
}

/// Draws a sheet, and the one of a conflict alike.
async fn sheet(
    app: &App,
    ask: impl FnOnce(&dyn Desk) -> Result<Sheet, Trouble> + Send + 'static,
) -> Result<Drawn, Refusal> {
    let found = app
        .off(move |desk| match ask(desk) {
            Ok(sheet) => Ok(Ok(drawn(desk, sheet))),
            Err(Trouble::Conflict(sheet)) => Ok(Err(drawn(desk, *sheet))),
            Err(trouble) => Err(trouble),
        })
        .await?;
    found.map_err(|state| {
        let state = serde_json::to_value(state).unwrap_or_default();
        Refusal::new(StatusCode::CONFLICT, "the case was written on meanwhile").with(state)
    })
}

/// A case as it stands.
type Answered = Result<Json<Drawn>, Refusal>;

/// Anything else.
type Told = Result<Json<Value>, Refusal>;

pub(super) async fn begin(
    State(app): State<App>,
    Body(body): Body<Map<String, Value>>,
) -> Result<(StatusCode, Json<Value>), Refusal> {
    if let Some(key) = body.keys().next() {
        let why = format!("expected nothing in the body, but found `{key}`");
        return Err(Refusal::new(StatusCode::BAD_REQUEST, why));
    }
    let case = app.off(|desk| desk.begin()).await?;
    Ok((StatusCode::CREATED, Json(json!({ "case": case }))))
}

pub(super) async fn look(State(app): State<App>, Id(case): Id) -> Answered {
    Ok(Json(sheet(&app, move |desk| desk.look(&case)).await?))
}

pub(super) async fn write(
    State(app): State<App>,
    Id(case): Id,
    Body(body): Body<Line>,
) -> Answered {
    let line = fit(&body.line)?;
    if line.is_empty() {
        return Err(Refusal::new(StatusCode::BAD_REQUEST, "the line is empty"));
    }
    let guard = Guard {
        on: body.on as usize,
        version: body.version,
    };
    let written = sheet(&app, move |desk| desk.write(&case, guard, &line)).await?;
    Ok(Json(written))
}

pub(super) async fn undo(State(app): State<App>, Id(case): Id, Body(body): Body<Undo>) -> Answered {
    let guard = Guard {
        on: body.on as usize,
        version: None,
    };
    Ok(Json(
        sheet(&app, move |desk| desk.undo(&case, guard)).await?,
    ))
}

pub(super) async fn strike(
    State(app): State<App>,
    Id(case): Id,
    Body(body): Body<Strike>,
) -> Answered {
    let guard = Guard {
        on: body.on as usize,
        version: None,
    };
    let struck = sheet(&app, move |desk| {
        desk.strike(&case, guard, body.line as usize)
    })
    .await?;
    Ok(Json(struck))
}

pub(super) async fn peek(
    State(app): State<App>,
    Id(case): Id,
    Body(body): Body<Keystroke>,
) -> Result<Json<Peeked>, Refusal> {
    let line = fit(&body.line)?;
    let state = sheet(&app, move |desk| {
        let of = (case != "new").then_some(case.as_str());
        desk.peek(of, &line)
    })
    .await?;
    Ok(Json(Peeked {
        seq: body.seq,
        state,
    }))
}

/// A line without what a line cannot hold.
fn fit(line: &str) -> Result<String, Refusal> {
    if line.chars().count() > LONGEST {
        let why = format!("expected a line of at most {LONGEST} characters");
        return Err(Refusal::new(StatusCode::BAD_REQUEST, why));
    }
    let plain: String = line
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    Ok(plain.trim().to_owned())
}

pub(super) async fn similar(State(app): State<App>, Id(case): Id) -> Told {
    let tickets = app.off(move |desk| desk.similar(&case)).await?;
    Ok(Json(json!({ "tickets": tickets })))
}

pub(super) async fn summary(State(app): State<App>, Id(case): Id) -> Told {
    let text = app.off(move |desk| desk.summary(&case)).await?;
    Ok(Json(json!({ "text": text })))
}

pub(super) async fn remark(
    State(app): State<App>,
    Body(body): Body<RemarkBody>,
) -> Result<(StatusCode, Json<Value>), Refusal> {
    let text = fit(&body.text)?;
    if text.is_empty() {
        return Err(Refusal::new(StatusCode::BAD_REQUEST, "the remark is empty"));
    }
    let remark = NewRemark {
        article: body.article,
        fix: body.fix,
        case: body.case,
        text,
    };
    let number = app.off(move |desk| desk.remark(&remark)).await?;
    Ok((StatusCode::CREATED, Json(json!({ "number": number }))))
}

/// The version and the pile: at once where the asker's version is an old one, else as soon as anything
/// changes, or after a while.
pub(super) async fn changes(State(app): State<App>, RawQuery(query): RawQuery) -> Told {
    let after = number(query.as_deref(), "after")?;
    let mut changes = app.changes.subscribe();
    let wait = async {
        let stopping = *changes.borrow_and_update() == 0;
        if stopping || app.desk.version() != after || changes.changed().await.is_err() {
            return;
        }
        if *changes.borrow() != 0 && app.desk.version() == after {
            tokio::time::sleep(GATHER).await;
        }
    };
    // Nothing changed in all that time: the pile's ages did.
    let _ = tokio::time::timeout(PATIENCE, wait).await;
    let (version, pile) = app.off(|desk| Ok((desk.version(), desk.pile()?))).await?;
    Ok(Json(json!({"version": version, "pile": pile})))
}
