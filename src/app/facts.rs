//! Facts, from what happened to a vehicle to the verdict of each of its warranties: the one way in.

use std::collections::BTreeSet;
use std::sync::Arc;

use chrono::{DateTime, Datelike as _, NaiveDate, TimeDelta, Utc};
use serde_json::{Map, Value, json};

use super::assessments::Case;
use super::authors::Author;
use super::notices;
use super::odometer::TakenOdometer;
use super::records::Document;
use super::{App, Error, Who, new_id};
use crate::core::error::{Error as Rule, Fault};
use crate::core::ids::{EventId, VehicleId, VisitId, WarrantyId};
use crate::core::terms::Rank;
use crate::core::vehicle_events::{Happened, VehicleEvent};
use crate::core::words::{DoneBy, RecordKind};
use crate::db::vehicle_events::{self, EventRow};
use crate::db::warranties::{self, FactRow, WarrantyRow};
use crate::db::{Conn, Shop, Tx};

/// Something that happened to a vehicle and is about to be entered.
#[derive(Debug, Clone)]
pub(crate) struct NewEvent {
    /// Its id.
    pub(crate) id: EventId,
    /// The day on which it happened.
    pub(crate) on: NaiveDate,
    /// What the odometer showed.
    pub(crate) odometer: Option<TakenOdometer>,
    /// What happened.
    pub(crate) happened: Happened,
    /// The retracted event in whose place it stands.
    pub(crate) instead_of: Option<EventId>,
    /// The visit on which it happened.
    pub(crate) visit: Option<VisitId>,
}

impl NewEvent {
    /// What happened on a day, and nothing more.
    pub(crate) fn new(on: NaiveDate, happened: Happened) -> Self {
        Self { id: new_id(), on, odometer: None, happened, instead_of: None, visit: None }
    }
}

/// What is entered at once: one record, and the events in it.
#[derive(Debug, Clone)]
pub(crate) struct Entry {
    /// What kind of document it is.
    pub(crate) kind: RecordKind,
    /// What it is about; the vehicle unless said.
    pub(crate) subject: Option<String>,
    /// What the record says besides the events.
    pub(crate) says: Map<String, Value>,
    /// Pointers from the record's root to texts in `says` that name persons or are written freely.
    pub(crate) personal: Vec<&'static str>,
    /// What happened; may be nothing.
    pub(crate) events: Vec<NewEvent>,
}

impl Entry {
    /// An entry of one event, with nothing besides.
    pub(crate) fn of(kind: RecordKind, event: NewEvent) -> Self {
        Self { kind, subject: None, says: Map::new(), personal: Vec::new(), events: vec![event] }
    }
}

/// What became of an entry.
pub(crate) struct Entered {
    /// The events, in order.
    pub(crate) events: Vec<EventRow>,
    /// The vehicle's warranties that are not void, oldest first, with their facts as they are now.
    pub(crate) cases: Vec<Case>,
}

/// Enters what happened to a vehicle: locks it, keeps the record, adds the events, and takes each into the facts of
/// every warranty of the shop on it that is not void; what is stored of these is assessed anew.
///
/// All in the caller's transaction; a retraction of what is unknown, is a retraction itself or no longer counts is
/// refused at `/event`.
pub(crate) fn enter(
    tx: &mut Tx<'_>,
    app: &App,
    who: &Who,
    vehicle: VehicleId,
    entry: Entry,
) -> Result<Entered, Error> {
    enter_by(tx, app, &who.into(), vehicle, entry)
}

/// The same, whoever enters it.
pub(crate) fn enter_by(
    tx: &mut Tx<'_>,
    app: &App,
    who: &Author,
    vehicle: VehicleId,
    entry: Entry,
) -> Result<Entered, Error> {
    let next = vehicle_events::lock(tx, &who.shop, vehicle)?;
    let earlier = vehicle_events::of_vehicle(tx, &who.shop, vehicle)?;
    check_references(&earlier, &entry.events)?;
    let mut targets = Vec::new();
    for row in warranties::of_vehicle(tx, &who.shop, vehicle)?.into_iter().filter(|w| w.voided.is_none()) {
        let held = warranties::facts(tx, &who.shop, row.id)?.into_iter().map(|fact| fact.event).collect();
        let issuer = Issuer::of(tx, &who.shop, row.id)?;
        targets.push(Target { row, issuer, held, new: Vec::new() });
    }
    let recorded = app.now().max(next.last_recorded.map_or(DateTime::UNIX_EPOCH, a_microsecond_later));
    let mut rows = Vec::new();
    let mut documents = Vec::new();
    let (mut at, mut position) = (recorded, next.position);
    for new in entry.events {
        let row = EventRow {
            vehicle,
            position,
            event: VehicleEvent {
                id: new.id,
                on: new.on,
                recorded: at,
                km: new.odometer.map(|taken| taken.km),
                instead_of: new.instead_of,
                happened: new.happened,
            },
            odometer: new.odometer.map(|taken| taken.odometer),
            visit: new.visit,
            entered_by: who.member(),
            record_seq: 0,
        };
        let mut counts_for = Vec::new();
        for target in &mut targets {
            counts_for.extend(target.take(&row));
        }
        documents.push(event_document(&row, new.odometer, &counts_for));
        rows.push(row);
        position += 1;
        at = a_microsecond_later(at);
    }
    let mut body = entry.says;
    body.insert("vehicle".into(), json!(vehicle));
    body.insert("events".into(), Value::Array(documents));
    let subject = entry.subject.unwrap_or_else(|| format!("vehicle:{vehicle}"));
    let record = Document::new(entry.kind, subject, &body)?
        .personal(&entry.personal)
        .personal(&[
            "/events/*/what/finding",
            "/events/*/what/reason",
            "/events/*/what/inspection/overruled/reason",
        ])
        .keep_by(tx, who, recorded)?;
    for row in &mut rows {
        row.record_seq = record.seq;
        vehicle_events::add(tx, &who.shop, row)?;
    }
    let mut cases = Vec::new();
    for target in targets {
        warranties::add_facts(tx, &who.shop, target.row.id, &target.new)?;
        let mut case = Case::load(tx, &who.shop, target.row)?;
        case.store(tx, &who.shop, recorded)?;
        cases.push(case);
    }
    let entered = Entered { events: rows, cases };
    // What a sale changes is told to the new owner, once the vehicle is theirs.
    let sold = |row: &EventRow| matches!(row.event.happened, Happened::Transfer { .. });
    if entered.events.iter().any(sold) {
        return Ok(entered);
    }
    notices::changed(tx, app, &who.shop, vehicle, &entered, app.now())?;
    Ok(entered)
}

pub(crate) fn a_microsecond_later(at: DateTime<Utc>) -> DateTime<Utc> {
    at + TimeDelta::microseconds(1)
}

/// What events say of other events must be so.
fn check_references(earlier: &[EventRow], new: &[NewEvent]) -> Result<(), Error> {
    let mut retracted: BTreeSet<EventId> =
        earlier.iter().filter_map(|row| row.event.happened.retracts()).collect();
    for event in new {
        if let Some(old) = event.happened.retracts() {
            let refuse = |code, why: &str| Err(Rule::rule("/event", code, format!("{old} {why}")).into());
            match earlier.iter().find(|row| row.event.id == old) {
                None => return refuse("unknown_event", "is no event of this vehicle that your shop entered"),
                Some(row) if row.event.happened.retracts().is_some() => {
                    return refuse("retraction", "is a retraction itself; enter the event anew instead");
                }
                Some(_) if !retracted.insert(old) => {
                    return refuse("already_retracted", "has been retracted before");
                }
                Some(_) => {}
            }
        }
        if let Some(old) = event.instead_of
            && !retracted.contains(&old)
        {
            let why = format!("{old} has not been retracted, so nothing can stand in its place");
            return Err(Rule::rule("/instead_of", "not_retracted", why).into());
        }
    }
    Ok(())
}

/// Whose terms a warranty stands on.
#[derive(Debug, Clone)]
pub(crate) enum Issuer {
    /// The shop's own.
    Own,
    /// An issuer's, by whom the shop was accredited in these intervals: first and last day; none: still.
    Named(Arc<[(NaiveDate, Option<NaiveDate>)]>),
}

impl Issuer {
    fn of(tx: &mut Tx<'_>, shop: &Shop, warranty: WarrantyId) -> Result<Self, Error> {
        let terms = warranties::terms_of(tx, shop, warranty)?;
        let document: Value =
            serde_json::from_str(&terms.document).map_err(|e| crate::db::Error::Other(e.to_string()))?;
        Self::named(tx, shop, document["issuer"].as_str())
    }

    /// The issuer that terms name, or the shop itself where they name none.
    pub(crate) fn named(conn: &mut Conn, shop: &Shop, issuer: Option<&str>) -> Result<Self, Error> {
        let Some(issuer) = issuer else { return Ok(Self::Own) };
        Ok(Self::Named(warranties::accredited(conn, shop, issuer)?.into()))
    }

    /// How the shop stood to these terms on a day.
    fn standing(&self, on: NaiveDate) -> Rank {
        let within = |(from, until): &(NaiveDate, Option<NaiveDate>)| {
            *from <= on && until.is_none_or(|until| on <= until)
        };
        match self {
            Self::Named(intervals) if !intervals.iter().any(within) => Rank::Shop,
            _ => Rank::Accredited,
        }
    }
}

/// A warranty that takes events into its facts.
pub(crate) struct Target {
    /// The warranty.
    pub(crate) row: WarrantyRow,
    /// Whose terms it stands on.
    pub(crate) issuer: Issuer,
    /// The events among its facts.
    pub(crate) held: BTreeSet<EventId>,
    /// The facts that it has taken in and that are not written yet.
    pub(crate) new: Vec<FactRow>,
}

impl Target {
    /// Takes an event in, where it concerns this warranty; answers what the record says of it.
    pub(crate) fn take(&mut self, row: &EventRow) -> Option<Value> {
        let happened = &row.event.happened;
        let other = happened.only_warranty().is_some_and(|only| only != self.row.id)
            || happened.retracts().is_some_and(|old| !self.held.contains(&old));
        if other {
            return None;
        }
        let by = match happened {
            Happened::Service { done_by: DoneBy::Owner, .. } => Rank::Owner,
            Happened::Service { done_by: DoneBy::OtherShop, .. } => Rank::Shop,
            _ => self.issuer.standing(row.event.on),
        };
        self.held.insert(row.event.id);
        self.new.push(FactRow { position: row.position, event: row.event.id, body: row.event.fact(by) });
        Some(counts_for(&self.row, happened, by))
    }
}

/// What a record says of a warranty for which an event counts.
fn counts_for(warranty: &WarrantyRow, happened: &Happened, by: Rank) -> Value {
    match happened {
        Happened::Service { .. } => json!({ "warranty": warranty.id, "by": by }),
        _ => json!({ "warranty": warranty.id }),
    }
}

/// An event as records hold it: all that its row and its facts are made of.
pub(crate) fn event_document(row: &EventRow, odometer: Option<TakenOdometer>, counts_for: &[Value]) -> Value {
    json!({
        "id": row.event.id,
        "position": row.position,
        "on": row.event.on,
        "recorded": row.event.recorded,
        "odometer": odometer.map(|taken| json!({
            "value": taken.odometer.value(),
            "unit": taken.odometer.unit(),
            "km": taken.km,
            "confirmed": taken.confirmed,
            "replaced": taken.replaced,
        })),
        "instead_of": row.event.instead_of,
        "visit": row.visit,
        "what": row.event.happened,
        "counts_for": counts_for,
    })
}

/// Takes what happened to the vehicle before into the facts of a warranty that has just been added; `recorded` stays
/// as it was. Answers what the record of its issue says of it.
pub(crate) fn take_up(tx: &mut Tx<'_>, who: &Who, row: &WarrantyRow) -> Result<Vec<Value>, Error> {
    let issuer = Issuer::of(tx, &who.shop, row.id)?;
    let mut target = Target { row: row.clone(), issuer, held: BTreeSet::new(), new: Vec::new() };
    let mut taken_up = Vec::new();
    for event in vehicle_events::of_vehicle(tx, &who.shop, row.vehicle)? {
        if let Some(mut said) = target.take(&event) {
            said["event"] = json!(event.event.id);
            taken_up.push(said);
        }
    }
    warranties::add_facts(tx, &who.shop, row.id, &target.new)?;
    Ok(taken_up)
}

/// The fault of a day on which something is said to have happened: after today, or before 1900.
pub(crate) fn day_fault(pointer: &str, on: NaiveDate, today: NaiveDate) -> Option<Fault> {
    if on > today {
        let detail = format!("{on} is after today, {today}; nothing is taken before it has happened");
        Some(Fault::new(pointer, "in_the_future", detail))
    } else if on.year() < 1900 {
        Some(Fault::new(
            pointer,
            "too_long_ago",
            format!("{on}; allowed are days from 1900-01-01 to {today}"),
        ))
    } else {
        None
    }
}
