//! Terms come analysed; the tokenizer only takes them apart again.

use tantivy::tokenizer::{Token, TokenStream, Tokenizer};

/// Stands behind a term and behind its count; text analysis never yields it.
const BETWEEN: char = '\u{1f}';

/// Writes a term that stands so often in a field: written out, the runs of letters of a million tickets
/// are gigabytes.
pub(super) fn put(term: &str, times: u32, into: &mut String) {
    use std::fmt::Write as _;
    if !term.is_empty() {
        // Writing to memory cannot fail.
        let _ = write!(into, "{term}{BETWEEN}{times}{BETWEEN}");
    }
}

/// The name under which the index knows [`Terms`].
pub(super) const NAME: &str = "terms";

/// Gives each term of a field as often as [`put`] said.
#[derive(Clone, Default)]
pub(super) struct Terms {
    token: Token,
}

impl Tokenizer for Terms {
    type TokenStream<'a> = Stream<'a>;

    fn token_stream<'a>(&'a mut self, text: &'a str) -> Stream<'a> {
        self.token.reset();
        Stream {
            rest: text.split(BETWEEN),
            times: 0,
            token: &mut self.token,
        }
    }
}

/// The terms of one field.
pub(super) struct Stream<'a> {
    rest: std::str::Split<'a, char>,
    /// How often the term comes again.
    times: u32,
    token: &'a mut Token,
}

impl TokenStream for Stream<'_> {
    fn advance(&mut self) -> bool {
        while self.times == 0 {
            let (Some(term), Some(times)) = (self.rest.next(), self.rest.next()) else {
                return false;
            };
            self.times = times.parse().unwrap_or(0);
            self.token.text.clear();
            self.token.text.push_str(term);
        }
        self.times -= 1;
        self.token.position = self.token.position.wrapping_add(1);
        true
    }

    fn token(&self) -> &Token {
        self.token
    }

    fn token_mut(&mut self) -> &mut Token {
        self.token
    }
}
