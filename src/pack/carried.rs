//! What a page carries as one packed text: script, articles, and what it ranks with.
//!
//! gzip makes two fifths of it; then 13 bits at a time become two letters of 91 that HTML leaves alone. That
//! is a quarter more than the bytes, where Base64 takes a third more. `page/packed.mjs` reads it.

use super::content::Content;
use libdeflater::{CompressionLvl, Compressor};
use std::io::{Error, Result};

/// How hard to pack, of 12. The demo takes half a second; the next level saves a thousandth more and takes
/// half as long again.
const LEVEL: i32 = 11;

const LETTERS: u32 = 91;
const BITS: u32 = 13;

/// The parts of a page that are packed.
#[derive(Debug)]
pub struct Carried {
    /// What runs.
    pub script: String,
    /// What is read: articles, contents, tables.
    pub reading: String,
    /// What it ranks with.
    pub content: Content,
}

/// What one part takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Size {
    /// Its name.
    pub part: String,
    /// Bytes as it is.
    pub bytes: usize,
    /// Bytes packed alone.
    pub packed: usize,
}

impl Carried {
    /// How many bytes there are packed, a space, and the bytes as letters.
    ///
    /// # Errors
    /// Never in practice: packing in memory cannot fail.
    pub fn text(&self) -> Result<String> {
        let mut bytes = Vec::new();
        for text in [&self.script, &self.reading] {
            let length = u32::try_from(text.len()).unwrap_or(u32::MAX);
            bytes.extend(length.to_le_bytes());
        }
        bytes.extend(self.script.bytes());
        bytes.extend(self.reading.bytes());
        bytes.extend(self.content.bytes());
        let packed = pack(&bytes)?;
        Ok(format!("{} {}", packed.len(), letters(&packed)))
    }

    /// What weighs: every part, largest first.
    ///
    /// # Errors
    /// As [`Self::text`].
    pub fn sizes(&self) -> Result<Vec<Size>> {
        let script = ("script".to_owned(), self.script.as_bytes());
        let reading = ("articles to read".to_owned(), self.reading.as_bytes());
        let parts = [script, reading].into_iter().chain(self.content.parts());
        let size = |(part, bytes): (String, &[u8])| -> Result<Size> {
            Ok(Size {
                part,
                bytes: bytes.len(),
                packed: pack(bytes)?.len(),
            })
        };
        let mut sizes = parts.map(size).collect::<Result<Vec<_>>>()?;
        sizes.sort_by(|a, b| b.packed.cmp(&a.packed).then_with(|| a.part.cmp(&b.part)));
        Ok(sizes)
    }
}

fn pack(bytes: &[u8]) -> Result<Vec<u8>> {
    let level = CompressionLvl::new(LEVEL).map_err(|_| Error::other("no such level"))?;
    let mut compressor = Compressor::new(level);
    let mut packed = vec![0; compressor.gzip_compress_bound(bytes.len())];
    let length = compressor
        .gzip_compress(bytes, &mut packed)
        .map_err(Error::other)?;
    packed.truncate(length);
    Ok(packed)
}

/// Bytes as printable ASCII without the space, `&`, `<` and `>`; the last two letters may hold less.
fn letters(bytes: &[u8]) -> String {
    let alphabet: Vec<char> = ('!'..='~').filter(|c| !"&<>".contains(*c)).collect();
    let mut text = String::with_capacity(bytes.len() * 16 / 13 + 2);
    let (mut held, mut bits) = (0_u32, 0);
    let mut put = |value: u32| {
        text.push(alphabet[(value / LETTERS) as usize]);
        text.push(alphabet[(value % LETTERS) as usize]);
    };
    for byte in bytes {
        held |= u32::from(*byte) << bits;
        bits += 8;
        if bits >= BITS {
            put(held & ((1 << BITS) - 1));
            held >>= BITS;
            bits -= BITS;
        }
    }
    if bits > 0 {
        put(held);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_become_letters_that_html_leaves_alone() {
        // 13 bits: 0x1fff is 90 · 91 + 1; the last three bits are 0b111.
        assert_eq!(letters(&[0xff, 0xff]), "~\"!)");
        assert_eq!(letters(&[0]), "!!");
        assert_eq!(letters(&[]), "");
        let all: Vec<u8> = (0..=255).collect();
        let text = letters(&all.repeat(13));
        assert_eq!(text.len(), 256 * 16);
        assert!(
            text.chars()
                .all(|c| c.is_ascii_graphic() && !"&<>".contains(c))
        );
    }
}
