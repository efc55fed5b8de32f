//! Past jobs from a file, each with the warranty that came with it on the edition of terms that it stood on.
//!
//! An imported job is one that was handed over and never signed off here. Its coats have the day as far as it is known:
//! their times are the beginning of that day.

use std::collections::{BTreeMap, HashMap};

use chrono::{Datelike as _, NaiveDate};
use serde_json::{Map, Value, json};
use uuid::Uuid;

use super::catalogue::{Catalogue, Chosen, batch_of, chosen, coated, start_of};
use super::ledger::{self, Ledger, OfVehicle};
use super::readings::{self, Read};
use super::{Owners, Scene, Taken, Vehicles, came_from};
use crate::app::facts::{NewEvent, day_fault};
use crate::app::odometer::TakenOdometer;
use crate::app::records::Document;
use crate::app::warranties::{cover, issued, verify_code};
use crate::app::{Database, Error, job_sheet, new_id, vehicles as vehicle_cases};
use crate::core::calendar::{Moment, day_begins};
use crate::core::coats::{Coat, LaidCoat};
use crate::core::ids::{CustomerId, JobId, Numbered, RunningNumber, VehicleId};
use crate::core::imports::jobs::{Job, NOBODY};
use crate::core::imports::{Column, Faults, Said};
use crate::core::vehicle_events::Happened;
use crate::core::words::{JobState, RecordKind};
use crate::db::coats::CoatRow;
use crate::db::jobs::{JobPanels, JobRow};
use crate::db::vehicles::VehicleRow;
use crate::db::warranties::WarrantyRow;
use crate::db::{Conn, Tx, coats, jobs, records, vehicle_events, vehicles};

/// A job on a vehicle that was found.
pub(super) struct Found {
    /// The place of its row among the new ones.
    place: usize,
    vehicle: VehicleId,
    /// Whose it was.
    owner: Option<CustomerId>,
    /// Whether nobody has the vehicle now, so that whoever had it then still does.
    gives: bool,
    odometer: Option<TakenOdometer>,
    terms: Option<Chosen>,
}

impl OfVehicle for Found {
    fn vehicle(&self) -> VehicleId {
        self.vehicle
    }
}

impl Taken for Job {
    type Checked = Vec<Found>;

    fn check(
        conn: &mut Conn,
        scene: &Scene,
        new: &[&Said<Self>],
        faults: &mut Faults,
    ) -> Result<Self::Checked, Error> {
        let today = scene.who.day(scene.now);
        let known = Vehicles::load(conn, &scene.who)?;
        let owners = Owners::load(conn, &scene.who)?;
        let mut catalogue = Catalogue::default();
        let (mut found, mut read) = (Vec::new(), Vec::new());
        for (place, row) in new.iter().enumerate() {
            let said = &row.said;
            let mut tell = |column, code, detail| faults.push(scene.fault(row, column, code, detail));
            let on = said.handed_over_on.date();
            let in_time = day_fault("", on, today);
            if let Some(fault) = &in_time {
                tell(Column::HandedOverOn, fault.code, fault.detail.clone());
            }
            let named = said.owner.as_deref().filter(|owner| *owner != NOBODY);
            let owner = match named.map(|owner| owners.find(owner)).transpose() {
                Ok(owner) => owner,
                Err((column, code, detail)) => {
                    tell(column, code, detail);
                    None
                }
            };
            for coat in &said.coats {
                if catalogue.product(conn, &scene.who.shop, &coat.product)?.is_none() {
                    let detail = format!("{:?} is no product of your shop", coat.product);
                    tell(Column::Coats, "unknown_product", detail);
                }
            }
            let terms = chosen(conn, scene, &mut catalogue, said, &mut tell)?;
            match known.find(&said.vehicle) {
                Ok(vehicle) => {
                    found.push(Found {
                        place,
                        vehicle: vehicle.id,
                        owner: if said.owner.is_none() { vehicle.owner } else { owner },
                        gives: owner.is_some() && vehicle.owner.is_none(),
                        odometer: None,
                        terms,
                    });
                    if in_time.is_none() {
                        let unit = vehicle.odometer_unit;
                        read.push(Read { place, vehicle: vehicle.id, unit, on, said: said.odometer });
                    }
                }
                Err((column, code, detail)) => tell(column, code, detail),
            }
        }
        found.sort_by_key(|one| (one.vehicle, new[one.place].said.handed_over_on, one.place));
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
        let shop = &scene.who.shop;
        let mut ids: Vec<VehicleId> = found.iter().map(|one| one.vehicle).collect();
        vehicle_events::lock_all(tx, shop, &ids)?;
        let year = u16::try_from(scene.who.day(scene.now).year())
            .map_err(|_| Database::Other("the clock shows no year".into()))?;
        let with_terms = found.iter().filter(|one| one.terms.is_some()).count();
        let mut job_numbers = records::next_numbers(tx, shop, Numbered::Job, year, found.len())?.into_iter();
        let mut numbers = records::next_numbers(tx, shop, Numbered::Warranty, year, with_terms)?.into_iter();
        let catalogue = Catalogue::of(tx, shop, new.iter().flat_map(|row| &row.said.coats))?;
        let mut became = vec![Uuid::nil(); new.len()];
        let look = |tx: &mut Tx<'_>, ids: &[VehicleId]| -> Result<HashMap<VehicleId, Value>, Error> {
            let seen = |row: VehicleRow| (row.id, json!({"id": row.id, "vin": row.vin, "plate": row.plate}));
            Ok(vehicles::many::of(tx, shop, ids)?.into_iter().map(seen).collect())
        };
        let enter = |ledger: &mut Ledger, some: &[&[Found]], seen: HashMap<VehicleId, Value>| {
            let (mut rows, mut laid) = (Vec::new(), Vec::new());
            let mut entering = Entering { scene, catalogue: &catalogue, ledger, seen };
            for one in some.iter().flat_map(|of| of.iter()) {
                let number = job_numbers.next().ok_or_else(|| Database::Other("no number is left".into()))?;
                let job = entering.job(new[one.place], one, number, &mut numbers)?;
                became[one.place] = job.row.id.into();
                rows.push((job.row, job.panels));
                laid.extend(job.coats);
            }
            Ok((rows, laid))
        };
        let keep = |tx: &mut Tx<'_>, (rows, laid): (Vec<(JobRow, JobPanels)>, Vec<CoatRow>)| {
            jobs::add_all(tx, shop, &rows)?;
            Ok(coats::add_all(tx, shop, &laid)?)
        };
        ledger::through(tx, scene, &found, look, enter, keep)?;
        give(tx, scene, new, &found)?;
        // Vehicles are found by the numbers of their jobs and warranties.
        ids.dedup();
        vehicle_cases::refresh_keys(tx, shop, &ids)?;
        Ok(became)
    }
}

/// What is at hand while jobs of some vehicles are entered.
struct Entering<'w> {
    scene: &'w Scene,
    catalogue: &'w Catalogue,
    ledger: &'w mut Ledger,
    /// What is known of the vehicles now.
    seen: HashMap<VehicleId, Value>,
}

/// A job about to be written.
struct Written {
    row: JobRow,
    panels: JobPanels,
    coats: Vec<CoatRow>,
}

impl Entering<'_> {
    fn job(
        &mut self,
        said: &Said<Job>,
        found: &Found,
        number: RunningNumber,
        numbers: &mut impl Iterator<Item = RunningNumber>,
    ) -> Result<Written, Error> {
        let (scene, job) = (self.scene, &said.said);
        let taken = found.odometer.ok_or_else(|| Database::Other("a job without its odometer".into()))?;
        let on = job.handed_over_on.date();
        let mut reading = NewEvent::new(on, Happened::Reading {});
        reading.odometer = Some(taken);
        let row = JobRow {
            id: new_id(),
            number,
            vehicle: found.vehicle,
            state: JobState::HandedOver,
            odometer: taken.odometer,
            reading: Some(reading.id),
            terms: job.terms.clone(),
            package: None,
            plan: None,
            stages: Vec::new(),
            started_at: None,
            created_at: scene.now,
            created_by: scene.who.member,
            signed_off: None,
            handed_over: Some((on, taken.km)),
            cancelled_because: None,
            version: 1,
        };
        let panels = panels_of(job);
        let (coats, laid) = self.coats(job, row.id)?;
        let mut body = Map::new();
        let digest = found.terms.as_ref().map(|terms| terms.digest);
        body.insert("job".into(), job_sheet::said(&row, &panels, digest));
        body.insert("on".into(), json!(on));
        for nothing in ["marks", "paint_readings", "steps", "climate", "passes"] {
            body.insert(nothing.into(), json!([]));
        }
        body.insert("coats".into(), laid.into());
        let warranty = match &found.terms {
            None => Value::Null,
            Some(terms) => {
                let number = numbers.next().ok_or_else(|| Database::Other("no number is left".into()))?;
                self.warranty(said, found, terms, (row.id, number, taken.km))?
            }
        };
        body.insert("warranty".into(), warranty);
        let events = self.ledger.enter(scene, found.vehicle, vec![reading])?;
        body.insert("events".into(), events.into());
        body.insert("vehicle".into(), json!(found.vehicle));
        body.insert("known_as".into(), self.seen.get(&found.vehicle).cloned().unwrap_or(Value::Null));
        body.insert("imported".into(), came_from(said));
        let document = Document::new(RecordKind::Import, format!("job:{}", row.id), &body)?;
        let record = document.written(&scene.who, self.ledger.began())?;
        self.ledger.record(record);
        Ok(Written { row, panels, coats })
    }

    /// The coats of a job, and what its record says of them.
    fn coats(&self, job: &Job, id: JobId) -> Result<(Vec<CoatRow>, Vec<Value>), Error> {
        let scene = self.scene;
        let at = Moment(day_begins(job.completed_on.unwrap_or(job.handed_over_on), scene.who.zone));
        let (mut rows, mut documents) = (Vec::new(), Vec::new());
        for said in &job.coats {
            let panels = if said.panels.is_empty() { &job.surfaces[&said.surface] } else { &said.panels };
            let sheet = self.catalogue.sheet(&said.product);
            let coat = Coat {
                surface: said.surface,
                panels: panels.iter().cloned().collect(),
                product: said.product.clone(),
                batch: batch_of(said).to_owned(),
                started_at: at,
                ended_at: at,
                ml: None,
                area_m2: None,
                by: None,
                sections: Vec::new(),
            };
            let batch = self.catalogue.known_batch(&coat.product, &coat.batch);
            let row = CoatRow {
                id: new_id(),
                job: id,
                part: LaidCoat { coat, sheet_edition: sheet.map(|sheet| sheet.edition) },
                entered_by: scene.who.member,
                entered_at: scene.now,
                version: 1,
            };
            documents.push(job_sheet::laid(row.clone(), sheet, batch)?);
            rows.push(row);
        }
        Ok((rows, documents))
    }

    /// Issues the warranty of a job; answers what its record says of it.
    fn warranty(
        &mut self,
        said: &Said<Job>,
        found: &Found,
        terms: &Chosen,
        (job, number, km): (JobId, RunningNumber, u32),
    ) -> Result<Value, Error> {
        let scene = self.scene;
        let start = start_of(&said.said, &terms.edition.terms).date();
        let row = WarrantyRow {
            id: new_id(),
            number,
            verify_code: verify_code()?,
            job,
            vehicle: found.vehicle,
            customer: found.owner,
            terms: terms.id,
            start,
            start_km: said.said.warranty_start_km.unwrap_or(km),
            time_zone: scene.who.zone,
            cover: cover(&terms.edition.terms, start, &coated(&said.said)),
            entered_at: scene.now,
            voided: None,
            replaces: None,
            assessed_on: scene.who.day(scene.now),
            next_change: None,
            version: 1,
        };
        let taken_up = self.ledger.issue(row.clone(), terms.edition.clone())?;
        Ok(issued(&row, &terms.edition.terms, taken_up))
    }
}

fn panels_of(job: &Job) -> JobPanels {
    let listed = job.surfaces.iter().map(|(surface, panels)| (*surface, panels.iter().cloned().collect()));
    JobPanels {
        listed: listed.collect(),
        excluded: job.excluded_panels.iter().cloned().collect(),
        ..JobPanels::default()
    }
}

/// Vehicles that nobody has go to the owner of their latest job, from its handover on.
fn give(tx: &mut Tx<'_>, scene: &Scene, new: &[&Said<Job>], found: &[Found]) -> Result<(), Error> {
    let mut latest: BTreeMap<VehicleId, (CustomerId, NaiveDate)> = BTreeMap::new();
    for one in found.iter().filter(|one| one.gives) {
        latest
            .extend(one.owner.map(|owner| (one.vehicle, (owner, new[one.place].said.handed_over_on.date()))));
    }
    let given: Vec<_> =
        latest.into_iter().map(|(vehicle, (owner, from))| (new_id(), vehicle, owner, from)).collect();
    Ok(vehicles::many::give(tx, &scene.who.shop, &given)?)
}
