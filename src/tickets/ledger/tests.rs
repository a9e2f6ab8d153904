//! The ledger against a real file: updating, order, formats, damage, a full disk.

use super::*;
use crate::base::ids::TicketId;
use crate::tickets::Scrubber;
use serde_json::json;

fn ticket(mut fields: serde_json::Value) -> Result<Ticket, Stop> {
    for (key, value) in [
        ("closed", json!("2026-03-02T09:41:00Z")),
        ("said", json!("dead")),
    ] {
        let object = fields.as_object_mut().unwrap();
        object.entry(key).or_insert(value);
    }
    Ok(Scrubber::default()
        .ticket(serde_json::from_value(fields).unwrap())
        .0)
}

struct Fresh {
    folder: tempfile::TempDir,
    ledger: SqliteLedger,
}

fn fresh() -> Fresh {
    let folder = tempfile::tempdir().unwrap();
    let ledger = SqliteLedger::open(&folder.path().join(FILE)).unwrap();
    Fresh { folder, ledger }
}

impl Fresh {
    fn path(&self) -> PathBuf {
        self.folder.path().join(FILE)
    }

    fn take(&mut self, tickets: &[serde_json::Value]) -> (u64, u64, u64) {
        let mut tickets = tickets.iter().cloned().map(ticket);
        let counts = self.ledger.import(&mut tickets).unwrap();
        (counts.new, counts.changed, counts.unchanged)
    }

    fn shown(&self) -> String {
        let all = self.ledger.list(&Filter::default()).unwrap();
        let shown: Vec<String> = all
            .iter()
            .map(|t| format!("{}={}", t.id, t.said.as_deref().unwrap_or_default()))
            .collect();
        shown.join(" ")
    }
}

#[test]
fn a_known_id_or_ref_updates_in_place() {
    let mut fresh = fresh();
    let (a, b) = (
        json!({"id": "A", "ref": "1"}),
        json!({"id": "B", "said": "b"}),
    );
    assert_eq!(fresh.take(&[a.clone(), b.clone()]), (2, 0, 0));
    assert_eq!(fresh.ledger.revision().unwrap(), 1);
    assert_eq!(fresh.take(&[a.clone(), b.clone()]), (0, 0, 2));
    assert_eq!(fresh.ledger.revision().unwrap(), 1);
    // By id; by ref under a new id, which even follows the old one.
    let by_id = json!({"id": "B", "said": "b2"});
    let by_ref = json!({"id": "C", "ref": "1", "said": "a2", "follows": "A"});
    assert_eq!(fresh.take(&[by_id, by_ref]), (0, 2, 0));
    assert_eq!(fresh.shown(), "A=a2 B=b2");
    assert_eq!(fresh.ledger.get("1").unwrap().unwrap().follows, None);
    // There and back within one file is no change.
    let there = json!({"id": "B", "said": "b3"});
    let back = json!({"id": "B", "said": "b2"});
    assert_eq!(fresh.take(&[there, back]), (0, 0, 2));
    assert_eq!(fresh.ledger.revision().unwrap(), 2);
}

#[test]
fn tickets_come_in_order_of_closing_and_id() {
    let mut fresh = fresh();
    let at = |id: &str, time: &str| json!({"id": id, "closed": time, "said": "x"});
    fresh.take(&[
        at("c", "2026-03-02T09:41:00.5Z"),
        at("b", "2026-03-02T09:41:00.5Z"),
        at("d", "2026-03-02T09:41:00Z"),
        at("a", "2026-03-03T09:41:00Z"),
        at("e", "1969-12-31T23:59:59.5Z"),
    ]);
    assert_eq!(fresh.shown(), "e=x d=x b=x c=x a=x");
    let mut newest = Vec::new();
    let filter = Filter {
        limit: Some(2),
        before: Some("2026-03-03T00:00:00Z".parse().unwrap()),
        ..Filter::default()
    };
    fresh
        .ledger
        .each(&filter, Order::NewestFirst, &mut |t| {
            newest.push(t.id.to_string());
            ControlFlow::Continue(())
        })
        .unwrap();
    assert_eq!(newest, ["c", "b"]);
    assert_eq!(fresh.ledger.count(&filter).unwrap(), 4);
    assert_eq!(fresh.ledger.ids().unwrap().len(), 5);
}

#[test]
fn a_stopped_file_leaves_nothing() {
    let mut fresh = fresh();
    let mut tickets = [
        ticket(json!({"id": "A"})),
        Err(Stop("the disk died".to_owned())),
    ]
    .into_iter();
    let error = fresh.ledger.import(&mut tickets).unwrap_err();
    assert_eq!(error.to_string(), "the disk died");
    assert_eq!(fresh.shown(), "");
    assert_eq!(fresh.take(&[json!({"id": "A"})]), (1, 0, 0));
}

#[test]
fn a_full_disk_and_a_file_without_leave_are_told_and_change_nothing() {
    let mut fresh = fresh();
    fresh.take(&[json!({"id": "A"})]);
    let ask = |fresh: &Fresh, sql: &str| -> i64 {
        let connection = &fresh.ledger.connection;
        connection.query_row(sql, [], |row| row.get(0)).unwrap()
    };
    let pages = ask(&fresh, "PRAGMA page_count");
    ask(&fresh, &format!("PRAGMA max_page_count = {pages}"));
    let long = "x".repeat(100_000);
    let mut tickets = [ticket(json!({"id": "B", "said": long}))].into_iter();
    let error = fresh.ledger.import(&mut tickets).unwrap_err();
    assert!(matches!(error, StoreError::Full(_)), "{error:?}");
    ask(&fresh, "PRAGMA max_page_count = 1000000");
    fresh
        .ledger
        .connection
        .execute_batch("PRAGMA query_only = ON")
        .unwrap();
    let mut tickets = [ticket(json!({"id": "B"}))].into_iter();
    let error = fresh.ledger.import(&mut tickets).unwrap_err();
    assert!(matches!(error, StoreError::ReadOnly(_)), "{error:?}");
    assert_eq!(fresh.shown(), "A=dead");
}

#[test]
fn foreign_newer_and_damaged_files_are_refused_untouched() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(FILE);
    let refused = |expected: &str| {
        let before = std::fs::read(&path).unwrap();
        let error = SqliteLedger::open(&path).unwrap_err().to_string();
        assert!(error.contains(expected), "{error}");
        assert_eq!(std::fs::read(&path).unwrap(), before, "{expected}");
        std::fs::remove_file(&path).unwrap();
    };
    std::fs::write(
        &path,
        "no database, but long enough to be looked at, as it must be".repeat(9),
    )
    .unwrap();
    refused("is damaged: file is not a database");
    let other = Connection::open(&path).unwrap();
    other.execute_batch("CREATE TABLE t (x)").unwrap();
    drop(other);
    refused("is no ledger");
    drop(SqliteLedger::open(&path).unwrap());
    let newer = Connection::open(&path).unwrap();
    newer.execute_batch("PRAGMA user_version = 9").unwrap();
    drop(newer);
    refused(&format!(
        "has format 9, but this fixtally reads formats up to {FORMAT}"
    ));
}

#[test]
fn a_frozen_ledger_can_be_read() {
    let mut fresh = fresh();
    fresh.take(&[json!({"id": "A"})]);
    let path = fresh.path();
    // Everything is in the file itself once the last writer has closed it.
    let Fresh { folder, ledger } = fresh;
    drop(ledger);
    let connection = schema::open_frozen(&path).unwrap();
    let count: i64 = connection
        .query_row("SELECT count(*) FROM tickets", [], |row| row.get(0))
        .unwrap();
    assert_eq!(count, 1);
    drop(folder);
}

#[test]
fn two_writers_take_turns() {
    let fresh = fresh();
    let writers: Vec<_> = (0..4)
        .map(|writer| {
            let path = fresh.path();
            std::thread::spawn(move || {
                let mut ledger = SqliteLedger::open(&path).unwrap();
                for n in 0..5 {
                    let id = format!("{writer}-{n}");
                    let mut one = [ticket(json!({ "id": id }))].into_iter();
                    ledger.import(&mut one).unwrap();
                }
            })
        })
        .collect();
    for writer in writers {
        writer.join().unwrap();
    }
    assert_eq!(fresh.ledger.count(&Filter::default()).unwrap(), 20);
    assert_eq!(fresh.ledger.revision().unwrap(), 20);
}

#[test]
fn the_same_tickets_have_the_same_fingerprint_whatever_their_history() {
    let (mut one, mut other) = (fresh(), fresh());
    let empty = one.ledger.fingerprint().unwrap();
    one.take(&[json!({"id": "A"}), json!({"id": "B"})]);
    let print = one.ledger.fingerprint().unwrap();
    assert_ne!(print, empty);
    other.take(&[json!({"id": "B", "said": "first"})]);
    other.take(&[json!({"id": "A"}), json!({"id": "B", "said": "second"})]);
    assert_ne!(other.ledger.fingerprint().unwrap(), print);
    other.take(&[json!({"id": "B"})]);
    assert_eq!(other.ledger.fingerprint().unwrap(), print);
}

#[test]
fn one_ticket_is_added_under_a_free_id_alone() {
    let mut fresh = fresh();
    let of = |fields| ticket(fields).unwrap();
    let first = of(json!({"id": "A", "ref": "1"}));
    let before = fresh.ledger.fingerprint().unwrap();
    assert_eq!(fresh.ledger.add(&first).unwrap(), Added::New);
    assert_eq!(fresh.ledger.add(&first).unwrap(), Added::Same);
    let same_id = of(json!({"id": "A", "said": "other"}));
    assert_eq!(fresh.ledger.add(&same_id).unwrap(), Added::IdTaken);
    let same_ref = of(json!({"id": "B", "ref": "1"}));
    let taken = Added::RefTaken(TicketId::new("A"));
    assert_eq!(fresh.ledger.add(&same_ref).unwrap(), taken);
    assert_eq!(fresh.shown(), "A=dead");
    // Taken back only as it was given; then all is as before.
    assert_eq!(
        fresh.ledger.take_back(&same_id).unwrap(),
        TakenBack::Changed
    );
    assert_eq!(
        fresh.ledger.take_back(&same_ref).unwrap(),
        TakenBack::Missing
    );
    assert_eq!(fresh.ledger.take_back(&first).unwrap(), TakenBack::Done);
    assert_eq!(fresh.shown(), "");
    assert_eq!(fresh.ledger.fingerprint().unwrap(), before);
    assert_eq!(fresh.ledger.add(&first).unwrap(), Added::New);
}

#[test]
fn an_added_ticket_counts_as_an_imported_one() {
    let (mut added, mut imported) = (fresh(), fresh());
    let fields = json!({"id": "A"});
    added.ledger.add(&ticket(fields.clone()).unwrap()).unwrap();
    imported.take(&[fields]);
    let fingerprint = |fresh: &Fresh| fresh.ledger.fingerprint().unwrap();
    assert_eq!(fingerprint(&added), fingerprint(&imported));
}

#[test]
fn remarks_keep_their_numbers_and_close_all_or_none() {
    let mut fresh = fresh();
    let now = Timestamp::UNIX_EPOCH;
    let of = |text: &str| Remark::new(now, (None, None), None, text, &Scrubber::default());
    let leave = |fresh: &mut Fresh, text: &str| fresh.ledger.remark(&of(text)).unwrap();
    assert_eq!(leave(&mut fresh, "too\nlate, says bob@example.com"), 1);
    assert_eq!(leave(&mut fresh, "wrong"), 2);
    let open = |fresh: &Fresh| {
        let all = fresh.ledger.remarks().unwrap();
        let open = all.iter().filter(|r| r.closed.is_none());
        let shown: Vec<String> = open.map(|r| format!("{}={}", r.number, r.text())).collect();
        shown.join("; ")
    };
    assert_eq!(open(&fresh), "1=too late, says [mail]; 2=wrong");
    assert_eq!(fresh.ledger.close_remarks(&[1, 7], now).unwrap(), [7]);
    assert_eq!(
        fresh.ledger.close_remarks(&[1], now).unwrap(),
        Vec::<u64>::new()
    );
    assert_eq!(fresh.ledger.close_remarks(&[1], now).unwrap(), [1]);
    assert_eq!(open(&fresh), "2=wrong");
}

#[test]
fn what_was_added_since_a_mark_is_told_apart_from_any_other_change() {
    let mut fresh = fresh();
    fresh.take(&[json!({"id": "A"}), json!({"id": "B"})]);
    let mark = fresh.ledger.mark().unwrap();
    assert_eq!(fresh.ledger.fingerprint().unwrap(), mark.fingerprint());
    let ids = |ledger: &SqliteLedger| {
        let added = ledger.added_since(&mark).unwrap();
        added.map(|(added, _)| added.iter().map(|t| t.id.to_string()).collect::<Vec<_>>())
    };
    assert_eq!(ids(&fresh.ledger), Some(Vec::new()));
    let c = ticket(json!({"id": "C"})).unwrap();
    fresh.ledger.add(&c).unwrap();
    fresh.take(&[json!({"id": "D", "closed": "2020-01-01T00:00:00Z"})]);
    assert_eq!(
        ids(&fresh.ledger),
        Some(vec!["C".to_owned(), "D".to_owned()])
    );
    // Added and taken back is nothing at all; changed is no addition.
    fresh.ledger.take_back(&c).unwrap();
    assert_eq!(ids(&fresh.ledger), Some(vec!["D".to_owned()]));
    fresh.take(&[json!({"id": "A", "said": "another"})]);
    assert_eq!(ids(&fresh.ledger), None);
}

#[test]
fn a_ledger_is_read_in_parts_and_tickets_that_continue_others_are_found() {
    let mut fresh = fresh();
    fresh.take(&[
        json!({"id": "A", "ref": "900"}),
        json!({"id": "B", "said": "it \"follows\":\"A\" they say"}),
        json!({"id": "C", "follows": "900"}),
        json!({"id": "D", "follows": "C"}),
        json!({"id": "E", "follows": "nobody"}),
    ]);
    let mut read = Vec::new();
    let mut visit = |part: Vec<Ticket>| {
        read.extend(part);
        ControlFlow::Continue(())
    };
    fresh.ledger.parts(&mut visit).unwrap();
    assert_eq!(read, fresh.ledger.list(&Filter::default()).unwrap());
    let links = fresh.ledger.links().unwrap();
    let links = links.iter().map(|link| {
        let ref_or_none = link.reference.as_deref().unwrap_or("-");
        format!(
            "{} {ref_or_none} {}",
            link.id,
            link.follows.as_deref().unwrap_or("-")
        )
    });
    assert_eq!(
        links.collect::<Vec<_>>(),
        ["A 900 -", "C - 900", "D - C", "E - nobody"]
    );
    let ids = ["E", "nobody", "A"].map(TicketId::new);
    let found = fresh.ledger.of_ids(&ids).unwrap();
    let found: Vec<&str> = found.iter().map(|t| t.id.as_str()).collect();
    assert_eq!(found, ["A", "E"]);
}
