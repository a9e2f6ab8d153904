//! Words that say nothing of a topic: articles, pronouns, prepositions and the like, in English,
//! German and Spanish, folded.
//!
//! Where a language is rare among the articles these look telling to a statistic ("die", "con"), so
//! a decision that rests on few words must leave them out.

#[rustfmt::skip]
const COMMON: &[&str] = &[
    // English
    "a", "an", "the", "and", "or", "but", "if", "so", "as", "at", "by", "for", "from", "in", "into",
    "of", "off", "on", "out", "over", "to", "up", "down", "with", "without", "about", "after",
    "before", "since", "while", "when", "where", "which", "who", "what", "why", "how", "than", "then",
    "there", "here", "this", "that", "these", "those", "it", "its", "i", "me", "my", "we", "us",
    "our", "you", "your", "he", "him", "his", "she", "her", "they", "them", "their", "is", "are",
    "was", "were", "be", "been", "being", "am", "do", "does", "did", "done", "have", "has", "had",
    "will", "would", "can", "could", "should", "may", "might", "must", "not", "no", "never", "ever",
    "just", "only", "very", "too", "also", "again", "any", "all", "some", "each", "every", "one",
    "two", "more", "most", "much", "many", "other", "now", "get", "got", "go", "goes", "going", "went",
    "gone", "say", "says", "said", "see", "make", "come", "please", "like", "still", "yet", "s", "t",
    "m", "d", "ve", "re", "ll", "isnt", "doesnt", "dont", "cant",
    // German
    "der", "die", "das", "den", "dem", "des", "ein", "eine", "einen", "einem", "einer", "eines",
    "und", "oder", "aber", "wenn", "als", "wie", "was", "wer", "wo", "wann", "warum", "ich", "du",
    "er", "sie", "es", "wir", "ihr", "mich", "mir", "uns", "man", "mein", "meine", "unser", "unsere",
    "ist", "sind", "war", "waren", "sein", "hat", "habe", "haben", "hatte", "wird", "werden", "wurde",
    "kann", "konnen", "soll", "muss", "nicht", "kein", "keine", "nur", "noch", "schon", "auch",
    "sehr", "so", "zu", "zum", "zur", "in", "im", "an", "am", "auf", "aus", "bei", "beim", "mit",
    "nach", "von", "vom", "vor", "fur", "uber", "unter", "gegen", "durch", "um", "bis", "seit",
    "beide", "andere", "anderen", "hier", "da", "dort", "dann", "jetzt", "immer", "wieder", "bitte",
    "welche", "welcher", "dass", "ob",
    // Spanish
    "el", "la", "los", "las", "un", "una", "unos", "unas", "y", "o", "u", "e", "pero", "si", "que",
    "como", "cuando", "donde", "porque", "yo", "tu", "ella", "ello", "nosotros", "me", "te", "se",
    "nos", "le", "les", "lo", "mi", "su", "mis", "sus", "es", "son", "era", "ser", "esta", "estan",
    "este", "esto", "esa", "ese", "eso", "hay", "ha", "han", "he", "hemos", "no", "ni", "nada", "muy",
    "mas", "menos", "ya", "de", "del", "al", "a", "en", "con", "sin", "por", "para", "sobre", "desde",
    "hasta", "todo", "toda", "todos", "todas", "otra", "otro", "otras", "otros", "dos", "solo",
];

/// All of them.
#[must_use]
pub fn words() -> &'static [&'static str] {
    COMMON
}

/// Whether a folded word is one of them.
#[must_use]
pub fn is_common(word: &str) -> bool {
    COMMON.contains(&word)
}
