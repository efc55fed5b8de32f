//! Vehicles with what was entered of them, and the warranties for which it counts: events and warranties of many
//! vehicles, entered together. Each comes to the same as [`crate::app::facts::enter`] would by itself.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::rc::Rc;

use chrono::{DateTime, Utc};
use serde_json::{Value, json};

use super::Scene;
use crate::app::assessments::{judge, parsed};
use crate::app::facts::{Issuer, NewEvent, Target, a_microsecond_later, event_document};
use crate::app::{Database, Error};
use crate::core::facts::EventInput;
use crate::core::ids::{TermsId, VehicleId, WarrantyId};
use crate::core::terms::{Rules, Terms};
use crate::core::vehicle_events::VehicleEvent;
use crate::db::records::{self, NewRecord};
use crate::db::vehicle_events::{self, EventRow};
use crate::db::warranties::{self, Assessed, WarrantyRow};
use crate::db::{Conn, Shop, Tx, dues};

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
pub(crate) struct Shelf(HashMap<TermsId, Rc<Edition>>);

impl Shelf {
    /// An edition of the shop's terms.
    pub(crate) fn edition(
        &mut self,
        conn: &mut Conn,
        shop: &Shop,
        id: TermsId,
    ) -> Result<Rc<Edition>, Error> {
        if let Some(known) = self.0.get(&id) {
            return Ok(known.clone());
        }
        let terms = parsed(&warranties::document(conn, shop, id)?)?;
        let issuer = Issuer::named(conn, shop, terms.issuer.as_deref())?;
        let edition = Rc::new(Edition { rules: Rules::compile(&terms), terms, issuer });
        self.0.insert(id, edition.clone());
        Ok(edition)
    }
}

/// A warranty that takes events in.
struct Open {
    target: Target,
    edition: Rc<Edition>,
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
    pub(super) fn open(
        tx: &mut Tx<'_>,
        scene: &Scene,
        shelf: &mut Shelf,
        of: &[VehicleId],
    ) -> Result<Self, Error> {
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
    pub(super) fn issue(&mut self, row: WarrantyRow, edition: Rc<Edition>) -> Result<Vec<Value>, Error> {
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

    /// Writes all of it: records, events, warranties with their facts, and what is stored of their verdicts.
    pub(super) fn close(self, tx: &mut Tx<'_>, scene: &Scene) -> Result<(), Error> {
        let shop = &scene.who.shop;
        let first = records::append_records(tx, shop, self.records, self.began)?;
        let events: Vec<EventRow> = (self.new.into_iter())
            .map(|(record, row)| EventRow {
                record_seq: first + i64::try_from(record).unwrap_or_default(),
                ..row
            })
            .collect();
        let last = events.iter().map(|row| row.event.recorded).max().unwrap_or(self.began);
        vehicle_events::add_all(tx, shop, &events, last)?;
        let (mut added, mut held, mut before) = (Vec::new(), Vec::new(), Vec::new());
        let (mut facts, mut verdicts, mut due_rows) = (Vec::new(), Vec::new(), Vec::new());
        for open in self.pages.into_values().flat_map(|page| page.open) {
            if !open.new && open.target.new.is_empty() {
                continue;
            }
            let mut row = open.target.row;
            let inputs = open.facts.into_iter().chain(open.target.new.iter().map(|fact| fact.body.clone()));
            let judged = judge(&row, &open.edition.rules, inputs.collect(), self.began)?;
            row.assessed_on = judged.on;
            row.next_change = judged.next_change;
            facts.extend(open.target.new.into_iter().map(|fact| (row.id, fact)));
            verdicts.extend(judged.verdict.into_iter().map(|verdict| (row.id, verdict)));
            due_rows.extend(judged.dues.into_iter().map(|due| (row.id, row.vehicle, due)));
            if open.new {
                added.push(row);
            } else {
                held.push(row.id);
                before.push(Assessed { id: row.id, on: row.assessed_on, next_change: row.next_change });
            }
        }
        warranties::many::add(tx, shop, &added)?;
        warranties::many::assessed(tx, shop, &before)?;
        warranties::many::add_facts(tx, shop, &facts)?;
        warranties::many::store_verdicts(tx, shop, &held, verdicts)?;
        dues::store(tx, shop, &held, due_rows)?;
        Ok(())
    }
}

fn page_of(pages: &mut BTreeMap<VehicleId, Page>, vehicle: VehicleId) -> Result<&mut Page, Error> {
    pages
        .get_mut(&vehicle)
        .ok_or_else(|| Database::Other(format!("the ledger has no page for {vehicle}")).into())
}
