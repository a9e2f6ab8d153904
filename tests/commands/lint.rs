//! `fixtally lint` from the outside: printing, grades, exit codes.

use crate::case::Case;

const KB: &str = "name = \"Test\"\n[devices.post-7]\ncodes = [\"K31\"]\n";
const GOOD: &str = "---\nid: good\ntitle: Good\nsymptoms: [x]\nreviewed: 2026-09-01\n---\nText.\n";

const DANGER: &str = "---\nid: danger\ntitle: Danger\nsymptoms: [x]\nreviewed: 2026-09-01\ndanger: stop\nstop-words: [smoke]\n---\n## Do now\n1. Keep away.\n";

fn case() -> Case {
    Case::new()
        .file("kb/kb.toml", KB)
        .file("kb/articles/p/danger.md", DANGER)
        .file("kb/articles/p/good.md", GOOD)
}

fn lint(case: &Case, more: &[&str]) -> crate::case::Ran {
    case.run(&[&["lint", "--as-of", "2026-11-01"], more].concat())
}

#[test]
fn a_clean_folder_ends_with_0() {
    let ran = lint(&case(), &["--strict"]).ok();
    assert_eq!(ran.stdout, "0 errors, 0 notes in 2 articles\n");
}

#[test]
fn notes_count_only_with_strict() {
    let case = case().file("kb/articles/p/good.md", GOOD.replace("symptoms: [x]\n", ""));
    lint(&case, &[])
        .ok()
        .says("note[no-symptom]")
        .says("0 errors, 1 note in 2 articles");
    lint(&case, &["--strict"]).exits(1);
}

#[test]
fn errors_are_shown_with_place_excerpt_and_help() {
    let case = case()
        .file(
            "kb/articles/p/bad.md",
            GOOD.replace("id: good", "id: bad\ndevices: [post7]"),
        )
        .file("kb/words.toml", "[sam]\n");
    let ran = lint(&case, &[]).exits(1);
    insta::assert_snapshot!(ran.stdout);
    let json = lint(&case, &["--json"]).exits(1).json();
    assert_eq!(json[0]["rule"], "unknown-device");
    assert_eq!(json[0]["grade"], "error");
    assert_eq!(json[0]["place"]["line"], 3);
    assert_eq!(json[0]["help"], "did you mean `post-7`?");
}

#[test]
fn colours_appear_only_where_asked_for() {
    let case = case().file("kb/words.toml", "[sam]\n");
    assert!(!lint(&case, &[]).stdout.contains('\u{1b}'));
    assert!(
        lint(&case, &["--color", "always"])
            .stdout
            .contains('\u{1b}')
    );
}

#[test]
fn a_folder_without_settings_is_an_input_error() {
    lint(&Case::new(), &[])
        .exits(2)
        .complains("`kb` is no knowledge base: it holds no `kb.toml`")
        .complains("--kb DIR");
}

#[test]
fn a_file_of_50_megabytes_is_refused_unread() {
    let case = case();
    let large = std::fs::File::create(case.path("kb/articles/p/large.md")).unwrap();
    large.set_len(50 << 20).unwrap();
    lint(&case, &[])
        .exits(1)
        .says("error[too-large]")
        .says("in 3 articles");
}

#[test]
fn foreign_text_cannot_move_the_terminal() {
    let case = case().file(
        "kb/articles/p/bad.md",
        "---\nid: bad\n\u{1b}[2Jx: 1\ntitle: \u{202e}x\ndevices: [\"\\e[31m\"]\n---\n",
    );
    let ran = lint(&case, &[]).exits(1);
    assert!(
        !ran.stdout.contains(['\u{1b}', '\u{202e}']),
        "{}",
        ran.stdout
    );
}

#[test]
fn slips_of_the_pen_are_mended_and_what_a_person_must_decide_is_left() {
    let bad = "---\nid: bad\ntitle: Bad\nsymtoms: [x]\ndevices: [post7]\nreviewed: 2026-09-01\n---\nText.\n\n\
        ## Check: Dry? {#dry answers=yes,no}\nLook.\n\n\
        ## Fix: Wipe it {#wipe minuts=5 who=calller expect=dry:yess}\n1. Wipe.\n\nDone when: dry.\n";
    let case = case().file("kb/articles/p/bad.md", bad);
    let ran = lint(&case, &["--mend"]).exits(1);
    insta::assert_snapshot!(ran.stdout);
    let now = std::fs::read_to_string(case.path("kb/articles/p/bad.md")).unwrap();
    assert!(now.contains("symptoms: [x]\ndevices: [post-7]"), "{now}");
    assert!(
        now.contains("minutes=5 who=calller expect=dry:yes}"),
        "{now}"
    );
    let again = lint(&case, &["--mend", "--json"]).exits(1).json();
    assert_eq!(again["mended"], serde_json::json!({}));
    assert_eq!(again["problems"][0]["rule"], "unknown-role");
}

#[test]
fn the_demo_has_the_planted_findings_and_nothing_else() {
    let found = Case::shared_demo()
        .run(&["lint", "--strict", "--json"])
        .exits(1)
        .json();
    let found: Vec<(&str, &str)> = found
        .as_array()
        .unwrap()
        .iter()
        .map(|problem| {
            let file = problem["place"]["file"].as_str().unwrap();
            (problem["rule"].as_str().unwrap(), file)
        })
        .collect();
    assert_eq!(
        found,
        [
            ("review", "articles/mechanics/post-leans-or-loose.md"),
            ("review", "articles/weather/stiff-or-slow-in-frost.md"),
        ]
    );
}

#[test]
fn an_article_with_a_large_ending_is_pointed_out() {
    let case = case().file(
        "kb/articles/p/other.MD",
        GOOD.replace("id: good", "id: other"),
    );
    lint(&case, &[])
        .ok()
        .says("note[ending]")
        .says("articles/p/other.MD")
        .says("rename it so that it ends in `.md`")
        .says("0 errors, 1 note in 2 articles");
}
