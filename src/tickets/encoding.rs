//! Which encoding an export is in, and its bytes as UTF-8.
//!
//! A byte order mark decides. Without one, bytes that are UTF-8 throughout are UTF-8; zeros at every
//! second place are UTF-16; bytes of which most are UTF-8 are two exports put into one file, and
//! each wrong byte of them is read as windows-1252; anything else is guessed by chardetng from how
//! often its letters stand beside each other.

use chardetng::{EncodingDetector, Iso2022JpDetection, Utf8Detection};
use encoding_rs::{CoderResult, Decoder, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};
use std::io::{Read, Result};

/// How many bytes the guess looks at, from the first one that is not ASCII: enough for any export,
/// and it keeps a look at a large one short.
const GUESSED_FROM: usize = 4 << 20;

/// How many bytes at the start tell UTF-16 without a mark.
const START: usize = 4096;

/// How text is written as bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8.
    Utf8,
    /// UTF-8 with single bytes of windows-1252 in it.
    Mixed,
    /// Any other that the encoding standard of the web names.
    Other(&'static encoding_rs::Encoding),
}

impl Encoding {
    /// The encoding of this name, such as `windows-1252`, `latin1` or `utf-16le`.
    #[must_use]
    pub fn named(label: &str) -> Option<Self> {
        encoding_rs::Encoding::for_label(label.as_bytes()).map(|found| {
            if found == UTF_8 {
                Self::Utf8
            } else {
                Self::Other(found)
            }
        })
    }

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Utf8 => "UTF-8",
            Self::Mixed => "UTF-8 mixed with windows-1252",
            Self::Other(encoding) => encoding.name(),
        }
    }
}

/// Looks at bytes as they pass and says which encoding they are in.
pub struct Looker {
    start: Vec<u8>,
    /// The bytes of a character that the next piece may complete.
    open: Vec<u8>,
    /// Characters of several bytes that are right UTF-8.
    right: u64,
    /// Bytes that no UTF-8 begins with.
    wrong: u64,
    detector: EncodingDetector,
    fed: usize,
}

impl std::fmt::Debug for Looker {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Looker").finish_non_exhaustive()
    }
}

impl Default for Looker {
    fn default() -> Self {
        Self {
            start: Vec::new(),
            open: Vec::new(),
            right: 0,
            wrong: 0,
            detector: EncodingDetector::new(Iso2022JpDetection::Deny),
            fed: 0,
        }
    }
}

impl Looker {
    /// Looks at the next bytes.
    pub fn feed(&mut self, bytes: &[u8]) {
        let missing = START.saturating_sub(self.start.len()).min(bytes.len());
        self.start.extend(&bytes[..missing]);
        let begins = match self.fed {
            0 => bytes.iter().position(|byte| !byte.is_ascii()),
            _ => Some(0),
        };
        if let Some(begins) = begins
            && self.fed < GUESSED_FROM
        {
            self.detector.feed(&bytes[begins..], false);
            self.fed += bytes.len() - begins;
        }
        self.open = if self.open.is_empty() {
            self.count(bytes).to_vec()
        } else {
            let piece = [&self.open[..], bytes].concat();
            self.count(&piece).to_vec()
        };
    }

    /// Counts right and wrong bytes; gives the begun character at the end.
    fn count<'a>(&mut self, mut piece: &'a [u8]) -> &'a [u8] {
        loop {
            match std::str::from_utf8(piece) {
                Ok(text) => {
                    self.right += several(text);
                    return &[];
                }
                Err(error) => {
                    let (good, rest) = piece.split_at(error.valid_up_to());
                    self.right += std::str::from_utf8(good).map_or(0, several);
                    let Some(wrong) = error.error_len() else {
                        return rest;
                    };
                    self.wrong += 1;
                    piece = &rest[wrong..];
                }
            }
        }
    }

    /// The encoding of what was looked at. `whole` says that nothing follows.
    #[must_use]
    pub fn encoding(mut self, whole: bool) -> Encoding {
        if let Some((marked, _)) = encoding_rs::Encoding::for_bom(&self.start)
            && marked != UTF_8
        {
            return Encoding::Other(marked);
        }
        if let Some(wide) = wide(&self.start) {
            return Encoding::Other(wide);
        }
        if whole && !self.open.is_empty() {
            self.wrong += 1;
        }
        if self.wrong == 0 {
            return Encoding::Utf8;
        }
        // In the older encodings two letters outside ASCII hardly ever happen to be one of UTF-8.
        if 2 * self.right >= self.wrong {
            return Encoding::Mixed;
        }
        self.detector.feed(&[], true);
        match self.detector.guess(None, Utf8Detection::Deny) {
            found if found == UTF_8 => Encoding::Utf8,
            found => Encoding::Other(found),
        }
    }
}

/// How many characters of a text take several bytes.
fn several(text: &str) -> u64 {
    text.chars().filter(|c| !c.is_ascii()).count() as u64
}

/// UTF-16 without a mark: most of every second byte is zero, and none of the others.
fn wide(start: &[u8]) -> Option<&'static encoding_rs::Encoding> {
    let zeros = |from: usize| {
        start
            .iter()
            .skip(from)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    let (even, odd) = (zeros(0), zeros(1));
    let most = start.len() / 4;
    if start.len() < 4 {
        None
    } else if odd > most && even == 0 {
        Some(UTF_16LE)
    } else if even > most && odd == 0 {
        Some(UTF_16BE)
    } else {
        None
    }
}

/// A reader's bytes as UTF-8. What cannot be read becomes `�`; a mark at the start is dropped.
pub struct Decoded<R> {
    inner: R,
    way: Way,
    buffer: Vec<u8>,
    out: String,
    at: usize,
    ended: bool,
}

enum Way {
    Decoder(Box<Decoder>),
    /// The bytes of a character that the next piece may complete.
    Mixed(Vec<u8>),
}

impl<R> std::fmt::Debug for Decoded<R> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Decoded").finish_non_exhaustive()
    }
}

impl<R: Read> Decoded<R> {
    /// Reads `inner` as text in this encoding.
    pub fn new(inner: R, encoding: Encoding) -> Self {
        let way = match encoding {
            Encoding::Mixed => Way::Mixed(Vec::new()),
            Encoding::Utf8 => Way::Decoder(Box::new(UTF_8.new_decoder())),
            Encoding::Other(other) => Way::Decoder(Box::new(other.new_decoder())),
        };
        Self {
            inner,
            way,
            buffer: vec![0; 1 << 15],
            out: String::new(),
            at: 0,
            ended: false,
        }
    }

    fn fill(&mut self) -> Result<()> {
        self.out.clear();
        self.at = 0;
        let read = self.inner.read(&mut self.buffer)?;
        self.ended = read == 0;
        let mut piece = &self.buffer[..read];
        match &mut self.way {
            Way::Decoder(decoder) => loop {
                let room = decoder.max_utf8_buffer_length(piece.len()).unwrap_or(1024);
                self.out.reserve(room);
                let (result, used, _) = decoder.decode_to_string(piece, &mut self.out, self.ended);
                piece = &piece[used..];
                if result == CoderResult::InputEmpty {
                    break;
                }
            },
            Way::Mixed(open) => {
                open.extend(piece);
                let kept = mixed(open, self.ended, &mut self.out).to_vec();
                *open = kept;
            }
        }
        Ok(())
    }
}

/// UTF-8 as it is, every wrong byte as windows-1252; gives the begun character at the end.
fn mixed<'a>(mut piece: &'a [u8], last: bool, out: &mut String) -> &'a [u8] {
    loop {
        match std::str::from_utf8(piece) {
            Ok(text) => {
                out.push_str(text);
                return &[];
            }
            Err(error) => {
                let (good, rest) = piece.split_at(error.valid_up_to());
                out.push_str(std::str::from_utf8(good).unwrap_or_default());
                let wrong = match error.error_len() {
                    Some(wrong) => wrong,
                    None if last => rest.len(),
                    None => return rest,
                };
                let (text, _) = WINDOWS_1252.decode_without_bom_handling(&rest[..wrong]);
                out.push_str(&text);
                piece = &rest[wrong..];
            }
        }
    }
}

impl<R: Read> Read for Decoded<R> {
    fn read(&mut self, buffer: &mut [u8]) -> Result<usize> {
        while self.at == self.out.len() && !self.ended {
            self.fill()?;
        }
        let left = &self.out.as_bytes()[self.at..];
        let given = left.len().min(buffer.len());
        buffer[..given].copy_from_slice(&left[..given]);
        self.at += given;
        Ok(given)
    }
}

#[cfg(test)]
mod tests;
