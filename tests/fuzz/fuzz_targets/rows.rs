//! Any bytes in any form and encoding: each row is a ticket or a reject, none is lost.
#![no_main]

use fixtally::tickets::Scrubber;
use fixtally::tickets::csv::CsvRows;
use fixtally::tickets::encoding::{Decoded, Looker};
use fixtally::tickets::json_list::JsonList;
use fixtally::tickets::jsonl::JsonLines;
use fixtally::tickets::map::Map;
use fixtally::tickets::row::{ReadError, Row};
use libfuzzer_sys::fuzz_target;
use std::io::{BufReader, Read};

const MAP: &str =
    "zone = \"UTC\"\nid = { row = true }\n[columns]\nclosed = \"b\"\nsaid = [\"c\", \"d\"]\n";

fn count(rows: impl Iterator<Item = Result<Row, ReadError>>, scrubber: &Scrubber) -> usize {
    let mut kept = 0;
    let mut rejected = 0;
    for row in rows {
        match row {
            Ok(Row::Ticket(ticket)) => {
                kept += 1;
                drop(scrubber.ticket(*ticket));
            }
            Ok(Row::Rejected(reject)) => {
                rejected += 1;
                drop(scrubber.line(&reject.text));
            }
            Err(error) => panic!("decoded text always reads: {error}"),
        }
    }
    kept + rejected
}

fuzz_target!(|bytes: &[u8]| {
    let mut looker = Looker::default();
    looker.feed(bytes);
    let encoding = looker.encoding(true);
    let mut text = Vec::new();
    Decoded::new(bytes, encoding)
        .read_to_end(&mut text)
        .expect("memory does not fail");
    let scrubber = Scrubber::default();
    let whole = String::from_utf8_lossy(&text);
    // A second mark at the start is dropped too, and is no row.
    let filled = whole
        .strip_prefix('\u{feff}')
        .unwrap_or(&whole)
        .split('\n')
        .filter(|line| !line.trim().is_empty())
        .count();
    let lines = count(JsonLines::new("a", &text[..]), &scrubber);
    assert_eq!(lines, filled);
    count(JsonList::new("a", BufReader::new(&text[..])), &scrubber);
    let map = Map::parse("map.toml", MAP).expect("a good map");
    let table = [b"a,b,c,d\n", &text[..]].concat();
    if let Ok(rows) = CsvRows::open("a.csv", &table[..], &map, b',') {
        count(rows, &scrubber);
    }
});
