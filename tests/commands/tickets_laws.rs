//! What holds for whatever comes in: nothing panics, nothing is lost, twice is once.

use fixtally::tickets::csv::CsvRows;
use fixtally::tickets::jsonl::JsonLines;
use fixtally::tickets::ledger::SqliteLedger;
use fixtally::tickets::map::Map;
use fixtally::tickets::row::{ReadError, Row};
use fixtally::tickets::store::{Filter, Imported, Ledger};
use fixtally::tickets::{RawTicket, Scrubber};
use proptest::prelude::*;

const MAP: &str =
    "zone = \"UTC\"\nid = { column = \"a\" }\n[columns]\nclosed = \"b\"\nsaid = \"c\"\n";

/// What rows are made of, good and bad.
const PIECES: &[&[u8]] = &[
    b"{\"id\":\"1\",",
    b"\"closed\":\"2026-03-02T09:41:00Z\"",
    b",",
    b"\n",
    b"\"said\":\"x\"}",
    b"}",
    b"[",
    b"a,b,c\n",
    b"\"",
    b"\xff",
];

struct Store {
    _folder: tempfile::TempDir,
    ledger: SqliteLedger,
}

impl Store {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let ledger = SqliteLedger::open(&folder.path().join("ledger.sqlite")).unwrap();
        Self {
            _folder: folder,
            ledger,
        }
    }

    fn take(&mut self, tickets: &[RawTicket]) -> Imported {
        let scrubber = Scrubber::default();
        let mut tickets = tickets.iter().map(|raw| Ok(scrubber.ticket(raw.clone()).0));
        self.ledger.import(&mut tickets).unwrap()
    }

    fn export(&self) -> String {
        let all = self.ledger.list(&Filter::default()).unwrap();
        all.iter()
            .map(|t| serde_json::to_string(t).unwrap() + "\n")
            .collect()
    }
}

fn read(text: &str) -> Vec<RawTicket> {
    JsonLines::new("a.jsonl", text.as_bytes())
        .map(|row| match row.unwrap() {
            Row::Ticket(ticket) => *ticket,
            Row::Rejected(reject) => panic!("{reject:?}"),
        })
        .collect()
}

/// A line of JSON Lines: few ids and refs, so that tickets meet; texts with anything in them.
fn line() -> impl Strategy<Value = String> {
    let text = prop_oneof![
        "\\PC{0,30}",
        "(this is Bob|Mr Lee|020 7946 0958|a@b.example|12 High Street|[ ,.\n]){1,5}",
    ];
    let minutes = prop_oneof![
        Just(None),
        (0.0..600.0f64).prop_map(Some),
        (0..90u32).prop_map(|n| Some(f64::from(n)))
    ];
    (
        "[A-D]",
        proptest::option::of("[1-3]"),
        proptest::option::of("[E-G]"),
        0..2_000_000_000i64,
        0..3i32,
        text,
        minutes,
        proptest::option::of(prop_oneof![Just("resolved"), Just("handed-on")]),
    )
        .prop_map(
            |(id, reference, follows, second, nano, said, minutes, outcome)| {
                let closed =
                    jiff::Timestamp::new(second, nano * 500_000_000 % 999_999_999).unwrap();
                serde_json::json!({
                    "id": id, "ref": reference, "follows": follows, "closed": closed.to_string(),
                    "said": format!("x{said}"), "outcome": outcome,
                    "tries": [{"fix": "reseal", "result": "no-change", "minutes": minutes}],
                })
                .to_string()
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn an_export_reads_back_to_the_same_bytes_and_twice_is_once(
        lines in proptest::collection::vec(line(), 0..8)
    ) {
        let tickets = read(&lines.join("\n"));
        let mut store = Store::new();
        let counts = store.take(&tickets);
        prop_assert_eq!(counts.kept(), tickets.len() as u64);
        let (export, revision) = (store.export(), store.ledger.revision().unwrap());

        let again = store.take(&tickets);
        prop_assert_eq!((again.new, again.changed), (0, 0));
        prop_assert_eq!(store.export(), export.clone());
        prop_assert_eq!(store.ledger.revision().unwrap(), revision);

        let mut other = Store::new();
        other.take(&read(&export));
        prop_assert_eq!(other.export(), export);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn scrubbing_twice_is_scrubbing_once(
        text in "(\\PC|this is |my name is |regards, |Mr |Frau |call |tel |serial |[A-Z][a-z]{2,4} |[0-9 +()./-]{1,4}|@|\\.com|Street|\\[name\\]|\n){0,12}"
    ) {
        let scrubber = Scrubber::new(Some("[a-c]{2}[0-9]")).unwrap();
        let once = scrubber.text(&text);
        prop_assert_eq!(scrubber.text(&once), once);
    }

    #[test]
    fn every_row_of_any_bytes_is_a_ticket_or_a_reject(
        bytes in prop_oneof![
            proptest::collection::vec(any::<u8>(), 0..200),
            proptest::collection::vec(
                prop::sample::select(PIECES),
                0..12,
            )
            .prop_map(|pieces| pieces.concat()),
        ]
    ) {
        let scrubber = Scrubber::default();
        let lines = bytes.split(|b| *b == b'\n').filter(|l| !l.trim_ascii().is_empty()).count();
        let rows: Vec<_> = JsonLines::new("a.jsonl", &bytes[..]).collect();
        if rows.iter().all(Result::is_ok) && !bytes.contains(&0xef) {
            // Unicode knows more blanks than ASCII.
            prop_assert!(rows.len() <= lines);
        }
        for row in rows.into_iter().flatten() {
            match row {
                Row::Ticket(ticket) => drop(scrubber.ticket(*ticket)),
                Row::Rejected(reject) => drop(scrubber.line(&reject.text)),
            }
        }
        let map = Map::parse("map.toml", MAP).unwrap();
        match CsvRows::open("a.csv", &bytes[..], &map, b',') {
            Ok(rows) => rows.for_each(drop),
            Err(ReadError::Io(error)) => panic!("{error}"),
            Err(_) => {}
        }
        if let Ok(text) = std::str::from_utf8(&bytes) {
            let _ = Map::parse("map.toml", text);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_quote_left_open_costs_its_own_row_alone(
        cells in proptest::collection::vec(("[a-c][a-c ,\"]{0,5}", any::<bool>()), 1..10),
        at in any::<prop::sample::Index>(),
    ) {
        let at = at.index(cells.len());
        let mut table = "a,b,c,d\n".to_owned();
        for (number, (text, bare)) in cells.iter().enumerate() {
            let said = match (number == at, bare) {
                (true, _) => format!("\"{}", text.replace('"', "")),
                (false, true) => text.replace(['"', ','], ""),
                (false, false) => format!("\"{}\"", text.replace('"', "\"\"")),
            };
            table += &format!("{number},2026-03-02,{said},end\n");
        }
        let map = Map::parse("map.toml", MAP).unwrap();
        let rows = CsvRows::open("a.csv", table.as_bytes(), &map, b',').unwrap();
        let mut ids = Vec::new();
        let mut rejected = Vec::new();
        for row in rows {
            match row.unwrap() {
                Row::Ticket(ticket) => ids.push(ticket.id.to_string()),
                Row::Rejected(reject) => rejected.push((reject.line, reject.problem.rule)),
            }
        }
        let others: Vec<String> = (0..cells.len()).filter(|n| *n != at).map(|n| n.to_string()).collect();
        prop_assert_eq!(ids, others);
        prop_assert_eq!(rejected, [(at + 2, "open-quote")]);
    }
}
