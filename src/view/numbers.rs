//! How many of what, in words.

/// "1 ticket", "3 tickets".
pub(crate) fn counted(number: u64, word: &str) -> String {
    counted_as(number, word, &format!("{word}s"))
}

/// "1 try", "3 tries".
pub(crate) fn counted_as(number: u64, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
