//! Jobs, events and facts made anew from the bodies of records, and nothing else.

use std::collections::BTreeMap;

use lustrum::app;
use lustrum::core::ids::{JobId, VehicleId, WarrantyId};
use lustrum::core::terms::Rank;
use lustrum::core::vehicle_events::VehicleEvent;
use lustrum::core::words::JobState;
use lustrum::db;
use serde_json::Value;

use super::sheets::{self, Sheet};
use super::town::Town;

/// What the records of one shop tell: each job, each event, and each warranty's facts with place and event.
#[derive(Default)]
struct Told {
    jobs: BTreeMap<JobId, Sheet>,
    events: BTreeMap<String, (VehicleId, i64, VehicleEvent)>,
    facts: BTreeMap<WarrantyId, Vec<(i64, VehicleEvent, Rank)>>,
}

impl Told {
    fn hears(&mut self, record: &db::records::RecordRow, body: &Value) {
        if body["job"].is_object() {
            let sheet = self.jobs.remove(&read(&body["job"]["id"]));
            let sheet = sheets::told(sheet, record, body);
            self.jobs.insert(sheet.job.id, sheet);
        }
        // Events that a new warranty takes up stand in its own record, before the event of that record itself.
        for taken in body["warranty"]["takes_up"].as_array().into_iter().flatten() {
            let (_, position, event) = self.events[taken["event"].as_str().unwrap()].clone();
            self.counts(&taken["warranty"], position, event, &taken["by"]);
        }
        for told in body["events"].as_array().into_iter().flatten() {
            let event = VehicleEvent {
                id: read(&told["id"]),
                on: read(&told["on"]),
                recorded: read(&told["recorded"]),
                km: read(&told["odometer"]["km"]),
                instead_of: read(&told["instead_of"]),
                happened: read(&told["what"]),
            };
            let position: i64 = read(&told["position"]);
            for counts in told["counts_for"].as_array().unwrap() {
                self.counts(&counts["warranty"], position, event.clone(), &counts["by"]);
            }
            self.events.insert(event.id.to_string(), (read(&body["vehicle"]), position, event));
        }
        if body["was"].is_string() {
            self.goes_over(read(&body["was"]), read(&body["vehicle"]), read(&body["events_after"]));
        }
    }

    /// A vehicle is another one from now on, with its events after those that were there.
    fn goes_over(&mut self, was: VehicleId, now: VehicleId, after: i64) {
        self.jobs
            .values_mut()
            .filter(|sheet| sheet.job.vehicle == was)
            .for_each(|sheet| sheet.job.vehicle = now);
        for (id, (vehicle, position, _)) in self.events.iter_mut().filter(|(_, (of, ..))| *of == was) {
            (*vehicle, *position) = (now, *position + after);
            let facts = self.facts.values_mut().flatten();
            facts.filter(|(_, event, _)| event.id.to_string() == *id).for_each(|(place, ..)| *place += after);
        }
    }

    fn counts(&mut self, warranty: &Value, position: i64, event: VehicleEvent, by: &Value) {
        let by = if by.is_null() { Rank::Owner } else { read(by) };
        self.facts.entry(read(warranty)).or_default().push((position, event, by));
    }
}

/// Reads a value as the rows of the database hold it.
pub(super) fn read<T: serde::de::DeserializeOwned>(value: &Value) -> T {
    serde_json::from_value(value.clone()).unwrap_or_else(|e| panic!("{value}: {e}"))
}

/// How many rows were compared with what records tell.
#[derive(Debug, Default, Clone, Copy)]
pub(super) struct Compared {
    pub(super) jobs: usize,
    pub(super) events: usize,
    pub(super) facts: usize,
}

/// Reads every shop's records in order, and compares what they tell with the rows of jobs, events and facts.
pub(super) fn from_records_alone(town: &Town) -> Compared {
    let mut compared = Compared::default();
    for who in town.members() {
        let mut told = Told::default();
        let mut after = 0;
        loop {
            let bodies: Vec<(db::records::RecordRow, Value)> = town.reads(|c| {
                let records = db::records::list(c, &who.shop, after, 200)?;
                let body = |one| app::records::read_back(c, &who.shop, &one).map(|body| (one, body));
                records.into_iter().map(body).collect()
            });
            let Some((last, _)) = bodies.last() else { break };
            assert_eq!(last.seq, after + i64::try_from(bodies.len()).unwrap(), "records have no gaps");
            after = last.seq;
            bodies.iter().for_each(|(record, body)| told.hears(record, body));
        }

        // An open job is still being worked on: what is answered for begins with its end.
        let jobs = town.reads(|c| sheets::of_shop(c, &who.shop));
        told.jobs.retain(|_, sheet| sheet.job.state != JobState::Open);
        for (id, held) in jobs.into_iter().filter(|(_, sheet)| sheet.job.state != JobState::Open) {
            assert_eq!(told.jobs.remove(&id), Some(held));
            compared.jobs += 1;
        }
        assert!(told.jobs.is_empty(), "records tell of jobs that have no row: {:?}", told.jobs);

        let vehicles = town.reads(|c| Ok(db::vehicles::list(c, &who.shop, None, None, i64::MAX)?));
        for vehicle in vehicles {
            let rows = town.reads(|c| Ok(db::vehicle_events::of_vehicle(c, &who.shop, vehicle.id)?));
            for row in rows {
                let event = told.events.remove(&row.event.id.to_string());
                assert_eq!(event, Some((row.vehicle, row.position, row.event)));
                compared.events += 1;
            }
        }
        assert!(told.events.is_empty(), "records tell of events that have no row: {:?}", told.events);

        let warranties = town.reads(|c| Ok(db::warranties::list(c, &who.shop, None, None, i64::MAX)?));
        for warranty in warranties {
            let rows = town.reads(|c| Ok(db::warranties::facts(c, &who.shop, warranty.id)?));
            let facts = told.facts.remove(&warranty.id).unwrap_or_default();
            let told: Vec<_> =
                facts.iter().map(|(position, event, by)| (*position, event.fact(*by))).collect();
            let held: Vec<_> = rows.into_iter().map(|row| (row.position, row.body)).collect();
            assert_eq!(told, held, "facts of {}", warranty.number);
            compared.facts += held.len();
        }
        assert!(told.facts.is_empty());
    }
    compared
}
