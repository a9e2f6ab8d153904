//! The token of a desk that listens to more than its own machine.

use sha2::{Digest, Sha256};

/// The name of the cookie that a browser gets for it.
pub(super) const COOKIE: &str = "fixtally_desk";

/// The shortest token that is taken, in characters.
const SHORTEST: usize = 16;

/// A token. Only digests are kept and compared, so that how long a comparison takes tells nothing.
#[derive(Clone)]
pub struct Token {
    digest: [u8; 32],
    cookie: String,
}

impl std::fmt::Debug for Token {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Token")
    }
}

impl Token {
    /// A token of a file's text: its first line. None where it is too short to keep anybody out.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let token = text.lines().next().unwrap_or_default().trim();
        if token.chars().count() < SHORTEST {
            return None;
        }
        let of_cookie = Sha256::digest(format!("cookie\n{token}").as_bytes());
        Some(Self {
            digest: Sha256::digest(token.as_bytes()).into(),
            cookie: of_cookie.iter().map(|b| format!("{b:02x}")).collect(),
        })
    }

    /// Whether this is the token.
    pub(super) fn is(&self, given: &str) -> bool {
        <[u8; 32]>::from(Sha256::digest(given.as_bytes())) == self.digest
    }

    /// What the browser's cookie holds: not the token itself.
    pub(super) fn cookie(&self) -> &str {
        &self.cookie
    }

    /// Whether a `Cookie` header holds it.
    pub(super) fn in_cookies(&self, header: &str) -> bool {
        let pairs = header.split(';').filter_map(|pair| pair.split_once('='));
        let mut ours = pairs.filter(|(name, _)| name.trim() == COOKIE);
        let wanted = Sha256::digest(self.cookie.as_bytes());
        ours.any(|(_, value)| Sha256::digest(value.trim().as_bytes()) == wanted)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_token_is_its_first_line_and_long_enough() {
        assert!(Token::read("short\n").is_none());
        let token = Token::read("  a-long-enough-token \nsecond\n").unwrap();
        assert!(token.is("a-long-enough-token"));
        assert!(!token.is("a-long-enough-toke"));
        let cookie = format!("other=1; {COOKIE}={}", token.cookie());
        assert!(token.in_cookies(&cookie));
        assert!(!token.in_cookies(&format!("{COOKIE}=a-long-enough-token")));
        assert!(!token.in_cookies(""));
    }
}
