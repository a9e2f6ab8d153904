//! `fixtally call`: one case, line by line, ending in a ticket.

use super::{Exit, Failure, Session};
use crate::cli::call::conversation::{Conversation, Flow};
use crate::cli::call::input::{Input, Lines};
use crate::view::call::CallState;
use crate::view::call_text;
use std::io::Write;

/// Work a case step by step, to a closed ticket
///
/// Type what the caller says, as it comes: words, codes, `status lamp red slow`, `yes` to the check
/// that was asked. A number shows the steps of a fix; `no change`, `fixed`, `could not` say what came
/// of it; `undo` takes a line back; `help` says the rest. After each line stand what changed, the
/// best fixes, and the check that saves most minutes. A danger stops everything else. Closing writes
/// a ticket. A case that is left open, or whose terminal is lost, is offered at the next start.
///
/// From a pipe the same lines do the same; with `--json` each state is one line, the first being
/// that before any line.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Who does the work: only what this role may do is proposed
    #[arg(long = "for", value_name = "ROLE")]
    role: Option<String>,
}

/// What a person sees first.
const GREETING: &str = "What does the caller say? `help` shows what else can be said.\n\
                        Local codes and licensed practice prevail.";

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let scrubber = super::tickets::scrubber(session)?;
    let mut call = Conversation::open(session, scrubber)?;
    let role = args
        .role
        .as_deref()
        .map(|r| call.names().role(r))
        .transpose()?;
    call.set_role(role);
    let mut lines = Lines::open(call.lexicon().names());
    let prompts = lines.prompts();
    let begin = call.begin()?;
    show(&begin, session)?;
    if !session.json {
        writeln!(session.out(), "{GREETING}")?;
    }
    loop {
        let input = lines
            .next()
            .map_err(|e| Failure::because("cannot read a line", &e))?;
        let line = match input {
            Input::End => break,
            Input::Interrupted => {
                session.notice("The line is thrown away. `leave` ends; the case is kept.");
                continue;
            }
            Input::Line(line) if line.trim().is_empty() => continue,
            Input::Line(line) => line,
        };
        if !prompts && !session.json {
            // What a person would see, for whoever reads a script's output.
            let typed = crate::base::escape::terminal_line(&call.scrubbed(&line));
            writeln!(session.out(), "\n> {typed}")?;
        }
        let (state, flow) = call.line(&line)?;
        if flow == Flow::Ends {
            break;
        }
        show(&state, session)?;
    }
    if let (Some(id), false) = (call.left_open(), session.json) {
        writeln!(
            session.out(),
            "{id} stays open; the next `fixtally call` offers it."
        )?;
    }
    Ok(Exit::Done)
}

/// Written and handed over at once: a script waits for it before it says more.
fn show(state: &CallState, session: &Session) -> Result<(), Failure> {
    let mut out = session.out();
    if session.json {
        let line = serde_json::to_string(state).map_err(std::io::Error::from)?;
        writeln!(out, "{line}")?;
    } else {
        write!(out, "{}", call_text::text(state))?;
    }
    Ok(out.flush()?)
}
