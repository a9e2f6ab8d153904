//! A map of any text is read or refused; a table of any bytes gets a proposal that reads as TOML.
#![no_main]

use fixtally::tickets::Scrubber;
use fixtally::tickets::csv::{CsvRows, delimiter_of};
use fixtally::tickets::map::Map;
use fixtally::tickets::propose::{Names, Sheet, propose, toml_text};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let text = String::from_utf8_lossy(bytes);
    let _ = Map::parse("map.toml", &text);
    let delimiter = delimiter_of(&text);
    let Ok(mut rows) = CsvRows::raw(text.as_bytes(), delimiter) else {
        return;
    };
    let header = rows.header().to_vec();
    let mut sheet = Sheet::new(header.iter().map(String::as_str), delimiter);
    while let Ok(Some(row)) = rows.next_cells() {
        sheet.add(row.iter());
    }
    let proposal = propose(&sheet, &Names::default());
    let map = toml_text(&proposal, &sheet, "UTC", &Scrubber::default());
    let read = Map::parse("map.toml", &map);
    assert_eq!(read.is_ok(), proposal.missing().is_empty(), "{map}\n{read:?}");
});
