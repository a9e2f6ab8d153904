//! Ctrl-C: within careful work it asks for an end at the next good place, elsewhere it ends at once.

use std::sync::Once;
use std::sync::atomic::{AtomicU8, Ordering};

const PLAIN: u8 = 0;
const CAREFUL: u8 = 1;
const ASKED: u8 = 2;

static STATE: AtomicU8 = AtomicU8::new(PLAIN);
static LISTENING: Once = Once::new();

/// What shells expect of a program that Ctrl-C ended: 128 and the number of the signal.
const INTERRUPTED: i32 = 130;

/// Careful work, for as long as it is held.
#[derive(Debug)]
pub(crate) struct Careful(());

impl Careful {
    /// Begins careful work. Where Ctrl-C cannot be listened for, it ends at once as ever.
    pub(crate) fn begin() -> Self {
        LISTENING.call_once(|| {
            let _ = ctrlc::set_handler(|| {
                // A second Ctrl-C does not wait.
                let careful =
                    STATE.compare_exchange(CAREFUL, ASKED, Ordering::SeqCst, Ordering::SeqCst);
                if careful.is_err() {
                    std::process::exit(INTERRUPTED);
                }
            });
        });
        STATE.store(CAREFUL, Ordering::SeqCst);
        Self(())
    }

    /// Whether Ctrl-C was pressed since.
    pub(crate) fn asked(&self) -> bool {
        STATE.load(Ordering::SeqCst) == ASKED
    }
}

impl Drop for Careful {
    fn drop(&mut self) {
        STATE.store(PLAIN, Ordering::SeqCst);
    }
}
