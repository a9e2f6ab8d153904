//! Five parts of the ledger, for numbers from statistics that leave a case out.
//!
//! A case's part follows from its id alone, so it never moves when other tickets come or go.

use crate::base::ids::TicketId;

/// How many parts there are.
pub const FOLDS: usize = 5;

/// The part of a case, by the id of its last ticket: FNV-1a (Fowler, Noll & Vo) over its bytes,
/// then mixed, because the low bits of FNV-1a hardly differ between ids that count up.
#[must_use]
pub fn fold(id: &TicketId) -> usize {
    let mut hash: u32 = 0x811c_9dc5;
    for byte in id.as_str().bytes() {
        hash = (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193);
    }
    hash ^= hash >> 15;
    hash = hash.wrapping_mul(0x85eb_ca77);
    hash ^= hash >> 13;
    hash as usize % FOLDS
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed with Python from the same definition.
    #[test]
    fn folds_are_those_of_the_definition() {
        let found: Vec<usize> = (0..20)
            .map(|i| fold(&TicketId::new(&i.to_string())))
            .collect();
        assert_eq!(
            found,
            [1, 4, 0, 1, 4, 4, 0, 1, 1, 4, 0, 3, 2, 1, 4, 0, 1, 2, 0, 1]
        );
        assert_eq!(fold(&TicketId::new("")), 3);
        assert_eq!(fold(&TicketId::new("BR-2041")), 3);
    }

    #[test]
    fn folds_are_about_equal() {
        let mut counts = [0_usize; FOLDS];
        for i in 0..10_000 {
            counts[fold(&TicketId::new(&format!("T-{i:06}")))] += 1;
        }
        assert!(
            counts.iter().all(|c| (1_850..2_150).contains(c)),
            "{counts:?}"
        );
    }
}
