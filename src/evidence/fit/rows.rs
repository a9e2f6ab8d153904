//! The features of a case's candidates in little memory.

use crate::evidence::equation::{FEATURES, Row};

/// Rows of which each says only where it differs from the one before. Candidates of one article follow each
/// other and have most of their features in common; those of all cases together are most of what learning
/// holds in memory.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rows {
    /// One bit for each feature that differs, the first feature the lowest.
    differs: Vec<u16>,
    /// The features that differ, row by row.
    values: Vec<f64>,
}

const _: () = assert!(FEATURES <= 16, "each feature has a bit");

impl Rows {
    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.differs.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.differs.is_empty()
    }

    /// Each as it was, to the last bit.
    pub fn each(&self) -> impl Iterator<Item = Row> {
        let mut row: Row = [0.0; FEATURES];
        let mut values = self.values.iter();
        self.differs.iter().map(move |differs| {
            for (feature, value) in row.iter_mut().enumerate() {
                if differs & (1 << feature) != 0 {
                    *value = values.next().copied().unwrap_or(*value);
                }
            }
            row
        })
    }
}

impl From<Vec<Row>> for Rows {
    fn from(all: Vec<Row>) -> Self {
        let mut rows = Self::default();
        let mut before: Row = [0.0; FEATURES];
        for row in all {
            let mut differs = 0;
            for (feature, value) in row.iter().enumerate() {
                if value.to_bits() != before[feature].to_bits() {
                    differs |= 1 << feature;
                    rows.values.push(*value);
                }
            }
            rows.differs.push(differs);
            before = row;
        }
        rows.differs.shrink_to_fit();
        rows.values.shrink_to_fit();
        rows
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn rows_come_back_as_they_were(
            all in prop::collection::vec(prop::array::uniform13(prop::sample::select(vec![0.0, -0.0, 1.5, f64::NAN])), 0..6),
        ) {
            let rows = Rows::from(all.clone());
            let bits = |row: Row| row.map(f64::to_bits);
            let found: Vec<_> = rows.each().map(bits).collect();
            prop_assert_eq!(found, all.into_iter().map(bits).collect::<Vec<_>>());
        }
    }
}
