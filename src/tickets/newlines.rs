//! One kind of line end: `\r\n` and a lone `\r` become `\n` as the bytes pass.
//!
//! Text within quotes gets the same, so that a note reads alike whichever system wrote it.

use std::io::{Read, Result};

/// A reader whose lines all end in a line feed.
pub(super) struct Newlines<R> {
    inner: R,
    after_return: bool,
}

impl<R> Newlines<R> {
    pub(super) fn new(inner: R) -> Self {
        Self {
            inner,
            after_return: false,
        }
    }
}

impl<R: Read> Read for Newlines<R> {
    fn read(&mut self, buffer: &mut [u8]) -> Result<usize> {
        loop {
            let read = self.inner.read(buffer)?;
            let mut kept = 0;
            for at in 0..read {
                let byte = buffer[at];
                let second_half = byte == b'\n' && self.after_return;
                self.after_return = byte == b'\r';
                if !second_half {
                    buffer[kept] = if byte == b'\r' { b'\n' } else { byte };
                    kept += 1;
                }
            }
            // Nothing kept of something read is not the end.
            if kept > 0 || read == 0 {
                return Ok(kept);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_line_ends_become_one_kind_however_the_bytes_arrive() {
        for size in [1, 2, 3, 64] {
            let source = &b"a\r\nb\rc\n\r\n\r\rd\r\n"[..];
            let mut reader = Newlines::new(source);
            let mut all: Vec<u8> = Vec::new();
            let mut buffer = vec![0; size];
            loop {
                let read = reader.read(&mut buffer).unwrap();
                if read == 0 {
                    break;
                }
                all.extend(&buffer[..read]);
            }
            assert_eq!(all, b"a\nb\nc\n\n\n\nd\n");
        }
    }
}
