//! What was done to a vehicle, as its owner reads it.

use std::collections::HashMap;

use serde::Serialize;

use crate::app::Error;
use crate::core::calendar::Day;
use crate::core::ids::{EventId, VehicleId, VisitId};
use crate::core::vehicle_events::Happened;
use crate::core::words::{DoneBy, JobState, Panel, Surface};
use crate::db::vehicle_events::EventRow;
use crate::db::{Conn, Shop, jobs};

/// So much of a vehicle's history stands on the page, newest first.
const MOST_HISTORY: usize = 60;

/// Something that was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Done {
    /// When.
    pub on: Day,
    /// What.
    #[serde(flatten)]
    pub what: What,
}

/// What was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum What {
    /// A job was handed over.
    Job {
        /// Its number.
        number: String,
        /// On which surfaces.
        surfaces: Vec<Surface>,
    },
    /// Services of a visit.
    Services {
        /// Which.
        services: Vec<String>,
        /// Which could not be done.
        undone: Vec<String>,
        /// Who did them.
        by: DoneBy,
    },
    /// A panel was repaired.
    Repair {
        /// Which.
        panel: Panel,
    },
    /// A repaired panel was coated again.
    Recoat {
        /// Which.
        panel: Panel,
    },
}

/// What was done to a vehicle, newest first.
pub(super) fn history(
    conn: &mut Conn,
    shop: &Shop,
    vehicle: VehicleId,
    events: &[EventRow],
) -> Result<Vec<Done>, Error> {
    let mut history = Vec::new();
    for job in jobs::list(conn, shop, Some(JobState::HandedOver), Some(vehicle), None, 100)? {
        let Some((on, _)) = job.handed_over else { continue };
        let surfaces = jobs::panels(conn, shop, job.id)?.listed.into_keys();
        let what = What::Job { number: job.number.to_string(), surfaces: surfaces.collect() };
        history.push(Done { on: on.into(), what });
    }
    let gone: Vec<EventId> = events.iter().filter_map(|row| row.event.happened.retracts()).collect();
    // A service that was countersigned stands behind whatever was entered since; it goes with its visit all the same.
    let mut visits: HashMap<VisitId, usize> = HashMap::new();
    for row in events.iter().filter(|row| !gone.contains(&row.event.id)) {
        let on: Day = row.event.on.into();
        match &row.event.happened {
            Happened::Service { service, carried_out, done_by, .. } => {
                let known = row.visit.and_then(|visit| visits.get(&visit).copied());
                let place = known.unwrap_or(history.len());
                if known.is_none() {
                    visits.extend(row.visit.map(|visit| (visit, place)));
                    let (services, undone) = (Vec::new(), Vec::new());
                    history.push(Done { on, what: What::Services { services, undone, by: *done_by } });
                }
                if let Some(Done { what: What::Services { services, undone, .. }, .. }) =
                    history.get_mut(place)
                {
                    if *carried_out { services.push(service.clone()) } else { undone.push(service.clone()) }
                }
            }
            Happened::Repair { panel, .. } => {
                history.push(Done { on, what: What::Repair { panel: panel.clone() } });
            }
            Happened::Recoat { panel, .. } => {
                history.push(Done { on, what: What::Recoat { panel: panel.clone() } });
            }
            _ => {}
        }
    }
    history.sort_by_key(|done| std::cmp::Reverse(done.on));
    history.truncate(MOST_HISTORY);
    Ok(history)
}
