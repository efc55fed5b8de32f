//! Vehicles, and what each is found by, many in a statement.

use std::collections::HashMap;

use chrono::NaiveDate;
use diesel::prelude::*;

use super::{DoorCode, OwnershipRow, Row, VehicleRow, seen};
use crate::core::ids::{CustomerId, EventId, OwnershipId, VehicleId};
use crate::core::words::OdometerUnit;
use crate::db::backend::{AT_A_TIME, both, insert_all};
use crate::db::error::Error;
use crate::db::schema::{ownerships, shop_vehicles, vehicles};
use crate::db::scope::{Installation, Shop};
use crate::db::types::{Uid, Word};
use crate::db::{Conn, Tx};

/// The vehicles with these VINs, whoever sees them, made where there are none: of each VIN the identity. `new` has for
/// each the id that it gets if it is made.
pub fn identify(
    tx: &mut Tx<'_>,
    _: &Installation,
    new: &[(Option<String>, VehicleId)],
) -> Result<Vec<VehicleId>, Error> {
    let mut found = HashMap::new();
    for some in new.chunks(AT_A_TIME) {
        let rows: Vec<_> = some
            .iter()
            .map(|(vin, id)| (vehicles::id.eq(Uid::of(*id)), vehicles::vin.eq(vin.clone())))
            .collect();
        both!(tx, c => diesel::insert_into(vehicles::table).values(rows).on_conflict_do_nothing().execute(c))?;
        let vins: Vec<String> = some.iter().filter_map(|(vin, _)| vin.clone()).collect();
        let known = vehicles::table.filter(vehicles::vin.eq_any(vins)).select((vehicles::vin, vehicles::id));
        found.extend(known.load::<(Option<String>, Uid)>(tx.multi())?);
    }
    let id = |(vin, new): &(Option<String>, VehicleId)| match vin {
        None => *new,
        Some(_) => found.get(vin).map_or(*new, |id| id.id()),
    };
    Ok(new.iter().map(id).collect())
}

/// Adds the shop's views of vehicles, each with what stands in the link on its label, and who has them: vehicle,
/// customer and first day.
pub fn add(
    tx: &mut Tx<'_>,
    scope: &Shop,
    rows: &[(VehicleRow, DoorCode)],
    owned: &[(OwnershipId, VehicleId, CustomerId, NaiveDate)],
) -> Result<(), Error> {
    let shop = Uid::of(scope.id());
    let views =
        rows.iter().map(|(row, door)| (Row::of(scope, row), shop_vehicles::door_code.eq(door.to_vec())));
    insert_all!(tx, shop_vehicles::table, views)?;
    let owned = owned.iter().map(|(id, vehicle, customer, from)| {
        (
            ownerships::id.eq(Uid::of(*id)),
            ownerships::shop_id.eq(shop),
            ownerships::vehicle_id.eq(Uid::of(*vehicle)),
            ownerships::customer_id.eq(Uid::of(*customer)),
            ownerships::from_on.eq(*from),
        )
    });
    insert_all!(tx, ownerships::table, owned)
}

/// These vehicles, as the shop sees them.
pub fn of(conn: &mut Conn, scope: &Shop, of: &[VehicleId]) -> Result<Vec<VehicleRow>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    let rows = shop_vehicles::table
        .inner_join(vehicles::table.on(vehicles::id.eq(shop_vehicles::vehicle_id)))
        .filter(shop_vehicles::shop_id.eq(Uid::of(scope.id())))
        .filter(shop_vehicles::vehicle_id.eq_any(ids))
        .select((Row::as_select(), vehicles::vin))
        .load::<(Row, Option<String>)>(conn.multi())?;
    Ok(rows.into_iter().map(seen).collect())
}

/// Who has each of these vehicles now, and since when.
pub fn owners(
    conn: &mut Conn,
    scope: &Shop,
    of: &[VehicleId],
) -> Result<HashMap<VehicleId, (CustomerId, NaiveDate)>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    let rows = ownerships::table
        .filter(ownerships::shop_id.eq(Uid::of(scope.id())))
        .filter(ownerships::vehicle_id.eq_any(ids))
        .filter(ownerships::until_on.is_null())
        .order(ownerships::id)
        .select((ownerships::vehicle_id, ownerships::customer_id, ownerships::from_on))
        .load::<(Uid, Uid, NaiveDate)>(conn.multi())?;
    Ok(rows.into_iter().map(|(id, customer, from)| (id.id(), (customer.id(), from))).collect())
}

/// An interval in which a customer has a vehicle, and the sale that it began with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Held {
    /// The interval.
    pub row: OwnershipRow,
    /// The event of the sale.
    pub sale: Option<EventId>,
}

/// Who had each of these vehicles when, in the order of the days from which they had it.
pub fn held(conn: &mut Conn, scope: &Shop, of: &[VehicleId]) -> Result<HashMap<VehicleId, Vec<Held>>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    let rows = ownerships::table
        .filter(ownerships::shop_id.eq(Uid::of(scope.id())))
        .filter(ownerships::vehicle_id.eq_any(ids))
        .order((ownerships::vehicle_id, ownerships::from_on, ownerships::id))
        .select((
            ownerships::vehicle_id,
            ownerships::id,
            ownerships::customer_id,
            ownerships::from_on,
            ownerships::until_on,
            ownerships::event_id,
        ))
        .load::<(Uid, Uid, Uid, NaiveDate, Option<NaiveDate>, Option<Uid>)>(conn.multi())?;
    let mut held: HashMap<VehicleId, Vec<Held>> = HashMap::new();
    for (vehicle, id, customer, from, until, sale) in rows {
        let row = OwnershipRow { id: id.id(), customer: customer.id(), from, until };
        held.entry(vehicle.id()).or_default().push(Held { row, sale: sale.map(Uid::id) });
    }
    Ok(held)
}

/// Puts down who had a vehicle when: intervals that were there as they are now, and new ones.
pub fn hold(tx: &mut Tx<'_>, scope: &Shop, vehicle: VehicleId, rows: &[Held]) -> Result<(), Error> {
    let shop = Uid::of(scope.id());
    for Held { row, sale } in rows {
        let (from, until) = (ownerships::from_on.eq(row.from), ownerships::until_on.eq(row.until));
        let sale = ownerships::event_id.eq(sale.map(Uid::of));
        let known = ownerships::table.find(Uid::of(row.id)).filter(ownerships::shop_id.eq(shop));
        if diesel::update(known).set((from, until, sale)).execute(tx.multi())? > 0 {
            continue;
        }
        diesel::insert_into(ownerships::table)
            .values((
                ownerships::id.eq(Uid::of(row.id)),
                ownerships::shop_id.eq(shop),
                ownerships::vehicle_id.eq(Uid::of(vehicle)),
                ownerships::customer_id.eq(Uid::of(row.customer)),
                from,
                until,
                sale,
            ))
            .execute(tx.multi())?;
    }
    super::touch(tx, scope, vehicle)
}

/// What a vehicle is found by, and how its odometer is read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// The vehicle.
    pub id: VehicleId,
    /// Its identification number.
    pub vin: Option<String>,
    /// Number plate as compared.
    pub plate_key: Option<String>,
    /// What its odometer shows.
    pub odometer_unit: OdometerUnit,
    /// Who has it now.
    pub owner: Option<CustomerId>,
}

/// What each of the shop's vehicles is found by.
pub fn names(conn: &mut Conn, scope: &Shop) -> Result<Vec<Named>, Error> {
    let shop = Uid::of(scope.id());
    let owners: HashMap<Uid, Uid> = ownerships::table
        .filter(ownerships::shop_id.eq(shop))
        .filter(ownerships::until_on.is_null())
        .order(ownerships::id)
        .select((ownerships::vehicle_id, ownerships::customer_id))
        .load::<(Uid, Uid)>(conn.multi())?
        .into_iter()
        .collect();
    let rows = shop_vehicles::table
        .inner_join(vehicles::table.on(vehicles::id.eq(shop_vehicles::vehicle_id)))
        .filter(shop_vehicles::shop_id.eq(shop))
        .select((vehicles::id, vehicles::vin, shop_vehicles::plate_key, shop_vehicles::odometer_unit))
        .load::<(Uid, Option<String>, Option<String>, Word<OdometerUnit>)>(conn.multi())?;
    let named = |(id, vin, plate_key, unit): (Uid, _, _, Word<OdometerUnit>)| Named {
        owner: owners.get(&id).map(|owner| owner.id()),
        id: id.id(),
        vin,
        plate_key,
        odometer_unit: unit.0,
    };
    Ok(rows.into_iter().map(named).collect())
}
