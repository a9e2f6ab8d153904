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
fn a_statement_is_a_clause_or_begins_at_its_subject() {
    for (text, word, stated) in [
        (
            "breaker trips, there is smoke",
            "smoke",
            Some("there is smoke"),
        ),
        (
            "breaker trips there is smoke",
            "smoke",
            Some("there is smoke"),
        ),
        ("lädt nicht, es brennt", "brennt", Some("es brennt")),
        (
            "the app says there is smoke",
            "smoke",
            Some("the app says there is smoke"),
        ),
        ("is there smoke", "smoke", None),
        ("smoke?", "smoke", None),
        ("there was smoke", "smoke", None),
        ("I call you if there is smoke", "smoke", None),
        ("what do I do when it smokes", "smokes", None),
    ] {
        let clauses = Clauses::read(text);
        let at = clauses.words.iter().position(|w| w == word).unwrap();
        let found = clauses.statement(&[at]);
        let words = found.map(|range| clauses.words[range].join(" "));
        assert_eq!(words.as_deref(), stated, "{text}");
    }
}

#[test]
fn a_statement_says_only_its_danger_where_no_other_word_has_weight() {
    for (text, word, only) in [
        ("plug stuck, there is smoke", "smoke", true),
        ("there is a lot of black smoke", "smoke", true),
        ("there is smoke on the photo", "smoke", false),
        ("the plan went up in smoke", "smoke", false),
    ] {
        let clauses = Clauses::read(text);
        let at = clauses.words.iter().position(|w| w == word).unwrap();
        let range = clauses.statement(&[at]).unwrap();
        assert_eq!(clauses.says_only(&range, &[at]), only, "{text}");
        assert_eq!(clauses.states_only(&[at]), only, "{text}");
    }
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
        // A whole statement answers, over the end of a sentence too.
        ("You asked whether it had melted; it hadn't.", "melted"),
        ("You wanted to know if it was hot. It wasn't.", "hot"),
        ("did anyone get a shock - no they did not", "shock"),
        (
            "We were asked if there had been shocks. None had.",
            "shocks",
        ),
        ("asked about tingling, none had felt any", "tingling"),
        ("I asked about sparks: not one had seen it", "sparks"),
        ("Smoke? Not that I know of.", "smoke"),
        ("Hot? Not in the slightest.", "hot"),
        ("You'll ask if it smells. It doesn't.", "smells"),
        // What was feared, or what another one said.
        (
            "I feared it was burning but I went down and it isn't",
            "burning",
        ),
        ("They say it caught fire; not true.", "fire"),
        ("She said it sparked, but it's only the lamp", "sparked"),
        ("I thought it smoked, turned out it was steam", "smoked"),
        (
            "There was talk of smoke, but I looked and there's none",
            "smoke",
        ),
        ("manche meinten es brennt, hat es aber nicht", "brennt"),
        ("angeblich hat es geraucht, stimmt aber nicht", "geraucht"),
        ("dijeron que olia a quemado, pero no es verdad", "quemado"),
        // All that was named.
        ("burn marks, water: none of that", "water"),
        ("ticket says smoke but on site nothing of the kind", "smoke"),
        ("false alarm about the smoke", "smoke"),
        ("in case of smoke, whom do I call", "smoke"),
        ("barely warm, let alone hot", "hot"),
        // What is denied stands in front.
        ("einen Schlag hat niemand bekommen", "schlag"),
        ("Rauch hat keiner gesehen", "rauch"),
        ("Brandgeruch können wir ausschließen", "brandgeruch"),
        ("ohne dass es gerochen oder geraucht hätte", "geraucht"),
        ("humo no ha salido", "humo"),
        ("chispas no he visto", "chispas"),
        ("a quemado no huele", "quemado"),
        ("podemos descartar humo", "humo"),
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
        ("no smoke but it gives shocks", "shocks"),
        ("it isn't sparks, it's smoke", "smoke"),
        ("Has the smoke stopped? No.", "smoke"),
        ("Has it stopped smoking? It hasn't.", "smoking"),
        ("Are sparks normal? No?", "sparks"),
        ("It smokes. Nobody has come.", "smokes"),
        ("It smokes. I asked for help but nobody came.", "smokes"),
        ("pins look melted. No, nobody was here", "melted"),
        ("He says it smells. I don't.", "smells"),
        (
            "I thought it was fine but it isn't, it's smoking",
            "smoking",
        ),
        (
            "I thought it was over, it's just started smoking again",
            "smoking",
        ),
        ("its smoking n i cant get the plug out", "smoking"),
        ("330 Volt gegen N, es qualmt", "volt"),
        ("Rauch ist nicht auszuschließen", "rauch"),
        ("no podemos descartar humo", "humo"),
        ("we haven't ruled out smoke", "smoke"),
        ("den Rauch hat keiner bemerkt", "rauch"),
        ("es raucht und niemand ist da", "raucht"),
        ("huele a quemado y no se ve nada", "quemado"),
        ("está ardiendo no se ve nada", "ardiendo"),
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

#[test]
fn pieces_of_a_sentence_go_together() {
    for (text, sentences) in [
        ("Glowing. In the socket. Red. I went away from it.", 2),
        ("It smokes. It smells of something burnt.", 2),
        ("Smoke? No.", 1),
    ] {
        assert_eq!(Clauses::read(text).sentences.len(), sentences, "{text}");
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
