//! What the running service does by itself: a tick each minute.

use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

use crate::app::{App, ticks};

/// How often it is looked whether a minute has passed.
const LOOK: Duration = Duration::from_secs(10);

/// The thread that ticks; it stops, after what it is at, when this is dropped.
pub struct Ticker {
    stop: Option<Sender<()>>,
    thread: Option<JoinHandle<()>>,
}

impl Ticker {
    /// Begins to tick.
    pub fn start(app: App) -> std::io::Result<Self> {
        let (stop, stopped) = channel::<()>();
        let thread = std::thread::Builder::new().name("ticker".into()).spawn(move || {
            loop {
                match ticks::tick(&app, app.now()) {
                    Ok(Some(did)) if !did.is_empty() => tracing::info!(turned = did.len(), "tick"),
                    Ok(_) => {}
                    // The next tick does what this one could not.
                    Err(error) => tracing::error!(%error, "a tick failed"),
                }
                if stopped.recv_timeout(LOOK) != Err(RecvTimeoutError::Timeout) {
                    return;
                }
            }
        })?;
        Ok(Self { stop: Some(stop), thread: Some(thread) })
    }
}

impl Drop for Ticker {
    fn drop(&mut self) {
        self.stop.take();
        if let Some(thread) = self.thread.take() {
            // A panic in there has been told already.
            let _ = thread.join();
        }
    }
}
