//! Vehicles, and what each is found by, many in a statement.

use std::collections::HashMap;

use chrono::NaiveDate;
use diesel::prelude::*;
use diesel::sql_types::{Array, Date, Nullable, Text};
use uuid::Uuid;

use super::{DoorCode, OwnershipRow, Row, VehicleRow, seen};
use crate::core::ids::{CustomerId, EventId, OwnershipId, VehicleId};
use crate::core::words::OdometerUnit;
use crate::db::backend::{AT_A_TIME, both, insert_all};
use crate::db::error::Error;
use crate::db::schema::{jobs, ownerships, shop_vehicles, vehicles, warranties};
use crate::db::scope::{Installation, Shop, of_shop};
use crate::db::types::{Json, Uid, Word, sql};
use crate::db::{Conn, Tx, agenda};

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

/// That a customer has a vehicle from a day on.
pub type Owned = (OwnershipId, VehicleId, CustomerId, NaiveDate);

/// Adds the shop's views of vehicles, each with what stands in the link on its label, and who has them.
pub fn add(
    tx: &mut Tx<'_>,
    scope: &Shop,
    rows: &[(VehicleRow, DoorCode)],
    owned: &[Owned],
) -> Result<(), Error> {
    for some in rows.chunks(AT_A_TIME) {
        let view = |(row, door): &(VehicleRow, DoorCode)| {
            (Row::of(scope, row), shop_vehicles::door_code.eq(door.to_vec()))
        };
        let views: Vec<_> = some.iter().map(view).collect();
        both!(tx, c => diesel::insert_into(shop_vehicles::table).values(views).execute(c))?;
    }
    own(tx, scope, owned)
}

/// Gives vehicles that nobody has to customers, each from a day on.
pub fn give(tx: &mut Tx<'_>, scope: &Shop, given: &[Owned]) -> Result<(), Error> {
    own(tx, scope, given)?;
    let vehicles: Vec<VehicleId> = given.iter().map(|(_, vehicle, _, _)| *vehicle).collect();
    agenda::plan_vehicles(tx, scope, &vehicles)?;
    touch(tx, scope, &vehicles)
}

fn own(tx: &mut Tx<'_>, scope: &Shop, owned: &[Owned]) -> Result<(), Error> {
    let shop = Uid::of(scope.id());
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

/// The numbers of these vehicles' jobs and warranties, of each vehicle in the order in which they were given.
pub fn numbers(
    conn: &mut Conn,
    scope: &Shop,
    of: &[VehicleId],
) -> Result<HashMap<VehicleId, Vec<String>>, Error> {
    let ids: Vec<Uid> = of.iter().map(|id| Uid::of(*id)).collect();
    let mut rows = jobs::table
        .filter(jobs::vehicle_id.eq_any(ids.clone()))
        .filter(of_shop!(jobs::shop_id, scope))
        .order(jobs::id)
        .select((jobs::vehicle_id, jobs::number))
        .load::<(Uid, String)>(conn.multi())?;
    let of_warranties = warranties::table
        .filter(warranties::vehicle_id.eq_any(ids))
        .filter(of_shop!(warranties::shop_id, scope))
        .order(warranties::id)
        .select((warranties::vehicle_id, warranties::number));
    rows.extend(of_warranties.load::<(Uid, String)>(conn.multi())?);
    let mut numbers: HashMap<VehicleId, Vec<String>> = HashMap::new();
    for (vehicle, number) in rows {
        numbers.entry(vehicle.id()).or_default().push(number);
    }
    Ok(numbers)
}

/// What the shop's views of vehicles are searched by.
pub fn set_keys(tx: &mut Tx<'_>, scope: &Shop, keys: &[(VehicleId, String)]) -> Result<(), Error> {
    if keys.is_empty() {
        return Ok(());
    }
    let shop = Uid::of(scope.id());
    tx.by_either(
        // Many in a statement: each one that can fail has the index of what is searched written out before it begins.
        |sqlite| {
            let new = |(id, key): &(VehicleId, String)| (Uuid::from(*id).simple().to_string(), key.clone());
            let new: Vec<(String, String)> = keys.iter().map(new).collect();
            // Of SQLite, parameters count in the order in which they stand; and without the list of ids it would read all of
            // the shop's vehicles for each that is new.
            let sql = "WITH new (id, key) AS MATERIALIZED \
                       (SELECT unhex(value ->> 0), value ->> 1 FROM json_each($1)) \
                       UPDATE shop_vehicles SET search_key = new.key FROM new \
                       WHERE shop_id = $2 AND vehicle_id IN (SELECT id FROM new) AND vehicle_id = new.id";
            let update = diesel::sql_query(sql).bind::<Text, _>(Json(new));
            update.bind::<sql::Uid, _>(shop).execute(sqlite).map(drop)
        },
        |postgres| {
            let (ids, keys): (Vec<Uid>, Vec<&str>) =
                keys.iter().map(|(id, key)| (Uid::of(*id), key.as_str())).unzip();
            let sql = "UPDATE shop_vehicles SET search_key = new.key FROM unnest($2, $3) AS new (id, key) \
                       WHERE shop_id = $1 AND vehicle_id = new.id";
            let update = diesel::sql_query(sql).bind::<sql::Uid, _>(shop).bind::<Array<sql::Uid>, _>(ids);
            update.bind::<Array<Text>, _>(keys).execute(postgres).map(drop)
        },
    )?;
    Ok(())
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

/// Puts down who had vehicles when: intervals that were there before as they are now, and new ones.
pub fn hold(tx: &mut Tx<'_>, scope: &Shop, changed: &[Held], new: &[(VehicleId, Held)]) -> Result<(), Error> {
    let shop = Uid::of(scope.id());
    tx.by_either(
        |sqlite| {
            changed.iter().try_for_each(|Held { row, sale }| {
                diesel::update(ownerships::table.find(Uid::of(row.id)).filter(ownerships::shop_id.eq(shop)))
                    .set((
                        ownerships::from_on.eq(row.from),
                        ownerships::until_on.eq(row.until),
                        ownerships::event_id.eq(sale.map(Uid::of)),
                    ))
                    .execute(sqlite)
                    .map(drop)
            })
        },
        |postgres| {
            changed.chunks(AT_A_TIME).try_for_each(|some| {
                let (ids, sales): (Vec<Uid>, Vec<Option<Uid>>) =
                    some.iter().map(|held| (Uid::of(held.row.id), held.sale.map(Uid::of))).unzip();
                let (from, until): (Vec<NaiveDate>, Vec<Option<NaiveDate>>) =
                    some.iter().map(|held| (held.row.from, held.row.until)).unzip();
                let sql = "UPDATE ownerships SET from_on = new.day, until_on = new.until, event_id = new.sale \
                           FROM unnest($2, $3, $4, $5) AS new (id, day, until, sale) \
                           WHERE ownerships.id = new.id AND shop_id = $1";
                let update = diesel::sql_query(sql).bind::<sql::Uid, _>(shop).bind::<Array<sql::Uid>, _>(ids);
                let update =
                    update.bind::<Array<Date>, _>(from).bind::<Array<Nullable<Date>>, _>(until);
                update.bind::<Array<Nullable<sql::Uid>>, _>(sales).execute(postgres).map(drop)
            })
        },
    )?;
    let values = new.iter().map(|(vehicle, Held { row, sale })| {
        (
            ownerships::id.eq(Uid::of(row.id)),
            ownerships::shop_id.eq(shop),
            ownerships::vehicle_id.eq(Uid::of(*vehicle)),
            ownerships::customer_id.eq(Uid::of(row.customer)),
            ownerships::from_on.eq(row.from),
            ownerships::until_on.eq(row.until),
            ownerships::event_id.eq(sale.map(Uid::of)),
        )
    });
    insert_all!(tx, ownerships::table, values)
}

/// Counts the versions of the shop's views up: something that is answered with them has changed.
pub fn touch(tx: &mut Tx<'_>, scope: &Shop, of: &[VehicleId]) -> Result<(), Error> {
    for some in of.chunks(AT_A_TIME) {
        let ids: Vec<Uid> = some.iter().map(|id| Uid::of(*id)).collect();
        let rows = shop_vehicles::table
            .filter(shop_vehicles::shop_id.eq(Uid::of(scope.id())))
            .filter(shop_vehicles::vehicle_id.eq_any(ids));
        diesel::update(rows)
            .set(shop_vehicles::version.eq(shop_vehicles::version + 1))
            .execute(tx.multi())?;
    }
    Ok(())
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
