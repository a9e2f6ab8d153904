//! Good and broken maps.

use super::*;

const GOOD: &str = r#"zone = "Europe/Berlin"
dates = ["%d.%m.%Y %H:%M"]
id = { column = "Number" }
[columns]
closed = "Closed at"
said = "Subject"
[values.outcome]
"Done" = "resolved"
[constant]
source = "north"
"#;

#[test]
fn a_good_map_is_read() {
    let map = Map::parse("map.toml", GOOD).unwrap();
    assert_eq!(map.columns["said"][0].name, "Subject");
    assert_eq!(map.value("outcome", "Done"), "resolved");
    assert_eq!(map.value("outcome", "Open"), "Open");
    assert_eq!(map.constant["source"], "north");
}

#[test]
fn every_fault_has_its_place() {
    for (from, to, told) in [
        ("zone = \"Europe/Berlin\"\n", "", "0:0 `zone` is missing"),
        (
            "Europe/Berlin",
            "Berlin",
            "1:8 expected a time zone such as `Europe/Berlin`, but found `Berlin`",
        ),
        (
            "%d.%m.%Y %H:%M",
            "%d.%m.%Y %!",
            "2:10 expected a pattern such as `%d.%m.%Y %H:%M` in `dates`, but found `%d.%m.%Y %!`",
        ),
        ("id = { column = \"Number\" }\n", "", "0:0 `id` is missing"),
        (
            "{ column = \"Number\" }",
            "{ row = 3 }",
            "3:6 expected a column or the row in `id`",
        ),
        ("closed =", "close =", "5:1 unknown key `close`"),
        ("closed =", "reopened =", "0:0 `closed` has no column"),
        (
            "said =",
            "device =",
            "0:0 neither `said` nor `notes` has a column, one is needed",
        ),
        (
            "said =",
            "fix = \"F\"\nsaid =",
            "0:0 `fix` has a column, so `result` needs one or a constant",
        ),
        (
            "said =",
            "result = \"R\"\nsaid =",
            "0:0 `result` and `minutes` need a column for `fix`",
        ),
        (
            "\"resolved\"",
            "\"solved\"",
            "8:10 expected `resolved`, `handed-on` or `dropped` in `outcome`, but found `solved`",
        ),
        (
            "source =",
            "said =",
            "10:8 `said` has a column and a constant, one is enough",
        ),
        (
            "\"Subject\"",
            "7",
            "6:8 expected text in `said`, but found integer",
        ),
        ("[constant]", "[constants]", "9:2 unknown key `constants`"),
        ("[columns]", "[columns", "4:9 unclosed table, expected `]`"),
        (
            "id =",
            "delimiter = \"tab\"\nid =",
            "3:13 expected one character such as `;` in `delimiter`, but found `tab`",
        ),
    ] {
        let text = GOOD.replace(from, to);
        let problems = Map::parse("map.toml", &text).unwrap_err();
        let all: Vec<String> = problems
            .iter()
            .map(|p| format!("{}:{} {}", p.place.line, p.place.column, p.message))
            .collect();
        assert!(
            all.iter().any(|line| line == told),
            "no {told:?} in {all:?}"
        );
    }
}
