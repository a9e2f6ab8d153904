use super::*;

fn affirmed(text: &str) -> String {
    Clauses::read(text).affirmed()
}

#[test]
fn what_is_denied_is_left_out() {
    for (text, left) in [
        ("no smoke, red lamp", "red lamp"),
        ("smoke: none", ""),
        ("smoke? none", ""),
        ("smoke/sparks/heat: n/n/n. offline", "n n offline"),
        (
            "there isn't any burning smell but it trips",
            "there but it trips",
        ),
        ("kein Rauch, aber rot", "aber rot"),
        ("sin humo", ""),
        ("denies smoke, sparks or heat; RCD trips", "rcd trips"),
        ("scorch marks and there aren't any", "and there any"),
        ("smell none heat none shock none", ""),
        ("would differ if it sparked but it doesn't", "but it"),
    ] {
        assert_eq!(affirmed(text), left, "{text} {:?}", Clauses::read(text));
    }
}
