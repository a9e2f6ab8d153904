//! `fixtally tickets correct`: fields of one ticket, set by a person.

use super::add::CaseArgs;
use super::latest::Latest;
use super::{Exit, Failure, Session};
use crate::base::escape::terminal_line;
use crate::cli::names::Names;
use crate::cli::{desk, ledger};
use crate::tickets::care::{Care, Corrected, Patch, Undone};
use serde_json::{Map, Value, json};
use std::io::Write as _;

/// Correct fields of a ticket
///
/// The fields given replace those of the ticket; tries replace all its tries. Later imports of the
/// ticket leave corrected fields as they are. --undo takes the last correction back; after an
/// import, it lets the next one bring the old fields.
///
/// Exit code 1: there is no such ticket, or nothing to undo.
/// Example: `fixtally tickets correct T-10482 --fixed-by no-lights-at-all#switch-on-once`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The ticket's id or ref
    #[arg(value_name = "ID")]
    ticket: String,
    #[command(flatten)]
    case: CaseArgs,
    /// A field to empty, such as `article`
    #[arg(long, value_name = "FIELD")]
    without: Vec<String>,
    /// Take the last correction of this ticket back
    #[arg(long)]
    undo: bool,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let (settings, catalog) = desk::names(session)?;
    let names = Names {
        settings: &settings,
        catalog: &catalog,
    };
    let mut fields: Map<String, Value> = args.case.ticket(names)?;
    // Lists that were not given are empty, and leave the ticket's as they are.
    fields.retain(|_, value| match value {
        Value::Array(items) => !items.is_empty(),
        Value::Object(pairs) => !pairs.is_empty(),
        _ => true,
    });
    for field in &args.without {
        fields.insert(field.clone(), Value::Null);
    }
    if args.undo {
        if !fields.is_empty() {
            return Err(Failure::new("`--undo` goes with no other field"));
        }
        let mut store = ledger::open(session)?;
        let undone = store.uncorrect(&args.ticket).map_err(ledger::failure)?;
        return say_undone(session, &args.ticket, &undone, "corrected");
    }
    if fields.is_empty() {
        return Err(Failure::new("nothing to correct: expected a field")
            .hint("fixtally tickets correct ID --outcome resolved"));
    }
    let times = super::times(session)?;
    for key in ["opened", "closed"] {
        let Some(given) = fields.get(key).and_then(Value::as_str) else {
            continue;
        };
        let time = times.written(key, given).map_err(|(message, help)| {
            help.into_iter().fold(Failure::new(message), Failure::hint)
        })?;
        if key == "closed"
            && let Some(why) = Latest::of(session)?.refuses(time)
        {
            return Err(Failure::new(why));
        }
        fields.insert(key.to_owned(), json!(time));
    }
    let patch = Patch::new(fields, &super::scrubber(session)?);
    let mut store = ledger::open(session)?;
    match store
        .correct(&args.ticket, &patch)
        .map_err(ledger::failure)?
    {
        Corrected::Missing => super::show::missing(&args.ticket, &store),
        Corrected::Refused(why) => Err(Failure::new(format!(
            "`{}` would be no ticket: {why}",
            args.ticket
        ))),
        Corrected::Same(id) => {
            say(
                session,
                &json!({"id": id, "changed": []}),
                &format!("{id}: nothing changed"),
            )?;
            Ok(Exit::Done)
        }
        Corrected::Done(both) => {
            let (was, now) = *both;
            let changed = changed(&json!(was), &json!(now));
            let names: Vec<&str> = changed.iter().map(String::as_str).collect();
            let line = format!(
                "{}: {} corrected (`fixtally tickets correct {} --undo` takes it back)",
                now.id,
                names.join(", "),
                now.id
            );
            say(session, &json!({"id": now.id, "changed": changed}), &line)?;
            Ok(Exit::Done)
        }
    }
}

/// The names of the fields that differ.
fn changed(was: &Value, now: &Value) -> Vec<String> {
    let empty = Map::new();
    let (was, now) = (
        was.as_object().unwrap_or(&empty),
        now.as_object().unwrap_or(&empty),
    );
    let mut names: Vec<String> = was
        .keys()
        .chain(now.keys())
        .filter(|key| was.get(*key) != now.get(*key))
        .cloned()
        .collect();
    names.sort();
    names.dedup();
    names
}

/// One line for people, or its value for machines.
pub(super) fn say(session: &Session, value: &Value, line: &str) -> Result<(), Failure> {
    let mut out = session.out();
    if session.json {
        writeln!(out, "{value}")?;
    } else {
        writeln!(out, "{}", terminal_line(line))?;
    }
    Ok(())
}

/// Says what became of an undoing.
pub(super) fn say_undone(
    session: &Session,
    asked: &str,
    undone: &Undone,
    done: &str,
) -> Result<Exit, Failure> {
    let (value, line, exit) = match undone {
        Undone::Done(id) => (
            json!({"id": id, "undone": true}),
            format!("{id}: as it was before it was {done}"),
            Exit::Done,
        ),
        Undone::Later(id) => (
            json!({"id": id, "undone": "next-import"}),
            format!("{id}: no longer {done}; the next import of its file brings it back"),
            Exit::Done,
        ),
        Undone::Nothing => (
            json!({"id": asked, "undone": false}),
            format!("`{asked}` was not {done}: nothing to undo"),
            Exit::Findings,
        ),
    };
    say(session, &value, &line)?;
    Ok(exit)
}
