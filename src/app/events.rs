//! What happens to a vehicle besides visits: readings, repairs, breaches, sales (in `transfers`), the end, and corrections.

mod transfers;

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::assessments::{WarrantyAssessment, answers, cases};
use super::facts::{self, Entry, NewEvent, day_fault};
use super::odometer::{OdometerInput, OdometerView, take_odometer};
use super::{App, Error, Who, vehicles as vehicle_cases, wanted_text};
use crate::core::access::Action;
use crate::core::calendar::Day;
use crate::core::error::{Fault, all_clear};
use crate::core::ids::{EventId, VehicleId, VisitId};
use crate::core::json;
use crate::core::vehicle_events::Happened;
use crate::core::words::{EventKind, Panel, RecordKind, Surface};
use crate::db::vehicle_events::{self, EventRow};
use crate::db::{self, Tx, vehicles};

pub(crate) use self::transfers::transferred;
pub use self::transfers::{Told, TransferInput, transfer};

/// A reading of the odometer.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ReadingInput {
    /// The day; not after today.
    pub on: Day,
    /// What it showed.
    pub odometer: OdometerInput,
}

/// Something that happened to a vehicle; `kind` says what.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum EventInput {
    /// A panel was repaired or refinished.
    Repair(OnPanel),
    /// A repaired panel was coated again.
    Recoat(OnPanel),
    /// Something that the terms list as affecting cover.
    Breach(Breach),
    /// The vehicle left for good.
    Close(Close),
    /// An event was entered by mistake.
    Retract(Retract),
}

/// A panel on which something was done.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct OnPanel {
    /// The day; not after today.
    pub on: Day,
    /// On which surface.
    pub surface: Surface,
    /// Which panel.
    pub panel: Panel,
}

/// Something that the terms list as affecting cover.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Breach {
    /// The day; not after today.
    pub on: Day,
    /// The terms' key of it.
    pub key: String,
    /// Where; everywhere unless given.
    #[serde(default)]
    pub surfaces: Option<Vec<Surface>>,
}

/// The vehicle left for good.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Close {
    /// The day; not after today.
    pub on: Day,
    /// Why; 1–2,000 characters.
    #[schema(min_length = 1, max_length = 2000)]
    pub reason: String,
}

/// An event was entered by mistake.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Retract {
    /// The event that no longer counts.
    pub event: EventId,
    /// Why; 1–2,000 characters.
    #[schema(min_length = 1, max_length = 2000)]
    pub reason: String,
}

impl EventInput {
    /// Reads a body by its `kind`; told is the place of what does not have the described shape.
    ///
    /// ```
    /// use lustrum::app::events::EventInput;
    /// use serde_json::json;
    /// let close = json!({"kind": "close", "on": "2026-03-10", "reason": "Exported."});
    /// assert!(EventInput::read(close).is_ok());
    /// let fault = EventInput::read(json!({"kind": "close", "on": 10, "reason": "Exported."})).unwrap_err();
    /// assert_eq!(fault.pointer, "/on");
    /// ```
    pub fn read(mut body: Value) -> Result<Self, Fault> {
        const KINDS: &str = "repair, recoat, breach, close or retract";
        let kind = body.as_object_mut().and_then(|members| members.remove("kind"));
        match kind {
            None | Some(Value::Null) => Err(Fault::new("/kind", "missing", format!("`kind` is {KINDS}"))),
            Some(Value::String(kind)) => match kind.as_str() {
                "repair" => json::typed(body).map(Self::Repair),
                "recoat" => json::typed(body).map(Self::Recoat),
                "breach" => json::typed(body).map(Self::Breach),
                "close" => json::typed(body).map(Self::Close),
                "retract" => json::typed(body).map(Self::Retract),
                _ => Err(Fault::new("/kind", "unknown_word", format!("{kind:?} is not {KINDS}"))),
            },
            Some(_) => Err(Fault::new("/kind", "wrong_type", format!("`kind` is a text: {KINDS}"))),
        }
    }
}

/// What entering an event answers.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct EnteredEvent {
    /// The event.
    pub id: EventId,
    /// The verdict of each warranty of the vehicle, as of today.
    pub assessments: Vec<WarrantyAssessment>,
}

/// An event as it is answered later.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct EventView {
    /// The event.
    pub id: EventId,
    /// The vehicle; whoever asks has named it.
    #[serde(skip)]
    pub vehicle: VehicleId,
    /// The day on which it happened.
    pub on: NaiveDate,
    /// When it was entered.
    pub recorded: DateTime<Utc>,
    /// The odometer.
    pub odometer: Option<OdometerView>,
    /// Distance driven by then in km, summed over replaced odometers.
    pub km: Option<u32>,
    /// The visit on which it happened.
    pub visit_id: Option<VisitId>,
    /// The retracted event in whose place it stands.
    pub instead_of: Option<EventId>,
    /// Whether it was retracted since.
    pub retracted: bool,
    /// What happened; `kind` names it.
    #[serde(flatten)]
    #[schema(value_type = Object)]
    pub happened: Happened,
}

/// Events of a vehicle.
#[derive(Debug, Clone, Serialize, utoipa::ToSchema)]
pub struct EventList {
    /// In the order in which they were entered.
    pub items: Vec<EventView>,
    /// Always null: a vehicle's events come on one page.
    pub next: Option<String>,
}

/// The events of a vehicle in the order in which they were entered, of some kinds only if asked.
pub fn list(app: &App, who: &Who, id: VehicleId, kinds: &[EventKind]) -> Result<EventList, Error> {
    app.db.read(|c| {
        vehicles::find(c, &who.shop, id)?;
        let rows = vehicle_events::of_vehicle(c, &who.shop, id)?;
        let gone: Vec<EventId> = rows.iter().filter_map(|row| row.event.happened.retracts()).collect();
        let wanted = |row: &EventRow| kinds.is_empty() || kinds.contains(&row.event.happened.kind());
        let items = rows.into_iter().filter(wanted).map(|row| view(row, &gone)).collect();
        Ok(EventList { items, next: None })
    })
}

/// One event of a vehicle, if it is of this kind.
pub fn find(
    app: &App,
    who: &Who,
    vehicle: VehicleId,
    id: EventId,
    kind: EventKind,
) -> Result<EventView, Error> {
    app.db.read(|c| {
        let row = vehicle_events::find(c, &who.shop, id)?;
        if row.vehicle != vehicle || row.event.happened.kind() != kind {
            return Err(db::Error::NotFound.into());
        }
        let gone = vehicle_events::retracted(c, &who.shop, vehicle)?;
        Ok(view(row, &gone))
    })
}

fn view(row: EventRow, gone: &[EventId]) -> EventView {
    EventView {
        id: row.event.id,
        vehicle: row.vehicle,
        on: row.event.on,
        recorded: row.event.recorded,
        odometer: row.odometer.map(OdometerView::from),
        km: row.event.km,
        visit_id: row.visit,
        instead_of: row.event.instead_of,
        retracted: gone.contains(&row.event.id),
        happened: row.event.happened,
    }
}

/// Enters a reading of the odometer.
pub fn read_odometer(
    app: &App,
    who: &Who,
    id: VehicleId,
    input: ReadingInput,
) -> Result<EnteredEvent, Error> {
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| {
        let on = input.on.date();
        vehicle_events::lock(tx, &who.shop, id)?;
        let faults = day_fault("/on", on, who.day(now)).into_iter().collect();
        let taken = take_odometer(tx, &who.shop, id, on, input.odometer, &[], faults)?;
        let mut event = NewEvent::new(on, Happened::Reading {});
        event.odometer = Some(taken);
        let new = event.id;
        let entered = facts::enter(tx, &app_in, &who, id, Entry::of(RecordKind::Event, event))?;
        Ok(EnteredEvent { id: new, assessments: answers(&entered.cases, &who, now) })
    })
}

/// Enters what happened to a vehicle. Whoever enters the end of it or a correction works at the desk.
pub fn add(app: &App, who: &Who, id: VehicleId, input: EventInput) -> Result<EnteredEvent, Error> {
    match &input {
        EventInput::Close(_) => who.must(Action::CloseVehicle)?,
        EventInput::Retract(_) => who.must(Action::Retract)?,
        _ => who.must(Action::LogDamage)?,
    }
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| added(tx, &app_in, &who, id, input, now))
}

/// The same in the caller's transaction, which has looked whether they may.
pub(crate) fn added(
    tx: &mut Tx<'_>,
    app: &App,
    who: &Who,
    id: VehicleId,
    input: EventInput,
    now: DateTime<Utc>,
) -> Result<EnteredEvent, Error> {
    let (shop, today) = (who.shop, who.day(now));
    vehicle_events::lock(tx, &shop, id)?;
    let mut faults = Vec::new();
    let (on, kind, happened) = match input {
        EventInput::Repair(OnPanel { on, surface, panel }) => {
            (on.date(), RecordKind::Event, Happened::Repair { surface, panel })
        }
        EventInput::Recoat(OnPanel { on, surface, panel }) => {
            (on.date(), RecordKind::Event, Happened::Recoat { surface, panel })
        }
        EventInput::Breach(Breach { on, key, surfaces }) => {
            let listed: Vec<String> = cases(tx, &shop, id)?
                .iter()
                .flat_map(|case| case.terms.breaches.iter().map(|breach| breach.key.clone()))
                .collect();
            if !listed.contains(&key) {
                let detail =
                    format!("no terms of this vehicle list {key:?}; listed are {}", listed.join(", "));
                faults.push(Fault::new("/key", "unknown_breach", detail));
            }
            faults.extend(surfaces.iter().flat_map(|named| named_once("/surfaces", named)));
            (on.date(), RecordKind::Event, Happened::Breach { key, surfaces })
        }
        EventInput::Close(Close { on, reason }) => {
            faults.extend(wanted_text("/reason", &reason, 2_000));
            (on.date(), RecordKind::Event, Happened::Close { reason })
        }
        EventInput::Retract(Retract { event, reason }) => {
            faults.extend(wanted_text("/reason", &reason, 2_000));
            vehicles::take_back(tx, &shop, id, event)?;
            vehicle_cases::refresh_key(tx, &shop, id)?;
            (today, RecordKind::Retraction, Happened::Retract { event, reason })
        }
    };
    faults.extend(day_fault("/on", on, today));
    all_clear(faults)?;
    let event = NewEvent::new(on, happened);
    let new = event.id;
    let entered = facts::enter(tx, app, who, id, Entry::of(kind, event))?;
    Ok(EnteredEvent { id: new, assessments: answers(&entered.cases, who, now) })
}

/// What is wrong with a list of surfaces: none, or one twice.
fn named_once(pointer: &str, named: &[Surface]) -> Vec<Fault> {
    if named.is_empty() {
        return vec![Fault::new(pointer, "empty", "name at least one surface, or leave it out: everywhere")];
    }
    let twice = (1..named.len()).filter(|place| named[..*place].contains(&named[*place]));
    twice
        .map(|place| {
            let detail = format!("{} is named above already", named[place]);
            Fault::new(format!("{pointer}/{place}"), "surface_twice", detail)
        })
        .collect()
}
