//! What is entered late in place of something else: a service that a manager stands for, a sale that the shop heard
//! of later, a reading that was read wrong. Each retracts the event and enters it again, in one transaction.

use serde::Deserialize;
use serde_json::Map;

use super::assessments::answers;
use super::events::EnteredEvent;
use super::facts::{self, Entry, NewEvent, day_fault};
use super::odometer::{OdometerInput, TakenOdometer, read_anew};
use super::visits::{self, EnteredVisit};
use super::{App, Error, Who, wanted_text};
use crate::core::access::Action;
use crate::core::calendar::Day;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{EventId, VehicleId, VisitId};
use crate::core::vehicle_events::Happened;
use crate::core::words::RecordKind;
use crate::db::vehicle_events::{self, EventRow};
use crate::db::visits as rows;
use crate::db::{self, Conn, Shop, vehicles};

/// Why a manager stands for what was entered late.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CountersignInput {
    /// Why; up to 2,000 characters.
    #[schema(min_length = 1, max_length = 2000)]
    pub reason: String,
}

/// When the shop heard of a sale.
#[derive(Debug, Clone, Copy, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ToldInput {
    /// The day; not after today.
    pub on: Day,
}

/// What an odometer showed in truth.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CorrectReadingInput {
    /// What it showed, on the day of the reading.
    pub odometer: OdometerInput,
    /// What was wrong; up to 2,000 characters.
    #[schema(min_length = 1, max_length = 2000)]
    pub reason: String,
}

/// A manager stands for the services of a visit, so that they count although they were entered late.
///
/// 422 `nothing_to_countersign` where each of them counts no more, or was countersigned before.
pub fn countersign(
    app: &App,
    who: &Who,
    id: VisitId,
    input: CountersignInput,
) -> Result<EnteredVisit, Error> {
    who.must(Action::Countersign)?;
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| {
        let visit = rows::find(tx, &who.shop, id)?;
        vehicle_events::lock(tx, &who.shop, visit.vehicle)?;
        let mut faults: Vec<Fault> = wanted_text("/reason", &input.reason, 2_000).into_iter().collect();
        let gone = vehicle_events::retracted(tx, &who.shop, visit.vehicle)?;
        let mut events = Vec::new();
        for row in vehicle_events::of_visit(tx, &who.shop, id)? {
            let mut signed = row.event.happened.clone();
            let Happened::Service { countersigned, .. } = &mut signed else { continue };
            if *countersigned == Some(true) || gone.contains(&row.event.id) {
                continue;
            }
            *countersigned = Some(true);
            events.extend(anew(&row, signed, &input.reason));
        }
        if events.is_empty() {
            let why = "each of the visit's services is countersigned already, or no longer counts";
            faults.push(Fault::new("", "nothing_to_countersign", why));
        }
        all_clear(faults)?;
        let entry = Entry {
            kind: RecordKind::Correction,
            subject: None,
            says: Map::from_iter([("visit".to_owned(), visits::said(&visit))]),
            personal: visits::PERSONAL.to_vec(),
            events,
        };
        let entered = facts::enter(tx, &app_in, &who, visit.vehicle, entry)?;
        visits::answered(tx, &who, now, visit, &entered)
    })
}

/// The shop heard of a sale, later than it entered it or on another day than it said.
pub fn told(
    app: &App,
    who: &Who,
    vehicle: VehicleId,
    sale: EventId,
    input: ToldInput,
) -> Result<EnteredEvent, Error> {
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| {
        let on = input.on.date();
        vehicle_events::lock(tx, &who.shop, vehicle)?;
        let row = of(tx, &who.shop, vehicle, sale)?;
        let mut faults: Vec<Fault> = day_fault("/on", on, who.day(now)).into_iter().collect();
        let Happened::Transfer { told, customer } = row.event.happened else {
            return Err(Rule::NotFound.into());
        };
        faults.extend(still_counts(tx, &who.shop, &row)?);
        if told == Some(on) {
            faults.push(Fault::new("/on", "already_told", format!("the sale is entered as told on {on}")));
        }
        all_clear(faults)?;
        let sold = Happened::Transfer { told: Some(on), customer };
        let why = format!("the shop was told on {on}");
        let [retracted, sale_again] = anew(&row, sold, &why);
        let new = sale_again.id;
        let entered = facts::enter(tx, &app_in, &who, vehicle, entry(vec![retracted, sale_again]))?;
        vehicles::sold_by(tx, &who.shop, sale, new)?;
        Ok(EnteredEvent { id: new, assessments: answers(&entered.cases, &who, now) })
    })
}

/// A reading was read or typed wrong: the odometer showed something else on that day.
pub fn correct_reading(
    app: &App,
    who: &Who,
    vehicle: VehicleId,
    reading: EventId,
    input: CorrectReadingInput,
) -> Result<EnteredEvent, Error> {
    who.must(Action::Retract)?;
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| {
        vehicle_events::lock(tx, &who.shop, vehicle)?;
        let row = of(tx, &who.shop, vehicle, reading)?;
        if !matches!(row.event.happened, Happened::Reading {}) {
            return Err(Rule::NotFound.into());
        }
        let mut faults: Vec<Fault> = wanted_text("/reason", &input.reason, 2_000).into_iter().collect();
        faults.extend(still_counts(tx, &who.shop, &row)?);
        let read = read_anew(
            tx,
            &who.shop,
            vehicle,
            Some((reading, &input.reason)),
            row.event.on,
            input.odometer,
            faults,
        )?;
        let entered = facts::enter(tx, &app_in, &who, vehicle, entry(read.events))?;
        Ok(EnteredEvent { id: read.reading, assessments: answers(&entered.cases, &who, now) })
    })
}

fn entry(events: Vec<NewEvent>) -> Entry {
    Entry { kind: RecordKind::Correction, subject: None, says: Map::new(), personal: Vec::new(), events }
}

/// An event of this vehicle; another vehicle's is not there.
fn of(conn: &mut Conn, shop: &Shop, vehicle: VehicleId, id: EventId) -> Result<EventRow, Error> {
    let row = vehicle_events::find(conn, shop, id)?;
    if row.vehicle == vehicle { Ok(row) } else { Err(db::Error::NotFound.into()) }
}

/// The fault of an event in whose place something stands already, or nothing.
fn still_counts(conn: &mut Conn, shop: &Shop, row: &EventRow) -> Result<Option<Fault>, Error> {
    let gone = vehicle_events::retracted(conn, shop, row.vehicle)?.contains(&row.event.id);
    let why = format!("{} no longer counts; correct what stands in its place", row.event.id);
    Ok(gone.then(|| Fault::new("", "already_retracted", why)))
}

/// An event retracted, and entered again of the same day with the same odometer.
fn anew(row: &EventRow, happened: Happened, reason: &str) -> [NewEvent; 2] {
    let (old, on) = (row.event.id, row.event.on);
    let mut new = NewEvent::new(on, happened);
    new.instead_of = Some(old);
    new.odometer = row.odometer.zip(row.event.km).map(|(odometer, km)| TakenOdometer {
        odometer,
        km,
        confirmed: false,
        replaced: false,
    });
    new.visit = row.visit;
    [NewEvent::new(on, Happened::Retract { event: old, reason: reason.to_owned() }), new]
}
