//! What else happened to vehicles, from a file: readings, sales, repairs, breaches, the end, and what was granted of
//! warranties' dues. Nobody is mailed about it.

use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

use serde_json::{Map, Value, json};
use uuid::Uuid;

use super::ledger::{self, Ledger, OfVehicle};
use super::people::Unclear;
use super::readings::{self, Read, VEHICLES};
use super::sales::{Sale, Sales, SoldBy};
use super::{Edition, Owners, Scene, Shelf, Taken, Vehicles, came_from};
use crate::app::facts::{NewEvent, day_fault};
use crate::app::records::Document;
use crate::app::{Error, new_id};
use crate::core::calendar::Day;
use crate::core::ids::{CustomerId, EventId, VehicleId, WarrantyId};
use crate::core::imports::events::{Event, Granted, Place, Sold, What};
use crate::core::imports::{Column, Faults, Kept as _, Kind, Said};
use crate::core::vehicle_events::Happened;
use crate::core::words::RecordKind;
use crate::db::warranties::WarrantyRow;
use crate::db::{Conn, Shop, Tx, imports, vehicle_events, warranties};

/// A row whose vehicle was found.
struct Located {
    /// The place of the row among the new ones.
    place: usize,
    vehicle: VehicleId,
    /// The event that it becomes.
    event: EventId,
    /// Who bought it, of a sale.
    buyer: Option<CustomerId>,
}

/// Something that happened to a vehicle, ready to be entered.
pub(super) struct Found {
    /// The place of its row among the new ones.
    place: usize,
    vehicle: VehicleId,
    event: NewEvent,
    /// What the record says of a sale.
    sale: Option<Value>,
}

/// What is written of a file.
pub(super) struct Checked {
    found: Vec<Found>,
    sales: Sales,
}

impl OfVehicle for Found {
    fn vehicle(&self) -> VehicleId {
        self.vehicle
    }
}

impl Taken for Event {
    type Checked = Checked;

    fn check(
        conn: &mut Conn,
        scene: &Scene,
        new: &[&Said<Self>],
        faults: &mut Faults,
    ) -> Result<Checked, Error> {
        let owners = Owners::load(conn, &scene.who)?;
        let (rows, read) = located(conn, scene, &owners, new, faults)?;
        let of = |about: &dyn Fn(&What) -> bool| {
            let concerned = rows.iter().filter(|row| about(&new[row.place].said.what));
            let mut vehicles: Vec<VehicleId> = concerned.map(|row| row.vehicle).collect();
            vehicles.dedup();
            vehicles
        };
        let on_terms = of(&|what| matches!(what, What::Breach { .. } | What::Waive(_) | What::Extend { .. }));
        let standing = Standing::load(conn, &scene.who.shop, &on_terms)?;
        let sold = of(&|what| matches!(what, What::Sale(_) | What::Transfer(_)));
        let mut sales = Sales::load(conn, scene, &sold)?;
        let sold_by = sold_by(new, &rows, &owners, &mut sales);
        let mut found = Vec::with_capacity(rows.len());
        for row in rows {
            let said = new[row.place];
            match happened(&said.said.what, &row, &standing, sold_by.get(&row.place)) {
                Ok(happened) => {
                    let sale = sold_by.get(&row.place).map(|by| sale_said(&row, *by, &happened));
                    let mut event = NewEvent::new(said.said.on.date(), happened);
                    event.id = row.event;
                    found.push(Found { place: row.place, vehicle: row.vehicle, event, sale });
                }
                Err((column, code, detail)) => faults.push(scene.fault(said, column, code, detail)),
            }
        }
        let told = |place: usize, column, code, detail| scene.fault(new[place], column, code, detail);
        let mut taken = readings::check(conn, scene, read, faults, told)?;
        for one in &mut found {
            one.event.odometer = taken.remove(&one.place);
        }
        Ok(Checked { found, sales })
    }

    fn write(
        tx: &mut Tx<'_>,
        scene: &Scene,
        new: &[&Said<Self>],
        Checked { found, sales }: Checked,
    ) -> Result<Vec<Uuid>, Error> {
        let ids: Vec<VehicleId> = found.iter().map(|one| one.vehicle).collect();
        vehicle_events::lock_all(tx, &scene.who.shop, &ids)?;
        let mut became = vec![Uuid::nil(); new.len()];
        let enter = |ledger: &mut Ledger, some: &[&[Found]], ()| {
            for of in some {
                let (mut events, mut rows, mut sold) = (Vec::new(), Vec::new(), Vec::new());
                for one in *of {
                    became[one.place] = one.event.id.into();
                    let mut from = came_from(new[one.place]);
                    from["event"] = json!(one.event.id);
                    rows.push(from);
                    sold.extend(one.sale.clone());
                    events.push(one.event.clone());
                }
                let Some(Found { vehicle, .. }) = of.first() else { continue };
                let events = ledger.enter(scene, *vehicle, events)?;
                let mut body = Map::new();
                body.insert("vehicle".into(), json!(vehicle));
                body.insert("events".into(), events.into());
                body.insert("sales".into(), sold.into());
                body.insert("imported".into(), json!({"kind": Self::KIND, "rows": rows}));
                let document = Document::new(RecordKind::Import, format!("vehicle:{vehicle}"), &body)?
                    .personal(&["/events/*/what/reason"]);
                let record = document.written(&scene.who, ledger.began())?;
                ledger.record(record);
            }
            Ok(())
        };
        ledger::through(tx, scene, &found, |_, _| Ok(()), enter, |_, ()| Ok(()))?;
        sales.write(tx, scene)?;
        Ok(became)
    }
}

/// The rows whose vehicles were found, vehicle by vehicle in the order of their days, and what odometers showed. Days
/// that cannot be and buyers who are not there are told.
fn located(
    conn: &mut Conn,
    scene: &Scene,
    owners: &Owners,
    new: &[&Said<Event>],
    faults: &mut Faults,
) -> Result<(Vec<Located>, Vec<Read>), Error> {
    let today = scene.who.day(scene.now);
    let known = Vehicles::load(conn, &scene.who)?;
    let (mut rows, mut read) = (Vec::new(), Vec::new());
    for (place, row) in new.iter().enumerate() {
        let said = &row.said;
        let mut tell = |column, code, detail| faults.push(scene.fault(row, column, code, detail));
        let on = said.on.date();
        let in_time = day_fault("", on, today);
        if let Some(fault) = &in_time {
            tell(Column::On, fault.code, fault.detail.clone());
        }
        let mut buyer = None;
        if let What::Sale(sold) | What::Transfer(sold) = &said.what {
            if let Some(fault) = sold.told.and_then(|told| day_fault("", told.date(), today)) {
                tell(Column::ToldOn, fault.code, fault.detail);
            }
            match owners.find(&sold.to) {
                Ok(id) => buyer = Some(id),
                Err((_, code, detail)) => tell(Column::NewOwner, code, detail),
            }
        }
        match known.find(&said.vehicle) {
            Ok(vehicle) => {
                rows.push(Located { place, vehicle: vehicle.id, event: new_id(), buyer });
                // Nothing can be compared with the reading of a day that cannot be.
                read.extend(said.odometer.filter(|_| in_time.is_none()).map(|said| Read {
                    place,
                    vehicle: vehicle.id,
                    unit: vehicle.odometer_unit,
                    on,
                    said,
                }));
            }
            Err((column, code, detail)) => tell(column, code, detail),
        }
    }
    rows.sort_by_key(|one| (one.vehicle, new[one.place].said.on, one.place));
    Ok((rows, read))
}

/// From whom each vehicle was sold, by the place of the row; of buyers who are not there nothing.
fn sold_by(
    new: &[&Said<Event>],
    rows: &[Located],
    owners: &Owners,
    sales: &mut Sales,
) -> HashMap<usize, SoldBy> {
    let mut sold_by = HashMap::new();
    for of in rows.chunk_by(|one, other| one.vehicle == other.vehicle) {
        let sale = |row: &Located| {
            let sale = Sale { on: new[row.place].said.on.date(), buyer: row.buyer?, event: row.event };
            Some((row.place, sale))
        };
        let (places, of_it): (Vec<usize>, Vec<Sale>) = of.iter().filter_map(sale).unzip();
        if let Some(first) = of.first().filter(|_| !of_it.is_empty()) {
            sold_by.extend(places.into_iter().zip(sales.put(owners, first.vehicle, &of_it)));
        }
    }
    sold_by
}

/// What the record says of a sale.
fn sale_said(row: &Located, by: SoldBy, happened: &Happened) -> Value {
    let out_of_stock = !matches!(happened, Happened::Transfer { .. });
    json!({"event": row.event, "from": by.before, "to": row.buyer, "out_of_stock": out_of_stock})
}

/// What a row tells of; the terms of the vehicle's warranties must know what it names of them.
fn happened(
    what: &What,
    row: &Located,
    standing: &Standing,
    by: Option<&SoldBy>,
) -> Result<Happened, Unclear> {
    Ok(match what {
        // Out of a dealer's stock it is the first owner's handover, and no transfer of the terms.
        What::Sale(_) if by.is_some_and(|by| by.stock) => Happened::Reading {},
        What::Sale(Sold { told, .. }) | What::Transfer(Sold { told, .. }) => match row.buyer {
            Some(customer) => Happened::Transfer { told: told.map(Day::date), customer },
            // It was told who is not there.
            None => Happened::Reading {},
        },
        What::Reading => Happened::Reading {},
        What::Repair(Place { surface, panel }) => {
            Happened::Repair { surface: *surface, panel: panel.clone() }
        }
        What::Recoat(Place { surface, panel }) => {
            Happened::Recoat { surface: *surface, panel: panel.clone() }
        }
        What::Breach { key, surfaces } => {
            standing.knows_breach(row.vehicle, key)?;
            let surfaces = surfaces.as_ref().map(|named| named.iter().copied().collect());
            Happened::Breach { key: key.clone(), surfaces }
        }
        What::Close { reason } => Happened::Close { reason: reason.clone() },
        What::Waive(granted) => {
            let warranty = standing.granted(row.vehicle, granted)?;
            let Granted { upkeep, number, reason, .. } = granted.clone();
            Happened::Waive { warranty, upkeep, number, reason }
        }
        What::Extend { granted, to } => {
            let warranty = standing.granted(row.vehicle, granted)?;
            let Granted { upkeep, number, reason, .. } = granted.clone();
            Happened::Extend { warranty, upkeep, number, to: to.date(), reason }
        }
    })
}

/// The warranties of vehicles that are not void, and the jobs that they came with.
struct Standing {
    of: HashMap<VehicleId, Vec<(WarrantyRow, Arc<Edition>)>>,
    /// The jobs that were imported, by their keys.
    jobs: HashMap<String, Uuid>,
}

impl Standing {
    fn load(conn: &mut Conn, shop: &Shop, vehicles: &[VehicleId]) -> Result<Self, Error> {
        let mut standing = Self { of: HashMap::new(), jobs: HashMap::new() };
        if vehicles.is_empty() {
            return Ok(standing);
        }
        let mut shelf = Shelf::default();
        for some in vehicles.chunks(VEHICLES) {
            for row in warranties::many::of_vehicles(conn, shop, some)? {
                let edition = shelf.edition(conn, shop, row.terms)?;
                standing.of.entry(row.vehicle).or_default().push((row, edition));
            }
        }
        let keys = imports::known(conn, shop, Kind::Jobs)?;
        standing.jobs = keys.into_iter().map(|(key, row)| (key, row.subject)).collect();
        Ok(standing)
    }

    fn of(&self, vehicle: VehicleId) -> &[(WarrantyRow, Arc<Edition>)] {
        self.of.get(&vehicle).map_or(&[], Vec::as_slice)
    }

    /// Refuses a breach that no terms of the vehicle list.
    fn knows_breach(&self, vehicle: VehicleId, key: &str) -> Result<(), Unclear> {
        let of = self.of(vehicle).iter();
        let listed: BTreeSet<&str> = of
            .flat_map(|(_, edition)| edition.terms.breaches.iter().map(|breach| breach.key.as_str()))
            .collect();
        if listed.contains(key) {
            return Ok(());
        }
        let detail = format!("no terms of this vehicle list {key:?}; {}", known_are(listed));
        Err((Column::Breach, "unknown_breach", detail))
    }

    /// The warranty of which something was granted: that of the job that is named, else the only one with the rule.
    fn granted(&self, vehicle: VehicleId, granted: &Granted) -> Result<WarrantyId, Unclear> {
        let mut of: Vec<&(WarrantyRow, Arc<Edition>)> = self.of(vehicle).iter().collect();
        if of.is_empty() {
            let detail = "this vehicle has no warranty of which a due could be: import its job first";
            return Err((Column::Upkeep, "no_warranty", detail.to_owned()));
        }
        if let Some(key) = &granted.job {
            let job = self.jobs.get(key).copied().or_else(|| key.parse().ok());
            of.retain(|(row, _)| Some(row.job.into()) == job);
            if of.is_empty() {
                let detail = format!("{key:?} is no job of this vehicle with a warranty that is not void");
                return Err((Column::Job, "no_warranty", detail));
            }
        }
        let rules = |(_, edition): &&(WarrantyRow, Arc<Edition>)| -> Vec<String> {
            edition.terms.upkeep.iter().map(|rule| rule.key.clone()).collect()
        };
        let known: BTreeSet<String> = of.iter().flat_map(rules).collect();
        of.retain(|one| rules(one).contains(&granted.upkeep));
        match of.as_slice() {
            [] => {
                let known = known_are(known.iter().map(String::as_str));
                let detail = format!("the terms have no rule {:?}; {known}", granted.upkeep);
                Err((Column::Upkeep, "unknown_rule", detail))
            }
            [(row, _)] => Ok(row.id),
            several => {
                let detail = format!(
                    "{} warranties of this vehicle have the rule {:?}: name in `job` the job that the one came with",
                    several.len(),
                    granted.upkeep
                );
                Err((Column::Job, "several_warranties", detail))
            }
        }
    }
}

fn known_are<'k>(known: impl IntoIterator<Item = &'k str>) -> String {
    let known: Vec<&str> = known.into_iter().collect();
    if known.is_empty() { "there are none".to_owned() } else { format!("known are {}", known.join(", ")) }
}
