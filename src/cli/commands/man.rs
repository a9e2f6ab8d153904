//! `fixtally man`: manual pages.

use super::{Exit, Failure, Session};
use clap::ArgAction;
use std::path::PathBuf;

/// Write the manual pages into a folder
///
/// One page for fixtally and one for each command; the folder is made where it is missing.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The folder
    #[arg(value_name = "DIR")]
    dir: PathBuf,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    std::fs::create_dir_all(&args.dir)
        .map_err(|e| Failure::file("make the folder", &args.dir, &e))?;
    let mut commands = crate::cli::command_line();
    // Names and options of the whole come into the parts.
    commands.build();
    clap_mangen::generate_to(with_synopsis(commands), &args.dir)
        .map_err(|e| Failure::file("write manual pages into", &args.dir, &e))?;
    session.notice(&format!("Manual pages written to {}.", args.dir.display()));
    Ok(Exit::Done)
}

/// The commands with a synopsis in which options stand with their values, their own before those of
/// every command.
fn with_synopsis(command: clap::Command) -> clap::Command {
    let mut parts = vec![
        command
            .get_bin_name()
            .unwrap_or(command.get_name())
            .to_owned(),
    ];
    let options = || {
        command
            .get_arguments()
            .filter(|arg| !arg.is_positional() && !arg.is_hide_set())
    };
    parts.extend(options().filter(|arg| !arg.is_global_set()).map(shown));
    parts.extend(options().filter(|arg| arg.is_global_set()).map(shown));
    parts.extend(command.get_positionals().map(shown));
    if command.has_subcommands() {
        parts.push("COMMAND".to_owned());
    }
    let synopsis = parts.join(" ");
    command
        .override_usage(synopsis)
        .mut_subcommands(with_synopsis)
}

/// An argument as `[-q|--quiet]`, `[--code C]...`, `DIR`.
fn shown(arg: &clap::Arg) -> String {
    let names: Vec<String> = [
        arg.get_short().map(|short| format!("-{short}")),
        arg.get_long().map(|long| format!("--{long}")),
    ]
    .into_iter()
    .flatten()
    .collect();
    let takes = arg.is_positional() || arg.get_action().takes_values();
    let values = arg.get_value_names().filter(|_| takes).unwrap_or_default();
    let mut words = vec![names.join("|")];
    words.extend(values.iter().map(ToString::to_string));
    words.retain(|word| !word.is_empty());
    let words = words.join(" ");
    let many = match arg.get_action() {
        ArgAction::Append => {
            arg.get_num_args().is_some_and(|n| n.max_values() > 1) || !arg.is_positional()
        }
        ArgAction::Count => true,
        _ => false,
    };
    let dots = if many { "..." } else { "" };
    if arg.is_required_set() {
        format!("{words}{dots}")
    } else {
        format!("[{words}]{dots}")
    }
}
