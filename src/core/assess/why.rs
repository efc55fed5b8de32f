//! Why cover is on hold or has ended, as its owner is told.

use serde::Serialize;

use super::{Cause, CoverAnswer, DueAnswer, State};
use crate::core::calendar::Day;
use crate::core::ids::EventId;
use crate::core::terms::{Consequence, Terms};
use crate::core::vehicle_events::{Happened, VehicleEvent};

/// Why cover is on hold, or has ended.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Why {
    /// A due was missed.
    Missed {
        /// What was asked for.
        services: Vec<String>,
        /// The last day on which it counted.
        closes: Day,
        /// The odometer beyond which it did not count any more, in km, where the vehicle ran that far before that day.
        #[serde(skip_serializing_if = "Option::is_none")]
        closes_km: Option<u32>,
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

impl Why {
    /// The services of which any makes it good; none where nothing does.
    pub fn made_good_with(&self) -> &[String] {
        match self {
            Self::Missed { with, .. } | Self::Breach { with, .. } => with,
            Self::Expired | Self::Distance | Self::Transfer | Self::Closed => &[],
        }
    }
}

impl CoverAnswer {
    /// Why it stands as it does, by the terms, the dues of the same verdict and what happened to the vehicle; none where
    /// it is in force or has not begun.
    pub fn why<'e>(
        &self,
        terms: &Terms,
        dues: &[DueAnswer],
        events: impl IntoIterator<Item = &'e VehicleEvent>,
    ) -> Option<Why> {
        match self.state {
            State::NotBegun | State::InForce => None,
            State::Suspended => {
                let held = self.suspended.iter().rev().find(|held| held.until.is_none())?;
                behind(terms, dues, events, &held.because, true)
            }
            State::Ended => match self.cause? {
                Cause::Transfer => Some(Why::Transfer),
                Cause::Closed => Some(Why::Closed),
                Cause::Distance => Some(Why::Distance),
                Cause::Expired => Some(Why::Expired),
                Cause::Missed | Cause::Breach | Cause::Shortened => {
                    behind(terms, dues, events, self.because.as_deref()?, false)
                }
            },
        }
    }
}

/// The due or the event that a verdict names by `rule#number` or by an event's id.
fn behind<'e>(
    terms: &Terms,
    dues: &[DueAnswer],
    events: impl IntoIterator<Item = &'e VehicleEvent>,
    name: &str,
    held: bool,
) -> Option<Why> {
    if let Some((key, number)) = name.rsplit_once('#') {
        let rule = terms.upkeep.iter().find(|rule| rule.key == key)?;
        let due = dues.iter().find(|due| due.upkeep == key && Ok(due.number) == number.parse())?;
        let with =
            if held { rule.if_missed.iter().flat_map(Consequence::with).cloned().collect() } else { vec![] };
        // Missed while its window was open: by distance.
        let by_distance = due.missed_from.is_some_and(|from| from <= due.closes);
        let closes_km = due.closes_km.filter(|_| by_distance);
        return Some(Why::Missed { services: rule.services.clone(), closes: due.closes, closes_km, with });
    }
    let id: EventId = name.parse().ok()?;
    let event = events.into_iter().find(|event| event.id == id)?;
    let Happened::Breach { key, .. } = &event.happened else { return None };
    let breach = terms.breaches.iter().find(|breach| breach.key == *key)?;
    let with = if held { breach.consequence.with().to_vec() } else { vec![] };
    Some(Why::Breach { key: key.clone(), on: event.on.into(), with })
}
