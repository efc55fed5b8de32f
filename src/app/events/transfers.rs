//! Sales of vehicles.

use chrono::{DateTime, Utc};
use serde::Deserialize;
use serde_json::{Map, Value};

use super::EnteredEvent;
use crate::app::assessments::answers;
use crate::app::customers::CustomerInput;
use crate::app::facts::{self, Entry, NewEvent, day_fault};
use crate::app::{App, Error, Who, new_id, notices, shops, vehicles as vehicle_cases};
use crate::core::calendar::Day;
use crate::core::error::{Error as Rule, Fault, all_clear};
use crate::core::ids::{CustomerId, VehicleId};
use crate::core::json;
use crate::core::vehicle_events::Happened;
use crate::core::words::{CustomerKind, RecordKind};
use crate::db::{self, Tx, customers, vehicle_events, vehicles};

/// A sale.
#[derive(Debug, Clone, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TransferInput {
    /// The day; not after today.
    pub on: Day,
    /// When the shop was told: today unless given; null: it was not told.
    #[serde(default)]
    #[schema(value_type = Option<Day>)]
    pub told: Told,
    /// The new owner, if known.
    #[serde(default)]
    pub customer_id: Option<CustomerId>,
    /// Or the new owner as a new customer.
    #[serde(default)]
    pub customer: Option<CustomerInput>,
}

/// When the shop was told of a sale. Here a null says something: it was not told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Told {
    /// Today.
    #[default]
    Today,
    /// On a day.
    On(Day),
    /// Not.
    NotTold,
}

impl<'de> Deserialize<'de> for Told {
    fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        Day::deserialize(from).map(Self::On)
    }
}

impl TransferInput {
    /// Reads a body: everywhere else a null is as absent, as `told` it says that the shop was not told.
    pub fn read(body: Value) -> Result<Self, Fault> {
        let not_told = body.get("told").is_some_and(Value::is_null);
        let mut input: Self = json::typed(body)?;
        if not_told {
            input.told = Told::NotTold;
        }
        Ok(input)
    }
}

/// Enters a sale. Out of a dealer's stock it is the first owner's handover, and no transfer of the terms.
pub fn transfer(app: &App, who: &Who, id: VehicleId, input: TransferInput) -> Result<EnteredEvent, Error> {
    let (app_in, who, now) = (app.clone(), who.clone(), app.now());
    app.db.write(move |tx| transferred(tx, &app_in, &who, id, input, now))
}

/// The same in the caller's transaction.
pub(crate) fn transferred(
    tx: &mut Tx<'_>,
    app: &App,
    who: &Who,
    id: VehicleId,
    input: TransferInput,
    now: DateTime<Utc>,
) -> Result<EnteredEvent, Error> {
    let (shop, today, on) = (who.shop, who.day(now), input.on.date());
    vehicle_events::lock(tx, &shop, id)?;
    let mut faults: Vec<Fault> = day_fault("/on", on, today).into_iter().collect();
    let told = match input.told {
        Told::Today => Some(today),
        Told::On(day) => Some(day.date()),
        Told::NotTold => None,
    };
    faults.extend(told.and_then(|told| day_fault("/told", told, today)));
    if let Some(customer) = &input.customer {
        faults.extend(customer.faults().into_iter().map(|fault| fault.within("/customer")));
    }
    let customer = match (input.customer_id, &input.customer) {
        (Some(_), Some(_)) | (None, None) => {
            faults.push(Fault::new("/customer_id", "one_of", "one of customer_id and customer is needed"));
            None
        }
        (Some(known), None) => match customers::find(tx, &shop, known) {
            Err(db::Error::NotFound) => {
                let detail = format!("{known} is no customer of your shop");
                faults.push(Fault::new("/customer_id", "unknown_customer", detail));
                None
            }
            other => Some(other?.id),
        },
        (None, Some(_)) => Some(new_id()),
    };
    all_clear(faults)?;
    let Some(customer) = customer else { return Err(Rule::NotFound.into()) };
    if let Some(new) = input.customer {
        let settings = shops::settings(tx, app, &shop)?;
        customers::add(tx, &shop, &new.row(customer, &settings, now, 1))?;
    }
    let before = vehicles::owner_on(tx, &shop, id, on)?;
    let from_stock = match before {
        Some(before) => customers::find(tx, &shop, before)?.kind == CustomerKind::Stock,
        None => false,
    };
    let event = if from_stock {
        NewEvent::new(on, Happened::Reading {})
    } else {
        NewEvent::new(on, Happened::Transfer { told, customer })
    };
    let new = event.id;
    let mut entry = Entry::of(RecordKind::Transfer, event);
    entry.says = Map::from_iter([
        ("from".to_owned(), serde_json::json!(before)),
        ("to".to_owned(), serde_json::json!(customer)),
        ("out_of_stock".to_owned(), Value::Bool(from_stock)),
    ]);
    let entered = facts::enter(tx, app, who, id, entry)?;
    vehicle_cases::new_owner(tx, who, id, customer, on, new)?;
    if !from_stock {
        notices::changed(tx, app, &shop, id, &entered, now)?;
    }
    Ok(EnteredEvent { id: new, assessments: answers(&entered.cases, who, now) })
}
