//! Which words stop a call and which do not, line by line.
//!
//! These lines were looked at when phrases and sayings were mended: the table guards what was mended
//! and says nothing of wording that nobody has seen. Of that `tests/sayings.rs` tells.

use crate::case::Case;
use fixtally::call::InHand;
use fixtally::cli::{Desk, Session};
use std::fmt::Write as _;
use std::sync::LazyLock;

static DESK: LazyLock<Desk> = LazyLock::new(|| {
    let case = Case::shared_demo();
    Desk::open(&Session::quiet(&case.path("kb"), &case.path("kb/.state"))).unwrap()
});

const BATTERY: &str = "battery-swollen-or-hissing";
const BRIDGED: &str = "protection-bridged";
const BROKEN: &str = "unit-broken-open-or-flooded";
const BURNING: &str = "burning-smell-or-smoke";
const GAS: &str = "smell-of-gas";
const SHOCK: &str = "shock-or-tingling";

/// The dangers that stop, first card first, and those that are asked about.
fn heard(words: &str) -> (Vec<String>, Vec<(String, String)>) {
    let mut case = InHand::default();
    case.said.words = words.to_owned();
    let (advice, _) = DESK.advise(&case).unwrap();
    let stops = advice.stops.iter().map(|(id, _)| id.to_string());
    let asks = advice.ask_first.iter();
    (
        stops.collect(),
        asks.map(|(id, words)| (id.to_string(), words.clone()))
            .collect(),
    )
}

/// Each line must stop the call with this card first.
fn all_stop(lines: &[(&str, &[&str])]) {
    let mut wrong = String::new();
    for (card, said) in lines {
        for words in *said {
            let (stops, asks) = heard(words);
            if stops.first().map(String::as_str) != Some(card) {
                writeln!(wrong, "{words}: {card} wanted, {stops:?}, asks {asks:?}").unwrap();
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn a_danger_in_a_clause_of_its_own_stops_whatever_stands_before_it() {
    all_stop(&[(
        BURNING,
        &[
            "it is burning",
            "there is smoke",
            "breaker trips, there is smoke",
            "breaker trips post-22 there is smoke",
            "breaker trips, there are flames",
            "no lamp at all, there is smoke",
            "plug stuck, there is smoke",
            "FI fliegt, es riecht verbrannt",
            "card reader dead, there are sparks",
            "app says charging, it is smoking",
            "no funciona, sale humo",
        ],
    )]);
}

#[test]
fn what_a_caller_says_of_a_danger_stops_with_the_right_card() {
    all_stop(&[
        (
            BURNING,
            &["exploded", "stinks of burning", "brennt", "llamas"],
        ),
        (
            SHOCK,
            &[
                "my daughter stuck her finger in the socket and screamed",
                "shocked my wife",
                "metal post is live",
                "the body of the car is live",
                "an old lady fell over after touching it",
                "the kid is lying on the ground next to it and not moving",
                "toddler poked a fork in the socket",
                "ambulance on the way",
                "er ist bewusstlos",
                "er atmet nicht",
                "Kollege klebt am Kabel",
                "Kind hat mit Gabel reingestochen",
                "Strom bekommen am Auto",
                "230 Volt am Blech",
                "no respira",
                "está inconsciente",
                "se ha quedado pegado al cable",
            ],
        ),
        (
            BATTERY,
            &[
                "lithium pack is leaking",
                "Akku bläht sich",
                "Akku läuft aus",
                "batería inflada",
            ],
        ),
        (GAS, &["can you smell gas? yes", "Gas", "hay gas"]),
        (
            BRIDGED,
            &[
                "breaker wedged with matchstick",
                "we bypassed the 30mA",
                "electrician took the RCD out and now it charges",
                "FI-Schalter ausgebaut",
                "Sicherung mit Draht geflickt",
                "quitaron el diferencial",
            ],
        ),
        (
            BROKEN,
            &[
                "da ist Wasser drin",
                "hay agua dentro",
                "sale agua de dentro",
            ],
        ),
    ]);
}

#[test]
fn the_plainest_dangers_are_heard_in_further_languages() {
    all_stop(&[
        (
            BURNING,
            &[
                "ça sent le brûlé",
                "ça brûle",
                "la prise a fondu",
                "il y a de la fumée qui sort de la borne",
                "esce fumo dalla colonnina",
                "er komt rook uit de laadpaal",
                "pali się skrzynka",
                "cheira a queimado",
            ],
        ),
        (
            SHOCK,
            &[
                "j'ai pris une décharge en touchant la voiture",
                "ho preso la scossa",
                "ik kreeg een stroomschok",
                "kopnął mnie prąd",
                "apanhei um choque elétrico",
            ],
        ),
        (
            GAS,
            &[
                "odeur de gaz",
                "puzza di gas",
                "het ruikt naar gas",
                "czuć gaz",
                "cheira a gás",
            ],
        ),
        (
            BROKEN,
            &[
                "il y a de l'eau à l'intérieur de la borne",
                "la colonnina è sott'acqua",
                "er staat water in de paal, water binnen",
                "woda w środku",
                "a caixa tem água dentro",
            ],
        ),
    ]);
    for words in ["pas de fumée", "geen rook", "brak dymu", "sem fumo"] {
        let (stops, _) = heard(words);
        assert!(stops.is_empty(), "{words}: {stops:?}");
    }
}

#[test]
fn a_doubtful_danger_is_asked_about_at_least() {
    for words in [
        "a child is touching it",
        "white fumes from the vents",
        "i think i smell something",
        "board is wet and it trips",
    ] {
        let (stops, asks) = heard(words);
        assert!(!stops.is_empty() || !asks.is_empty(), "{words}");
    }
}

#[test]
fn harmless_lines_do_not_stop() {
    for words in [
        "rain and the RCD trips at night",
        "morning dew in the socket",
        "the ground around the post is wet",
        "whole house went dark when I plugged in",
        "breaker trips and the lights go out in the house",
        "droning noise from the wallbox",
        "gas station next door has same problem",
        "smart meter gas and electric shows nothing",
        "Blitzschlag in der Nähe, seitdem offline",
        "cable smells like rubber because it is new",
        "swollen wooden door",
        "flooded parking lot last week, works fine now",
        "no smoke no smell, it just trips",
        "the app exploded with notifications",
        "Gas und Strom kommen vom selben Anbieter",
        "die LED brennt grün",
        "¿me llamas luego?",
    ] {
        let (stops, _) = heard(words);
        assert!(stops.is_empty(), "{words}: {stops:?}");
    }
}

#[test]
fn what_is_quoted_was_said() {
    let (_, asks) = heard("no smoke no smell, it just trips");
    assert!(!asks.is_empty());
    for (_, quoted) in asks {
        assert_eq!(quoted, "no smoke no smell");
    }
}

#[test]
fn words_that_nobody_here_knows_are_told_of_in_one_line() {
    let case = Case::shared_demo();
    let told = "Hardly a word of this is known here. Ask first: smoke, burning, shock, gas, water?";
    let strange = "laturi sanoo jotain merkillistä";
    for ran in [
        case.run(&["ask", strange]).exits(1),
        case.run_with_input(&["-q", "call"], strange).ok(),
    ] {
        let text = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(told), "{text}");
        assert!(!text.contains("STOP"), "{text}");
    }
    let known = case.run(&["ask", "the breaker trips when the car is plugged in"]);
    assert!(!known.stdout.contains("Hardly a word"), "{}", known.stdout);
}
