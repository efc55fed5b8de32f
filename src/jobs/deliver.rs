//! Delivery: what stands in the outbox is handed to the transport, several messages at a time.

use chrono::{DateTime, Utc};
use futures_util::future::join_all;

use crate::app::notices::outbox::{self, Outcome};
use crate::app::ticks::Did;
use crate::app::{App, Error};
use crate::core::words::NoticeState;

/// How many messages are on their way at once: one that hangs holds up nobody but these.
const AT_ONCE: u32 = 8;

/// Hands over every message whose time has come. `now` is asked anew for each step, since a server can take its time.
pub async fn deliver(app: &App, now: impl Fn() -> DateTime<Utc>) -> Result<Vec<Did>, Error> {
    let mut did = Vec::new();
    loop {
        let taken = outbox::take(app, now(), AT_ONCE)?;
        if taken.is_empty() {
            return Ok(did);
        }
        let attempts = taken.iter().map(|taken| async {
            let message = outbox::outgoing(taken);
            let result = app.mailer.send(&message).await;
            outbox::keep(app, taken, result, now())
        });
        for kept in join_all(attempts).await {
            let Some((state, outcomes)) = kept? else { continue };
            let told = |outcome: Outcome| match state {
                NoticeState::Sent => Did::Sent(outcome),
                NoticeState::Failed => Did::Failed(outcome),
                _ => Did::Deferred(outcome),
            };
            did.extend(outcomes.into_iter().map(told));
        }
    }
}
