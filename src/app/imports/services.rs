//! Past services from a file: they count as entered in time unless it says otherwise, and are noted as imported. Nobody
//! is mailed about them.

use std::collections::{BTreeSet, HashMap};

use serde_json::{Map, json};
use uuid::Uuid;

use super::ledger::{self, Ledger, OfVehicle, Shelf};
use super::readings::{self, Read, VEHICLES};
use super::{Scene, Taken, Vehicles, came_from};
use crate::app::Error;
use crate::app::facts::{NewEvent, day_fault};
use crate::app::odometer::TakenOdometer;
use crate::app::records::Document;
use crate::app::visits::USUAL_SERVICES;
use crate::core::ids::VehicleId;
use crate::core::imports::services::Service;
use crate::core::imports::{Column, Faults, Kept as _, Said};
use crate::core::vehicle_events::Happened;
use crate::core::words::RecordKind;
use crate::db::{Conn, Tx, vehicle_events, warranties};

/// A service on a vehicle that was found.
pub(super) struct Found {
    /// The place of its row among the new ones.
    place: usize,
    vehicle: VehicleId,
    odometer: Option<TakenOdometer>,
}

impl OfVehicle for Found {
    fn vehicle(&self) -> VehicleId {
        self.vehicle
    }
}

impl Taken for Service {
    type Checked = Vec<Found>;

    fn check(
        conn: &mut Conn,
        scene: &Scene,
        new: &[&Said<Self>],
        faults: &mut Faults,
    ) -> Result<Self::Checked, Error> {
        let today = scene.who.day(scene.now);
        let known = Vehicles::load(conn, &scene.who)?;
        let (mut found, mut read) = (Vec::new(), Vec::new());
        for (place, row) in new.iter().enumerate() {
            let on = row.said.on.date();
            let in_time = day_fault("", on, today);
            if let Some(fault) = &in_time {
                faults.push(scene.fault(row, Column::On, fault.code, fault.detail.clone()));
            }
            match known.find(&row.said.vehicle) {
                Ok(vehicle) => {
                    found.push(Found { place, vehicle: vehicle.id, odometer: None });
                    // Nothing can be compared with the reading of a day that cannot be.
                    read.extend(row.said.odometer.filter(|_| in_time.is_none()).map(|said| Read {
                        place,
                        vehicle: vehicle.id,
                        unit: vehicle.odometer_unit,
                        on,
                        said,
                    }));
                }
                Err((column, code, detail)) => faults.push(scene.fault(row, column, code, detail)),
            }
        }
        found.sort_by_key(|one| (one.vehicle, new[one.place].said.on, one.place));
        services_are_known(conn, scene, new, &found, faults)?;
        let told = |place: usize, column, code, detail| scene.fault(new[place], column, code, detail);
        let mut taken = readings::check(conn, scene, read, faults, told)?;
        for one in &mut found {
            one.odometer = taken.remove(&one.place);
        }
        Ok(found)
    }

    fn write(
        tx: &mut Tx<'_>,
        scene: &Scene,
        new: &[&Said<Self>],
        found: Self::Checked,
    ) -> Result<Vec<Uuid>, Error> {
        let ids: Vec<VehicleId> = found.iter().map(|one| one.vehicle).collect();
        vehicle_events::lock_all(tx, &scene.who.shop, &ids)?;
        let mut became = vec![Uuid::nil(); new.len()];
        let enter = |ledger: &mut Ledger, some: &[&[Found]], ()| {
            for of in some {
                let (mut events, mut rows) = (Vec::new(), Vec::new());
                for one in *of {
                    let row = new[one.place];
                    let mut event = NewEvent::new(row.said.on.date(), happened(&row.said));
                    event.odometer = one.odometer;
                    became[one.place] = event.id.into();
                    let mut from = came_from(row);
                    from["event"] = json!(event.id);
                    rows.push(from);
                    events.push(event);
                }
                let Some(Found { vehicle, .. }) = of.first() else { continue };
                let events = ledger.enter(scene, *vehicle, events)?;
                let mut body = Map::new();
                body.insert("vehicle".into(), json!(vehicle));
                body.insert("events".into(), events.into());
                body.insert("imported".into(), json!({"kind": Self::KIND, "rows": rows}));
                let document = Document::new(RecordKind::Import, format!("vehicle:{vehicle}"), &body)?
                    .personal(&["/events/*/what/finding"]);
                let record = document.written(&scene.who, ledger.began())?;
                ledger.record(record);
            }
            Ok(())
        };
        ledger::through(tx, scene, &found, |_, _| Ok(()), enter, |_, ()| Ok(()))?;
        Ok(became)
    }
}

/// As it was done; whoever imports it stands for its having been entered in time.
fn happened(said: &Service) -> Happened {
    Happened::Service {
        service: said.service.clone(),
        carried_out: said.carried_out,
        finding: said.finding.clone(),
        figures: said.figures.clone(),
        inspection: None,
        countersigned: said.in_time.then_some(true),
        done_by: said.done_by,
        imported: true,
    }
}

/// Services are those that any terms may ask for, or that terms of the vehicle name: a slip must not miss a due.
fn services_are_known(
    conn: &mut Conn,
    scene: &Scene,
    new: &[&Said<Service>],
    found: &[Found],
    faults: &mut Faults,
) -> Result<(), Error> {
    let shop = &scene.who.shop;
    let mut shelf = Shelf::default();
    let unusual: Vec<&Found> =
        found.iter().filter(|one| !USUAL_SERVICES.contains(&new[one.place].said.service.as_str())).collect();
    let mut ids: Vec<VehicleId> = unusual.iter().map(|one| one.vehicle).collect();
    ids.dedup();
    let mut known: HashMap<VehicleId, BTreeSet<String>> = HashMap::new();
    for some in ids.chunks(VEHICLES) {
        for row in warranties::many::of_vehicles(conn, shop, some)? {
            let edition = shelf.edition(conn, shop, row.terms)?;
            let names = edition.terms.services().map(str::to_owned);
            known.entry(row.vehicle).or_default().extend(names);
        }
    }
    for one in unusual {
        let row = new[one.place];
        let of_vehicle = known.get(&one.vehicle);
        if of_vehicle.is_some_and(|known| known.contains(&row.said.service)) {
            continue;
        }
        let names =
            USUAL_SERVICES.iter().copied().chain(of_vehicle.into_iter().flatten().map(String::as_str));
        let names: BTreeSet<&str> = names.collect();
        let detail = format!(
            "{:?} is no service of this vehicle's terms; known are {}",
            row.said.service,
            names.into_iter().collect::<Vec<_>>().join(", ")
        );
        faults.push(scene.fault(row, Column::Service, "unknown_service", detail));
    }
    Ok(())
}
