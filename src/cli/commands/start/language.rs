//! The language an export is written in, told from its small words.

use crate::base::text;
use crate::tickets::Ticket;

/// Small words that hardly stand in the other languages, folded; from memory.
const SMALL: [(&str, &[&str]); 3] = [
    (
        "en",
        &[
            "the", "and", "not", "is", "with", "when", "to", "of", "it", "my", "on", "does", "out",
        ],
    ),
    (
        "de",
        &[
            "der", "die", "das", "und", "nicht", "ist", "mit", "bei", "kein", "keine", "wird",
            "nur", "nach", "auf", "im", "zeigt", "seit",
        ],
    ),
    (
        "es",
        &[
            "el", "los", "las", "una", "que", "con", "del", "por", "para", "cuando", "muy", "esta",
            "pero", "al", "sin", "y",
        ],
    ),
];

/// The language that most of the texts' small words belong to; English where there are none.
pub(super) fn of(tickets: &[Ticket]) -> &'static str {
    let mut counts = [0_u64; SMALL.len()];
    let texts = tickets.iter().flat_map(|t| t.said.iter().chain(&t.notes));
    for word in texts.flat_map(|text| text::split(text)) {
        for (count, (_, small)) in counts.iter_mut().zip(SMALL) {
            *count += u64::from(small.contains(&word.as_str()));
        }
    }
    let most = counts.iter().max().copied().unwrap_or_default();
    let at = counts.iter().position(|count| *count == most);
    SMALL[at.unwrap_or_default()].0
}
