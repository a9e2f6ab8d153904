use super::*;
use proptest::prelude::*;

/// The words that are not denied, with the marked one in capitals where it is among them.
fn affirms(text: &str, word: &str) -> bool {
    let clauses = Clauses::read(text);
    clauses
        .words
        .iter()
        .zip(&clauses.denied_by)
        .any(|(w, by)| w == word && by.is_empty())
}

#[test]
fn a_denied_danger_is_denied() {
    for (text, word) in [
        ("no smoke, red lamp", "smoke"),
        ("smoke: none", "smoke"),
        ("smoke? none", "smoke"),
        ("Smoke? No. Smell? No.", "smell"),
        ("sparks? no I never saw sparks", "sparks"),
        ("smoke/sparks/heat: n/n/n. Points 1-4 offline.", "smoke"),
        ("smell none heat none shock none, unit dead", "heat"),
        ("smoke no smell no water no", "smoke"),
        ("denies smoke, sparks or heat; RCD trips", "sparks"),
        ("denies smoke, sparks or heat; RCD trips", "heat"),
        ("caller denies smell, smoke, heat", "heat"),
        ("niega olor, humo y descargas", "humo"),
        ("rules out burning / smoke", "burning"),
        ("absence of sparks confirmed", "sparks"),
        ("free of scorching, says the electrician", "scorching"),
        ("smoke-free car park", "smoke"),
        ("lost neutral excluded by the electrician", "neutral"),
        (
            "I checked for scorching and there aren't any, but",
            "scorching",
        ),
        ("I looked for scorching and couldn't find any", "scorching"),
        ("checked the plug for melting, nothing there", "melting"),
        ("asked about a shock, caller said none", "shock"),
        ("told to look for burn marks; I see none", "burn"),
        ("it would differ if it sparked but it doesn't", "sparked"),
        ("asked if it smelled and it absolutely does not", "smelled"),
        ("can't smell anything burnt", "burnt"),
        ("isn't hot and smelly", "smelly"),
        ("I don't think it smells", "smells"),
        (
            "neither the car nor the box has ever given anyone a jolt",
            "jolt",
        ),
        ("not once did it spark", "spark"),
        ("kein Rauch, aber rot", "rauch"),
        ("es raucht nicht und es stinkt auch nicht", "raucht"),
        ("da stinkt nix", "stinkt"),
        ("gebrannt hat da nie was", "gebrannt"),
        ("von Rauch keine Spur", "rauch"),
        ("weder heiß noch verfärbt", "verfarbt"),
        ("ni quemado ni humo", "humo"),
        ("no huele a nada quemado", "quemado"),
    ] {
        assert!(!affirms(text, word), "{text}: {:?}", Clauses::read(text));
    }
}

#[test]
fn what_is_not_denied_is_not() {
    for (text, word) in [
        ("not charging and it stinks", "stinks"),
        ("no display, burning smell", "burning"),
        ("no power, sparks", "sparks"),
        ("not charging smells burnt", "burnt"),
        ("won't start since it sparked", "sparked"),
        ("won't stop smoking", "smoking"),
        ("nothing but smoke", "smoke"),
        ("not only sparks", "sparks"),
        ("no doubt it is smoke", "smoke"),
        ("not sure if that is smoke", "smoke"),
        ("I don't know why it smells", "smells"),
        ("never seen sparks before", "sparks"),
        ("isn't that smoke?", "smoke"),
        ("no 3 is burning", "burning"),
        ("post no. 4 smokes", "smokes"),
        ("can't rule out smoke", "smoke"),
        ("not without sparks", "sparks"),
        ("smoke is coming out. No, I have not touched it", "smoke"),
        ("there's smoke, nobody here", "smoke"),
        ("it burns and the breaker did nothing", "burns"),
        ("the smoke is so thick I couldn't see", "smoke"),
        ("no error, but it stinks", "stinks"),
        ("no lights it smells burnt", "burnt"),
        ("lädt nicht und qualmt", "qualmt"),
        ("es qualmt und es passiert nichts", "qualmt"),
        ("hört nicht auf zu qualmen", "qualmen"),
        ("no para de echar humo", "humo"),
        ("no sé si huele a quemado", "quemado"),
    ] {
        assert!(affirms(text, word), "{text}: {:?}", Clauses::read(text));
    }
}

#[test]
fn denied_words_are_left_out() {
    for (text, left) in [
        ("no smoke, red lamp", "red lamp"),
        ("isn't hot, is it? yes", "is it yes"),
        ("", ""),
    ] {
        assert_eq!(Clauses::read(text).affirmed(), left, "{text}");
    }
}

proptest! {
    #[test]
    fn any_text_is_covered_by_sentences_and_clauses(text in "(\\PC|no |not |smoke |and |, |\\? |n/ ){0,60}") {
        let clauses = Clauses::read(&text);
        let n = clauses.words.len();
        prop_assert_eq!(clauses.denied_by.len(), n);
        prop_assert_eq!(clauses.parted.len(), n);
        for ranges in [&clauses.sentences, &clauses.clauses] {
            let covered: Vec<usize> = ranges.iter().cloned().flatten().collect();
            prop_assert_eq!(covered, (0..n).collect::<Vec<_>>());
        }
    }
}
