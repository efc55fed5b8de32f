//! What the running service does by itself: a tick each minute, and the delivery of mails beside it, so that a mail
//! server that hangs holds up no tick.

mod deliver;

use std::str::FromStr as _;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

use chrono::{DateTime, Utc};
use cron::Schedule;

use crate::app::{App, ticks};

pub use deliver::deliver;

/// When ticks fall, in UTC: at each full minute. Which of them have been done is kept in the database.
const TICKS: &str = "0 * * * * *";

/// The longest sleep: a clock that was set is noticed after it.
const NAP: Duration = Duration::from_secs(10);

/// How often the outbox is looked into.
const OUTBOX: Duration = Duration::from_secs(5);

/// The threads that tick and deliver; they stop, after what they are at, when this is dropped.
pub struct Jobs {
    threads: Vec<(Sender<()>, JoinHandle<()>)>,
}

impl Jobs {
    /// Begins to tick and to deliver.
    pub fn start(app: &App) -> std::io::Result<Self> {
        let schedule = Schedule::from_str(TICKS).map_err(std::io::Error::other)?;
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
        let (ticking, delivering) = (app.clone(), app.clone());
        Ok(Self {
            threads: vec![
                thread("ticker", move |stopped| tick(&ticking, &schedule, stopped))?,
                thread("courier", move |stopped| hand_over(&delivering, &runtime, stopped))?,
            ],
        })
    }
}

impl Drop for Jobs {
    fn drop(&mut self) {
        for (stop, thread) in std::mem::take(&mut self.threads) {
            drop(stop);
            // A panic in there has been told already.
            let _ = thread.join();
        }
    }
}

fn thread(
    name: &str,
    work: impl FnOnce(&Receiver<()>) + Send + 'static,
) -> std::io::Result<(Sender<()>, JoinHandle<()>)> {
    let (stop, stopped) = channel();
    let thread = std::thread::Builder::new().name(name.to_owned()).spawn(move || work(&stopped))?;
    Ok((stop, thread))
}

/// Whether it was asked to stop within this time.
fn asked_to_stop(stopped: &Receiver<()>, within: Duration) -> bool {
    stopped.recv_timeout(within) != Err(RecvTimeoutError::Timeout)
}

fn tick(app: &App, schedule: &Schedule, stopped: &Receiver<()>) {
    // What was missed while nobody ran is done at once.
    let mut next = app.now();
    loop {
        let now = app.now();
        if now >= next {
            match ticks::tick(app, now) {
                Ok(Some(did)) if !did.is_empty() => tracing::info!(did = did.len(), "tick"),
                Ok(_) => {}
                // The next tick does what this one could not.
                Err(error) => tracing::error!(%error, "a tick failed"),
            }
            next = schedule.after(&now).next().unwrap_or(now);
        }
        if asked_to_stop(stopped, until(next, app.now())) {
            return;
        }
    }
}

fn until(next: DateTime<Utc>, now: DateTime<Utc>) -> Duration {
    (next - now).to_std().unwrap_or_default().clamp(Duration::from_millis(50), NAP)
}

fn hand_over(app: &App, runtime: &tokio::runtime::Runtime, stopped: &Receiver<()>) {
    loop {
        match runtime.block_on(deliver(app, || app.now())) {
            Ok(did) if !did.is_empty() => tracing::info!(did = did.len(), "delivered"),
            Ok(_) => {}
            Err(error) => tracing::error!(%error, "delivery failed"),
        }
        if asked_to_stop(stopped, OUTBOX) {
            return;
        }
    }
}
