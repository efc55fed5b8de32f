//! What happens by itself: at each tick, once in the whole installation, whichever replica comes first.

use chrono::{DateTime, DurationRound as _, TimeDelta, Utc};
use serde::Serialize;

use super::{App, Error, setup, turn};
use crate::core::error::Error as Rule;
use crate::core::ids::WarrantyId;
use crate::db::installation;

/// The task under which ticks are kept.
const TASK: &str = "minute";

/// One thing that a tick did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "did", rename_all = "snake_case")]
pub enum Did {
    /// A warranty's stored verdict changed because a day turned.
    Turned {
        /// The warranty.
        warranty: WarrantyId,
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
    Ok(Some(turned.into_iter().map(|turned| Did::Turned { warranty: turned.warranty }).collect()))
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
