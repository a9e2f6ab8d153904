//! Makes foreign text safe to show: one escaper for terminals, one for HTML.

use std::borrow::Cow;

/// Replaces what could move a terminal's cursor, colour it or turn its writing direction.
///
/// Control characters become visible pictures (`␛`), bidirectional marks and other invisible
/// formatting characters become `�`; line feed and tab stay.
#[must_use]
pub fn terminal(text: &str) -> Cow<'_, str> {
    if text.chars().all(|c| shown(c) == Some(c)) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().filter_map(shown).collect())
}

/// As [`terminal`], with line feeds and tabs turned into spaces: for one line of a table.
#[must_use]
pub fn terminal_line(text: &str) -> String {
    terminal(text)
        .chars()
        .map(|c| if c == '\n' || c == '\t' { ' ' } else { c })
        .collect()
}

fn shown(c: char) -> Option<char> {
    match c {
        '\n' | '\t' => Some(c),
        '\r' => None,
        '\u{0}'..='\u{1f}' => char::from_u32(0x2400 + c as u32),
        '\u{7f}' => Some('\u{2421}'),
        '\u{80}'..='\u{9f}'
        | '\u{200e}'
        | '\u{200f}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}'
        | '\u{feff}'
        | '\u{61c}' => Some('\u{fffd}'),
        _ => Some(c),
    }
}

/// Replaces the five characters that mean something in HTML.
#[must_use]
pub fn html(text: &str) -> Cow<'_, str> {
    if !text.contains(['&', '<', '>', '"', '\'']) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            _ => out.push(c),
        }
    }
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_moves_a_terminal_gets_through() {
        for (raw, safe) in [
            ("plain ß 漢 🙂", "plain ß 漢 🙂"),
            ("\u{1b}[31mred", "␛[31mred"),
            ("a\rb", "ab"),
            ("a\u{202e}b", "a\u{fffd}b"),
            ("bell\u{7}", "bell␇"),
            ("two\nlines", "two\nlines"),
        ] {
            assert_eq!(terminal(raw), safe);
        }
        assert_eq!(terminal_line("two\nlines\t3"), "two lines 3");
    }

    #[test]
    fn html_meaning_is_taken_away() {
        assert_eq!(
            html("</script><a href='x'>&"),
            "&lt;/script&gt;&lt;a href=&#39;x&#39;&gt;&amp;"
        );
        assert!(matches!(html("plain"), Cow::Borrowed(_)));
    }
}
