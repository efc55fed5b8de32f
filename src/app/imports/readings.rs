//! Odometer readings of many vehicles, held against one another and against what was read before.

use std::collections::HashMap;

use chrono::NaiveDate;

use super::Scene;
use crate::app::Error;
use crate::app::odometer::{TakenOdometer, readings};
use crate::core::error::Fault;
use crate::core::ids::VehicleId;
use crate::core::imports::{Column, Faults, OdometerSaid};
use crate::core::odometer::{Entered, Known, Odometer, take};
use crate::core::words::OdometerUnit;
use crate::db::Conn;
use crate::db::vehicle_events::{self, EventRow};

/// Vehicles whose events are looked at together.
pub(super) const VEHICLES: usize = 500;

/// A reading of a row.
pub(super) struct Read {
    /// The place of the row among the new ones.
    pub(super) place: usize,
    /// The vehicle.
    pub(super) vehicle: VehicleId,
    /// The unit that its odometer shows.
    pub(super) unit: OdometerUnit,
    /// The day.
    pub(super) on: NaiveDate,
    /// What was said.
    pub(super) said: OdometerSaid,
}

/// Takes readings, vehicle by vehicle in the order of their days; answers what was taken, by the place of the row.
/// `told` makes the fault of a row out of column, code and sentence.
///
/// A distance that a row says itself is taken as it is; it cannot be less than the odometer shows.
pub(super) fn check(
    conn: &mut Conn,
    scene: &Scene,
    mut read: Vec<Read>,
    faults: &mut Faults,
    told: impl Fn(usize, Column, &'static str, String) -> Fault,
) -> Result<HashMap<usize, TakenOdometer>, Error> {
    read.sort_by_key(|one| (one.vehicle, one.on, one.place));
    let mut taken = HashMap::with_capacity(read.len());
    let of_vehicle: Vec<&[Read]> = read.chunk_by(|one, other| one.vehicle == other.vehicle).collect();
    for some in of_vehicle.chunks(VEHICLES) {
        let ids: Vec<VehicleId> = some.iter().filter_map(|of| Some(of.first()?.vehicle)).collect();
        let mut events: HashMap<VehicleId, Vec<EventRow>> = HashMap::new();
        for row in vehicle_events::of_vehicles(conn, &scene.who.shop, &ids)? {
            events.entry(row.vehicle).or_default().push(row);
        }
        for (id, of) in ids.iter().zip(some) {
            let mut known = readings(&events.remove(id).unwrap_or_default(), &[]);
            for one in *of {
                match one_of(one, &known) {
                    Ok(new) => {
                        let reading = Known { on: one.on, odometer: new.odometer, km: new.km };
                        let after = known.partition_point(|before| before.on <= one.on);
                        known.insert(after, reading);
                        taken.insert(one.place, new);
                    }
                    Err((column, code, detail)) => faults.push(told(one.place, column, code, detail)),
                }
            }
        }
    }
    Ok(taken)
}

fn one_of(one: &Read, known: &[Known]) -> Result<TakenOdometer, (Column, &'static str, String)> {
    let odometer = Odometer::new(one.said.value, one.said.unit.unwrap_or(one.unit))
        .map_err(|fault| (Column::Odometer, fault.code, fault.detail))?;
    if let Some(km) = one.said.distance_km {
        if km < odometer.km() {
            let detail =
                format!("{km} km in all is less than the {} km that the odometer shows", odometer.km());
            return Err((Column::DistanceKm, "distance_too_small", detail));
        }
        return Ok(TakenOdometer { odometer, km, confirmed: true, replaced: false });
    }
    let before = known.iter().rev().find(|reading| reading.on <= one.on);
    let after = known.iter().find(|reading| reading.on > one.on);
    let entered = Entered { odometer, confirmed: false, replaced: false };
    match take(one.on, entered, before, after) {
        Ok(km) => Ok(TakenOdometer { odometer, km, confirmed: false, replaced: false }),
        Err(refused) => {
            let why = refused.detail.split(';').next().unwrap_or_default();
            let detail =
                format!("{why}; look again, or say in `distance_km` how far it had been driven in all");
            Err((Column::Odometer, "odometer_implausible", detail))
        }
    }
}
