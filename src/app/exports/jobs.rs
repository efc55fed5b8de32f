//! Jobs that were handed over as files tell of them, each with its warranty.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use uuid::Uuid;

use super::vehicles::named;
use super::{Keys, Told};
use crate::app::{Error, Who};
use crate::core::calendar::local_day;
use crate::core::coats::Coat;
use crate::core::ids::{EventId, JobId, VehicleId};
use crate::core::imports::jobs::{CoatSaid, Job, NOBODY, UNKNOWN_BATCH};
use crate::core::imports::{Kind, OdometerSaid, VehicleSaid};
use crate::core::words::{OdometerUnit, Panel, Surface};
use crate::db::jobs::JobPanels;
use crate::db::vehicle_events::EventRow;
use crate::db::warranties::{WarrantyRow, many};
use crate::db::{Conn, coats, jobs, vehicle_events};

impl Told for Job {
    /// The keys of vehicles and of customers, and what was read at handovers.
    type Around = (Keys, Keys, HashMap<EventId, JobId>);

    fn around(conn: &mut Conn, who: &Who) -> Result<Self::Around, Error> {
        let (vehicles, customers) =
            (Keys::load(conn, who, Kind::Vehicles)?, Keys::load(conn, who, Kind::Customers)?);
        Ok((vehicles, customers, vehicle_events::at_handover(conn, &who.shop)?))
    }

    fn ids(conn: &mut Conn, who: &Who) -> Result<Vec<Uuid>, Error> {
        Ok(jobs::handed_over(conn, &who.shop)?.into_iter().map(Uuid::from).collect())
    }

    fn told(
        conn: &mut Conn,
        who: &Who,
        (vehicles, customers, at_handover): &Self::Around,
        of: &[Uuid],
    ) -> Result<HashMap<Uuid, Self>, Error> {
        let shop = &who.shop;
        let ids: Vec<JobId> = of.iter().copied().map(JobId::from).collect();
        let rows = jobs::of(conn, shop, &ids)?;
        let mut on: Vec<VehicleId> = rows.iter().map(|(row, _)| row.vehicle).collect();
        on.sort_unstable();
        on.dedup();
        let names = named(conn, who, vehicles, &on)?;
        let mut laid: HashMap<JobId, Vec<Coat>> = HashMap::new();
        for row in coats::of_jobs(conn, shop, &ids)? {
            laid.entry(row.job).or_default().push(row.part.coat);
        }
        // The last one that was issued for a job and is not void.
        let warranties: HashMap<JobId, (WarrantyRow, String, u32)> =
            many::of_jobs(conn, shop, &ids)?.into_iter().map(|issued| (issued.0.job, issued)).collect();
        let events = vehicle_events::of_vehicles(conn, shop, &on)?;
        let gone: HashSet<EventId> = events.iter().filter_map(|row| row.event.happened.retracts()).collect();
        let read: HashMap<JobId, EventRow> = events
            .into_iter()
            .filter(|row| !gone.contains(&row.event.id))
            .filter_map(|row| Some((*at_handover.get(&row.event.id)?, row)))
            .collect();
        let mut told = HashMap::new();
        for (row, panels) in rows {
            let Some((handed_over_on, km)) = row.handed_over else { continue };
            let coats = laid.remove(&row.id).unwrap_or_default();
            let warranty = warranties.get(&row.id);
            let owner = warranty.map(|(issued, ..)| {
                issued.customer.map_or_else(|| NOBODY.to_owned(), |customer| customers.of(customer))
            });
            let completed_on = coats.iter().map(|coat| coat.ended_at.max(coat.started_at)).max();
            let (surfaces, excluded_panels) = surfaces(&panels, &coats);
            let said = Self {
                vehicle: names.get(&row.vehicle).cloned().unwrap_or_else(VehicleSaid::default),
                owner,
                handed_over_on: handed_over_on.into(),
                completed_on: completed_on.map(|at| local_day(at.0, who.zone)),
                odometer: odometer(km, read.get(&row.id)),
                surfaces,
                excluded_panels,
                coats: coats.into_iter().map(coat).collect(),
                terms: warranty.map(|(_, code, edition)| (code.clone(), *edition)),
                warranty_start: warranty.map(|(issued, ..)| issued.start.into()),
                warranty_start_km: warranty.map(|(issued, ..)| issued.start_km),
            };
            told.insert(row.id.into(), said);
        }
        Ok(told)
    }
}

/// What the odometer showed at handover, as far as it stands; else the distance that was known then.
fn odometer(km: u32, read: Option<&EventRow>) -> OdometerSaid {
    match read.and_then(|row| row.odometer.zip(row.event.km)) {
        Some((read, km)) => {
            OdometerSaid { value: read.value(), unit: Some(read.unit()), distance_km: Some(km) }
        }
        None => OdometerSaid { value: km, unit: Some(OdometerUnit::Km), distance_km: Some(km) },
    }
}

/// The surfaces that a job was about, with their panels, and the panels that were left out.
fn surfaces(panels: &JobPanels, coats: &[Coat]) -> (BTreeMap<Surface, BTreeSet<Panel>>, BTreeSet<Panel>) {
    let listed = panels.listed.iter().map(|(surface, panels)| (*surface, panels.iter().cloned().collect()));
    let mut surfaces: BTreeMap<Surface, BTreeSet<Panel>> = listed.collect();
    for coat in coats {
        surfaces.entry(coat.surface).or_default().extend(coat.panels.iter().cloned());
    }
    (surfaces, panels.excluded.iter().cloned().collect())
}

fn coat(coat: Coat) -> CoatSaid {
    CoatSaid {
        surface: coat.surface,
        panels: coat.panels.into_iter().collect(),
        batch: Some(coat.batch.trim().to_owned()).filter(|batch| batch != UNKNOWN_BATCH),
        product: coat.product,
    }
}
