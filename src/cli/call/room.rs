//! What conversations of one moment have in common: the opened desk, its names, the clock.

use super::clock::Clock;
use crate::call::lexicon::Lexicon;
use crate::cli::{Desk, Failure, Session};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

/// An opened desk with what is made from it once.
pub(in crate::cli) struct Room {
    pub(in crate::cli) desk: Desk,
    pub(in crate::cli) lexicon: Arc<Lexicon>,
    pub(in crate::cli) clock: Clock,
}

impl Room {
    /// Opens the session's desk.
    pub(in crate::cli) fn open(session: &Session) -> Result<Self, Failure> {
        let desk = Desk::open(session)?;
        Ok(Self {
            lexicon: Arc::new(Lexicon::new(&desk.settings, &desk.catalog)),
            clock: Clock::of(session, &desk),
            desk,
        })
    }

    /// The same room with a desk of the same articles.
    pub(in crate::cli) fn with(&self, desk: Desk, session: &Session) -> Self {
        Self {
            lexicon: Arc::clone(&self.lexicon),
            clock: Clock::of(session, &desk),
            desk,
        }
    }
}

/// What a thread makes anew from time to time, so that nobody waits for it.
pub(in crate::cli) struct Newer<T>(Arc<Mutex<Option<T>>>);

impl<T: Send + 'static> Newer<T> {
    /// Makes one at the end of each period, until this value is gone; what cannot be made is left out.
    pub(in crate::cli) fn every(
        period: Duration,
        make: impl Fn() -> Option<T> + Send + 'static,
    ) -> Self {
        let newest = Arc::new(Mutex::new(None));
        let shared = Arc::downgrade(&newest);
        std::thread::spawn(move || {
            loop {
                std::thread::sleep(period);
                if shared.strong_count() == 0 {
                    return;
                }
                let made = make();
                if let (Some(slot), Some(made)) = (shared.upgrade(), made) {
                    *slot.lock().unwrap_or_else(PoisonError::into_inner) = Some(made);
                }
            }
        });
        Self(newest)
    }

    /// The newest, once.
    pub(in crate::cli) fn take(&self) -> Option<T> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).take()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};

    #[test]
    fn the_newest_is_given_once_and_no_more_are_made_for_nobody() {
        let made = Arc::new(AtomicUsize::new(0));
        let counting = Arc::clone(&made);
        // Every second one cannot be made.
        let newer = Newer::every(Duration::from_millis(5), move || {
            let nth = counting.fetch_add(1, Ordering::SeqCst);
            nth.is_multiple_of(2).then_some(nth)
        });
        let until = |enough: &dyn Fn() -> bool| {
            for _ in 0..1000 {
                if enough() {
                    return;
                }
                std::thread::sleep(Duration::from_millis(5));
            }
            panic!("nothing in five seconds");
        };
        until(&|| made.load(Ordering::SeqCst) > 4);
        let first = newer.take().unwrap();
        assert!(first >= 2 && first % 2 == 0, "{first}");
        drop(newer);
        std::thread::sleep(Duration::from_millis(100));
        let so_far = made.load(Ordering::SeqCst);
        std::thread::sleep(Duration::from_millis(100));
        assert_eq!(made.load(Ordering::SeqCst), so_far);
    }
}
