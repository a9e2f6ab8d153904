//! Fault codes as people type them: `K31`, `k31`, `K-31`, `K 31`.

/// Letters that may stand apart from the number of a code; more are a word: `post 22` is no code.
const MOST_LETTERS: usize = 2;

/// What may stand between the letters and the number of a code.
const BETWEEN: [char; 3] = ['-', ' ', '.'];

/// The runs of letters and digits in a text, and behind each pair of runs that may be the two parts
/// of one code the two together.
#[must_use]
pub fn spelled(text: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut before: Option<&str> = None;
    let mut rest = text;
    while let Some(start) = rest.find(char::is_alphanumeric) {
        let gap = &rest[..start];
        rest = &rest[start..];
        let end = rest.find(|c: char| !c.is_alphanumeric());
        let run = &rest[..end.unwrap_or(rest.len())];
        rest = &rest[run.len()..];
        found.push(run.to_owned());
        if let Some(letters) = before
            && gap
                .chars()
                .eq(gap.chars().filter(|c| BETWEEN.contains(c)).take(1))
            && letters.len() <= MOST_LETTERS
            && letters.bytes().all(|b| b.is_ascii_alphabetic())
            && run.bytes().all(|b| b.is_ascii_digit())
        {
            found.push(format!("{letters}{run}"));
        }
        before = Some(run);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::spelled;

    #[test]
    fn letters_and_number_may_stand_apart() {
        for (text, expected) in [
            ("K31", vec!["K31"]),
            ("shows K-31!", vec!["shows", "K", "31", "K31"]),
            (
                "k 31 and E.7",
                vec!["k", "31", "k31", "and", "E", "7", "E7"],
            ),
            ("post 22", vec!["post", "22"]),
            ("K - 31", vec!["K", "31"]),
            ("K  31", vec!["K", "31"]),
            ("K/31", vec!["K", "31"]),
            ("3 K", vec!["3", "K"]),
            ("K 3a", vec!["K", "3a"]),
            ("ä 31", vec!["ä", "31"]),
            ("", vec![]),
        ] {
            assert_eq!(spelled(text), expected, "{text}");
        }
    }
}
