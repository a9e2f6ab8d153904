use super::*;
use crate::base::negation::Clauses;
use proptest::prelude::*;

fn analyzer() -> Analyzer {
    let list = |words: &[&str]| words.iter().map(|w| (*w).to_owned()).collect();
    Analyzer::new(&Words {
        same: [("smoke".to_owned(), list(&["rauch"]))].into(),
        apart: [("shock".to_owned(), list(&["shook"]))].into(),
        groups: [
            ("part".to_owned(), list(&["plug", "wall box", "<cover>"])),
            ("cover".to_owned(), list(&["=lid"])),
        ]
        .into(),
        ..Words::default()
    })
}

fn find(phrase: &str, text: &str) -> Found {
    let analyzer = analyzer();
    let mut book = Book::default();
    let phrase = book.phrase(phrase, &analyzer).unwrap();
    let clauses = Clauses::read(text);
    let known = Vocabulary::new(vec!["sparkl".to_owned()]);
    let taken = vec![false; clauses.words.len()];
    book.read(&clauses, &analyzer, &known).find(&phrase, &taken)
}

#[test]
fn phrases_are_met_as_the_table_says() {
    for (phrase, text, met) in [
        ("burning smell", "a burning sort of smell", true),
        ("burning smell", "a burning sort of rather odd smell", false),
        ("burning smell", "smell of burning", false),
        ("burning smell", "burning, smell", false),
        ("smell & burning", "smell of burning", true),
        ("smell & burning", "a smell. Burning", true),
        ("smell & burning", "a smell. It has been burning", false),
        ("smell|stink burnt|scorched", "it stinks scorched", true),
        ("pins-and-needles", "pins and needles", true),
        ("pins-and-needles", "pins and some needles", false),
        ("sparks & <part>", "the wall box has sparks", true),
        ("sparks & <part>", "the lid, sparks", true),
        ("sparks & <part>", "sparks in the office", false),
        ("<cover> off", "the lids off", false),
        ("verschmor*", "ganz verschmorte Stecker", true),
        ("*geruch", "ein Brandgeruch", true),
        ("*rauch*", "Rauchwolke", true),
        ("=live", "it lives", false),
        ("=live", "it is live", true),
        ("smoke", "Rauch", true),
        ("smoke", "smoking", true),
        ("sparking", "sparking", true),
        ("sparks", "spraks", true),
        ("sparks", "spars", true),
        ("sparks", "sparky", false),
        ("scorched", "scurched", true),
        ("sparking", "sparkling", false),
        ("shock", "shook", false),
        ("shock", "shok", true),
        ("can't touch", "so hot I can't touch it", true),
    ] {
        let found = matches!(find(phrase, text), Found::Said(_));
        assert_eq!(found, met, "{phrase} in {text}: {:?}", find(phrase, text));
    }
}

#[test]
fn a_denial_counts_unless_the_phrase_holds_it() {
    for (phrase, text, found) in [
        ("smoke", "no smoke", Found::Denied("no smoke".to_owned())),
        (
            "smoke",
            "no smoke, now smoke",
            Found::Said("smoke".to_owned()),
        ),
        (
            "hot & not touch",
            "so hot, do not touch",
            Found::Said("hot … not touch".to_owned()),
        ),
        ("smoke", "all is well", Found::Nowhere),
        (
            "smoke smell",
            "no smoke no smell, it just trips",
            Found::Denied("no smoke no smell".to_owned()),
        ),
    ] {
        assert_eq!(find(phrase, text), found, "{phrase} in {text}");
    }
}

#[test]
fn marks_say_that_a_phrase_stands_alone_or_only_asks() {
    let said = |words: &str| Found::Said(words.to_owned());
    let asked = |words: &str| Found::Denied(words.to_owned());
    for (phrase, text, found) in [
        ("^gas", "Gas", said("gas")),
        ("^gas", "it trips, there is gas", said("gas")),
        ("^gas", "no card works there is gas here", said("gas")),
        ("^gas", "gas?", Found::Nowhere),
        ("^gas", "if there is gas", Found::Nowhere),
        ("^gas", "is there gas", Found::Nowhere),
        ("^gas", "the gas station", Found::Nowhere),
        (
            "?child touching",
            "a child is touching it",
            asked("child … touching"),
        ),
        ("?^gas", "gas", asked("gas")),
    ] {
        assert_eq!(find(phrase, text), found, "{phrase} in {text}");
    }
}

#[test]
fn what_a_harmless_phrase_takes_is_gone() {
    let analyzer = analyzer();
    for (harmless, text, met) in [
        ("smoke detector|alarm", "the smoke alarm is new", false),
        ("smoke detector|alarm", "the smoke alarm sees smoke", true),
        ("smoke detector|alarm", "smoke set off the alarm", true),
        (
            "smoke & cigarettes",
            "they smoke their cigarettes here",
            false,
        ),
        (
            "smoke & cigarettes",
            "we sell cigarettes here, and now to why I ring you at this hour: there is smoke",
            true,
        ),
    ] {
        let mut book = Book::default();
        let stop = book.phrase("smoke", &analyzer).unwrap();
        let harmless = book.phrase(harmless, &analyzer).unwrap();
        let clauses = Clauses::read(text);
        let reading = book.read(&clauses, &analyzer, &Vocabulary::default());
        let mut taken = vec![false; clauses.words.len()];
        reading.take(&harmless, &mut taken);
        let found = matches!(reading.find(&stop, &taken), Found::Said(_));
        assert_eq!(found, met, "{text}");
    }
}

#[test]
fn a_phrase_that_cannot_be_read_says_why() {
    for (phrase, message) in [
        ("", "`` lacks a word"),
        ("smoke & ", "`smoke & ` lacks a word"),
        ("! & smoke", "`! & smoke` lacks a word"),
        ("<nothing>", "there is no group `nothing` under `[groups]`"),
    ] {
        let read = Book::default().phrase(phrase, &analyzer());
        assert_eq!(read, Err(message.to_owned()), "{phrase}");
    }
}

#[test]
fn groups_that_name_themselves_end() {
    let groups = [("a".to_owned(), vec!["<a>".to_owned()])].into();
    let analyzer = Analyzer::new(&Words {
        groups,
        ..Words::default()
    });
    assert!(Book::default().phrase("<a>", &analyzer).is_err());
}

proptest! {
    /// More words in its clause, none of them denying, never unsay a danger.
    #[test]
    fn words_around_never_unsay(
        before in proptest::collection::vec("(the|car|blue|today|is|my|quite|lampe|muy)", 0..12),
        after in proptest::collection::vec("(the|car|blue|today|is|my|quite|lampe|muy)", 0..12),
        between in proptest::collection::vec("(the|car|quite)", 0..=GAP),
    ) {
        let text = [before.join(" "), "burning".to_owned(), between.join(" "), "smell".to_owned(), after.join(" ")].join(" ");
        prop_assert!(matches!(find("burning smell", &text), Found::Said(_)), "{}", text);
        prop_assert!(matches!(find("smell & burning", &text), Found::Said(_)), "{}", text);
    }

    #[test]
    fn nothing_typed_breaks_it(phrase in "[a-z<>|&*= -]{0,30}", text in "\\PC{0,80}") {
        let analyzer = analyzer();
        let mut book = Book::default();
        if let Ok(phrase) = book.phrase(&phrase, &analyzer) {
            let clauses = Clauses::read(&text);
            let reading = book.read(&clauses, &analyzer, &Vocabulary::default());
            let mut taken = vec![false; clauses.words.len()];
            let _ = reading.find(&phrase, &taken);
            reading.take(&phrase, &mut taken);
        }
    }
}
