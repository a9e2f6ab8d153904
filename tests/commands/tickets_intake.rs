//! `fixtally tickets import` of files as offices have them: encodings, packing, many at once.

use crate::case::Case;
use std::io::Write as _;

const MAP: &str = "zone = \"UTC\"\nid = { column = \"Nummer\" }\n[columns]\nclosed = \"Ende\"\n\
    said = [\"Störung\", \"Zusatz\"]\n";

const TABLE: &str = "Nummer;Ende;Störung;Zusatz\n1;2026-03-02;Säule ist tot;seit gestern\n\
    2;2026-03-03;Kühlung läuft nicht;\n3;2026-03-04;Zähler gestört;Frau Müller ruft an\n";

fn desk() -> Case {
    Case::new().file("kb/kb.toml", "").file("north.toml", MAP)
}

fn latin(text: &str) -> Vec<u8> {
    text.chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect()
}

fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    packer.write_all(bytes).unwrap();
    packer.finish().unwrap()
}

#[test]
fn any_encoding_delimiter_and_packing_gives_the_same_tickets() {
    let wide: Vec<u8> = TABLE.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let tabs = TABLE.replace(';', "\t");
    let mut exports = Vec::new();
    for (name, bytes, how) in [
        (
            "a.csv",
            TABLE.as_bytes().to_vec(),
            "UTF-8, columns parted by `;`",
        ),
        ("b.csv", latin(TABLE), "windows-1252, columns parted by `;`"),
        (
            "c.csv",
            [&[0xff, 0xfe][..], &wide].concat(),
            "UTF-16LE, columns parted by `;`",
        ),
        (
            "d.tsv",
            tabs.clone().into_bytes(),
            "UTF-8, columns parted by `\\t`",
        ),
        (
            "e.csv.gz",
            packed(&latin(&tabs)),
            "windows-1252, columns parted by `\\t`, packed with gzip",
        ),
        (
            "f.csv",
            format!("sep=;\r\n{TABLE}").into_bytes(),
            "UTF-8, columns parted by `;`",
        ),
    ] {
        let case = desk().file(name, bytes);
        case.run(&["tickets", "import", name, "--map", "north.toml"])
            .ok()
            .says(&format!("{name}: {how}"));
        exports.push(case.run(&["tickets", "export"]).ok().stdout);
    }
    assert!(
        exports[0].contains("Säule ist tot\\nseit gestern"),
        "{}",
        exports[0]
    );
    assert!(exports.iter().all(|export| *export == exports[0]));
}

#[test]
fn a_json_list_is_read_as_lines_are() {
    let one = |id: u32| {
        format!("{{\"id\": {id},\n \"closed\": \"2026-03-02T09:00:00Z\", \"said\": \"x, [y]\"}}")
    };
    let case = desk()
        .file(
            "list.json",
            format!("[{},\n{},\n{{\"id\": 9}}\n]", one(1), one(2)),
        )
        .file("list.json.gz", packed(b"[]"));
    case.run(&["tickets", "import", "list.json", "list.json.gz"])
        .exits(1)
        .says("list.json:5")
        .says("list.json.gz: UTF-8, packed with gzip");
    let export = case.run(&["tickets", "export"]).ok().stdout;
    assert_eq!(export.lines().count(), 2);
}

#[test]
fn a_wrong_guess_can_be_corrected() {
    let case = desk().file(
        "a.csv",
        "Nummer;Ende;Störung;Zusatz\n1;2026-03-02;žluťoučký;x\n",
    );
    // Bytes of an older encoding, read as what somebody says they are.
    let bytes = [
        b"{\"id\":1,\"closed\":\"2026-03-02T09:00:00Z\",\"said\":\"".to_vec(),
        vec![0x9e],
        b"\"}".to_vec(),
    ]
    .concat();
    case.write("b.jsonl", bytes);
    case.run(&["tickets", "import", "b.jsonl", "--encoding", "windows-1250"])
        .ok()
        .says("b.jsonl: windows-1250");
    assert!(case.run(&["tickets", "export"]).ok().stdout.contains('ž'));
    case.run(&["tickets", "import", "b.jsonl", "--encoding", "klingon"])
        .exits(2)
        .complains("expected an encoding such as `windows-1252`, but found `klingon`");
    case.write("bad.toml", format!("encoding = \"klingon\"\n{MAP}"));
    let ran = case
        .run(&["tickets", "import", "a.csv", "--map", "bad.toml"])
        .exits(2);
    assert!(ran.stdout.contains("bad.toml:1:12"), "{}", ran.stdout);
}

#[test]
fn a_broken_gzip_file_gives_nothing() {
    let whole = packed(TABLE.as_bytes());
    let case = desk().file("a.csv.gz", &whole[..whole.len() / 2]);
    case.run(&["tickets", "import", "a.csv.gz", "--map", "north.toml"])
        .exits(2)
        .complains("cannot read `a.csv.gz`");
    case.run(&["tickets", "list"]).exits(1);
}

#[test]
fn a_folder_is_taken_once_whatever_its_files_are_called() {
    let case = desk()
        .file("in/a.csv", TABLE)
        .file("in/deep/b.csv", TABLE.replace("1;", "4;"))
        .file("in/.hidden.csv", "x")
        .file("in/letter.doc", "dear desk");
    let import = ["tickets", "import", "in", "--map", "north.toml"];
    case.run(&import)
        .ok()
        .complains("`in`: 2 files taken, 1 with other endings passed over");
    case.write("in/c.csv", TABLE);
    let again = case.run(&import).ok();
    for line in [
        "in/a.csv: taken on ",
        "in/c.csv: taken on ",
        " as a.csv, passed over (`--again` reads it)",
    ] {
        assert!(again.stdout.contains(line), "{line}\n{}", again.stdout);
    }
    let mut read_again = import.to_vec();
    read_again.push("--again");
    let counts = case
        .run(&[&["--json"], &read_again[..]].concat())
        .ok()
        .json();
    assert_eq!(counts["files"][0]["unchanged"], 3);
    // A map that reads other columns is another way to read the file.
    case.write("north.toml", MAP.replace(", \"Zusatz\"", ""));
    let counts = case.run(&[&["--json"], &import[..]].concat()).ok().json();
    assert_eq!(counts["files"][0]["changed"], 2);
}

#[test]
fn the_map_of_the_knowledge_base_that_fits_is_used() {
    let case = desk().file("a.csv", TABLE).file("b.csv", "x,y\n1,2\n");
    case.run(&["tickets", "import", "a.csv"])
        .exits(2)
        .complains("a table needs a map")
        .complains("fixtally tickets map a.csv");
    case.write("kb/maps/north.toml", MAP);
    case.write("kb/maps/south.toml", MAP.replace("Nummer", "Number"));
    case.run(&["tickets", "import", "a.csv"])
        .ok()
        .says("columns parted by `;`, map `north`");
    case.run(&["tickets", "import", "a.csv", "--map", "north", "--again"])
        .ok();
    case.run(&["tickets", "import", "a.csv", "--map", "nort"])
        .exits(2)
        .complains("--map north");
    case.run(&["tickets", "import", "b.csv"])
        .exits(2)
        .complains("has other columns than any map of the knowledge base: `north`, `south`");
    case.write("kb/maps/west.toml", MAP);
    case.run(&["tickets", "import", "a.csv"])
        .exits(2)
        .complains("several maps fit `a.csv`: `north`, `west`");
}

#[test]
fn maps_are_linted_with_their_place() {
    let case = Case::new().file("kb/kb.toml", "name = \"x\"\n").file(
        "kb/maps/north.toml",
        format!("{MAP}\n[values.outcome]\nDone = \"visit\"\n"),
    );
    case.run(&["lint"]).exits(1).says("maps/north.toml:8:8");
}

#[test]
fn a_look_shows_the_first_rows_and_writes_nothing() {
    let case = desk().file("a.csv", format!("{TABLE}4;soon;x;\n"));
    let ran = case
        .run(&[
            "tickets",
            "import",
            "a.csv",
            "--map",
            "north.toml",
            "--look",
        ])
        .exits(1);
    insta::assert_snapshot!("look", ran.stdout);
    assert!(!case.path("kb/.state").exists());
    let json = case
        .run(&[
            "--json",
            "tickets",
            "import",
            "a.csv",
            "--map",
            "north.toml",
            "--look",
        ])
        .exits(1)
        .json();
    assert_eq!(json["files"][0]["read"], 4);
    assert_eq!(json["files"][0]["rejected"], 1);
}

#[test]
fn rejects_of_older_imports_of_the_same_export_go() {
    let case = desk().file("a.csv", format!("{TABLE}4;soon;x;\n"));
    let import = ["tickets", "import", "a.csv", "--map", "north.toml"];
    let rejects = || {
        let folder = std::fs::read_dir(case.path("kb/.state/rejects"));
        let names = folder
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap());
        names.collect::<Vec<_>>()
    };
    case.run(&import).exits(1);
    let first = rejects();
    case.write("a.csv", format!("{TABLE}4;soon;y;\n5;later;y;\n"));
    case.write("a.csv-other.csv", format!("{TABLE}4;soon;y;\n"));
    case.run(&[
        "tickets",
        "import",
        "a.csv-other.csv",
        "--map",
        "north.toml",
    ])
    .exits(1);
    case.run(&import).exits(1);
    assert_eq!(rejects().len(), 2);
    assert!(!rejects().contains(&first[0]));
    case.write("a.csv", TABLE.replace("gestern", "heute"));
    case.run(&import).ok();
    assert_eq!(rejects().len(), 1);
}

/// A killed import is as if it had not begun: twenty kills at different moments, then once to the end.
#[test]
fn twenty_kills_and_one_import_end_in_the_same_ledger() {
    let mut table = String::from("Nummer;Ende;Störung;Zusatz\n");
    for n in 0..2000 {
        table += &format!(
            "{n};2026-03-{:02};Säule {n} ist tot, call 020 7946 {n:04};seit {n}\n",
            1 + n % 28
        );
    }
    let case = desk()
        .file("a.csv", &table)
        .file("b.csv", table.replace("tot", "kalt").replace('\n', "b\n"));
    let import = [
        "-q",
        "tickets",
        "import",
        "a.csv",
        "b.csv",
        "--map",
        "north.toml",
        "--later",
    ];
    let whole = [&import[..], &["--state", "whole"]].concat();
    let begun = std::time::Instant::now();
    case.run(&whole).exits(2);
    let took = begun.elapsed();
    for kill in 0..20 {
        let mut child = case
            .command(&import)
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(took * kill / 20);
        let _ = child.kill();
        child.wait().unwrap();
    }
    case.run(&import).exits(2);
    let export = |state: &str| {
        case.run(&["--state", state, "tickets", "export"])
            .ok()
            .stdout
    };
    assert_eq!(export("whole").lines().count(), 2000);
    assert!(export("whole") == export("kb/.state"));
}

#[cfg(unix)]
#[test]
fn ctrl_c_leaves_the_ledger_as_after_the_last_whole_file() {
    let case = desk().file(
        "a.jsonl",
        "{\"id\":\"A\",\"closed\":\"2026-03-02T09:00:00Z\",\"said\":\"x\"}\n",
    );
    // A pipe that stays open: the import is in the middle of its second file.
    let made = std::process::Command::new("mkfifo")
        .arg(case.path("b.jsonl"))
        .status();
    if !made.is_ok_and(|status| status.success()) {
        return;
    }
    let child = case
        .command(&["tickets", "import", "a.jsonl", "b.jsonl", "--later"])
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let mut pipe = std::fs::OpenOptions::new()
        .write(true)
        .open(case.path("b.jsonl"))
        .unwrap();
    let lines = |from: u32, to: u32| -> String {
        (from..to)
            .map(|n| {
                format!("{{\"id\":\"B-{n}\",\"closed\":\"2026-03-02T09:00:00Z\",\"said\":\"x\"}}\n")
            })
            .collect()
    };
    pipe.write_all(lines(0, 3000).as_bytes()).unwrap();
    let asked = std::process::Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(asked.unwrap().success());
    // The handler runs in a thread of its own; more rows make sure that it is asked after it ran.
    for piece in 0..200 {
        std::thread::sleep(std::time::Duration::from_millis(10));
        if pipe
            .write_all(lines(piece * 100 + 3000, piece * 100 + 3100).as_bytes())
            .is_err()
        {
            break;
        }
    }
    drop(pipe);
    let ended = child.wait_with_output().unwrap();
    let said = String::from_utf8_lossy(&ended.stderr);
    assert_eq!(ended.status.code(), Some(2), "{said}");
    assert!(
        said.contains("stopped by Ctrl-C: nothing of `b.jsonl` is in"),
        "{said}"
    );
    assert_eq!(
        case.run(&["tickets", "export"]).ok().stdout.lines().count(),
        1
    );
}

#[test]
fn a_file_that_gave_nothing_is_told_again() {
    let odd = "{\"Ticket\":\"J1\",\"closed\":\"2026-03-02T09:14:00Z\",\"said\":\"dead\"}\n";
    let case = desk().file("odd.jsonl", odd);
    for _ in 0..2 {
        let ran = case.run(&["tickets", "import", "odd.jsonl"]).exits(1);
        let plain = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        for said in [
            "odd.jsonl 1 0 0 0 1",
            "unknown key `Ticket`",
            "help: JSON is read without a map, so its keys must be `id`, `ref`,",
            "`fixtally tickets map FILE.csv --save NAME` proposes the map",
            "Nothing of it was kept, so it is not remembered as taken",
        ] {
            assert!(plain.contains(said), "{said}\n{plain}");
        }
    }
    // Once something is kept, it is.
    case.write("odd.jsonl", format!("{odd}{}", odd.replace("Ticket", "id")));
    case.run(&["tickets", "import", "odd.jsonl"]).exits(1);
    case.run(&["tickets", "import", "odd.jsonl"])
        .ok()
        .says("passed over");
}
