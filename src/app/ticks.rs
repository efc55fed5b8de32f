//! What happens by itself: at each tick, once in the whole installation, whichever replica comes first.

use chrono::{DateTime, DurationRound as _, TimeDelta, Utc};
use serde::Serialize;

use super::notices::outbox::{Outcome, Unsent};
use super::notices::plan::Planned;
use super::{App, Error, appointments, idempotency, notices, setup, turn};
use crate::core::error::Error as Rule;
use crate::core::ids::WarrantyId;
use crate::db::installation;

/// The task under which ticks are kept.
pub(crate) const TASK: &str = "minute";

/// One thing that was done by itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "did", rename_all = "snake_case")]
pub enum Did {
    /// A warranty's stored verdict changed because a day turned.
    Turned {
        /// The warranty.
        warranty: WarrantyId,
    },
    /// A notice was planned.
    Planned(Planned),
    /// A notice ended without a mail, or waits for another day.
    Unsent(Unsent),
    /// A mail was handed over.
    Sent(Outcome),
    /// A mail was not taken, and is tried again.
    Deferred(Outcome),
    /// A mail was not taken, and is not tried again.
    Failed(Outcome),
    /// Answers that were kept for requests that are repeated have had their time.
    Forgot {
        /// How many.
        answers: usize,
    },
}

/// Does what is to be done by itself at `at`, unless a tick of that minute or a later one has been done already.
///
/// None where somebody else was first: ticks rise strictly.
pub fn tick(app: &App, at: DateTime<Utc>) -> Result<Option<Vec<Did>>, Error> {
    let minute = at.duration_trunc(TimeDelta::minutes(1)).unwrap_or(at);
    let scope = app.db.installation();
    let mine = app.db.write::<_, Error>(move |tx| {
        let last = installation::last_tick(tx, &scope, TASK)?;
        if last.is_some_and(|last| minute <= last) {
            return Ok(false);
        }
        Ok(installation::claim_tick(tx, &scope, TASK, minute)?)
    })?;
    if !mine {
        return Ok(None);
    }
    let turned = turn::days(app, at)?;
    let mut did: Vec<Did> =
        turned.into_iter().map(|turned| Did::Turned { warranty: turned.warranty }).collect();
    appointments::days(app, at)?;
    did.extend(notices::plan::plan(app, at)?.into_iter().map(Did::Planned));
    did.extend(notices::outbox::write(app, at)?.into_iter().map(Did::Unsent));
    let answers = idempotency::forget(app, at)?;
    if answers > 0 {
        did.push(Did::Forgot { answers });
    }
    Ok(Some(did))
}

/// A tick at an instant that somebody names: not behind the last tick, and ahead of the clock only in a drill.
pub fn tick_at(app: &App, at: DateTime<Utc>) -> Result<Vec<Did>, Error> {
    let now = app.now();
    if at > now && !setup::drill(&app.db)? {
        let detail = format!("{at} lies ahead of the clock, {now}; only a drill may go there");
        return Err(Rule::rule("at", "ahead_of_the_clock", detail).into());
    }
    tick(app, at)?.ok_or_else(|| {
        Rule::rule("at", "behind_the_last_tick", format!("{at} does not lie after the last tick")).into()
    })
}
