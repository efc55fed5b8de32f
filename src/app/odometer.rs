//! Odometer readings: taken when they can be, asked back when they cannot.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use serde_json::{Map, json};

use super::Error;
use crate::core::error::Error as Rule;
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

/// Takes a reading of `on`, compared with what is known of the vehicle; asked in the transaction that enters it, with
/// the vehicle locked. `pointer` is where it stands in the body.
///
/// Lower than before, or over 2,000 km a day: 422 `odometer_implausible` with the `previous` reading, unless it is
/// confirmed or of a replaced odometer. `gone` are events that no longer count by the time this one is entered.
pub(crate) fn take_odometer(
    conn: &mut Conn,
    shop: &Shop,
    vehicle: VehicleId,
    on: NaiveDate,
    input: OdometerInput,
    pointer: &str,
    gone: &[EventId],
) -> Result<TakenOdometer, Error> {
    let odometer =
        Odometer::new(input.value, input.unit).map_err(|fault| Rule::rules(vec![fault.within(pointer)]))?;
    let events = vehicle_events::of_vehicle(conn, shop, vehicle)?;
    let known = readings(&events, gone);
    let before = known.iter().rev().find(|reading| reading.on <= on);
    let after = known.iter().find(|reading| reading.on > on);
    let entered = Entered { odometer, confirmed: input.confirmed, replaced: input.replaced };
    let km = take(on, entered, before, after).map_err(|refused| {
        let previous = json!({
            "on": refused.previous.on,
            "odometer": OdometerView::from(refused.previous.odometer),
        });
        let detail = refused.detail.clone();
        let mut fault: crate::core::error::Fault = refused.into();
        pointer.clone_into(&mut fault.pointer);
        Rule::Refused {
            code: "odometer_implausible",
            detail,
            faults: vec![fault],
            more: Map::from_iter([("previous".to_owned(), previous)]),
        }
    })?;
    Ok(TakenOdometer { odometer, km, confirmed: input.confirmed, replaced: input.replaced })
}

/// The readings that count, by day, on one day in the order of entry.
fn readings(events: &[EventRow], gone: &[EventId]) -> Vec<Known> {
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
