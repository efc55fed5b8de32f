//! Who had a vehicle when, in a shop's view.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use diesel::prelude::*;

use super::many::{Held, held};
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

/// Who had the vehicle when, the first first. Whoever it was added with had it before any sale, whatever day it was added on.
fn chain(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Vec<Held>, Error> {
    let mut chain = held(conn, scope, &[vehicle])?.remove(&vehicle).unwrap_or_default();
    let first = chain.iter().filter(|held| held.sale.is_none()).map(|held| held.row.id).min();
    chain.sort_by_key(|held| Some(held.row.id) != first);
    Ok(chain)
}

/// Whose a sale of a day makes the vehicle no more, and from when on it is the next known buyer's; a sale of the same day
/// that was entered before came before.
fn given_up(chain: &[Held], on: NaiveDate) -> (Option<OwnershipRow>, Option<NaiveDate>) {
    let until =
        chain.iter().filter(|held| held.sale.is_some()).map(|held| held.row.from).find(|from| *from > on);
    (chain.iter().rfind(|held| held.row.until == until).map(|held| held.row), until)
}

/// Who had the vehicle on a day, before anything that is entered now: from whom it is sold.
pub fn owner_on(
    conn: &mut Conn,
    scope: &Shop,
    vehicle: VehicleId,
    on: NaiveDate,
) -> Result<Option<CustomerId>, Error> {
    Ok(given_up(&chain(conn, scope, vehicle)?, on).0.map(|row| row.customer))
}

fn ends(tx: &mut Tx<'_>, id: OwnershipId, until: Option<NaiveDate>) -> Result<(), Error> {
    let row = diesel::update(ownerships::table.find(Uid::of(id)));
    row.set(ownerships::until_on.eq(until)).execute(tx.multi())?;
    Ok(())
}

/// Whoever had the vehicle on a day gives it up, and `customer` has it from then on: until the next sale that is known, a
/// sale that is entered late does not take it from whoever bought it later.
pub fn give(
    tx: &mut Tx<'_>,
    scope: &Shop,
    id: OwnershipId,
    vehicle: VehicleId,
    customer: CustomerId,
    from: NaiveDate,
    event: Option<EventId>,
) -> Result<(), Error> {
    let (before, until) = given_up(&chain(tx, scope, vehicle)?, from);
    if let Some(before) = before {
        ends(tx, before.id, Some(from))?;
    }
    diesel::insert_into(ownerships::table)
        .values((
            ownerships::id.eq(Uid::of(id)),
            ownerships::shop_id.eq(Uid::of(scope.id())),
            ownerships::vehicle_id.eq(Uid::of(vehicle)),
            ownerships::customer_id.eq(Uid::of(customer)),
            ownerships::from_on.eq(from),
            ownerships::until_on.eq(until),
            ownerships::event_id.eq(event.map(Uid::of)),
        ))
        .execute(tx.multi())?;
    agenda::plan_vehicles(tx, scope, &[vehicle])?;
    touch(tx, scope, vehicle)
}

/// Takes back what an event gave: who had the vehicle before has it again.
pub fn take_back(tx: &mut Tx<'_>, scope: &Shop, vehicle: VehicleId, event: EventId) -> Result<(), Error> {
    let mut chain = chain(tx, scope, vehicle)?;
    let Some(place) = chain.iter().position(|held| held.sale == Some(event)) else { return Ok(()) };
    let given = chain.remove(place).row;
    diesel::delete(ownerships::table.find(Uid::of(given.id))).execute(tx.multi())?;
    if let Some(before) = chain.iter().rfind(|held| held.row.until == Some(given.from)) {
        ends(tx, before.row.id, given.until)?;
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

/// Who had the vehicle when, the first first.
pub fn owners(conn: &mut Conn, scope: &Shop, vehicle: VehicleId) -> Result<Vec<OwnershipRow>, Error> {
    Ok(chain(conn, scope, vehicle)?.into_iter().map(|held| held.row).collect())
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
