//! What else happened to vehicles as files tell of it: what counts, and what warranties that are told with their jobs
//! have to do with. Readings at handover are told with the jobs, odometers at services with these.

use std::collections::{BTreeSet, HashMap};

use uuid::Uuid;

use super::vehicles::named;
use super::{Keys, Told, trimmed};
use crate::app::imports::Shelf;
use crate::app::{Error, Who};
use crate::core::calendar::Day;
use crate::core::ids::{EventId, JobId, VehicleId, WarrantyId};
use crate::core::imports::events::{Event, Granted, Place, Sold, What};
use crate::core::imports::{Kind, OdometerSaid};
use crate::core::vehicle_events::Happened;
use crate::core::words::EventKind;
use crate::db::{Conn, vehicle_events, warranties};

/// What rows refer to.
pub(crate) struct Around {
    vehicles: Keys,
    customers: Keys,
    jobs: Keys,
    at_handover: HashMap<EventId, JobId>,
}

/// The kinds of event that have no file of their own. Retractions need none: what they took back is not told.
const KINDS: [EventKind; 8] = [
    EventKind::Reading,
    EventKind::Transfer,
    EventKind::Repair,
    EventKind::Recoat,
    EventKind::Breach,
    EventKind::Waive,
    EventKind::Extend,
    EventKind::Close,
];

impl Told for Event {
    type Around = Around;

    fn around(conn: &mut Conn, who: &Who) -> Result<Around, Error> {
        Ok(Around {
            vehicles: Keys::load(conn, who, Kind::Vehicles)?,
            customers: Keys::load(conn, who, Kind::Customers)?,
            jobs: Keys::load(conn, who, Kind::Jobs)?,
            at_handover: vehicle_events::at_handover(conn, &who.shop)?,
        })
    }

    fn ids(conn: &mut Conn, who: &Who) -> Result<Vec<Uuid>, Error> {
        Ok(vehicle_events::standing(conn, &who.shop, &KINDS)?.into_iter().map(Uuid::from).collect())
    }

    fn told(conn: &mut Conn, who: &Who, around: &Around, of: &[Uuid]) -> Result<HashMap<Uuid, Self>, Error> {
        let ids: Vec<EventId> = of.iter().copied().map(EventId::from).collect();
        let mut rows = vehicle_events::of(conn, &who.shop, &ids)?;
        rows.retain(|row| !around.at_handover.contains_key(&row.event.id));
        let mut vehicles: Vec<VehicleId> = rows.iter().map(|row| row.vehicle).collect();
        vehicles.sort_unstable();
        vehicles.dedup();
        let names = named(conn, who, &around.vehicles, &vehicles)?;
        let standing = Standing::load(conn, who, &vehicles)?;
        let mut told = HashMap::new();
        for row in rows {
            let odometer = row.odometer.map(|read| OdometerSaid {
                value: read.value(),
                unit: Some(read.unit()),
                distance_km: row.event.km,
            });
            // A handover out of stock is nothing that happened under the terms.
            if matches!(row.event.happened, Happened::Reading {}) && odometer.is_none() {
                continue;
            }
            let Some(what) = what(row.event.happened, row.vehicle, around, &standing) else { continue };
            let vehicle = names.get(&row.vehicle).cloned().unwrap_or_default();
            told.insert(row.event.id.into(), Self { vehicle, on: row.event.on.into(), odometer, what });
        }
        Ok(told)
    }
}

/// The warranties of some vehicles that are not void: their jobs, and what their terms list as affecting cover.
struct Standing {
    jobs: HashMap<WarrantyId, JobId>,
    breaches: HashMap<VehicleId, BTreeSet<String>>,
}

impl Standing {
    fn load(conn: &mut Conn, who: &Who, vehicles: &[VehicleId]) -> Result<Self, Error> {
        let mut shelf = Shelf::default();
        let mut standing = Self { jobs: HashMap::new(), breaches: HashMap::new() };
        for row in warranties::many::of_vehicles(conn, &who.shop, vehicles)? {
            standing.jobs.insert(row.id, row.job);
            let edition = shelf.edition(conn, &who.shop, row.terms)?;
            let keys = edition.terms.breaches.iter().map(|breach| breach.key.clone());
            standing.breaches.entry(row.vehicle).or_default().extend(keys);
        }
        Ok(standing)
    }
}

/// What is told of an event; nothing of one that has to do with void warranties alone.
fn what(happened: Happened, vehicle: VehicleId, around: &Around, standing: &Standing) -> Option<What> {
    let granted = |warranty: WarrantyId, upkeep: String, number: u32, reason: &str| {
        let job = around.jobs.of(*standing.jobs.get(&warranty)?);
        Some(Granted { job: Some(job), upkeep, number, reason: trimmed(reason)? })
    };
    Some(match happened {
        Happened::Service { .. } | Happened::Retract { .. } => return None,
        Happened::Reading {} => What::Reading,
        Happened::Transfer { told, customer } => {
            What::Transfer(Sold { to: around.customers.of(customer), told: told.map(Day::from) })
        }
        Happened::Repair { surface, panel } => What::Repair(Place { surface, panel }),
        Happened::Recoat { surface, panel } => What::Recoat(Place { surface, panel }),
        Happened::Breach { key, surfaces } => {
            standing.breaches.get(&vehicle)?.get(&key)?;
            What::Breach { key, surfaces: surfaces.map(|named| named.into_iter().collect()) }
        }
        Happened::Close { reason } => What::Close { reason: trimmed(&reason)? },
        Happened::Waive { warranty, upkeep, number, reason } => {
            What::Waive(granted(warranty, upkeep, number, &reason)?)
        }
        Happened::Extend { warranty, upkeep, number, to, reason } => {
            What::Extend { granted: granted(warranty, upkeep, number, &reason)?, to: to.into() }
        }
    })
}
