//! Good, odd and broken tables.

use super::*;

const MAP: &str = r#"zone = "Europe/Berlin"
dates = ["%d.%m.%Y %H:%M", "%d.%m.%Y"]
id = { column = "Number" }
[columns]
closed = "Closed at"
said = "Subject"
outcome = "Status"
codes = "Codes"
fix = "Action"
result = "Worked"
minutes = "Min"
[values.outcome]
"Done" = "resolved"
[values.result]
"y" = "resolved"
"n" = "no-change"
"#;
const HEADER: &str = "Number,Closed at,Subject,Status,Codes,Action,Worked,Min\n";

fn rows(body: &str) -> Vec<Row> {
    let map = Map::parse("map.toml", MAP).unwrap();
    let text = format!("{HEADER}{body}");
    let rows = CsvRows::open("a.csv", text.as_bytes(), &map, b',').unwrap();
    rows.map(Result::unwrap).collect()
}

#[test]
fn a_row_becomes_a_ticket() {
    let body = "7,02.03.2026 10:41,\"trips, only\nin rain\",Done,\"K31, K32\",reseal-gland,y,\"12,5\"\n\n ,,,,,,,\n8,2.3.2026,x,,,,,\n";
    let rows = rows(body);
    assert_eq!(rows.len(), 2);
    let Row::Ticket(ticket) = &rows[0] else {
        panic!("{rows:?}")
    };
    let json = serde_json::to_string(ticket).unwrap();
    assert_eq!(
        json,
        r#"{"id":"7","closed":"2026-03-02T09:41:00Z","said":"trips, only\nin rain","codes":["K31","K32"],"tries":[{"fix":"reseal-gland","result":"resolved","minutes":12.5}],"outcome":"resolved"}"#
    );
    let Row::Ticket(ticket) = &rows[1] else {
        panic!("{rows:?}")
    };
    assert_eq!(ticket.closed.to_string(), "2026-03-01T23:00:00Z");
}

#[test]
fn every_fault_is_told_in_words() {
    for (row, message, help) in [
        (
            "7,02.03.2026,x\n",
            "the row has 3 fields, but the header has 8",
            "look for a delimiter in one of its fields",
        ),
        (
            "7,02.03.2026,\"x,Done,\"K31\",,,\n",
            "the row has 6 fields, but the header has 8",
            "close the quote that opens in column 14 at the end of its field, and write quotes within the field twice",
        ),
        (",02.03.2026,x,,,,,\n", "`id` is missing", ""),
        ("7,,x,,,,,\n", "`closed` is missing", ""),
        (
            "7,2.3.,x,,,,,\n",
            "expected a time written as `%d.%m.%Y %H:%M` or `%d.%m.%Y` in `closed`, but found `2.3.`",
            "add its pattern to `dates` in the map",
        ),
        (
            "7,02.03.2026,,,,,,\n",
            "both `said` and `notes` are missing, one of them is needed",
            "",
        ),
        (
            "7,02.03.2026,x,Closed,,,,\n",
            "expected `resolved`, `handed-on` or `dropped` in `outcome`, but found `Closed`",
            "add `\"Closed\" = \"…\"` under `[values.outcome]` in the map",
        ),
        (
            "7,02.03.2026,x,,,a,,\n",
            "`fix` is filled, but `result` is empty",
            "",
        ),
        (
            "7,02.03.2026,x,,,a,maybe,\n",
            "expected `resolved`, `no-change` or `not-possible` in `result`, but found `maybe`",
            "add `\"maybe\" = \"…\"` under `[values.result]` in the map",
        ),
        (
            "7,02.03.2026,x,,,a,y,ten\n",
            "expected a number in `minutes`, but found `ten`",
            "",
        ),
    ] {
        let rows = rows(&format!("1,02.03.2026,\"a\nb\",,,,,\n{row}"));
        let Some(Row::Rejected(reject)) = rows.last() else {
            panic!("{row}: {rows:?}")
        };
        assert_eq!(reject.line, 4, "{row}");
        assert_eq!(reject.problem.message, message);
        assert_eq!(reject.problem.help.as_deref().unwrap_or_default(), help);
    }
}

#[test]
fn a_header_that_does_not_fit_says_why() {
    let map = Map::parse("map.toml", MAP).unwrap();
    let open = |bytes: &[u8]| {
        CsvRows::open("a.csv", bytes, &map, b',')
            .map(|_| ())
            .unwrap_err()
    };
    let error = open(b"Number;Closed at;Subject\n");
    assert_eq!(
        error.to_string(),
        "the header is one column, `Number;Closed at;Subject`, so the delimiter is not `,`"
    );
    assert_eq!(
        error.help().as_deref(),
        Some("add `delimiter = \";\"` to the map")
    );
    assert!(matches!(open(b""), ReadError::NoHeader));
    assert!(matches!(open(b"\xff\xfeN\0"), ReadError::Utf16));
    assert!(matches!(
        open(b"Gr\xfc\xdfe\n"),
        ReadError::NotUtf8 { line: 1 }
    ));
    let error = open(b"Nr,\"Closed at\n7,02.03.2026\n8,02.03.2026\n");
    assert_eq!(
        error.to_string(),
        "the quote in column 4 of the header is not closed"
    );
    let ReadError::Map(problems) = open(HEADER.replace("Closed at", "Closed").as_bytes()) else {
        panic!("no map problem");
    };
    assert_eq!(problems[0].message, "the file has no column `Closed at`");
    assert_eq!(
        problems[0].help.as_deref(),
        Some("did you mean `Closed` or `Codes`?")
    );
    assert_eq!((problems[0].place.line, problems[0].place.column), (5, 10));
}

#[test]
fn bytes_that_are_no_text_are_told_with_their_line() {
    let map = Map::parse("map.toml", MAP).unwrap();
    let mut bytes = HEADER.as_bytes().to_vec();
    bytes.extend(b"7,02.03.2026,\"a\nb\",\xfc,,,,\n");
    let mut rows = CsvRows::open("a.csv", &bytes[..], &map, b',').unwrap();
    assert!(matches!(
        rows.next(),
        Some(Err(ReadError::NotUtf8 { line: 3 }))
    ));
    assert!(rows.next().is_none());
}

#[test]
fn a_row_is_found_by_its_first_line_whatever_ends_the_lines() {
    for end in ["\n", "\r\n", "\r"] {
        for (body, line) in [
            ("x|", 2),
            ("x", 2),
            ("7,02.03.2026,a,,,,,|||x|", 5),
            ("7,02.03.2026,\"a|b\",,,,,|x", 4),
            ("7,02.03.2026,a,,,,,|8,\"x|y|z|", 3),
            ("7,02.03.2026,a,,,,,|8,\"x|y|z", 3),
            ("7,02.03.2026,a,,,,,|8,\"x|\"|", 3),
            ("7,02.03.2026,\"a,,,,,|8,02.03.2026,b,,,,,|x", 4),
        ] {
            let map = Map::parse("map.toml", MAP).unwrap();
            let text = format!("{HEADER}{body}").replace(['|', '\n'], end);
            let rows = CsvRows::open("a.csv", text.as_bytes(), &map, b',').unwrap();
            let Some(Ok(Row::Rejected(reject))) = rows.last() else {
                panic!("{text:?} was not rejected")
            };
            assert_eq!(reject.line, line, "{text:?}");
        }
    }
}

/// The ids of the tickets; of a reject its line and, where a quote was left open, where that stands.
fn told(body: &str) -> String {
    let shown = rows(body).into_iter().map(|row| match row {
        Row::Ticket(ticket) => ticket.id.to_string(),
        Row::Rejected(reject) if reject.problem.rule == "open-quote" => {
            let place = &reject.problem.place;
            format!("{}({}:{})", reject.line, place.line, place.column)
        }
        Row::Rejected(reject) => format!("{}", reject.line),
    });
    shown.collect::<Vec<_>>().join(" ")
}

#[test]
fn a_quote_left_open_takes_no_row_behind_it_along() {
    const R: &str = "02.03.2026";
    for (body, expected) in [
        // Up to the end of the file, where nothing else is quoted.
        (
            format!("7,{R},\"a,,,,,\n8,{R},b,,,,,\n9,{R},c,,,,,\n"),
            "2(2:14) 8 9",
        ),
        (format!("7,{R},\"a,,,,,\n8,{R},b,,,,,\n"), "2(2:14) 8"),
        (format!("6,{R},x,,,,,\n7,{R},\"ä\"\"a,,,,,"), "6 3(3:14)"),
        (format!("7,{R},a,Done,,,,\"1\n8,{R},b,,,,,"), "2(2:24) 8"),
        // Up to the next quote, which then looks like its end. The row would be as wide as others.
        (
            format!("7,{R},\"a,,,,,\n8,{R},b,,,,,\n9,{R},\"c\",,,,,\n"),
            "2(2:14) 8 9",
        ),
        (
            format!("7,{R},\"a,,,,,\n8,{R},\"b\nc\",,,,,\n9,{R},c,,,,,\n"),
            "2(2:14) 8 9",
        ),
        (
            format!("7,{R},\"a,,,,,\n8,{R},\"\nc\",,,,,\n9,{R},c,,,,,\n"),
            "2(2:14) 8 9",
        ),
        // A mark of inches ends it, as neatly as its own quote would.
        (
            format!("7,{R},\"a,,,,,\n8,{R},box of 3\",,,,,\n9,{R},c,,,,,\n"),
            "2(2:14) 8 9",
        ),
        // Everything is quoted, and one quote is missing.
        (
            format!(
                "\"7\",\"{R}\",\"a\",\"\",\"\",\"\",\"\",\"\n\"8\",\"{R}\",\"b\",\"\",\"\",\"\",\"\",\"\"\n"
            ),
            "2(2:34) 8",
        ),
        (
            format!(
                "\"7\",\"{R}\",\"a,\"\",\"\",\"\",\"\",\"\"\n\"8\",\"{R}\",\"b\",\"\",\"\",\"\",\"\",\"\"\n"
            ),
            "2(2:18) 8",
        ),
        // Its own lines go with it, and rows that are faulty are told one by one.
        (
            format!("7,{R},\"a\nmore, and more\n\n8,{R},b,,,,,\n9,{R},c,,,,,\n"),
            "2(2:14) 8 9",
        ),
        (
            format!("7,{R},\"a,,,,,\n8,soon,b,,,,,\n9,{R},c,,,,,\n"),
            "2(2:14) 3 9",
        ),
        (
            format!("7,{R},\"a,,,,,\n8,{R},\"b,,,,,\n9,{R},c,,,,,\n"),
            "2(2:14) 3(3:14) 9",
        ),
        (
            format!("7,{R},\"a\nb\",\"Done,,,,\n8,{R},b,,,,,\n"),
            "2(3:4) 8",
        ),
        // What no other row stands in is one row, whatever it is.
        (format!("7,{R},\"a\nb\nc, d, e\n"), "2(2:14)"),
        (
            format!("7,{R},\"a\nb \"c\" d\",,,,,\n8,{R},x,,,,,\n"),
            "7 8",
        ),
        (
            format!("7,{R},\"a\nb \"c,\" d\",,,,,\n8,{R},x,,,,,\n"),
            "2 8",
        ),
        // Text of many lines is in order, even with a row in it.
        (
            format!("7,{R},\"seen:\n8,{R},b,,,,,\nno more\",,,,,\n9,{R},c,,,,,\n"),
            "7 9",
        ),
    ] {
        assert_eq!(told(&body), expected, "{body}");
    }
}

#[test]
fn a_first_cell_of_many_lines_is_one_cell() {
    const MAP: &str =
        "zone = \"UTC\"\nid = { column = \"b\" }\n[columns]\nclosed = \"c\"\nsaid = \"a\"\n";
    let map = Map::parse("map.toml", MAP).unwrap();
    let text = "a,b,c\n\"x\ny\",1,2026-03-02\nz,2,2026-03-02\n";
    let rows = CsvRows::open("a.csv", text.as_bytes(), &map, b',').unwrap();
    assert_eq!(
        rows.filter(|row| matches!(row, Ok(Row::Ticket(_)))).count(),
        2
    );
}

#[test]
fn the_end_of_a_quote_is_not_looked_for_without_end() {
    use std::fmt::Write as _;
    let mut body = String::from("0,02.03.2026,\"a,,,,,\n");
    for id in 1..1000 {
        writeln!(body, "{id},02.03.2026,b,,,,,").unwrap();
    }
    // Here it would end neatly.
    body += "1000,02.03.2026,3\",,,,,\n";
    let read = rows(&body);
    assert_eq!(read.len(), 1001);
    let rejected = |row: &&Row| matches!(row, Row::Rejected(_));
    assert_eq!(read.iter().filter(rejected).count(), 1);
    // A text that no row stands in is cut off where it is longer than any ticket.
    let lines = "all of this is text\n".repeat(300_000);
    let read = rows(&format!("0,02.03.2026,\"a,,,,,\n{lines}"));
    let Some(Row::Rejected(first)) = read.first() else {
        panic!("{:?}", read.first())
    };
    assert!(
        first
            .problem
            .message
            .ends_with("is not closed within 4 MiB, too long for one ticket")
    );
    let kept: usize = read
        .iter()
        .map(|row| match row {
            Row::Rejected(reject) => reject.text.len() + 1,
            Row::Ticket(_) => 0,
        })
        .sum();
    assert_eq!(kept, "0,02.03.2026,\"a,,,,,\n".len() + lines.len());
}

#[test]
fn one_ticket_has_one_row() {
    let rows = rows(
        "7,02.03.2026,no lamp,Done,,,,\n8,02.03.2026,no lamp,Done,,,,\n\
         7,02.03.2026,no lamp,Done,,,,\n7,03.03.2026,card refused,Done,,,,\n\
         7,02.03.2026,no lamp,Done,,,,\n",
    );
    let kept = rows.iter().filter(|row| matches!(row, Row::Ticket(_)));
    assert_eq!(kept.count(), 4);
    let Row::Rejected(reject) = &rows[3] else {
        panic!("{rows:?}")
    };
    assert_eq!(reject.line, 5);
    assert_eq!(
        reject.problem.message,
        "the id `7` stands in line 2 already, with other content"
    );
    assert!(reject.text.contains("card refused"));
}
