//! The whole command reference, so that every change of help shows in review.

use std::fmt::Write as _;

#[test]
fn the_command_reference_is_as_reviewed() {
    let mut reference = String::new();
    describe(
        &mut fixtally::cli::command_line().term_width(80),
        "",
        &mut reference,
    );
    insta::assert_snapshot!(reference);
}

fn describe(command: &mut clap::Command, before: &str, out: &mut String) {
    let name = format!("{before}{}", command.get_name());
    writeln!(out, "# {name}\n\n{}", command.render_long_help()).unwrap();
    for sub in command.get_subcommands_mut() {
        let mut sub = sub.clone().term_width(80);
        describe(&mut sub, &format!("{name} "), out);
    }
}
