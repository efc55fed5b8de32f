//! Vehicles with what was entered of them, and the warranties for which it counts: events and warranties of many
//! vehicles, entered together. Each comes to the same as [`crate::app::facts::enter`] would by itself.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

use chrono::{DateTime, Utc};
use serde_json::{Value, json};

use super::Scene;
use super::readings::VEHICLES;
use crate::app::assessments::{judge, parsed};
use crate::app::facts::{Issuer, NewEvent, Target, a_microsecond_later, event_document};
use crate::app::side_by_side::side_by_side;
use crate::app::{Database, Error};
use crate::core::facts::EventInput;
use crate::core::ids::{TermsId, VehicleId, WarrantyId};
use crate::core::terms::{Rules, Terms};
use crate::core::vehicle_events::VehicleEvent;
use crate::db::dues::{self, DueRow};
use crate::db::records::{self, NewRecord};
use crate::db::vehicle_events::{self, EventRow};
use crate::db::warranties::{self, Assessed, FactRow, VerdictRow, WarrantyRow};
use crate::db::{Conn, Shop, Tx};

/// An edition of terms, read once.
pub(crate) struct Edition {
    /// The terms.
    pub(crate) terms: Terms,
    /// What is judged by.
    pub(crate) rules: Rules,
    /// Whose they are.
    issuer: Issuer,
}

/// Editions of terms that were read before.
#[derive(Default)]
pub(crate) struct Shelf(HashMap<TermsId, Arc<Edition>>);

impl Shelf {
    /// An edition of the shop's terms.
    pub(crate) fn edition(
        &mut self,
        conn: &mut Conn,
        shop: &Shop,
        id: TermsId,
    ) -> Result<Arc<Edition>, Error> {
        if let Some(known) = self.0.get(&id) {
            return Ok(known.clone());
        }
        let terms = parsed(&warranties::document(conn, shop, id)?)?;
        let issuer = Issuer::named(conn, shop, terms.issuer.as_deref())?;
        let edition = Arc::new(Edition { rules: Rules::compile(&terms), terms, issuer });
        self.0.insert(id, edition.clone());
        Ok(edition)
    }
}

/// A warranty that takes events in.
struct Open {
    target: Target,
    edition: Arc<Edition>,
    /// Its facts, those that were there first.
    facts: Vec<EventInput>,
    /// Whether it is only being issued.
    new: bool,
}

/// One vehicle.
struct Page {
    position: i64,
    at: DateTime<Utc>,
    events: Vec<EventRow>,
    open: Vec<Open>,
}

/// Some vehicles, locked until the transaction ends.
pub(super) struct Ledger {
    pages: BTreeMap<VehicleId, Page>,
    records: Vec<NewRecord>,
    /// Events that are not written yet, each with the place of its record among `records`.
    new: Vec<(usize, EventRow)>,
    began: DateTime<Utc>,
}

impl Ledger {
    /// Opens the ledger at these vehicles, which are locked already.
    fn open(tx: &mut Tx<'_>, scene: &Scene, shelf: &mut Shelf, of: &[VehicleId]) -> Result<Self, Error> {
        let shop = &scene.who.shop;
        let places = vehicle_events::last_places(tx, shop, of)?;
        let last = vehicle_events::last_recorded(tx, shop, of)?;
        let began = scene.now.max(last.map_or(DateTime::UNIX_EPOCH, a_microsecond_later));
        let page = |id: &VehicleId| {
            let position = places.get(id).copied().unwrap_or(0) + 1;
            (*id, Page { position, at: began, events: Vec::new(), open: Vec::new() })
        };
        let mut pages: BTreeMap<VehicleId, Page> = of.iter().map(page).collect();
        for row in vehicle_events::of_vehicles(tx, shop, of)? {
            if let Some(page) = pages.get_mut(&row.vehicle) {
                page.events.push(row);
            }
        }
        let rows = warranties::many::of_vehicles(tx, shop, of)?;
        let ids: Vec<WarrantyId> = rows.iter().map(|row| row.id).collect();
        let mut facts: HashMap<WarrantyId, (BTreeSet<_>, Vec<EventInput>)> = HashMap::new();
        for (warranty, fact) in warranties::many::facts_of(tx, shop, &ids)? {
            let (held, inputs) = facts.entry(warranty).or_default();
            held.insert(fact.event);
            inputs.push(fact.body);
        }
        for row in rows {
            let edition = shelf.edition(tx, shop, row.terms)?;
            let issuer = edition.issuer.clone();
            let (held, facts) = facts.remove(&row.id).unwrap_or_default();
            if let Some(page) = pages.get_mut(&row.vehicle) {
                let target = Target { row, issuer, held, new: Vec::new() };
                page.open.push(Open { target, edition, facts, new: false });
            }
        }
        Ok(Self { pages, records: Vec::new(), new: Vec::new(), began })
    }

    /// When what is entered now was entered.
    pub(super) fn began(&self) -> DateTime<Utc> {
        self.began
    }

    /// Puts down a new warranty of one of these vehicles, which takes up what happened to it before. Answers what the
    /// record of its issue says of that.
    pub(super) fn issue(&mut self, row: WarrantyRow, edition: Arc<Edition>) -> Result<Vec<Value>, Error> {
        let page = page_of(&mut self.pages, row.vehicle)?;
        let issuer = edition.issuer.clone();
        let mut target = Target { row, issuer, held: BTreeSet::new(), new: Vec::new() };
        let mut taken_up = Vec::new();
        for event in &page.events {
            if let Some(mut said) = target.take(event) {
                said["event"] = json!(event.event.id);
                taken_up.push(said);
            }
        }
        page.open.push(Open { target, edition, facts: Vec::new(), new: true });
        Ok(taken_up)
    }

    /// Puts down events of one of these vehicles, which stand in the next record; answers what that says of them.
    pub(super) fn enter(
        &mut self,
        scene: &Scene,
        vehicle: VehicleId,
        events: Vec<NewEvent>,
    ) -> Result<Vec<Value>, Error> {
        let page = page_of(&mut self.pages, vehicle)?;
        let mut documents = Vec::new();
        for new in events {
            let row = EventRow {
                vehicle,
                position: page.position,
                event: VehicleEvent {
                    id: new.id,
                    on: new.on,
                    recorded: page.at,
                    km: new.odometer.map(|taken| taken.km),
                    instead_of: new.instead_of,
                    happened: new.happened,
                },
                odometer: new.odometer.map(|taken| taken.odometer),
                visit: new.visit,
                entered_by: Some(scene.who.member),
                record_seq: 0,
            };
            let mut counts_for = Vec::new();
            for open in &mut page.open {
                counts_for.extend(open.target.take(&row));
            }
            documents.push(event_document(&row, new.odometer, &counts_for));
            page.position += 1;
            page.at = a_microsecond_later(page.at);
            page.events.push(row.clone());
            self.new.push((self.records.len(), row));
        }
        Ok(documents)
    }

    /// Keeps a record, the one in which the events stand that were put down since the last.
    pub(super) fn record(&mut self, record: NewRecord) {
        self.records.push(record);
    }

    /// Judges the warranties that took something in; nothing can be entered any more.
    fn settle(self) -> Result<Settled, Error> {
        let mut settled =
            Settled { began: self.began, records: self.records, events: self.new, ..Settled::default() };
        for open in self.pages.into_values().flat_map(|page| page.open) {
            if !open.new && open.target.new.is_empty() {
                continue;
            }
            let mut row = open.target.row;
            let inputs = open.facts.into_iter().chain(open.target.new.iter().map(|fact| fact.body.clone()));
            let judged = judge(&row, &open.edition.rules, inputs.collect(), self.began)?;
            row.assessed_on = judged.on;
            row.next_change = judged.next_change;
            settled.facts.extend(open.target.new.into_iter().map(|fact| (row.id, fact)));
            settled.verdicts.extend(judged.verdict.into_iter().map(|verdict| (row.id, verdict)));
            settled.dues.extend(judged.dues.into_iter().map(|due| (row.id, row.vehicle, due)));
            if open.new {
                settled.added.push(row);
            } else {
                settled.held.push(Assessed { id: row.id, on: row.assessed_on, next_change: row.next_change });
            }
        }
        Ok(settled)
    }
}

/// What is to be written of a ledger.
#[derive(Default)]
struct Settled {
    began: DateTime<Utc>,
    records: Vec<NewRecord>,
    /// Events, each with the place of its record among the records.
    events: Vec<(usize, EventRow)>,
    /// New warranties.
    added: Vec<WarrantyRow>,
    /// Warranties that were there.
    held: Vec<Assessed>,
    facts: Vec<(WarrantyId, FactRow)>,
    verdicts: Vec<(WarrantyId, VerdictRow)>,
    dues: Vec<(WarrantyId, VehicleId, DueRow)>,
}

impl Settled {
    /// Writes all of it: records, events, warranties with their facts, and what is stored of their verdicts.
    fn write(self, tx: &mut Tx<'_>, shop: &Shop) -> Result<(), Error> {
        let first = records::append_records(tx, shop, self.records, self.began)?;
        let events: Vec<EventRow> = (self.events.into_iter())
            .map(|(record, row)| EventRow {
                record_seq: first + i64::try_from(record).unwrap_or_default(),
                ..row
            })
            .collect();
        let last = events.iter().map(|row| row.event.recorded).max().unwrap_or(self.began);
        vehicle_events::add_all(tx, shop, &events, last)?;
        let held: Vec<WarrantyId> = self.held.iter().map(|one| one.id).collect();
        warranties::many::add(tx, shop, &self.added)?;
        warranties::many::assessed(tx, shop, &self.held)?;
        warranties::many::add_facts(tx, shop, &self.facts)?;
        warranties::many::store_verdicts(tx, shop, &held, self.verdicts)?;
        dues::store(tx, shop, &held, self.dues)?;
        Ok(())
    }
}

/// Rows of one vehicle each, in the order of the vehicles.
pub(super) trait OfVehicle {
    /// Which vehicle.
    fn vehicle(&self) -> VehicleId;
}

/// Enters rows into the ledger, some vehicles at a time: while `enter` puts down those of some, what came of the vehicles
/// before them is written. `look` reads what else `enter` needs to know of vehicles, and `keep` writes what else came of
/// their rows, before the ledger's own. The vehicles are locked already; `rows` stand in their order.
pub(super) fn through<F: OfVehicle + Sync, L: Send, K: Send>(
    tx: &mut Tx<'_>,
    scene: &Scene,
    rows: &[F],
    mut look: impl FnMut(&mut Tx<'_>, &[VehicleId]) -> Result<L, Error>,
    mut enter: impl FnMut(&mut Ledger, &[&[F]], L) -> Result<K, Error> + Send,
    mut keep: impl FnMut(&mut Tx<'_>, K) -> Result<(), Error>,
) -> Result<(), Error> {
    let mut shelf = Shelf::default();
    let of_vehicle: Vec<&[F]> = rows.chunk_by(|one, other| one.vehicle() == other.vehicle()).collect();
    side_by_side(
        tx,
        of_vehicle.chunks(VEHICLES),
        |tx, some| {
            let ids: Vec<VehicleId> = some.iter().filter_map(|of| Some(of.first()?.vehicle())).collect();
            let ledger = Ledger::open(tx, scene, &mut shelf, &ids)?;
            Ok((some, ledger, look(tx, &ids)?))
        },
        |(some, mut ledger, looked)| {
            let kept = enter(&mut ledger, some, looked)?;
            Ok((ledger.settle()?, kept))
        },
        |tx, (settled, kept)| {
            keep(tx, kept)?;
            settled.write(tx, &scene.who.shop)
        },
    )
}

fn page_of(pages: &mut BTreeMap<VehicleId, Page>, vehicle: VehicleId) -> Result<&mut Page, Error> {
    pages
        .get_mut(&vehicle)
        .ok_or_else(|| Database::Other(format!("the ledger has no page for {vehicle}")).into())
}
