use super::*;
use crate::tickets::Scrubber;
use crate::tickets::csv::CsvRows;
use crate::tickets::map::Map;
use crate::tickets::row::Row;
use proptest::prelude::*;

fn sheet(csv: &str, delimiter: u8) -> Sheet {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .has_headers(false)
        .from_reader(csv.as_bytes());
    let mut rows = reader.records().map(Result::unwrap);
    let mut sheet = Sheet::new(rows.next().iter().flatten(), delimiter);
    rows.for_each(|row| sheet.add(row.iter()));
    sheet
}

fn known() -> Names {
    Names {
        devices: [("post-22", "Post 22"), ("sc-2", "SC-2 site controller")]
            .map(|(id, title)| (id.to_owned(), title.to_owned()))
            .into(),
        codes: ["K31".to_owned(), "S12".to_owned()].into(),
        articles: ["no-lights-at-all".to_owned()].into(),
        fixes: ["reseal-gland".to_owned()].into(),
    }
}

fn proposed(csv: &str, delimiter: u8) -> String {
    let sheet = sheet(csv, delimiter);
    let proposal = propose(&sheet, &known());
    toml_text(&proposal, &sheet, "Europe/Berlin", &Scrubber::default())
}

/// How many rows of a table its proposed map keeps, and rejects.
fn kept(csv: &str, delimiter: u8) -> (usize, usize) {
    let text = proposed(csv, delimiter);
    let map = Map::parse("map.toml", &text).unwrap_or_else(|p| panic!("{p:?}\n{text}"));
    let rows = CsvRows::open("a.csv", csv.as_bytes(), &map, delimiter).unwrap();
    rows.fold((0, 0), |(kept, rejected), row| match row.unwrap() {
        Row::Ticket(_) => (kept + 1, rejected),
        Row::Rejected(reject) => {
            println!("{}", reject.problem.message);
            (kept, rejected + 1)
        }
    })
}

const GERMAN: &str = "\
Ticketnummer;Erstellt am;Geschlossen am;Gerät;Betreff;Beschreibung;Arbeitsbericht;Status;Fehlercode;Bearbeiter
1001;02.03.2026 09:14;02.03.2026 09:41;Post 22;FI fällt;Der FI fällt beim Einstecken, nur bei Regen.;Verschraubung getauscht, läuft.;Gelöst;K31;Frau Kühn
1002;02.03.2026 10:14;12.03.2026 09:41;Post 22;Keine Lampe;Nach dem Sturm keine einzige Lampe mehr an.;Techniker bestellt.;Vor Ort;;Herr Adam
1003;04.03.2026 09:14;05.03.2026;Wandgerät;Karte;Karte wird von keinem Punkt mehr angenommen.;Rückfrage ohne Antwort.;Keine Rückmeldung;S12, K31;Frau Kühn
";

const ENGLISH: &str = "\
Case ID,Created,Resolved,Product,Summary,Work notes,Resolution code,Fix,Worked,Minutes
A-1,3/2/2026 9:14 AM,3/2/2026 9:41 AM,post-22,trips at once,\"Resealed, all good\",Solved,reseal-gland,yes,12.5
A-2,3/25/2026 9:14 AM,3/26/2026 1:41 PM,sc-2,portal offline since morning,Escalated to field,Escalated,,,
A-3,12/1/2025 9:14 AM,12/2/2025 9:41 PM,post-22,no lights at all,Customer gone,Booked,reseal-gland,no,
";

const FRENCH: &str = "\
N°|Date de création|Date de clôture|Objet|Commentaires|Statut
7|2026-03-02 09:14|2026-03-02 10:00|la borne ne démarre pas|redémarrage, tout est rentré dans l'ordre|Résolu
8|2026-03-02 09:14|2026-03-03 10:00|carte refusée par la borne|client injoignable depuis|Sans réponse
";

#[test]
fn usual_exports_are_mapped_whole() {
    for (name, csv, delimiter) in [
        ("german", GERMAN, b';'),
        ("english", ENGLISH, b','),
        ("french", FRENCH, b'|'),
    ] {
        insta::assert_snapshot!(name, proposed(csv, delimiter));
        assert_eq!(kept(csv, delimiter), (csv.lines().count() - 1, 0), "{name}");
    }
}

#[test]
fn without_usual_headings_contents_decide() {
    let csv = "A,B,C\nx1,2026-03-02,breaker trips as soon as they plug in\n\
        x2,2026-03-03,no light at all after the storm\n";
    let text = proposed(csv, b',');
    assert!(text.contains("closed = \"B\"  # CHECK"), "{text}");
    assert!(text.contains("said = \"C\"  # CHECK"), "{text}");
    // Two rows are too few to call a column an id.
    assert!(text.contains("id = { row = true }"), "{text}");
    assert_eq!(kept(csv, b','), (2, 0));
}

/// An export of a German desk with the slips that exports have: a doubled number, a blank row, a short one.
fn with_slips(id: &str, notes: &str) -> String {
    let mut csv = format!("{id};Eröffnet;Geschlossen am;Gerät / FW;Betreff;{notes};Status;Dauer\n");
    let devices = [
        "Post 22 / 3.0.1",
        "Post 7 / 2.5.1",
        "unbekannt",
        "",
        "Post 22",
    ];
    for n in 0..218 {
        let (day, device) = (1 + n % 28, devices[n % 5]);
        csv += &format!(
            "A-{};{day:02}.03.26;{day:02}.03.2026 10:12;{device};FI fliegt bei Regen;Klemmen nachgezogen, \
             Fall {n} ist behoben;erledigt;1,5 h\n",
            1000 + n
        );
    }
    csv + "A-1003;01.02.26;02.02.2026 09:00;Post 22;doppelt;doppelt;erledigt;5\n\
           ;01.02.26;02.02.2026 09:00;Post 22;ohne Nummer;ohne;erledigt;5\n;;;;;;;\nzu;kurz\n"
}

#[test]
fn a_doubled_and_an_empty_number_make_a_column_no_less_of_an_id() {
    let text = proposed(&with_slips("Auftragsnr.", "Arbeitsnotiz"), b';');
    for expected in [
        "id = { column = \"Auftragsnr.\" }",
        "# CHECK: 1 row has the id of an earlier row, such as \"A-1003\", and 1 row has no id. The import",
        "notes = \"Arbeitsnotiz\"\n",
        "#   \"Dauer\": \"1,5 h\"",
        "device = \"Gerät / FW\"\n",
        "firmware = \"Gerät / FW\"\n",
        "\"Post 22 / 3.0.1\" = \"post-22\"",
        "\"Post 22 / 3.0.1\" = \"3.0.1\"",
        "\"unbekannt\" = \"\"",
    ] {
        assert!(text.contains(expected), "{expected}\n{text}");
    }
    // What is no row of its own teaches nothing.
    assert!(!text.contains("kurz"), "{text}");
    let csv = with_slips("Auftragsnr.", "Arbeitsnotiz");
    assert_eq!(kept(&csv, b';'), (218, 3));
    // By contents alone where no heading helps.
    let text = proposed(&with_slips("Lfd", "Was war"), b';');
    for expected in [
        "# CHECK: taken for the id by its contents alone.",
        "id = { column = \"Lfd\" }",
        "notes = \"Was war\"  # CHECK: by its contents alone",
    ] {
        assert!(text.contains(expected), "{expected}\n{text}");
    }
}

#[test]
fn numbers_of_something_else_are_no_ids() {
    for heading in ["Kundennummer", "Telefon-Nr.", "Serial No."] {
        let text = proposed(&with_slips(heading, "Notizen"), b';');
        assert!(text.contains("# CHECK: no column holds an id"), "{text}");
        assert!(text.contains("id = { row = true }"), "{text}");
        assert!(
            text.contains(&format!("#   \"{heading}\": (no value shown)")),
            "{text}"
        );
    }
}

#[test]
fn a_result_without_a_fix_is_how_the_case_ended() {
    for (heading, values) in [
        ("Result", ["Resolved", "Escalated", "Closed - no action"]),
        ("Ergebnis", ["Gelöst", "Weitergeleitet", "Storniert"]),
        ("Resultado", ["Resuelto", "Derivado", "Cancelado"]),
    ] {
        let mut csv = format!("Number,Closed at,Short text,{heading}\n");
        for n in 0..30 {
            csv += &format!("N{n},2026-03-02,breaker trips at once,{}\n", values[n % 3]);
        }
        let text = proposed(&csv, b',');
        assert!(text.contains(&format!("outcome = \"{heading}\"")), "{text}");
        for (value, outcome) in values.iter().zip(["resolved", "handed-on", "dropped"]) {
            let line = format!("\"{value}\" = \"{outcome}\"");
            assert!(text.contains(&line), "{line}\n{text}");
        }
    }
}

#[test]
fn what_is_missing_is_said_in_the_map() {
    let csv = "Number,Subject\n1,breaker trips when it rains\n";
    let sheet = sheet(csv, b',');
    let proposal = propose(&sheet, &Names::default());
    assert_eq!(proposal.missing(), ["closed"]);
    let text = toml_text(&proposal, &sheet, "UTC", &Scrubber::default());
    assert!(text.contains("# closed = \"…\""), "{text}");
    let problems = Map::parse("map.toml", &text).unwrap_err();
    assert_eq!(problems.len(), 1, "{problems:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever the table holds, the map reads as TOML, and only what is missing is wrong with it.
    #[test]
    fn any_table_gets_a_map_that_reads(
        names in proptest::collection::vec("(Number|Closed at|Subject|Status|\\PC{0,8})", 1..6),
        cells in proptest::collection::vec("(1|02\\.03\\.2026|Done|breaker trips when plugged in|\\PC{0,12})", 0..24),
    ) {
        let mut sheet = Sheet::new(names.iter().map(String::as_str), b',');
        for row in cells.chunks(names.len()) {
            sheet.add(row.iter().map(String::as_str));
        }
        let proposal = propose(&sheet, &Names::default());
        let text = toml_text(&proposal, &sheet, "UTC", &Scrubber::default());
        match Map::parse("map.toml", &text) {
            Ok(_) => prop_assert!(proposal.missing().is_empty()),
            Err(problems) => {
                prop_assert!(!proposal.missing().is_empty(), "{problems:?}\n{text}");
            }
        }
    }
}
