//! Odometer readings: taken when they can be, asked back when they cannot.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use serde_json::{Map, json};

use super::Error;
use super::facts::NewEvent;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{EventId, VehicleId};
use crate::core::odometer::{Entered, Known, Odometer, take};
use crate::core::vehicle_events::Happened;
use crate::core::words::OdometerUnit;
use crate::db::vehicle_events::{self, EventRow};
use crate::db::{Conn, Shop};

/// A reading as it is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct OdometerInput {
    /// What the odometer shows; whole.
    #[schema(maximum = 10_000_000)]
    pub value: u32,
    /// In which unit.
    pub unit: OdometerUnit,
    /// Looked at again: it is taken although it does not go with the others.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub confirmed: bool,
    /// It is another odometer than the last time, which began at nought.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub replaced: bool,
}

/// A reading as it is answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct OdometerView {
    /// What the odometer showed.
    pub value: u32,
    /// In which unit.
    pub unit: OdometerUnit,
}

impl From<Odometer> for OdometerView {
    fn from(read: Odometer) -> Self {
        Self { value: read.value(), unit: read.unit() }
    }
}

/// A reading that was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct TakenOdometer {
    /// As it was read.
    pub odometer: Odometer,
    /// Distance driven in km, summed over replaced odometers.
    pub km: u32,
    /// Taken although it does not go with the others.
    pub confirmed: bool,
    /// Of another odometer than the one before.
    pub replaced: bool,
}

/// Takes the reading at `/odometer` of a body, of `on`, compared with what is known of the vehicle; asked in the
/// transaction that enters it, with the vehicle locked.
///
/// Lower than before, or over 2,000 km a day: 422 `odometer_implausible` with the `previous` reading, unless it is
/// confirmed or of a replaced odometer. `gone` are events that no longer count by the time this one is entered;
/// `faults` is what else is wrong with the body, so that all of it is told at once.
pub(crate) fn take_odometer(
    conn: &mut Conn,
    shop: &Shop,
    vehicle: VehicleId,
    on: NaiveDate,
    input: OdometerInput,
    gone: &[EventId],
    mut faults: Vec<Fault>,
) -> Result<TakenOdometer, Error> {
    let odometer = match Odometer::new(input.value, input.unit) {
        Ok(odometer) => odometer,
        Err(fault) => {
            faults.push(fault.within("/odometer"));
            return Err(Rule::rules(faults).into());
        }
    };
    // Nothing can be compared with the reading of a day that cannot be.
    if faults.iter().any(|fault| fault.is_within("/on")) {
        return Err(Rule::rules(faults).into());
    }
    let events = vehicle_events::of_vehicle(conn, shop, vehicle)?;
    let known = readings(&events, gone);
    let before = known.iter().rev().find(|reading| reading.on <= on);
    let after = known.iter().find(|reading| reading.on > on);
    let entered = Entered { odometer, confirmed: input.confirmed, replaced: input.replaced };
    match take(on, entered, before, after) {
        Ok(km) => {
            all_clear(faults)?;
            Ok(TakenOdometer { odometer, km, confirmed: input.confirmed, replaced: input.replaced })
        }
        Err(refused) => {
            let previous = json!({
                "on": refused.previous.on,
                "odometer": OdometerView::from(refused.previous.odometer),
            });
            let detail = refused.detail.clone();
            faults.push(Fault::from(refused).within("/odometer"));
            Err(Rule::Refused {
                code: "odometer_implausible",
                detail,
                faults,
                more: Map::from_iter([("previous".to_owned(), previous)]),
            }
            .into())
        }
    }
}

/// A reading that was entered anew.
pub(crate) struct ReadAnew {
    /// What was read now.
    pub(crate) taken: TakenOdometer,
    /// The event of it.
    pub(crate) reading: EventId,
    /// What is to be entered.
    pub(crate) events: Vec<NewEvent>,
}

/// Enters anew a reading that was entered wrong: the old one is retracted, the new one stands in its place and of its
/// day, for this reason. Where there is no old one, it is a reading of `today`.
pub(crate) fn read_anew(
    conn: &mut Conn,
    shop: &Shop,
    vehicle: VehicleId,
    wrong: Option<(EventId, &str)>,
    today: NaiveDate,
    input: OdometerInput,
    faults: Vec<Fault>,
) -> Result<ReadAnew, Error> {
    let old = wrong.map(|(old, _)| old);
    let earlier = vehicle_events::of_vehicle(conn, shop, vehicle)?;
    let before = earlier.iter().find(|row| Some(row.event.id) == old);
    let on = before.map_or(today, |row| row.event.on);
    let taken = take_odometer(conn, shop, vehicle, on, input, old.as_slice(), faults)?;
    let mut events = Vec::new();
    let counts = |old: EventId| earlier.iter().all(|row| row.event.happened.retracts() != Some(old));
    if let Some((old, why)) = wrong.filter(|(old, _)| counts(*old)) {
        events.push(NewEvent::new(on, Happened::Retract { event: old, reason: why.to_owned() }));
    }
    let mut reading = NewEvent::new(on, Happened::Reading {});
    reading.odometer = Some(taken);
    reading.instead_of = old;
    let id = reading.id;
    events.push(reading);
    Ok(ReadAnew { taken, reading: id, events })
}

/// The distance driven by a day, as far as it was read after `since`: summed over replaced odometers, in km.
pub(crate) fn km_known(
    conn: &mut Conn,
    shop: &Shop,
    vehicle: VehicleId,
    since: NaiveDate,
    by: NaiveDate,
) -> Result<Option<u32>, Error> {
    let events = vehicle_events::of_vehicle(conn, shop, vehicle)?;
    let known = readings(&events, &[]);
    Ok(known.iter().rev().find(|reading| reading.on > since && reading.on <= by).map(|reading| reading.km))
}

/// The readings that count, by day, on one day in the order of entry.
pub(crate) fn readings(events: &[EventRow], gone: &[EventId]) -> Vec<Known> {
    let retracted: Vec<EventId> = events.iter().filter_map(|row| row.event.happened.retracts()).collect();
    let mut known: Vec<Known> = events
        .iter()
        .filter(|row| !matches!(row.event.happened, Happened::Retract { .. }))
        .filter(|row| !retracted.contains(&row.event.id) && !gone.contains(&row.event.id))
        .filter_map(|row| Some(Known { on: row.event.on, odometer: row.odometer?, km: row.event.km? }))
        .collect();
    known.sort_by_key(|reading| reading.on);
    known
}
