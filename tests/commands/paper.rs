//! Completion scripts and manual pages.

use crate::case::Case;

#[test]
fn every_shell_gets_a_script_that_knows_the_commands() {
    let case = Case::new();
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let ran = case.run(&["completions", shell]).ok();
        for word in ["fixtally", "ask", "evidence", "lint", "not-danger"] {
            assert!(ran.stdout.contains(word), "no `{word}` for {shell}");
        }
    }
    case.run(&["completions", "cmd"]).exits(2).complains("zsh");
}

#[test]
fn every_command_gets_a_manual_page() {
    let case = Case::new();
    case.run(&["man", "pages/man1"]).ok();
    let mut names: Vec<String> = std::fs::read_dir(case.path("pages/man1"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    for name in ["fixtally.1", "fixtally-ask.1", "fixtally-tickets-import.1"] {
        assert!(names.contains(&name.to_owned()), "no {name} in {names:?}");
    }
    for name in &names {
        let page = std::fs::read_to_string(case.path("pages/man1").join(name)).unwrap();
        assert!(page.contains(".SH NAME") && page.len() > 200, "{name}");
    }
    let synopsis = |name: &str| {
        let page = std::fs::read_to_string(case.path("pages/man1").join(name)).unwrap();
        let below = page.split(".SH SYNOPSIS\n").nth(1).unwrap();
        let bold = |text: &str| text.replace("\\fB", "").replace("\\fR", "");
        bold(below.lines().next().unwrap()).replace('\\', "")
    };
    let pages = [
        "fixtally.1",
        "fixtally-ask.1",
        "fixtally-tickets-import.1",
        "fixtally-man.1",
    ];
    insta::assert_snapshot!("synopses", pages.map(synopsis).join("\n\n"));
    case.write("file", "");
    case.run(&["man", "file/below"])
        .exits(2)
        .complains("cannot make the folder `file/below`");
}
