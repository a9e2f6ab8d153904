//! What must go and what must stay.

use super::*;

fn scrubber() -> Scrubber {
    Scrubber::new(Some("BR[0-9]{8}")).unwrap()
}

#[test]
fn personal_data_become_placeholders() {
    for (raw, clean) in [
        // Mail.
        (
            "mail me at bob.smith@example.com please",
            "mail me at [mail] please",
        ),
        ("write to b_s+x@mail.example.co.uk.", "write to [mail]."),
        ("jürgen@müller.example", "[mail]"),
        ("bob (at) example.com", "[mail]"),
        // Telephone.
        ("ring +44 20 7946 0958 after 5", "ring [phone] after 5"),
        ("ring 020 7946 0958 after 5", "ring [phone] after 5"),
        ("call back on 0151 23456789", "call back on [phone]"),
        ("(030) 123 45 67 is the office", "[phone] is the office"),
        ("0049 30 1234567", "[phone]"),
        ("+1 (212) 555-0123", "[phone]"),
        ("cell 212-555-0123, box dead", "cell [phone], box dead"),
        ("212.555.0123", "[phone]"),
        ("Tel.: 7946 0958", "Tel.: [phone]"),
        ("phone 555-0123", "phone [phone]"),
        ("06 12 34 56 78", "[phone]"),
        ("Handy 0176/12345678.", "Handy [phone]."),
        // Addresses.
        (
            "site is 12 High Street, trips daily",
            "site is [address], trips daily",
        ),
        ("221b Baker St", "[address]"),
        (
            "at 4 Old Mill Lane, Bristol BS1 4DJ today",
            "at [address] today",
        ),
        ("12 high street no power", "[address] no power"),
        ("742 Evergreen Terrace, Springfield, IL 62704", "[address]"),
        ("Hauptstraße 12, 10115 Berlin", "[address]"),
        (
            "in der Bahnhofstr. 3a steht sie",
            "in der [address] steht sie",
        ),
        ("Lange Straße 5", "[address]"),
        ("12 rue de la Paix", "[address]"),
        ("calle Mayor 12", "[address]"),
        ("PO Box 123", "[address]"),
        (
            "steht Hauptstraße, 10115 Berlin, am Tor",
            "steht [address], am Tor",
        ),
        ("Hauptstraße 12 in 10115 Berlin", "[address]"),
        ("Lange Straße 5 - 10115 Berlin", "[address]"),
        ("10115 Berlin, zweiter Hof", "[address], zweiter Hof"),
        ("Otley LS21 3QD, gate shut", "[address], gate shut"),
        // Accounts, as the registry of ISO 13616 writes its examples.
        (
            "refund to DE89 3704 0044 0532 0130 00 please",
            "refund to [account] please",
        ),
        (
            "IBAN: AT611904300234573201, BIC unknown",
            "IBAN: [account], BIC unknown",
        ),
        // Serial numbers.
        (
            "serial BR12345678 on the label",
            "serial [serial] on the label",
        ),
        ("it is BR12345678", "it is [serial]"),
        ("S/N: X9-4411-22", "S/N: [serial]"),
        ("serial number is 4711abc99", "serial number is [serial]"),
        ("Seriennummer 99887766", "Seriennummer [serial]"),
        // Names.
        (
            "this is Anna from the depot",
            "this is [name] from the depot",
        ),
        (
            "hi, my name is Bob O'Brien, the box is dead",
            "hi, my name is [name], the box is dead",
        ),
        ("my name is bob, box dead", "my name is [name], box dead"),
        ("Mr Smith called", "Mr [name] called"),
        ("mrs. jones called", "mrs. [name] called"),
        (
            "Frau Dr. Müller-Lüdenscheidt rief an",
            "Frau Dr. [name] rief an",
        ),
        ("Herr von der Heide", "Herr [name]"),
        ("spoke to Peter Brown Tuesday", "spoke to [name] Tuesday"),
        (
            "all good now. Kind regards, Anna Lee",
            "all good now. Kind regards, [name]",
        ),
        ("thanks\nBob", "thanks\n[name]"),
        (
            "Mit freundlichen Grüßen\nJürgen Weiß\n",
            "Mit freundlichen Grüßen\n[name]\n",
        ),
        (
            "Caller: Jane Doe, post-7 dead",
            "Caller: [name], post-7 dead",
        ),
        (
            "owner Hans Meier says plug stuck",
            "owner [name] says plug stuck",
        ),
        (
            "tenant Brown says it is dead",
            "tenant [name] says it is dead",
        ),
        (
            "Eigentümerin Petra von Hagen, Stecker fest",
            "Eigentümerin [name], Stecker fest",
        ),
        (
            "Mieter Kowalski meldet Ausfall",
            "Mieter [name] meldet Ausfall",
        ),
        (
            "la propietaria Carmen de la Vega dice que no carga",
            "la propietaria [name] dice que no carga",
        ),
        // Number plates.
        (
            "car M-AB 1234 is parked there",
            "car [plate] is parked there",
        ),
        ("Wagen HH-XY 42E blockiert", "Wagen [plate] blockiert"),
        ("van AB12 CDE stood at it", "van [plate] stood at it"),
        ("voiture AB-123-CD.", "voiture [plate]."),
        (
            "matrícula 1234 BCD, no carga",
            "matrícula [plate], no carga",
        ),
        ("Kennzeichen: B XY 99", "Kennzeichen: [plate]"),
        (
            "regards, Bob Smith, 020 7946 0958, bob@example.com",
            "regards, [name], [phone], [mail]",
        ),
    ] {
        assert_eq!(scrubber().text(raw), clean, "{raw}");
    }
}

#[test]
fn everything_else_stays() {
    for text in [
        "169.254.3.7",
        "ping 192.168.100.200 answers, 10.0.0.1 not",
        "insulation at 500 V DC reads 1 MΩ",
        "set to 9600 8E1",
        "shows K31, then K32 and E-014",
        "firmware 3.0.1 to 3.10.22",
        "T-10482 follows T-10481",
        "ticket 88231",
        "closed 2026-03-02 at 09:41, opened 02.03.2026 09:14",
        "since 02-03-2026",
        "2026-03-02T09:14:00Z",
        "read 1000000 ohm, 0.35 ohm and 047 000 000 ohm",
        "120 minutes on site, 0 900 000 000 ms",
        "6 mA DC, 30 mA, 230 V, 32 A, 7.4 kW, 22 kW",
        "this is K31 again",
        "this is Modbus, not the meter",
        "this is The third time",
        "it's Monday again",
        "I am Not happy",
        "This is urgent",
        "thanks. Breaker holds since the reseal",
        "200 ms delay at the meter",
        "3 cars on the road",
        "2 metres off the road",
        "1 way or the other, 2 posts in the lane",
        "via Modbus to sc-2",
        "post-7 and post-22, m-3 on RS-485",
        "OCPP 1.6 over 4G",
        "step 1 2 3 4",
        "call 10482 is a ticket",
        "torque 1.2 Nm, cable 5x6 mm²",
        "status-lamp red-slow",
        "serial port is dead",
        "regards the meter as dead",
        "",
        "[mail] [phone] [address] [serial] [name] [account] [plate]",
        "L-N 230 V, L-PE 231 V, N-PE 0 V",
        "RS-A 485, DC-DC 400, SC-2 2.1.3",
        "1000 RPM, 2500 PCS, 12 VDC",
        "order A-AB 1234-7 came, type X-AB1234-C",
        "owner Unplugged it, tenant Not at home",
        "Mieter Wallbox meldet Fehler, Kunde ruft zurück",
        "the owner Reset Breaker twice",
        "ticket 10115, meter 28012, 04109 kWh",
    ] {
        assert_eq!(scrubber().text(text), text);
    }
}

#[test]
fn a_pattern_that_finds_placeholders_does_not_loop() {
    for pattern in [".*", "[a-z]+", "", r"\w*", "serial"] {
        let scrubber = Scrubber::new(Some(pattern)).unwrap();
        let once = scrubber.text("abc serial [serial] x");
        assert_eq!(scrubber.text(&once), once, "{pattern}");
    }
    assert!(Scrubber::new(Some("(")).is_err());
}

#[test]
fn a_ticket_keeps_its_ids_and_loses_the_rest() {
    let raw: RawTicket = serde_json::from_value(serde_json::json!({
        "id": "bob@example.com", "ref": "020 7946 0958", "closed": "2026-03-02T09:41:00Z",
        "said": "Mr Smith: K31", "codes": ["K31"], "seen": {"who": "this is Anna"},
        "tries": [{"fix": "reseal-gland", "result": "resolved"},
                  {"fix": "asked Mr Smith to wait", "result": "no-change"}],
        "notes": "ring 020 7946 0958 or 0151 23456789"
    }))
    .unwrap();
    let (ticket, removed) = scrubber().ticket(raw);
    assert_eq!(ticket.id.as_str(), "bob@example.com");
    assert_eq!(ticket.reference.as_deref(), Some("020 7946 0958"));
    assert_eq!(ticket.said.as_deref(), Some("Mr [name]: K31"));
    assert_eq!(ticket.codes, ["K31"]);
    assert_eq!(ticket.seen["who"], "this is [name]");
    assert_eq!(ticket.tries[0].fix, "reseal-gland");
    assert_eq!(ticket.tries[1].fix, "asked Mr [name] to wait");
    assert_eq!((removed.phone, removed.name, removed.total()), (2, 3, 5));
}

#[test]
fn escapes_in_json_hide_nothing() {
    let line = r#"{"said":"bob\u0040example.com","n":[{"x":"thanks\nBob"}]}"#;
    assert_eq!(
        scrubber().line(line),
        r#"{"said":"[mail]","n":[{"x":"thanks\n[name]"}]}"#
    );
    assert_eq!(scrubber().line("{bob@example.com"), "{[mail]");
}

#[test]
fn what_tells_a_site_is_the_same_however_it_is_written() {
    for (text, marks) in [
        ("serial BR12345678 is dark", vec!["br12345678"]),
        ("BR12345678", vec!["br12345678"]),
        ("ring 0171 2345678", vec!["01712345678"]),
        ("Bob.Smith@example.com", vec!["bobsmithexamplecom"]),
        // Names and streets are shared by strangers.
        ("Mr Smith, 12 Mill Road", vec![]),
        ("K31 on post-22, firmware 3.0.1", vec![]),
    ] {
        assert_eq!(scrubber().marks(text), marks, "{text}");
    }
}
