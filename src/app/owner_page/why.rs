//! Why cover is on hold or has ended, as its owner reads it.

use serde::Serialize;

use crate::app::assessments::Case;
use crate::core::assess::{Assessment, Cause, CoverAnswer, State};
use crate::core::calendar::Day;
use crate::core::ids::EventId;
use crate::core::terms::Consequence;
use crate::core::vehicle_events::Happened;
use crate::db::vehicle_events::EventRow;

/// Why cover is on hold, or has ended.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Why {
    /// A due was missed.
    Missed {
        /// What was asked for.
        services: Vec<String>,
        /// The last day on which it counted.
        closes: Day,
        /// On hold: what makes it good, if anything does.
        with: Vec<String>,
    },
    /// Something happened that the terms list.
    Breach {
        /// The terms' key of it.
        key: String,
        /// When.
        on: Day,
        /// On hold: what makes it good, if anything does.
        with: Vec<String>,
    },
    /// The time is over.
    Expired,
    /// The distance is driven.
    Distance,
    /// It was sold, and the terms asked for something that did not happen.
    Transfer,
    /// The vehicle has gone for good.
    Closed,
}

/// Why cover stands as it does; none where it is in force, or has not begun.
pub(super) fn why(
    case: &Case,
    assessment: &Assessment,
    events: &[EventRow],
    answer: &CoverAnswer,
) -> Option<Why> {
    match answer.state {
        State::NotBegun | State::InForce => None,
        State::Suspended => {
            let held = answer.suspended.iter().rev().find(|held| held.until.is_none())?;
            behind(case, assessment, events, &held.because, true)
        }
        State::Ended => match answer.cause? {
            Cause::Transfer => Some(Why::Transfer),
            Cause::Closed => Some(Why::Closed),
            Cause::Distance => Some(Why::Distance),
            Cause::Expired => Some(Why::Expired),
            Cause::Missed | Cause::Breach | Cause::Shortened => {
                behind(case, assessment, events, answer.because.as_deref()?, false)
            }
        },
    }
}

/// The due or the event that a verdict names by `rule#number` or by an event's id.
fn behind(case: &Case, assessment: &Assessment, events: &[EventRow], name: &str, held: bool) -> Option<Why> {
    if let Some((key, number)) = name.rsplit_once('#') {
        let rule = case.terms.upkeep.iter().find(|rule| rule.key == key)?;
        let due = assessment.dues.iter().find(|due| due.upkeep == key && Ok(due.number) == number.parse())?;
        let with =
            if held { rule.if_missed.iter().flat_map(Consequence::with).cloned().collect() } else { vec![] };
        return Some(Why::Missed { services: rule.services.clone(), closes: due.closes, with });
    }
    let id: EventId = name.parse().ok()?;
    let event = events.iter().find(|row| row.event.id == id)?;
    let Happened::Breach { key, .. } = &event.event.happened else { return None };
    let breach = case.terms.breaches.iter().find(|breach| breach.key == *key)?;
    let with = if held { breach.consequence.with().to_vec() } else { vec![] };
    Some(Why::Breach { key: key.clone(), on: event.event.on.into(), with })
}
