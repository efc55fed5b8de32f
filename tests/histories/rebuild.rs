//! Events and facts made anew from the bodies of records, and nothing else.

use std::collections::BTreeMap;

use lustrum::app;
use lustrum::core::ids::WarrantyId;
use lustrum::core::terms::Rank;
use lustrum::core::vehicle_events::VehicleEvent;
use lustrum::db;
use serde_json::Value;

use super::town::Town;

/// Each event, and each warranty's facts with place and event, as the records tell them.
#[derive(Default)]
struct Told {
    events: BTreeMap<String, (i64, VehicleEvent)>,
    facts: BTreeMap<WarrantyId, Vec<(i64, VehicleEvent, Rank)>>,
}

impl Told {
    fn hears(&mut self, body: &Value) {
        // Events that a new warranty takes up stand in its own record, before the event of that record itself.
        for taken in body["warranty"]["takes_up"].as_array().into_iter().flatten() {
            let (position, event) = self.events[taken["event"].as_str().unwrap()].clone();
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
            self.events.insert(event.id.to_string(), (position, event));
        }
    }

    fn counts(&mut self, warranty: &Value, position: i64, event: VehicleEvent, by: &Value) {
        let by = if by.is_null() { Rank::Owner } else { read(by) };
        self.facts.entry(read(warranty)).or_default().push((position, event, by));
    }
}

fn read<T: serde::de::DeserializeOwned>(value: &Value) -> T {
    serde_json::from_value(value.clone()).unwrap_or_else(|e| panic!("{value}: {e}"))
}

/// Reads every shop's records in order, and compares what they tell with the rows of events and facts.
pub(super) fn from_records_alone(town: &Town) {
    for (who, vehicles, warranties) in town.books() {
        let mut told = Told::default();
        let mut after = 0;
        loop {
            let bodies: Vec<(i64, Value)> = town
                .app
                .db
                .read::<_, app::Error>(|c| {
                    let records = db::records::list(c, &who.shop, after, 200)?;
                    records
                        .iter()
                        .map(|one| Ok((one.seq, app::records::read_back(c, &who.shop, one)?)))
                        .collect()
                })
                .unwrap();
            let Some((last, _)) = bodies.last() else { break };
            assert_eq!(*last, after + i64::try_from(bodies.len()).unwrap(), "records have no gaps");
            after = *last;
            bodies.iter().for_each(|(_, body)| told.hears(body));
        }
        for vehicle in vehicles {
            let rows = town
                .app
                .db
                .read::<_, db::Error>(|c| db::vehicle_events::of_vehicle(c, &who.shop, vehicle))
                .unwrap();
            for row in rows {
                let event = told.events.remove(&row.event.id.to_string());
                assert_eq!(event, Some((row.position, row.event)));
            }
        }
        assert!(told.events.is_empty(), "records tell of events that have no row: {:?}", told.events);
        for warranty in warranties {
            let rows =
                town.app.db.read::<_, db::Error>(|c| db::warranties::facts(c, &who.shop, warranty)).unwrap();
            let facts = told.facts.remove(&warranty).unwrap_or_default();
            let told: Vec<_> =
                facts.iter().map(|(position, event, by)| (*position, event.fact(*by))).collect();
            let held: Vec<_> = rows.into_iter().map(|row| (row.position, row.body)).collect();
            assert_eq!(told, held, "facts of {warranty}");
        }
        assert!(told.facts.is_empty());
    }
}
