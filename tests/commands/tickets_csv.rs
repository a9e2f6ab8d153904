//! `fixtally tickets import` of tables through a map.

use crate::case::Case;

const MAP: &str = r#"zone = "Europe/Berlin"
dates = ["%d.%m.%Y %H:%M"]
delimiter = ";"
id = { column = "Number" }
[columns]
ref = "Number"
opened = "Opened"
closed = "Closed at"
said = "Subject"
notes = "Log"
codes = "Codes"
outcome = "State"
fix = "Action"
result = "Worked"
minutes = "Min"
[values.outcome]
"Done" = "resolved"
"Visit" = "handed-on"
[values.result]
"y" = "resolved"
"n" = "no-change"
[constant]
source = "north"
channel = "phone"
"#;

const TABLE: &str = "\u{feff}Number;Opened;Closed at;Subject;Log;Codes;State;Action;Worked;Min\r\n\
1;02.03.2026 10:14;02.03.2026 10:41;\"trips; only in rain\";\"Frau Müller said\r\nK31 again\";K31, K32;Done;reseal-gland;y;12,5\r\n\
2;;29.03.2026 02:30;dead;;;Visit;;;\r\n\
3;;03.03.2026;dead;;;;;;\r\n\
4;;03.03.2026 10:00;dead;;;Open;;;\r\n\
5;;03.03.2026 10:00;dead\r\n\
;;03.03.2026 10:00;dead;;;;;;\r\n\
;;;;;;;;;\r\n";

fn desk() -> Case {
    Case::new()
        .file("kb/kb.toml", "")
        .file("north.toml", MAP)
        .file("north.csv", TABLE)
}

const IMPORT: &[&str] = &["tickets", "import", "north.csv", "--map", "north.toml"];

#[test]
fn a_table_goes_in_through_its_map() {
    let case = desk();
    let ran = case.run(IMPORT).exits(1);
    let export = case.run(&["tickets", "export"]).ok().stdout;
    insta::assert_snapshot!(
        "import_table",
        format!(
            "{}--- stderr\n{}--- export\n{export}",
            ran.stdout, ran.stderr
        )
    );
}

#[test]
fn rows_without_ids_are_numbered() {
    let case = desk();
    case.write(
        "north.toml",
        MAP.replace("{ column = \"Number\" }", "{ row = true }"),
    );
    case.run(IMPORT).exits(1);
    case.run(&[IMPORT, &["--again"]].concat())
        .exits(1)
        .says("2");
    case.run(&["tickets", "show", "north-1"])
        .ok()
        .says("trips; only in rain");
}

#[test]
fn a_map_that_does_not_fit_is_told_at_its_place() {
    let case = desk();
    for (name, from, to) in [
        ("unknown column", "\"Closed at\"", "\"Closed\""),
        ("wrong delimiter", "delimiter = \";\"", "delimiter = \",\""),
        ("no zone", "zone = \"Europe/Berlin\"\n", ""),
        ("unknown field", "notes =", "note ="),
        ("unknown outcome", "\"handed-on\"", "\"visit\""),
        ("broken", "[columns]", "[columns"),
    ] {
        case.write("north.toml", MAP.replace(from, to));
        let ran = case.run(IMPORT).exits(2);
        insta::assert_snapshot!(
            format!("map {name}").replace(' ', "_"),
            format!("{}--- stderr\n{}", ran.stdout, ran.stderr)
        );
    }
    case.run(&["tickets", "list"]).exits(1);
    case.run(&["tickets", "import", "north.csv", "--map", "gone.toml"])
        .exits(2)
        .complains("there is neither a file `gone.toml` nor a map of this name in");
}

#[test]
fn tabs_part_columns_where_the_name_says_so() {
    let case = desk();
    case.write("north.toml", MAP.replace("delimiter = \";\"\n", ""));
    case.write(
        "north.tsv",
        TABLE.replace(';', "\t").replace("\"trips\t", "\"trips;"),
    );
    case.run(&["tickets", "import", "north.tsv", "--map", "north.toml"])
        .exits(1);
    case.run(&["tickets", "show", "1"])
        .ok()
        .says("trips; only in rain");
}

/// Two exports in one file: most of it UTF-8, one row in an older encoding.
#[test]
fn a_row_in_another_encoding_is_read_as_well() {
    let case = desk();
    let mut bytes = TABLE.as_bytes().to_vec();
    bytes.extend(b"9;;03.03.2026 10:00;K\xfchler;;;;;;\r\n");
    case.write("north.csv", bytes);
    case.run(IMPORT)
        .exits(1)
        .says("north.csv: UTF-8 mixed with windows-1252");
    case.run(&["tickets", "show", "9"]).ok().says("Kühler");
    case.run(&["tickets", "show", "1"])
        .ok()
        .says("Frau [name] said");
}

/// A quote that nobody closed: it is named, its row kept apart, and the rows behind it are taken.
#[test]
fn a_quote_left_open_is_told_at_its_place() {
    let case = Case::new().file("kb/kb.toml", "").file("north.toml", MAP);
    let mut table = TABLE.lines().take(1).collect::<String>() + "\n";
    for (id, said, log) in [
        (1, "dead", "\"one\nand two\""),
        (2, "\"no lamp; ring 020 7946 0958", "reset"),
        (3, "trips", "\"resealed\""),
        (4, "\"dead again", "\"left\""),
        (5, "\"dead", "left"),
    ] {
        table += &format!("{id};;03.03.2026 10:00;{said};{log};;;;;\n");
    }
    case.write("north.csv", table);
    let ran = case.run(IMPORT).exits(1);
    let rejects = std::fs::read_dir(case.path("kb/.state/rejects")).unwrap();
    let rejects: Vec<_> = rejects.map(|entry| entry.unwrap().path()).collect();
    let kept = std::fs::read_to_string(&rejects[0]).unwrap();
    let export = case.run(&["tickets", "export"]).ok().stdout;
    insta::assert_snapshot!(
        "import_open_quote",
        format!("{}--- rejects\n{kept}--- export\n{export}", ran.stdout)
    );
    let counts = case
        .run(&[&["--json"], IMPORT, &["--again"]].concat())
        .exits(1)
        .json();
    let file = &counts["files"][0];
    let sum = |names: &[&str]| names.iter().map(|n| file[n].as_u64().unwrap()).sum::<u64>();
    assert_eq!(
        sum(&["read"]),
        sum(&["new", "changed", "unchanged", "rejected"])
    );
    assert_eq!(sum(&["read"]), 5);
    case.write("north.csv", "\u{feff}Number;\"Opened;Closed at\n1;;x\n");
    case.run(IMPORT)
        .exits(2)
        .complains("the quote in column 8 of the header is not closed");
}
