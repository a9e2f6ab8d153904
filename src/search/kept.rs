//! Postings that were read, kept for the next question.
//!
//! A question that is being typed asks for nearly the same terms at every letter, and most of what an
//! answer took was finding them in the index again. Only short lists are kept: of a long one the index
//! itself leaps to the few texts that are asked about. Where the room is used up all are forgotten, so
//! memory stays flat whatever is typed.

use crate::evidence::counted::Place;
use crate::evidence::texts::Family;
use rustc_hash::FxHashMap;
use std::sync::Arc;

/// Lists with more places than this are not kept.
pub(super) const LONGEST: u32 = 2048;

/// Places in all lists that are kept, each list counted with some more for itself: at most 30 MB.
const ROOM: usize = 2 << 20;

/// What a list takes besides its places, in places.
const ITSELF: usize = 8;

/// The texts of a family that have a term, ascending, each with how often.
pub(super) type Places = Arc<[Place]>;

/// The lists that are kept.
#[derive(Debug, Default)]
pub(super) struct Kept {
    families: [FxHashMap<Box<str>, Places>; Family::ALL.len()],
    taken: usize,
}

impl Kept {
    /// The list of a term, where it is kept.
    pub(super) fn get(&self, family: Family, term: &str) -> Option<&Places> {
        self.families[family as usize].get(term)
    }

    /// Keeps a list.
    pub(super) fn put(&mut self, family: Family, term: &str, places: Places) {
        let takes = ITSELF + places.len();
        if self.taken + takes > ROOM {
            *self = Self::default();
        }
        self.taken += takes;
        self.families[family as usize].insert(term.into(), places);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_room_is_never_more_than_used_up() {
        let mut kept = Kept::default();
        let long: Places = vec![(0, 1); LONGEST as usize].into();
        for nth in 0..3 * ROOM / LONGEST as usize {
            kept.put(Family::Own, &nth.to_string(), Arc::clone(&long));
            assert!(kept.taken <= ROOM);
            assert_eq!(kept.get(Family::Own, &nth.to_string()), Some(&long));
            assert_eq!(kept.get(Family::Fix, &nth.to_string()), None);
        }
    }
}
