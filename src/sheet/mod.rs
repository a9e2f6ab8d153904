//! The sheet: a local web page for agents, and the HTTP interface it stands on.
//!
//! This room speaks HTTP and draws nothing itself: the page's ES modules lie in `src/page` (shared with
//! the pack) and `src/sheet/page`, and what they show are values of `view`. What the knowledge base, the
//! ledger and the cases say comes through [`desk::Desk`], which the command line implements.

pub mod answer;
mod assets;
mod cases;
pub mod desk;
mod doors;
mod markdown;
pub mod metrics;
mod reading;
mod routes;
mod serve;
mod token;

pub use doors::Doors;
pub use routes::router;
pub use serve::{Failed, Serving, serve};
pub use token::Token;

use desk::{Desk, Trouble};
use metrics::Metrics;
use std::sync::Arc;
use tokio::sync::{Semaphore, watch};

/// What every request has at hand.
#[derive(Clone)]
pub struct App {
    desk: Arc<dyn Desk>,
    doors: Arc<Doors>,
    metrics: Arc<Metrics>,
    /// Counts changes of the version and the pile; 0 means that the server stops.
    changes: Arc<watch::Sender<u64>>,
    /// As many requests are weighed at once as there are cores; the others wait in line.
    permits: Arc<Semaphore>,
}

impl App {
    /// The sheet of a desk.
    #[must_use]
    pub fn new(desk: Arc<dyn Desk>, doors: Doors) -> Self {
        let cores = std::thread::available_parallelism().map_or(2, usize::from);
        let changes = Arc::new(watch::Sender::new(1));
        let told = Arc::clone(&changes);
        desk.on_change(Box::new(move || {
            told.send_modify(|count| {
                if *count > 0 {
                    *count += 1;
                }
            });
        }));
        Self {
            desk,
            doors: Arc::new(doors),
            metrics: Arc::new(Metrics::default()),
            changes,
            permits: Arc::new(Semaphore::new(cores.max(2))),
        }
    }

    /// Lets those who wait for changes go: the server stops.
    pub fn stop(&self) {
        self.changes.send_replace(0);
    }

    /// Work that takes milliseconds, off the event loop.
    async fn off<T: Send + 'static>(
        &self,
        work: impl FnOnce(&dyn Desk) -> Result<T, Trouble> + Send + 'static,
    ) -> Result<T, Trouble> {
        let _permit = self.permits.acquire().await;
        let desk = Arc::clone(&self.desk);
        match tokio::task::spawn_blocking(move || work(&*desk)).await {
            Ok(done) => done,
            Err(panicked) => Err(Trouble::Broken(panicked.to_string())),
        }
    }
}
