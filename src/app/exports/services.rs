//! Services as files tell of them: those that count.

use std::collections::{HashMap, HashSet};

use uuid::Uuid;

use super::vehicles::named;
use super::{Keys, Told, trimmed};
use crate::app::assessments::checked_facts;
use crate::app::imports::Shelf;
use crate::app::{Error, Who};
use crate::core::ids::{EventId, VehicleId, WarrantyId};
use crate::core::imports::services::Service;
use crate::core::imports::{Kind, OdometerSaid};
use crate::core::vehicle_events::Happened;
use crate::core::words::EventKind;
use crate::db::vehicle_events::EventRow;
use crate::db::warranties::{FactRow, many};
use crate::db::{Conn, vehicle_events};

impl Told for Service {
    /// The keys of vehicles.
    type Around = Keys;

    fn around(conn: &mut Conn, who: &Who) -> Result<Keys, Error> {
        Keys::load(conn, who, Kind::Vehicles)
    }

    fn ids(conn: &mut Conn, who: &Who) -> Result<Vec<Uuid>, Error> {
        let all = vehicle_events::standing(conn, &who.shop, &[EventKind::Service])?;
        Ok(all.into_iter().map(Uuid::from).collect())
    }

    fn told(conn: &mut Conn, who: &Who, keys: &Keys, of: &[Uuid]) -> Result<HashMap<Uuid, Self>, Error> {
        let ids: Vec<EventId> = of.iter().copied().map(EventId::from).collect();
        let rows = vehicle_events::of(conn, &who.shop, &ids)?;
        let mut vehicles: Vec<VehicleId> = rows.iter().map(|row| row.vehicle).collect();
        vehicles.sort_unstable();
        vehicles.dedup();
        let vehicles = named(conn, who, keys, &vehicles)?;
        let late = entered_late(conn, who, &rows)?;
        let mut told = HashMap::new();
        for row in rows {
            let Happened::Service { service, carried_out, finding, figures, done_by, .. } =
                row.event.happened
            else {
                continue;
            };
            let odometer = row.odometer.map(|read| OdometerSaid {
                value: read.value(),
                unit: Some(read.unit()),
                distance_km: row.event.km,
            });
            let said = Self {
                vehicle: vehicles.get(&row.vehicle).cloned().unwrap_or_default(),
                on: row.event.on.into(),
                service,
                odometer,
                done_by,
                carried_out,
                in_time: !late.contains(&row.event.id),
                finding: finding.as_deref().and_then(trimmed),
                figures,
            };
            told.insert(row.event.id.into(), said);
        }
        Ok(told)
    }
}

/// Of these services those that were entered too late for each warranty that asks for entry in time and has begun by
/// then. Where one would take it, it is told as entered in time: in doubt it counts.
fn entered_late(conn: &mut Conn, who: &Who, rows: &[EventRow]) -> Result<HashSet<EventId>, Error> {
    let doubtful = |row: &&EventRow| matches!(row.event.happened, Happened::Service { countersigned, .. } if countersigned != Some(true));
    let doubtful: Vec<&EventRow> = rows.iter().filter(doubtful).collect();
    let mut vehicles: Vec<VehicleId> = doubtful.iter().map(|row| row.vehicle).collect();
    vehicles.sort_unstable();
    vehicles.dedup();
    let mut shelf = Shelf::default();
    let mut asking = Vec::new();
    for row in many::of_vehicles(conn, &who.shop, &vehicles)? {
        let edition = shelf.edition(conn, &who.shop, row.terms)?;
        if edition.terms.entry_within.is_some() {
            asking.push((row, edition));
        }
    }
    let ids: Vec<WarrantyId> = asking.iter().map(|(row, _)| row.id).collect();
    let mut facts: HashMap<WarrantyId, Vec<FactRow>> = HashMap::new();
    for (warranty, fact) in many::facts_of(conn, &who.shop, &ids)? {
        facts.entry(warranty).or_default().push(fact);
    }
    let (mut late, mut in_time) = (HashSet::new(), HashSet::new());
    for (warranty, edition) in asking {
        let rows = facts.remove(&warranty.id).unwrap_or_default();
        let (events, inputs): (Vec<_>, Vec<_>) = rows.into_iter().map(|row| (row.event, row.body)).unzip();
        let too_late: HashSet<EventId> = checked_facts(&warranty, &edition.rules, inputs)?
            .entered_late()
            .filter_map(|place| events.get(place).copied())
            .collect();
        let of_it = |row: &&&EventRow| row.vehicle == warranty.vehicle && row.event.on >= warranty.start;
        for row in doubtful.iter().filter(of_it) {
            let of = if too_late.contains(&row.event.id) { &mut late } else { &mut in_time };
            of.insert(row.event.id);
        }
    }
    Ok(late.difference(&in_time).copied().collect())
}
