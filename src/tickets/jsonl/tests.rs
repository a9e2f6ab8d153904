//! Good, odd and broken lines.

use super::*;

fn rows(text: &str) -> Vec<Result<Row, ReadError>> {
    JsonLines::new("a.jsonl", text.as_bytes()).collect()
}

fn reason(line: &str) -> String {
    match rows(line).pop() {
        Some(Ok(Row::Rejected(reject))) => {
            let help = reject.problem.help.map(|h| format!("; {h}"));
            format!("{}{}", reject.problem.message, help.unwrap_or_default())
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_ticket_needs_little() {
    let text = "\u{feff}\n{\"id\":10482,\"closed\":\"2026-03-02T09:41:00Z\",\"said\":\"trips\",\"device\":null}\r\n\n";
    let rows = rows(text);
    assert_eq!(rows.len(), 1);
    match &rows[0] {
        Ok(Row::Ticket(ticket)) => assert_eq!(ticket.id.as_str(), "10482"),
        other => panic!("{other:?}"),
    }
}

#[test]
fn every_fault_is_told_in_words() {
    const T: &str = r#""id":"T-1","closed":"2026-03-02T09:41:00Z","said":"trips""#;
    for (line, message) in [
        (
            r#"{"id":"T-1""#.to_owned(),
            "the line ends before the ticket does, expected one whole ticket on one line",
        ),
        (
            "nonsense".to_owned(),
            "no valid JSON at byte 2 of the line: expected ident",
        ),
        (
            "17".to_owned(),
            "expected one ticket such as `{\"id\":\"T-10482\",…}`, but found `17`",
        ),
        (
            r#"{"said":"x","closed":"2026-03-02T09:41:00Z"}"#.to_owned(),
            "`id` is missing",
        ),
        (
            r#"{"id":" ","said":"x","closed":"2026-03-02T09:41:00Z"}"#.to_owned(),
            "`id` is missing",
        ),
        (
            r#"{"id":"T-1","said":"x"}"#.to_owned(),
            "`closed` is missing",
        ),
        (
            format!(r#"{{{T},"read":{{"tries":[{{"fix":"a#b","result":"resolved"}}]}}}}"#),
            "`chance` is missing in what was read",
        ),
        (
            format!(r#"{{{T},"read":{{"article":{{"id":"a","chance":2}}}}}}"#),
            "expected `chance` between 0 and 1, but found `2`",
        ),
        (
            format!(r#"{{{T},"read":{{"article":{{"id":"call Mr Smith","chance":1}}}}}}"#),
            "expected an id such as `trips#reseal` in `read`, but found `call Mr Smith`",
        ),
        (
            r#"{"id":"T-1","closed":"2026-03-02T09:41:00Z"}"#.to_owned(),
            "both `said` and `notes` are missing, one of them is needed",
        ),
        (
            r#"{"id":"T-1","said":"x","closed":1772444460}"#.to_owned(),
            "expected a time such as `2026-03-02T09:14:00Z` in `closed`, but found `1772444460`",
        ),
        (
            format!("{{{T},\"devise\":\"post-7\"}}"),
            "unknown key `devise`; did you mean `device` or `codes`?",
        ),
        (
            format!("{{{T},\"device\":7}}"),
            "expected text in `device`, but found `7`",
        ),
        (
            format!("{{{T},\"codes\":\"K31\"}}"),
            "expected a list of texts such as `[\"K31\"]` in `codes`, but found the text `K31`",
        ),
        (
            format!("{{{T},\"seen\":{{\"trips-empty\":true}}}}"),
            "expected names with texts such as `{\"status-lamp\":\"red-slow\"}` in `seen`, but found `true`",
        ),
        (
            format!("{{{T},\"opened\":\"2026-03-02T10:00:00Z\"}}"),
            "closed before it was opened: `closed` is `2026-03-02T09:41:00Z`, `opened` is `2026-03-02T10:00:00Z`",
        ),
        (
            format!("{{{T},\"reopened\":\"2026-03-02T09:41:00Z\"}}"),
            "`reopened` must be later than `closed`: `closed` is `2026-03-02T09:41:00Z`, `reopened` is `2026-03-02T09:41:00Z`",
        ),
        (
            format!("{{{T},\"follows\":\"T-1\"}}"),
            "`follows` names the ticket itself, `T-1`",
        ),
        (
            format!("{{{T},\"outcome\":\"done\"}}"),
            "expected `resolved`, `handed-on` or `dropped` in `outcome`, but found `done`",
        ),
        (
            format!("{{{T},\"tries\":[{{\"fix\":\"a\",\"result\":\"nochange\"}}]}}"),
            "expected `resolved`, `no-change` or `not-possible` in `result`, but found `nochange`",
        ),
        (
            format!("{{{T},\"tries\":[{{\"fix\":\"a\"}}]}}"),
            "`result` is missing in a try",
        ),
        (
            format!("{{{T},\"tries\":[{{\"fix\":\"a\",\"result\":\"resolved\",\"minutes\":-5}}]}}"),
            "expected `minutes` between 0 and 525600 (a year), but found `-5`",
        ),
        (
            format!(
                "{{{T},\"tries\":[{{\"fix\":\"a\",\"result\":\"resolved\",\"minutes\":\"5\"}}]}}"
            ),
            "expected a number in `minutes`, but found the text `5`",
        ),
        (
            format!("{{{T},\"tries\":\"a\"}}"),
            "expected a list such as `[{\"fix\":\"reseal-gland\",\"result\":\"resolved\"}]` in `tries`, but found the text `a`",
        ),
    ] {
        assert_eq!(reason(&line), message, "{line}");
    }
}

#[test]
fn a_fault_points_at_its_key() {
    let line = r#"{"id":"ß","closed":"x"}"#;
    let Some(Ok(Row::Rejected(reject))) = rows(line).pop() else {
        panic!("not rejected");
    };
    assert_eq!(
        (reject.problem.place.column, reject.problem.place.width),
        (11, 8)
    );
}

#[test]
fn what_is_no_text_ends_the_file() {
    let good = b"{\"id\":\"1\",\"closed\":\"2026-03-02T09:41:00Z\",\"said\":\"x\"}\n".to_vec();
    let mut bytes = good.clone();
    bytes.extend(b"{\"id\":\"\xe4\"}\n");
    bytes.extend(&good);
    let rows: Vec<_> = JsonLines::new("a.jsonl", &bytes[..]).collect();
    assert_eq!(rows.len(), 2);
    assert!(matches!(rows[1], Err(ReadError::NotUtf8 { line: 2 })));
    let rows: Vec<_> = JsonLines::new("a.jsonl", &b"\xff\xfe{\0"[..]).collect();
    assert!(matches!(rows[..], [Err(ReadError::Utf16)]));
}

#[test]
fn a_line_without_end_is_skipped_not_held() {
    let mut bytes = vec![b'x'; LONGEST_LINE + 10];
    bytes.push(b'\n');
    bytes.extend(b"{}\n");
    let rows: Vec<_> = JsonLines::new("a.jsonl", &bytes[..]).collect();
    assert_eq!(rows.len(), 2);
    for (row, rule) in rows.iter().zip(["line-too-long", "missing-field"]) {
        match row {
            Ok(Row::Rejected(reject)) => assert_eq!(reject.problem.rule, rule),
            other => panic!("{other:?}"),
        }
    }
}
