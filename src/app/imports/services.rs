//! Past services from a file: they count as entered in time unless it says otherwise, and are noted as imported. Nobody
//! is mailed about them.

use std::collections::BTreeSet;

use serde_json::{Map, json};
use uuid::Uuid;

use super::ledger::{self, Ledger, OfVehicle};
use super::readings::{self, Read};
use super::{Scene, Taken, Vehicles, came_from};
use crate::app::Error;
use crate::app::assessments::parsed;
use crate::app::facts::{NewEvent, day_fault};
use crate::app::odometer::TakenOdometer;
use crate::app::records::Document;
use crate::app::visits::USUAL_SERVICES;
use crate::core::ids::VehicleId;
use crate::core::imports::services::Service;
use crate::core::imports::{Column, Faults, Kept as _, Said};
use crate::core::vehicle_events::Happened;
use crate::core::words::RecordKind;
use crate::db::{Conn, Tx, terms, vehicle_events};

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
        services_are_known(conn, scene, new, faults)?;
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

/// Services are those that any terms may ask for, or that some edition of the shop's terms names: a slip must not miss a
/// due. The vehicle's own terms are not enough to go by: the warranty that the service was for may not be in any file.
fn services_are_known(
    conn: &mut Conn,
    scene: &Scene,
    new: &[&Said<Service>],
    faults: &mut Faults,
) -> Result<(), Error> {
    let mut known: BTreeSet<String> = USUAL_SERVICES.iter().copied().map(str::to_owned).collect();
    for document in terms::documents(conn, &scene.who.shop)? {
        known.extend(parsed(&document)?.services().map(str::to_owned));
    }
    for row in new.iter().filter(|row| !known.contains(&row.said.service)) {
        let detail = format!(
            "{:?} is no service of your shop's terms; known are {}",
            row.said.service,
            known.iter().map(String::as_str).collect::<Vec<_>>().join(", ")
        );
        faults.push(scene.fault(row, Column::Service, "unknown_service", detail));
    }
    Ok(())
}
