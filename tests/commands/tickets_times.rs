//! Times of exports that name no zone.

use crate::case::Case;

const MAP: &str =
    "zone = \"UTC\"\nid = { column = \"Nr\" }\n[columns]\nclosed = \"End\"\nsaid = \"Text\"\n";

/// JSON takes the times that a table takes, by the zone of the map or of `kb.toml`.
#[test]
fn a_time_without_a_zone_is_of_the_zone_that_somebody_named() {
    let line =
        |id: u32, closed: &str| format!("{{\"id\":{id},\"closed\":\"{closed}\",\"said\":\"x\"}}\n");
    let lines =
        line(1, "2026-10-03") + &line(2, "2026-10-03 09:14") + &line(3, "2026-10-03T07:14:00Z");
    let list = format!("[{}]", lines.trim().replace('\n', ","));
    let case = Case::new()
        .file("kb/kb.toml", "")
        .file("a.jsonl", &lines)
        .file("b.json", &list)
        .file("c.jsonl", line(1, "03.10.2026 09:14"));
    // Nobody named one.
    case.run(&["tickets", "import", "a.jsonl"])
        .exits(1)
        .says("a.jsonl     3    1        0          0         2")
        .says("help: it names no zone, and `kb.toml` has none: write");
    case.run(&["tickets", "correct", "3", "--closed", "2026-10-03 10:00"])
        .exits(2)
        .complains("expected a time such as `2026-03-02T09:14:00Z` in `closed`")
        .complains("it names no zone, and `kb.toml` has none: write `zone = \"Europe/Berlin\"`");
    let closed = |case: &Case, id: &str| {
        let shown = case.run(&["--json", "tickets", "show", id]).ok().json();
        shown["closed"].as_str().unwrap().to_owned()
    };
    case.write("kb/kb.toml", "zone = \"Europe/Berlin\"\n");
    for file in ["a.jsonl", "b.json"] {
        case.run(&["tickets", "import", file]).ok();
        assert_eq!(closed(&case, "1"), "2026-10-02T22:00:00Z");
        assert_eq!(closed(&case, "2"), "2026-10-03T07:14:00Z");
        assert_eq!(closed(&case, "3"), "2026-10-03T07:14:00Z");
    }
    // A map that is asked for says its own.
    case.write(
        "utc.toml",
        MAP.replacen('\n', "\ndates = [\"%d.%m.%Y %H:%M\"]\n", 1),
    );
    case.run(&["tickets", "import", "a.jsonl", "--map", "utc.toml"])
        .ok();
    assert_eq!(closed(&case, "1"), "2026-10-03T00:00:00Z");
    case.run(&["tickets", "import", "c.jsonl"]).exits(1);
    case.run(&["tickets", "import", "c.jsonl", "--map", "utc.toml"])
        .ok();
    assert_eq!(closed(&case, "1"), "2026-10-03T09:14:00Z");
    // By hand, too.
    case.run(&["tickets", "correct", "1", "--closed", "2026-10-04"])
        .ok();
    assert_eq!(closed(&case, "1"), "2026-10-03T22:00:00Z");
    let added = case
        .run(&[
            "tickets",
            "add",
            "--said",
            "x",
            "--closed",
            "2026-10-04 08:00",
        ])
        .ok();
    assert_eq!(closed(&case, added.stdout.trim()), "2026-10-04T06:00:00Z");
    case.write("kb/kb.toml", "zone = \"Berlin\"\n");
    case.run(&["lint"])
        .exits(1)
        .says("error[unknown-zone]: expected a time zone such as `Europe/Berlin`, but found");
}

/// A case is closed before anybody writes it down: a person is asked again, an import only warns.
#[test]
fn a_time_in_the_future_is_never_taken_without_a_word() {
    let day = |days: i64| jiff::Timestamp::now() + jiff::SignedDuration::from_hours(24 * days);
    let (soon, far) = (day(1) - jiff::SignedDuration::from_mins(5), day(400));
    let line = |id: u32, closed: jiff::Timestamp| {
        format!("{{\"id\":{id},\"closed\":\"{closed}\",\"said\":\"x\"}}\n")
    };
    let lines = line(1, day(-1)) + &line(2, far) + &line(3, far) + &line(4, soon);
    let case = Case::new().file("kb/kb.toml", "").file("a.jsonl", &lines);
    let ran = case.run(&["tickets", "import", "a.jsonl"]).ok();
    let plain = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    let warning = "WARNING: 2 tickets are closed in the future; the first, `2` in row 2, at ";
    assert!(plain.contains(warning), "{plain}");
    assert!(plain.contains("a.jsonl 4 4 0 0 0"), "{plain}");
    let far = far.to_string();
    case.run(&["tickets", "correct", "1", "--closed", &far])
        .exits(2)
        .complains("expected a time that has come in `closed`");
    case.run(&["tickets", "correct", "1", "--closed", &soon.to_string()])
        .ok();
    case.run(&["tickets", "add", "--said", "x", "--closed", &far])
        .exits(1)
        .complains("expected a time that has come in `closed`");
    assert_eq!(
        case.run(&["tickets", "export"]).ok().stdout.lines().count(),
        4
    );
}
