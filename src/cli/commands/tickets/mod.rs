//! `fixtally tickets`: the closed tickets the ranking stands on.

mod add;
mod confirm;
mod correct;
mod export;
mod forget;
mod from_pack;
mod import;
mod input;
mod latest;
mod list;
mod look;
pub(crate) mod map;
pub(crate) mod maps;
mod opened;
mod readings;
mod rejects;
mod remove;
mod report;
mod sample;
mod show;
mod similar;
mod source;
mod table;
mod unknown;

pub(super) use sample::{Sample, is_table, sample};

use super::{Exit, Failure, Session};
use crate::articles::{Settings, settings_file};
use crate::base::problem::Grade;
use crate::tickets::Scrubber;
use crate::tickets::times::Times;
use clap::Subcommand;
use jiff::tz::TimeZone;

/// Import and look at closed tickets
///
/// The ledger holds what arrived, without personal data, and nothing inferred.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Import(import::Args),
    Map(map::Args),
    Add(Box<add::Args>),
    List(list::Args),
    Show(show::Args),
    Similar(similar::Args),
    Correct(Box<correct::Args>),
    Remove(remove::Args),
    Forget(forget::Args),
    Confirm(confirm::Args),
    Export(export::Args),
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    match &args.command {
        Command::Import(args) => import::run(args, session),
        Command::Map(args) => map::run(args, session),
        Command::Add(args) => add::run(args, session),
        Command::List(args) => list::run(args, session),
        Command::Show(args) => show::run(args, session),
        Command::Similar(args) => similar::run(args, session),
        Command::Correct(args) => correct::run(args, session),
        Command::Remove(args) => remove::run(args, session),
        Command::Forget(args) => forget::run(args, session),
        Command::Confirm(args) => confirm::run(args, session),
        Command::Export(args) => export::run(args, session),
    }
}

/// The scrubber with the knowledge base's own pattern of serial numbers.
pub(super) fn scrubber(session: &Session) -> Result<Scrubber, Failure> {
    let serial = settings_of(session)?.serial;
    Scrubber::new(serial.as_deref()).map_err(|error| {
        let file = session.kb.join("kb.toml");
        let what = format!(
            "the pattern `serial` in `{}` cannot be used",
            file.display()
        );
        Failure::because(what, &error)
    })
}

/// How times are read that no map speaks of: by the `zone` of `kb.toml`.
pub(super) fn times(session: &Session) -> Result<Times, Failure> {
    Ok(times_of(settings_of(session)?.zone.as_deref()))
}

/// ISO times, of the zone of this name where they name none.
fn times_of(zone: Option<&str>) -> Times {
    Times::of(zone.and_then(|name| TimeZone::get(name).ok()))
}

/// What `kb.toml` says; nothing where there is no such file. One that cannot be read must not let
/// serial numbers through.
fn settings_of(session: &Session) -> Result<Settings, Failure> {
    let file = session.kb.join("kb.toml");
    match std::fs::read_to_string(&file) {
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(Settings::default()),
        Err(error) => Err(Failure::file("read", &file, &error)),
        Ok(text) => settings_in(&text, &file),
    }
}

fn settings_in(text: &str, file: &std::path::Path) -> Result<Settings, Failure> {
    let (settings, problems) = settings_file::read(text);
    match problems.iter().find(|p| p.grade == Grade::Error) {
        Some(problem) => Err(Failure::new(format!(
            "cannot use `{}`: {}",
            file.display(),
            problem.message
        ))
        .hint("fixtally lint")),
        None => Ok(settings),
    }
}
