//! Numbers written small: whole ones seven bits at a time, low bits first (LEB128), yes and no as one
//! bit each. Like beside like: the compression that follows finds in each list how common a value is.

use serde::Serialize;

/// Bytes that the content's JSON points into.
#[derive(Debug, Default)]
pub(super) struct Blob {
    bytes: Vec<u8>,
}

/// Where something stands in the bytes: from, to.
pub(super) type At = (usize, usize);

/// Answers of yes and no on their way into the bytes, the first in the lowest bit.
#[derive(Clone, Debug, Default)]
pub(super) struct Bits {
    bytes: Vec<u8>,
    filled: u8,
}

/// Where lists stand that belong together: from, then where each of them ends.
#[derive(Debug, Serialize)]
pub(super) struct Lists(Vec<usize>);

impl Bits {
    pub(super) fn push(&mut self, yes: bool) {
        if self.filled == 0 {
            self.bytes.push(0);
        }
        if let (Some(last), true) = (self.bytes.last_mut(), yes) {
            *last |= 1 << self.filled;
        }
        self.filled = (self.filled + 1) % 8;
    }
}

impl FromIterator<bool> for Bits {
    fn from_iter<I: IntoIterator<Item = bool>>(answers: I) -> Self {
        let mut bits = Self::default();
        answers.into_iter().for_each(|yes| bits.push(yes));
        bits
    }
}

impl Blob {
    pub(super) fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Writes whole numbers.
    pub(super) fn numbers(&mut self, numbers: impl IntoIterator<Item = u64>) -> At {
        let from = self.bytes.len();
        for mut left in numbers {
            loop {
                let low = u8::try_from(left & 127).unwrap_or(127);
                left >>= 7;
                self.bytes.push(if left > 0 { low | 128 } else { low });
                if left == 0 {
                    break;
                }
            }
        }
        (from, self.bytes.len())
    }

    /// Writes 64-bit floats, little-endian.
    pub(super) fn doubles(&mut self, numbers: impl IntoIterator<Item = f64>) -> At {
        let from = self.bytes.len();
        let bytes = numbers.into_iter().flat_map(f64::to_le_bytes);
        self.bytes.extend(bytes);
        (from, self.bytes.len())
    }

    /// Writes yes and no.
    pub(super) fn bits(&mut self, bits: &Bits) -> At {
        let from = self.bytes.len();
        self.bytes.extend(&bits.bytes);
        (from, self.bytes.len())
    }

    /// Writes several lists of yes and no.
    pub(super) fn bit_lists(&mut self, lists: &[Bits]) -> Lists {
        self.lists(lists, |blob, bits| blob.bits(bits))
    }

    /// Writes several lists of whole numbers.
    pub(super) fn number_lists(&mut self, lists: &[Vec<u64>]) -> Lists {
        self.lists(lists, |blob, list| blob.numbers(list.iter().copied()))
    }

    fn lists<T>(&mut self, lists: &[T], write: impl Fn(&mut Self, &T) -> At) -> Lists {
        let from = self.bytes.len();
        let ends = lists.iter().map(|list| write(self, list).1);
        Lists(std::iter::once(from).chain(ends).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_numbers_are_written_as_the_wikipedia_article_on_leb128_shows() {
        let mut blob = Blob::default();
        // 624485 is its example; the others follow from the definition.
        assert_eq!(blob.numbers([624_485, 0, 127, 128]), (0, 7));
        assert_eq!(blob.bytes(), [0xe5, 0x8e, 0x26, 0, 127, 0x80, 1]);
    }

    #[test]
    fn answers_of_yes_and_no_fill_a_byte_from_below() {
        let mut bits = Bits::default();
        for at in 0..11 {
            bits.push(at % 3 == 0);
        }
        let mut blob = Blob::default();
        let lists = blob.bit_lists(&[bits.clone(), Bits::default(), bits]);
        assert_eq!(lists.0, [0, 2, 2, 4]);
        assert_eq!(blob.bytes(), [0b0100_1001, 0b10, 0b0100_1001, 0b10]);
    }
}
