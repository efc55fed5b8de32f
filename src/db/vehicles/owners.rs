//! Who had a vehicle when, in a shop's view.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use diesel::prelude::*;

use super::touch;
use crate::core::ids::{CustomerId, EventId, OwnershipId, VehicleId};
use crate::db::error::Error;
use crate::db::schema::ownerships;
use crate::db::scope::Shop;
use crate::db::types::Uid;
use crate::db::{Conn, Tx, agenda};

/// An interval in which a customer has a vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OwnershipRow {
    /// The interval.
    pub id: OwnershipId,
    /// Who has it.
    pub customer: CustomerId,
    /// From this day on.
    pub from: NaiveDate,
    /// Until this day; none: still.
    pub until: Option<NaiveDate>,
}

/// Whoever had the vehicle gives it up, and `customer` has it from a day on.
pub fn give(
    tx: &mut Tx<'_>,
    scope: &Shop,
    id: OwnershipId,
    vehicle: VehicleId,
    customer: CustomerId,
    from: NaiveDate,
    event: Option<EventId>,
) -> Result<(), Error> {
    diesel::update(
        ownerships::table
            .filter(ownerships::shop_id.eq(Uid::of(scope.id())))
            .filter(ownerships::vehicle_id.eq(Uid::of(vehicle)))
            .filter(ownerships::until_on.is_null()),
    )
    .set(ownerships::until_on.eq(Some(from)))
    .execute(tx.multi())?;
    diesel::insert_into(ownerships::table)
        .values((
            ownerships::id.eq(Uid::of(id)),
            ownerships::shop_id.eq(Uid::of(scope.id())),
            ownerships::vehicle_id.eq(Uid::of(vehicle)),
            ownerships::customer_id.eq(Uid::of(customer)),
            ownerships::from_on.eq(from),
            ownerships::event_id.eq(event.map(Uid::of)),
        ))
        .execute(tx.multi())?;
    agenda::plan_vehicles(tx, scope, &[vehicle])?;
    touch(tx, scope, vehicle)
}

/// Takes back what an event gave: who had the vehicle before has it again.
pub fn take_back(tx: &mut Tx<'_>, scope: &Shop, vehicle: VehicleId, event: EventId) -> Result<(), Error> {
    let given = ownerships::table
        .filter(ownerships::shop_id.eq(Uid::of(scope.id())))
        .filter(ownerships::event_id.eq(Some(Uid::of(event))))
        .select((ownerships::id, ownerships::from_on, ownerships::until_on))
        .first::<(Uid, NaiveDate, Option<NaiveDate>)>(tx.multi())
        .optional()?;
    let Some((id, from, until)) = given else { return Ok(()) };
    diesel::delete(ownerships::table.find(id)).execute(tx.multi())?;
    let before = owners(tx, scope, vehicle)?.into_iter().rfind(|row| row.until == Some(from));
    if let Some(before) = before {
        diesel::update(ownerships::table.find(Uid::of(before.id)))
            .set(ownerships::until_on.eq(until))
            .execute(tx.multi())?;
    }
    touch(tx, scope, vehicle)
}

/// An ownership that a sale began stands by the event that took the sale's place.
pub fn sold_by(tx: &mut Tx<'_>, scope: &Shop, old: EventId, new: EventId) -> Result<(), Error> {
    diesel::update(ownerships::table)
        .filter(ownerships::shop_id.eq(Uid::of(scope.id())))
        .filter(ownerships::event_id.eq(Some(Uid::of(old))))
        .set(ownerships::event_id.eq(Some(Uid::of(new))))
        .execute(tx.multi())?;
    Ok(())
}

/// Who had the vehicle when, in the order in which it was entered.
pub fn owners(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Vec<OwnershipRow>, Error> {
    let rows = ownerships::table
        .filter(ownerships::shop_id.eq(Uid::of(scope.id())))
        .filter(ownerships::vehicle_id.eq(Uid::of(vehicle)))
        .order(ownerships::id)
        .select((ownerships::id, ownerships::customer_id, ownerships::from_on, ownerships::until_on))
        .load::<(Uid, Uid, NaiveDate, Option<NaiveDate>)>(conn.multi())?;
    let row = |(id, customer, from, until): (Uid, Uid, NaiveDate, Option<NaiveDate>)| OwnershipRow {
        id: id.id(),
        customer: customer.id(),
        from,
        until,
    };
    Ok(rows.into_iter().map(row).collect())
}

/// The vehicles that a customer has now.
pub fn of_customer(conn: &mut Conn, scope: &Shop, customer: CustomerId) -> Result<Vec<VehicleId>, Error> {
    let ids = ownerships::table
        .filter(ownerships::shop_id.eq(Uid::of(scope.id())))
        .filter(ownerships::customer_id.eq(Uid::of(customer)))
        .filter(ownerships::until_on.is_null())
        .order(ownerships::id)
        .select(ownerships::vehicle_id)
        .load::<Uid>(conn.multi())?;
    Ok(ids.into_iter().map(Uid::id).collect())
}

/// Who has which of these vehicles now.
pub fn owners_now(
    conn: &mut Conn,
    scope: &Shop,
    ids: impl Iterator<Item = VehicleId>,
) -> Result<BTreeMap<VehicleId, CustomerId>, Error> {
    let rows = ownerships::table
        .filter(ownerships::shop_id.eq(Uid::of(scope.id())))
        .filter(ownerships::vehicle_id.eq_any(ids.map(Uid::of)))
        .filter(ownerships::until_on.is_null())
        .order(ownerships::id)
        .select((ownerships::vehicle_id, ownerships::customer_id))
        .load::<(Uid, Uid)>(conn.multi())?;
    Ok(rows.into_iter().map(|(vehicle, customer)| (vehicle.id(), customer.id())).collect())
}

/// Who has the vehicle now, and since when.
pub fn owned(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Option<OwnershipRow>, Error> {
    Ok(owners(conn, scope, vehicle)?.into_iter().rfind(|row| row.until.is_none()))
}

/// Who has the vehicle now.
pub fn owner(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Option<CustomerId>, Error> {
    Ok(owned(conn, scope, vehicle)?.map(|row| row.customer))
}
