//! Terms come analysed; the tokenizer only takes them apart again.

use tantivy::tokenizer::{Token, TokenStream, Tokenizer};

/// Stands between two terms; text analysis never yields it.
pub(super) const BETWEEN: char = '\u{1f}';

/// The name under which the index knows [`Terms`].
pub(super) const NAME: &str = "terms";

/// Parts a field at [`BETWEEN`].
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
            token: &mut self.token,
        }
    }
}

/// The terms of one field.
pub(super) struct Stream<'a> {
    rest: std::str::Split<'a, char>,
    token: &'a mut Token,
}

impl TokenStream for Stream<'_> {
    fn advance(&mut self) -> bool {
        let Some(term) = self.rest.find(|t| !t.is_empty()) else {
            return false;
        };
        self.token.text.clear();
        self.token.text.push_str(term);
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
