use super::*;
use proptest::prelude::*;

fn looked(bytes: &[u8], size: usize) -> Encoding {
    let mut looker = Looker::default();
    bytes
        .chunks(size.max(1))
        .for_each(|piece| looker.feed(piece));
    looker.encoding(true)
}

fn read(bytes: &[u8], encoding: Encoding) -> String {
    let mut text = String::new();
    Decoded::new(bytes, encoding)
        .read_to_string(&mut text)
        .unwrap();
    text
}

const GERMAN: &str = "Nummer;Störung;Gerät\r\n1;Säule lässt sich nicht öffnen, Müller;Zähler\r\n\
    2;Schütz klebt, Kühlung läuft;Prüfgerät für Ströme\r\n";

#[test]
fn the_encoding_is_told_from_the_bytes() {
    let latin = WINDOWS_1252.encode(GERMAN).0.into_owned();
    let wide: Vec<u8> = GERMAN.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let wide_be: Vec<u8> = GERMAN.encode_utf16().flat_map(u16::to_be_bytes).collect();
    let marked = [&[0xff, 0xfe][..], &wide].concat();
    let utf8_marked = [&b"\xef\xbb\xbf"[..], GERMAN.as_bytes()].concat();
    let both = [GERMAN.as_bytes(), GERMAN.as_bytes(), b"3;K\xfchler;x\r\n"].concat();
    for (bytes, name) in [
        (GERMAN.as_bytes(), "UTF-8"),
        (&utf8_marked, "UTF-8"),
        (b"plain", "UTF-8"),
        (b"", "UTF-8"),
        (&latin, "windows-1252"),
        (&marked, "UTF-16LE"),
        (&wide, "UTF-16LE"),
        (&wide_be, "UTF-16BE"),
        (&both, "UTF-8 mixed with windows-1252"),
    ] {
        for size in [1, 3, 1 << 16] {
            let found = looked(bytes, size);
            assert_eq!(found.name(), name, "pieces of {size}");
            let text = read(bytes, found);
            let expected = String::from_utf8_lossy(bytes);
            if bytes.len() > 5 && bytes != both {
                assert_eq!(text, GERMAN, "{name}");
            } else if bytes == both {
                assert!(text.ends_with("3;Kühler;x\r\n"), "{text}");
            } else {
                assert_eq!(text, expected);
            }
        }
    }
}

#[test]
fn further_encodings_are_guessed() {
    // Words of everyday support mail, from memory, as their systems write them.
    for (text, encoding) in [
        (
            "Зарядка не начинается, на станции горит красная лампа, звонил клиент",
            "windows-1251",
        ),
        (
            "Nabíjení se nespustí, svítí červená kontrolka, zákazník žádá o pomoc, příliš dlouhé čekání",
            "windows-1250",
        ),
        (
            "充電が始まりません。ランプが赤く点滅しています。お客様から電話がありました。",
            "Shift_JIS",
        ),
    ] {
        let encoding = Encoding::named(encoding).unwrap();
        let Encoding::Other(other) = encoding else {
            panic!()
        };
        let bytes = other.encode(text).0.into_owned();
        assert_eq!(looked(&bytes, 7), encoding);
        assert_eq!(read(&bytes, encoding), text);
    }
    assert_eq!(Encoding::named("latin1").unwrap().name(), "windows-1252");
    assert_eq!(Encoding::named("utf8"), Some(Encoding::Utf8));
    assert_eq!(Encoding::named("klingon"), None);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_become_text_and_pieces_do_not_matter(
        bytes in proptest::collection::vec(any::<u8>(), 0..300),
        size in 1usize..40,
    ) {
        let whole = looked(&bytes, 1 << 16);
        let pieces = looked(&bytes, size);
        prop_assert_eq!(whole, pieces);
        let _ = read(&bytes, whole);
    }

    #[test]
    fn utf_8_passes_unchanged(text in "[^\u{feff}]{0,80}") {
        prop_assume!(!text.contains('\0'));
        prop_assert_eq!(looked(text.as_bytes(), 5), Encoding::Utf8);
        prop_assert_eq!(read(text.as_bytes(), Encoding::Utf8), text.clone());
        prop_assert_eq!(read(text.as_bytes(), Encoding::Mixed), text);
    }
}
